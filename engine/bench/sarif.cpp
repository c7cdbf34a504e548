#include "engine/bench/sarif.h"

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <string_view>

#include "engine/knowledge/source_text.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kSchema =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json";

// A path as part of a URI (RFC 3986, section 3.3).
std::string as_uri(const std::string& path) {
  constexpr const char* kHex = "0123456789ABCDEF";
  const std::string plain = "-._~/!$&'()*+,;=@";
  std::string out;
  for (const char c : path) {
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    if (letter || plain.find(c) != std::string::npos) {
      out += c;
      continue;
    }
    const auto byte = static_cast<unsigned char>(c);
    out += {'%', kHex[byte >> 4], kHex[byte & 15u]};
  }
  return out;
}

bool is_absolute(const std::string& folder) { return !folder.empty() && folder[0] == '/'; }

std::string with_slash(const std::string& folder) {
  return folder.empty() || folder.back() == '/' ? folder : folder + "/";
}

// Columns of bytes as columns of code points.
class Columns {
 public:
  explicit Columns(const std::vector<ParsedFile>& files) {
    for (const ParsedFile& file : files) {
      const std::string& text = file.source.text;
      if (std::any_of(text.begin(), text.end(), [](char c) { return (c & 0x80) != 0; }))
        beyond_ascii_.emplace(file.source.shown, text);
    }
  }

  int of(const Place& place) const {
    const auto text = beyond_ascii_.find(place.file);
    if (text == beyond_ascii_.end()) return place.column;
    const std::string_view before =
        raw_line(text->second, place.line).substr(0, static_cast<std::size_t>(place.column - 1));
    const auto inner =
        std::count_if(before.begin(), before.end(), [](char c) { return (c & 0xc0) == 0x80; });
    return place.column - static_cast<int>(inner);
  }

 private:
  std::map<std::string, std::string_view> beyond_ascii_;
};

Json location(const Place& place, const std::string& folder, const Columns& columns) {
  Json artifact;
  const std::string root = with_slash(folder);
  if (is_absolute(folder) && place.file.rfind(root, 0) == 0)
    artifact = {{"uri", as_uri(place.file.substr(root.size()))}, {"uriBaseId", "RULES"}};
  else
    artifact = {{"uri", as_uri(place.file)}};
  Json physical = {{"artifactLocation", std::move(artifact)}};
  if (place.line > 0) {
    physical["region"] = {{"startLine", place.line}};
    if (place.column > 0) physical["region"]["startColumn"] = columns.of(place);
  }
  return {{"physicalLocation", std::move(physical)}};
}

Json rule(const FindingKind& kind) {
  return {{"id", kind.id},
          {"shortDescription", {{"text", kind.meaning}}},
          {"help", {{"text", kind.advice}}},
          {"defaultConfiguration", {{"level", name_of(kind.level)}}}};
}

Json result(const Finding& finding, const std::string& folder, const Columns& columns) {
  const auto& kinds = finding_kinds();
  const auto kind = std::find_if(kinds.begin(), kinds.end(),
                                 [&](const FindingKind& each) { return each.id == finding.id; });
  Json out = {
      {"ruleId", finding.id},
      {"ruleIndex", kind - kinds.begin()},
      {"level", name_of(finding.level)},
      {"message",
       {{"text", finding.right.empty() ? finding.what : finding.what + "; " + finding.right}}}};
  if (!finding.place.file.empty())
    out["locations"] = Json::array({location(finding.place, folder, columns)});
  return out;
}

}  // namespace

nlohmann::ordered_json sarif(const std::vector<Finding>& findings, const SarifFolder& folder,
                             const std::vector<ParsedFile>& files) {
  const Columns columns(files);
  Json rules = Json::array(), results = Json::array();
  for (const FindingKind& kind : finding_kinds()) rules.push_back(rule(kind));
  for (const Finding& each : findings) results.push_back(result(each, folder.shown, columns));
  Json run = {{"tool",
               {{"driver",
                 {{"name", "perrev"}, {"version", folder.version}, {"rules", std::move(rules)}}}}},
              {"columnKind", "unicodeCodePoints"}};
  if (is_absolute(folder.shown))
    run["originalUriBaseIds"] = {
        {"RULES", {{"uri", "file://" + as_uri(with_slash(folder.shown))}}}};
  run["results"] = std::move(results);
  return {{"$schema", kSchema}, {"version", "2.1.0"}, {"runs", Json::array({std::move(run)})}};
}

}  // namespace perrev

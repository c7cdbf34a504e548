#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "src/report/technician.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

bool is_base64(const std::string& text) {
  const std::size_t end = text.find_last_not_of('=');
  return !text.empty() && text.size() % 4 == 0 && end != std::string::npos &&
         text.size() - end <= 3 &&
         text.find_first_not_of(
             "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/") >= end + 1;
}

// Empty where the case does not hold the photo, or holds something that is none.
std::string data_uri(const Json& photos, const std::string& digest) {
  if (!photos.is_object()) return {};
  const auto found = photos.find(digest);
  if (found == photos.end() || !found->is_object()) return {};
  const auto type = found->find("type"), data = found->find("data");
  if (type == found->end() || data == found->end() || !type->is_string() || !data->is_string())
    return {};
  const std::string& kind = type->get_ref<const std::string&>();
  const std::string& bytes = data->get_ref<const std::string&>();
  if (kind != "image/jpeg" && kind != "image/png" && kind != "image/webp") return {};
  return is_base64(bytes) ? "data:" + kind + ";base64," + bytes : std::string();
}

}  // namespace

void photos_part(const ReportedCase& of, Html& html) {
  std::vector<std::pair<std::string, std::string>> named;  // digest, entry
  std::set<std::string> seen;
  for (const Entry& entry : of.file().entries())
    for (const std::string& digest : entry.photos)
      if (seen.insert(digest).second) named.emplace_back(digest, entry.id);
  if (named.empty()) return;
  const Json held =
      of.options.photos ? Json::parse(of.file().member("photos"), nullptr, false) : Json();
  html.open("section").leaf("h2", "Photos");
  for (const auto& [digest, entry] : named) {
    html.open("figure");
    const std::string uri = data_uri(held, digest);
    if (!uri.empty()) html.image(uri, "Photo of entry " + entry);
    html.open("figcaption").text("Entry " + entry + ": ").leaf("code", digest);
    html.close().close();
  }
  html.close();
}

}  // namespace perrev

#include "engine/casefile/casefile.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string_view>
#include <utility>

#include "engine/casefile/entry_json.h"
#include "engine/json_depth.h"
#include "engine/json_text.h"
#include "engine/knowledge/source_text.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostEntries = 100000, kMostProblems = 100;
constexpr std::size_t kLargestCase = 16u << 20;
constexpr int kDeepestCase = 50;
constexpr std::size_t kMostKeys = 1000;  // in one object; the library searches them one by one

Problem at_pointer(const std::string& shown, std::string pointer, std::string what,
                   std::string right) {
  return Problem{{shown, 0, 0, std::move(pointer)}, std::move(what), std::move(right), {}};
}

// A fault of the text itself, with the line it is on.
Problems at_offset(const std::string& shown, const std::string& text, std::size_t offset,
                   std::string what, std::string right) {
  const auto end = text.begin() + static_cast<std::ptrdiff_t>(offset);
  const int line = 1 + static_cast<int>(std::count(text.begin(), end, '\n'));
  const std::size_t before = offset == 0 ? std::string::npos : text.rfind('\n', offset - 1);
  const std::size_t column = before == std::string::npos ? offset + 1 : offset - before;
  return {Problem{{shown, line, static_cast<int>(column), {}},
                  std::move(what),
                  std::move(right),
                  source_line(text, line)}};
}

// Reads the text once without keeping it, for what the library would not tell: a key that stands
// twice, of which it keeps one. (Its own hook for that makes it slow on long lists.)
class FirstReading : public nlohmann::json_sax<Json> {
 public:
  FirstReading(const std::string& shown, const std::string& text) : shown_(shown), text_(text) {}

  Problems faults;  // one at most: reading ends there

  bool null() override { return item(); }
  bool boolean(bool) override { return item(); }
  bool number_integer(number_integer_t) override { return item(); }
  bool number_unsigned(number_unsigned_t) override { return item(); }
  bool number_float(number_float_t, const string_t&) override { return item(); }
  bool string(string_t&) override { return item(); }
  bool binary(binary_t&) override { return item(); }
  bool start_object(std::size_t) override { return open(false); }
  bool start_array(std::size_t) override { return open(true); }
  bool end_object() override { return close(); }
  bool end_array() override { return close(); }

  bool key(string_t& name) override {
    Level& level = open_.back();
    level.key = name;
    if (level.keys.size() >= kMostKeys) return tell("an object has more than 1000 keys", "fewer");
    if (level.keys.insert(name).second) return true;
    return tell("the key " + perrev::quoted(name) + " stands twice in one object", "keep one");
  }

  bool parse_error(std::size_t position, const std::string&,
                   const nlohmann::detail::exception& error) override {
    const std::size_t offset = std::min(position > 0 ? position - 1 : 0, text_.size());
    constexpr int kTooLarge = 406;  // of the library's error numbers
    if (std::string_view(error.what()).find("UTF-8") != std::string_view::npos) {
      faults =
          at_offset(shown_, text_, offset, "a byte that is not UTF-8", "a file saved as UTF-8");
      return false;
    }
    faults =
        error.id == kTooLarge
            ? at_offset(shown_, text_, offset, "a number that no program can hold",
                        "a smaller number")
            : at_offset(shown_, text_, offset,
                        offset == text_.size() ? "the case breaks off here" : "this is not JSON",
                        "check commas, quotes and brackets");
    return false;
  }

 private:
  struct Level {
    bool is_list;
    int index;  // of the item being read
    std::set<std::string> keys;
    std::string key;
  };

  bool item() {
    if (!open_.empty()) ++open_.back().index;
    return true;
  }
  bool open(bool is_list) {
    item();
    open_.push_back({is_list, -1, {}, {}});
    return true;
  }
  bool close() {
    open_.pop_back();
    return true;
  }

  bool tell(std::string what, std::string right) {
    std::string pointer;
    for (const Level& level : open_)
      pointer += "/" + (level.is_list ? std::to_string(level.index) : pointer_part(level.key));
    faults = {at_pointer(shown_, std::move(pointer), std::move(what), std::move(right))};
    return false;
  }

  const std::string& shown_;
  const std::string& text_;
  std::vector<Level> open_;
};

// The document, or why there is none.
Result<Json, Problems> read_json(const std::string& shown, const std::string& text) {
  const auto whole = [&](std::string what, std::string right) {
    return Problems{at_pointer(shown, "", std::move(what), std::move(right))};
  };
  if (text.size() > kLargestCase) return whole("the case is larger than 16 MiB", "a smaller one");
  if (const auto offset = too_deep(text, kDeepestCase))
    return at_offset(shown, text, *offset, "nested more than 50 deep",
                     "a case has less than ten levels");
  // The library takes a NUL for the end, and what follows would be lost.
  if (const std::size_t nul = text.find('\0'); nul != std::string::npos)
    return at_offset(shown, text, nul, "a NUL byte", "plain text in UTF-8");
  FirstReading first(shown, text);
  if (!Json::sax_parse(text, &first)) return first.faults;
  Json document = Json::parse(text, nullptr, false);
  if (!document.is_object() || !document.contains("perrev_case"))
    return whole("this is not a case", "an object with \"perrev_case\": 1");
  return document;
}

// Of the document as a whole; the entries come later.
std::optional<Problem> frame_fault(const std::string& shown, const Json& document) {
  const Json& version = document["perrev_case"];
  if (!version.is_number_unsigned() || version.get<std::uint64_t>() == 0)
    return at_pointer(shown, "/perrev_case", "this is no format version", "\"perrev_case\": 1");
  if (version.get<std::uint64_t>() > kCaseVersion)
    return at_pointer(
        shown, "/perrev_case",
        "the case is of format version " + version.dump() + ", newer than this program",
        "a perrev that reads version " + version.dump());
  if (document.contains("label") && !document["label"].is_string())
    return at_pointer(shown, "/label", "'label' must be text", "\"...\"");
  if (!document.contains("entries"))
    return at_pointer(shown, "", "the case has no list of entries", "\"entries\": []");
  if (!document["entries"].is_array())
    return at_pointer(shown, "/entries", "'entries' must be a list", "\"entries\": []");
  return std::nullopt;
}

}  // namespace

CaseFile::CaseFile() : document_(std::make_unique<Json>()) {
  *document_ = {{"perrev_case", kCaseVersion}, {"label", ""}, {"entries", Json::array()}};
}
CaseFile::CaseFile(const CaseFile& other)
    : shown_(other.shown_),
      label_(other.label_),
      entries_(other.entries_),
      document_(std::make_unique<Json>(*other.document_)) {}
CaseFile::CaseFile(CaseFile&& other) noexcept = default;
CaseFile& CaseFile::operator=(CaseFile other) noexcept {
  shown_.swap(other.shown_);
  label_.swap(other.label_);
  entries_.swap(other.entries_);
  document_.swap(other.document_);
  return *this;
}
CaseFile::~CaseFile() = default;

Result<CaseFile, Problems> CaseFile::parse(const std::string& shown, const std::string& text) {
  auto document = read_json(shown, text);
  if (!document) return document.error();
  if (const auto fault = frame_fault(shown, *document)) return Problems{*fault};
  CaseFile out;
  out.shown_ = shown;
  *out.document_ = std::move(document).value();
  const Json& read = *out.document_;
  if (read.contains("label")) out.label_ = read["label"].get<std::string>();
  Problems problems;
  std::set<std::string> ids;
  if (read["entries"].size() > kMostEntries)
    return Problems{
        at_pointer(shown, "/entries", "the case has more than 100,000 entries", "several cases")};
  for (std::size_t i = 0; i < read["entries"].size() && problems.size() < kMostProblems; ++i) {
    const std::size_t before = problems.size();
    Entry entry = read_entry(shown, i, read["entries"][i], problems);
    if (problems.size() == before && !ids.insert(entry.id).second)
      problems.push_back(Problem{out.place(i, "/id"),
                                 "the id " + perrev::quoted(entry.id) + " stands twice",
                                 "an id of its own",
                                 {}});
    out.entries_.push_back(std::move(entry));
  }
  if (!problems.empty()) return problems;
  return out;
}

std::string CaseFile::text() const { return indented_json(*document_) + "\n"; }

void CaseFile::set_label(const std::string& label) {
  label_ = label;
  (*document_)["label"] = label;
}

void CaseFile::add(Entry entry) {
  if (entry.id.empty()) {
    long long next = 1;
    for (const Entry& e : entries_)
      if (e.id.size() < 18 && !e.id.empty() &&
          e.id.find_first_not_of("0123456789") == std::string::npos)
        next = std::max(next, std::atoll(e.id.c_str()) + 1);
    const auto taken = [&](const std::string& id) {
      return std::any_of(entries_.begin(), entries_.end(),
                         [&](const Entry& e) { return e.id == id; });
    };
    for (entry.id = std::to_string(next); taken(entry.id); entry.id = std::to_string(next)) ++next;
  }
  (*document_)["entries"].push_back(json_of(entry));
  entries_.push_back(std::move(entry));
}

std::string CaseFile::member(const std::string& key) const {
  const auto found = document_->find(key);
  return found == document_->end() ? std::string() : found->dump();
}

Place entry_place(const std::string& shown, std::size_t entry, const std::string& below) {
  return Place{shown, 0, 0, "/entries/" + std::to_string(entry) + below};
}

}  // namespace perrev

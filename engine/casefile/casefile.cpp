#include "engine/casefile/casefile.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>
#include <utility>

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kLargestCase = 16u << 20;
constexpr int kDeepestCase = 50;

Problem at_pointer(const std::string& shown, std::string pointer, std::string what,
                   std::string right) {
  return Problem{{shown, 0, 0, std::move(pointer)}, std::move(what), std::move(right), {}};
}

// The reader of the library recurses nowhere but its values are destroyed level by level: bound
// them here.
bool too_deep(const std::string& text) {
  int depth = 0;
  bool in_string = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (in_string) {
      if (c == '\\') ++i;
      if (c == '"') in_string = false;
    } else if (c == '"') {
      in_string = true;
    } else if (c == '[' || c == '{') {
      if (++depth > kDeepestCase) return true;
    } else if (c == ']' || c == '}') {
      --depth;
    }
  }
  return false;
}

// Finds keys that stand twice in one object; the library itself keeps only one of them.
class DuplicateKeys {
 public:
  bool operator()(int, Json::parse_event_t event, Json& parsed) {
    if (event == Json::parse_event_t::object_start) open_.emplace_back();
    if (event == Json::parse_event_t::object_end) open_.pop_back();
    if (event == Json::parse_event_t::key &&
        !open_.back().insert(parsed.get<std::string>()).second && found.empty())
      found = parsed.get<std::string>();
    return true;
  }
  std::string found;

 private:
  std::vector<std::set<std::string>> open_;
};

class EntryReader {
 public:
  EntryReader(const std::string& shown, std::size_t index, const Json& json, Problems& problems)
      : shown_(shown),
        base_("/entries/" + std::to_string(index)),
        json_(json),
        problems_(problems) {}

  Entry read() {
    Entry out;
    if (!json_.is_object()) {
      fault("", "an entry must be an object", "{\"id\": ..., \"at\": ..., \"by\": ..., ...}");
      return out;
    }
    out.id = text("id", true);
    out.at = text("at", true);
    if (!out.at.empty() && !moment(out.at))
      fault("/at", "'" + out.at.substr(0, 40) + "' is no moment", "as 2026-05-04T09:12:00Z");
    const std::string by = text("by", true);
    if (by == "road")
      out.by = Asker::road;
    else if (by == "bay")
      out.by = Asker::bay;
    else if (!by.empty() && by != "write_up")
      fault("/by", "'" + by.substr(0, 40) + "' enters nothing", "write_up, road or bay");
    kind(out);
    return out;
  }

 private:
  void kind(Entry& out) {
    if (json_.contains("fact")) {
      out.kind = Entry::Kind::answer;
      answer(out);
    } else if (json_.contains("check")) {
      out.kind = Entry::Kind::not_possible;
      out.check = text("check", true);
      if (text("answer", true) != "not_possible")
        fault("/answer", "a check is entered only when it cannot be done",
              "\"answer\": \"not_possible\"");
    } else if (json_.contains("retracts")) {
      out.kind = Entry::Kind::retraction;
      out.retracts = text("retracts", true);
    } else if (json_.contains("repair")) {
      out.kind = Entry::Kind::repair;
      out.repair = text("repair", true);
      const std::string result = text("result", true);
      if (result != "done" && result != "not_done" && !result.empty())
        fault("/result", "'" + result.substr(0, 40) + "' is no result", "done or not_done");
      out.done = result == "done";
    } else if (json_.contains("closes")) {
      out.kind = Entry::Kind::closing;
      out.closes = list("closes");
      out.proof = text("proof", false);
    } else {
      fault("", "the entry says nothing", "one of fact, check, retracts, repair, closes");
    }
  }

  void answer(Entry& out) {
    out.fact = text("fact", true);
    out.place = text("place", false);
    if (json_.contains("with")) {
      const Json& with = json_["with"];
      if (!with.is_object())
        fault("/with", "'with' must be an object", "{\"by\": \"gps\"}");
      else
        for (const auto& item : with.items())
          if (item.value().is_string()) out.with[item.key()] = item.value().get<std::string>();
    }
    const bool has_answer = json_.contains("answer"), has_value = json_.contains("value");
    if (has_answer == has_value) {
      fault("", "an answer needs 'value' or \"answer\": \"unsure\"", "one of the two");
    } else if (has_answer) {
      out.unsure = true;
      if (text("answer", true) != "unsure")
        fault("/answer", "the only such answer is unsure", "\"value\": ...");
    } else if (json_["value"].is_array()) {
      out.is_list = true;
      out.values = list("value");
    } else if (json_["value"].is_boolean()) {
      out.values = {json_["value"].get<bool>() ? "yes" : "no"};
    } else if (json_["value"].is_number()) {
      out.values = {json_["value"].dump()};
    } else if (json_["value"].is_string()) {
      out.values = {json_["value"].get<std::string>()};
    } else {
      fault("/value", "a value is text, a number with its unit as text, or a list of them",
            "\"65 mph\"");
    }
  }

  std::string text(const char* key, bool must) {
    const auto found = json_.find(key);
    if (found == json_.end()) {
      if (must)
        fault("", std::string("the entry has no '") + key + "'",
              std::string("\"") + key + "\": \"...\"");
      return {};
    }
    if (found->is_string() && (!must || !found->get_ref<const std::string&>().empty()))
      return found->get<std::string>();
    fault(std::string("/") + key, std::string("'") + key + "' must be text", "\"...\"");
    return {};
  }

  std::vector<std::string> list(const char* key) {
    std::vector<std::string> out;
    const Json& items = json_[key];
    const std::string here = std::string("/") + key;
    if (!items.is_array()) {
      fault(here, std::string("'") + key + "' must be a list", "[\"...\"]");
      return out;
    }
    for (std::size_t i = 0; i < items.size(); ++i) {
      if (items[i].is_string())
        out.push_back(items[i].get<std::string>());
      else if (items[i].is_number())
        out.push_back(items[i].dump());
      else
        fault(here + "/" + std::to_string(i), "an item must be text", "\"...\"");
    }
    return out;
  }

  void fault(const std::string& below, std::string what, std::string right) {
    problems_.push_back(at_pointer(shown_, base_ + below, std::move(what), std::move(right)));
  }

  const std::string& shown_;
  std::string base_;
  const Json& json_;
  Problems& problems_;
};

Json to_json(const Entry& entry) {
  Json out = {{"id", entry.id}, {"at", entry.at}, {"by", std::string(name_of(entry.by))}};
  switch (entry.kind) {
    case Entry::Kind::answer:
      out["fact"] = entry.fact;
      if (!entry.place.empty()) out["place"] = entry.place;
      if (entry.unsure)
        out["answer"] = "unsure";
      else if (entry.is_list)
        out["value"] = entry.values;
      else
        out["value"] = entry.values.empty() ? std::string() : entry.values.front();
      if (!entry.with.empty()) out["with"] = entry.with;
      break;
    case Entry::Kind::not_possible:
      out["check"] = entry.check;
      out["answer"] = "not_possible";
      break;
    case Entry::Kind::retraction:
      out["retracts"] = entry.retracts;
      break;
    case Entry::Kind::repair:
      out["repair"] = entry.repair;
      out["result"] = entry.done ? "done" : "not_done";
      break;
    case Entry::Kind::closing:
      out["closes"] = entry.closes;
      out["proof"] = entry.proof;
      break;
  }
  return out;
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
  const auto refused = [&](std::string pointer, std::string what, std::string right) {
    return Problems{at_pointer(shown, std::move(pointer), std::move(what), std::move(right))};
  };
  if (text.size() > kLargestCase)
    return refused("", "the case is larger than 16 MiB", "a smaller one");
  if (too_deep(text))
    return refused("", "nested more than 50 deep", "a case has less than ten levels");
  CaseFile out;
  out.shown_ = shown;
  DuplicateKeys duplicates;
  try {
    *out.document_ = Json::parse(text, std::ref(duplicates));
  } catch (const Json::parse_error& error) {
    const std::size_t end = std::min(error.byte > 0 ? error.byte - 1 : 0, text.size());
    const auto line =
        1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(end), '\n');
    const std::size_t start = end == 0 ? std::string::npos : text.rfind('\n', end - 1);
    const std::size_t column = start == std::string::npos ? end + 1 : end - start;
    Problems problems =
        refused("", end >= text.size() ? "the case breaks off here" : "not JSON from here on",
                "check commas, quotes and brackets");
    problems[0].place.line = static_cast<int>(line);
    problems[0].place.column = static_cast<int>(column);
    return problems;
  } catch (const Json::exception&) {
    return refused("", "not JSON", "check that it is UTF-8 text");
  }
  const Json& document = *out.document_;
  if (!document.is_object() || !document.contains("perrev_case"))
    return refused("", "not a case", "an object with \"perrev_case\": 1");
  if (!duplicates.found.empty())
    return refused("",
                   "the key '" + duplicates.found.substr(0, 40) + "' stands twice in one object",
                   "keep one");
  const Json& version = document["perrev_case"];
  if (!version.is_number_integer() || version.get<long long>() < 1)
    return refused("/perrev_case", "no format version", "\"perrev_case\": 1");
  if (version.get<long long>() > kCaseVersion)
    return refused("/perrev_case",
                   "the case is of format version " + version.dump() + ", newer than this program",
                   "a perrev that reads version " + version.dump());
  if (document.contains("label")) {
    if (!document["label"].is_string()) return refused("/label", "'label' must be text", "\"...\"");
    out.label_ = document["label"].get<std::string>();
  }
  if (!document.contains("entries") || !document["entries"].is_array())
    return refused("/entries", "the case has no list of entries", "\"entries\": []");
  Problems problems;
  std::set<std::string> ids;
  for (std::size_t i = 0; i < document["entries"].size(); ++i) {
    const std::size_t before = problems.size();
    Entry entry = EntryReader(shown, i, document["entries"][i], problems).read();
    if (problems.size() == before && !ids.insert(entry.id).second)
      problems.push_back(at_pointer(shown, "/entries/" + std::to_string(i) + "/id",
                                    "the id '" + entry.id.substr(0, 40) + "' stands twice",
                                    "an id of its own"));
    out.entries_.push_back(std::move(entry));
  }
  if (!problems.empty()) return problems;
  return out;
}

std::string CaseFile::text() const {
  return document_->dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

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
    entry.id = std::to_string(next);
  }
  (*document_)["entries"].push_back(to_json(entry));
  entries_.push_back(std::move(entry));
}

std::string CaseFile::member(const std::string& key) const {
  const auto found = document_->find(key);
  return found == document_->end() ? std::string() : found->dump();
}

Place CaseFile::place(std::size_t entry, const std::string& below) const {
  return Place{shown_, 0, 0, "/entries/" + std::to_string(entry) + below};
}

}  // namespace perrev

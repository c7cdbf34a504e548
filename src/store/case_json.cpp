#include "src/store/case_json.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <utility>

#include "engine/casefile/casefile.h"
#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/store/photo_bytes.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

// Of what the store keeps. In a damaged one it may be anything; `check` tells so.
Json kept_object(const std::string& text) {
  Json out = Json::parse(text, nullptr, false);
  return out.is_object() ? out : Json::object();
}

// In a list of a document: four blanks before each line, a comma and a line end after it.
std::size_t bytes_in_file(const Json& entry) {
  const std::string text = indented_json(entry);
  const auto lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) + 1;
  return text.size() + 4 * lines + 2;
}

class DigitReader : public nlohmann::json_sax<Json> {
 public:
  std::string lost;

  bool null() override { return true; }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t) override { return true; }
  bool number_unsigned(number_unsigned_t) override { return true; }
  bool number_float(number_float_t, const string_t& text) override {
    if (text.find_first_of(".eE") == std::string::npos) lost = text;
    return lost.empty();
  }
  bool string(string_t&) override { return true; }
  bool binary(binary_t&) override { return true; }
  bool start_object(std::size_t) override { return true; }
  bool start_array(std::size_t) override { return true; }
  bool end_object() override { return true; }
  bool end_array() override { return true; }
  bool key(string_t&) override { return true; }
  bool parse_error(std::size_t, const std::string&, const nlohmann::detail::exception&) override {
    return false;
  }
};

std::string part_of(const Entry& entry) {
  switch (entry.kind) {
    case Entry::Kind::answer:
      return entry.fact == "complaint_words" ? "words" : "answer";
    case Entry::Kind::not_possible:
      return "check";
    case Entry::Kind::retraction:
      return "retraction";
    case Entry::Kind::repair:
      return "repair";
    case Entry::Kind::closing:
      return "closing";
  }
  return "answer";
}

// The object that a caller gave as a head, as it is.
Stored<Json> read_keys(const std::string& text) {
  if (text.size() > 2 * kLargestHead)
    return refused(Refused::Kind::too_large, "the head of a case is larger than 256 KiB",
                   "less beside the entries");
  if (auto lost = lost_digits(text)) return *std::move(lost);
  // For its checks: depth, keys that stand twice, bytes that are no UTF-8. It needs a whole case.
  const auto problems_of = [](const std::string& shown) -> Problems {
    const auto read = CaseFile::parse({}, shown);
    return read ? Problems{} : read.error();
  };
  if (!Json::accept(text) || text.find('\0') != std::string::npos)
    return Refused{Refused::Kind::invalid, problems_of(text)};
  const std::string around = "{\"perrev_case\": 1, \"entries\": [], \"head\": " + text + "}";
  if (auto problems = problems_of(around); !problems.empty())
    return Refused{Refused::Kind::invalid, std::move(problems)};
  Json keys = Json::parse(text, nullptr, false);
  if (!keys.is_object())
    return refused(Refused::Kind::invalid, "the head of a case must be an object",
                   "{\"label\": \"...\"}");
  if (keys.contains("entries") && keys["entries"] != Json::array())
    return refused(Refused::Kind::invalid, "entries are added by themselves",
                   "a head without them");
  if (keys.contains("photos") && keys["photos"] != Json::object())
    return refused(Refused::Kind::invalid, "photos are added by themselves", "a head without them");
  return keys;
}

// A stored head of a whole document, if a case file may look so.
Stored<std::string> checked_head(const Json& head) {
  const std::string text = indented_json(head);
  if (text.size() > kLargestHead)
    return refused(Refused::Kind::too_large, "the head of a case is larger than 256 KiB",
                   "less beside the entries");
  const auto read = CaseFile::parse({}, text);
  if (!read) return Refused{Refused::Kind::invalid, read.error()};
  // Photos, when there are any, need a key.
  constexpr std::size_t kMostKeys = 1000;
  if (head.size() + (head.contains("photos") ? 0 : 1) > kMostKeys)
    return refused(Refused::Kind::too_large, "the head of a case has more than 1000 keys", "fewer");
  return compact_json(head);
}

Json with_key(const Json& head, const std::string& key, const Json& value) {
  Json out = Json::object();
  for (const auto& item : head.items()) {
    if (item.key() == "entries") out[key] = value;
    out[item.key()] = item.value();
  }
  return out;
}

bool is_later(const std::string& at, const std::string& than) {
  return than.empty() || moment(at).value_or(0) > moment(than).value_or(0);
}

}  // namespace

Refused refused(Refused::Kind kind, std::string what, std::string right) {
  return Refused{kind, {problem(std::move(what), std::move(right))}};
}

std::optional<Refused> lost_digits(const std::string& json) {
  DigitReader reader;
  Json::sax_parse(json, &reader);
  if (reader.lost.empty()) return std::nullopt;
  return refused(Refused::Kind::invalid,
                 "the number " + perrev::quoted(reader.lost) + " would lose digits",
                 "a whole number of at most 64 bits, or text");
}

void Tally::add(const StoredEntry& entry) {
  ++entries;
  bytes += static_cast<std::int64_t>(entry.bytes);
  if (is_later(entry.at, last_at)) last_at = entry.at;
}

Stored<std::string> read_head(const std::string& head_json) {
  const auto keys = read_keys(head_json);
  if (!keys) return keys.error();
  Json head = Json::object();
  if (!keys->contains("perrev_case")) head["perrev_case"] = kCaseVersion;
  for (const auto& item : keys->items()) head[item.key()] = item.value();
  if (!head.contains("entries")) head["entries"] = Json::array();
  return checked_head(head);
}

Stored<std::vector<StoredEntry>> read_entries(const std::vector<std::string>& entries_json) {
  std::string text = "{\"perrev_case\": 1, \"entries\": [";
  for (std::size_t i = 0; i < entries_json.size(); ++i) {
    const std::string& entry = entries_json[i];
    // Each by itself first, so that none can reach out of its place.
    if (!Json::accept(entry)) {
      Refused out = refused(Refused::Kind::invalid, "an entry is not JSON",
                            "check commas, quotes and brackets");
      out.problems.front().place.pointer = "/entries/" + std::to_string(i);
      return out;
    }
    text += (i == 0 ? "" : ",") + entry;
  }
  text += "]}";
  const auto file = CaseFile::parse({}, text);
  if (!file) return Refused{Refused::Kind::invalid, file.error()};
  if (auto lost = lost_digits(text)) return *std::move(lost);
  const Json read = Json::parse(text, nullptr, false);
  std::vector<StoredEntry> out;
  for (std::size_t i = 0; i < entries_json.size(); ++i) {
    const Json& json = read["entries"][i];
    const Entry& entry = file->entries()[i];
    out.push_back({entry.id, entry.at, part_of(entry), compact_json(json), bytes_in_file(json)});
    if (out.back().json.size() <= kLargestEntry) continue;
    Refused large = refused(Refused::Kind::too_large,
                            "the entry " + perrev::quoted(entry.id) + " is larger than 16 KiB",
                            "several entries");
    large.problems.front().place.pointer = "/entries/" + std::to_string(i);
    return large;
  }
  return out;
}

bool same_json(const std::string& one, const std::string& other) {
  return one == other ||
         nlohmann::json::parse(one, nullptr, false) == nlohmann::json::parse(other, nullptr, false);
}

bool same_head(const std::string& one, const std::string& other) {
  return same_json(told_head(one), told_head(other));
}

Stored<std::string> head_with(const std::string& head, const std::string& keys_json, Keys which) {
  const auto keys = read_keys(keys_json);
  if (!keys) return keys.error();
  Json out = kept_object(head);
  for (const auto& item : keys->items()) {
    const std::string& key = item.key();
    if (key == "entries" || key == "photos") continue;
    const auto there = out.find(key);
    if (there == out.end())
      out = with_key(out, key, item.value());
    else if (which == Keys::set)
      *there = item.value();
    else if (!same_json(compact_json(*there), compact_json(item.value())))
      return refused(Refused::Kind::conflict,
                     "the key " + perrev::quoted(key) + " of the case is there with another value",
                     "the same value, or a case of its own");
  }
  return checked_head(out);
}

std::string told_head(const std::string& head) {
  Json out = kept_object(head);
  out.erase("entries");
  out.erase("photos");
  return compact_json(out);
}

std::string document(const std::string& head, const std::vector<std::string>& entries,
                     const std::vector<std::pair<std::string, Photo>>& photos) {
  Json out = kept_object(head);
  Json list = Json::array();
  for (const std::string& entry : entries) list.push_back(kept_object(entry));
  out["entries"] = std::move(list);
  for (const auto& [sha256, photo] : photos)
    out["photos"][sha256] = {{"type", photo.type}, {"data", base64(photo.bytes)}};
  return indented_json(out) + "\n";
}

}  // namespace perrev

#include "src/batch_case.h"

#include <simdjson.h>

#include <algorithm>
#include <array>
#include <cstdint>

namespace perrev {

namespace {

using simdjson::dom::array;
using simdjson::dom::element;
using simdjson::dom::element_type;
using simdjson::dom::object;

// Leaves the reading to CaseFile::parse.
struct Unusual {};

constexpr std::size_t kMostEntries = 10000, kMostKeys = 30;
constexpr int kDeepest = 20;
constexpr double kMostMinutes = 100000.0;

void expect(bool usual) {
  if (!usual) throw Unusual{};
}

template <class T>
T as(const element& from) {
  T out{};
  expect(from.get(out) == simdjson::SUCCESS);
  return out;
}

std::string text_of(const element& from) { return std::string(as<std::string_view>(from)); }

// No object in it has a key twice.
void look_through(const element& at, int depth) {
  expect(depth < kDeepest);
  if (at.type() == element_type::ARRAY) {
    for (const element item : as<array>(at)) look_through(item, depth + 1);
  } else if (at.type() == element_type::OBJECT) {
    std::array<std::string_view, kMostKeys> keys;
    std::size_t count = 0;
    for (const auto& [key, value] : as<object>(at)) {
      const auto end = keys.begin() + static_cast<std::ptrdiff_t>(count);
      expect(count < kMostKeys && std::find(keys.begin(), end, key) == end);
      keys[count++] = key;
      if (value.type() == element_type::ARRAY || value.type() == element_type::OBJECT)
        look_through(value, depth + 1);
    }
  }
}

enum Key : std::size_t {
  kId,
  kAt,
  kBy,
  kWho,
  kMinutes,
  kPhotos,
  kFact,
  kPlace,
  kWith,
  kAnswer,
  kValue,
  kCheck,
  kRetracts,
  kRepair,
  kResult,
  kCloses,
  kProof,
  kKeys
};
constexpr std::array<std::string_view, kKeys> kNames = {
    "id",     "at",    "by",    "who",      "minutes", "photos", "fact",   "place", "with",
    "answer", "value", "check", "retracts", "repair",  "result", "closes", "proof"};

class EntryFields {
 public:
  explicit EntryFields(const object& from) {
    for (const auto& [key, value] : from) {
      const auto found = std::find(kNames.begin(), kNames.end(), key);
      if (found == kNames.end()) continue;
      const auto at = static_cast<std::size_t>(found - kNames.begin());
      values_[at] = value;
      has_ |= 1u << at;
    }
  }

  bool has(Key key) const { return (has_ >> key) & 1u; }
  const element& value(Key key) const { return values_[key]; }

  std::string text(Key key) const {
    expect(has(key));
    std::string out = text_of(values_[key]);
    expect(!out.empty());
    return out;
  }
  std::string text_if_any(Key key) const {
    return has(key) ? text_of(values_[key]) : std::string();
  }
  std::vector<std::string> list(Key key) const {
    std::vector<std::string> out;
    const array items = as<array>(values_[key]);
    out.reserve(items.size());
    for (const element item : items) out.push_back(text_of(item));
    return out;
  }

 private:
  std::array<element, kKeys> values_;
  std::uint32_t has_ = 0;
};

Asker asker_of(std::string_view by) {
  if (by == "write_up") return Asker::write_up;
  if (by == "road") return Asker::road;
  expect(by == "bay");
  return Asker::bay;
}

void read_answer(const EntryFields& from, Entry& out) {
  out.fact = from.text(kFact);
  out.place = from.text_if_any(kPlace);
  if (from.has(kWith))
    for (const auto& [key, value] : as<object>(from.value(kWith)))
      out.with[std::string(key)] = text_of(value);
  expect(from.has(kAnswer) != from.has(kValue));
  if (from.has(kAnswer)) {
    out.unsure = true;
    expect(from.text(kAnswer) == "unsure");
    return;
  }
  const element& value = from.value(kValue);
  out.is_list = value.type() == element_type::ARRAY;
  if (out.is_list)
    out.values = from.list(kValue);
  else if (value.type() == element_type::BOOL)
    out.values.emplace_back(as<bool>(value) ? "yes" : "no");
  else
    out.values.push_back(text_of(value));
}

void read_kind(const EntryFields& from, Entry& out) {
  if (from.has(kFact)) {
    read_answer(from, out);
  } else if (from.has(kCheck)) {
    out.kind = Entry::Kind::not_possible;
    out.check = from.text(kCheck);
    expect(from.text(kAnswer) == "not_possible");
  } else if (from.has(kRetracts)) {
    out.kind = Entry::Kind::retraction;
    out.retracts = from.text(kRetracts);
  } else if (from.has(kRepair)) {
    out.kind = Entry::Kind::repair;
    out.repair = from.text(kRepair);
    const std::string result = from.text(kResult);
    out.done = result == "done";
    expect(out.done || result == "not_done");
  } else {
    expect(from.has(kCloses));
    out.kind = Entry::Kind::closing;
    out.closes = from.list(kCloses);
    out.proof = from.text_if_any(kProof);
  }
}

void read_entry(const element& json, Entry& out) {
  const EntryFields from(as<object>(json));
  expect(!from.has(kPhotos));
  out.id = from.text(kId);
  out.at = from.text(kAt);
  expect(moment(out.at).has_value());
  expect(from.has(kBy));
  out.by = asker_of(as<std::string_view>(from.value(kBy)));
  out.who = from.text_if_any(kWho);
  if (from.has(kMinutes)) {
    out.minutes = as<double>(from.value(kMinutes));
    expect(out.minutes >= 0.0 && out.minutes <= kMostMinutes);
  }
  read_kind(from, out);
}

bool are_different(const std::vector<Entry>& entries) {
  std::vector<std::string_view> ids;
  ids.reserve(entries.size());
  for (const Entry& entry : entries) ids.push_back(entry.id);
  std::sort(ids.begin(), ids.end());
  return std::adjacent_find(ids.begin(), ids.end()) == ids.end();
}

BatchCase read_document(const element& document) {
  look_through(document, 0);
  BatchCase out;
  bool is_case = false;
  std::optional<array> entries;
  for (const auto& [key, value] : as<object>(document)) {
    if (key == "perrev_case")
      is_case = as<std::uint64_t>(value) == kCaseVersion;
    else if (key == "label")
      out.label = text_of(value);
    else if (key == "entries")
      entries = as<array>(value);
  }
  expect(is_case && entries && entries->size() <= kMostEntries);
  out.entries.resize(entries->size());
  std::size_t next = 0;
  for (const element entry : *entries) read_entry(entry, out.entries[next++]);
  expect(are_different(out.entries));
  return out;
}

}  // namespace

struct BatchCaseReader::Buffers {
  simdjson::dom::parser parser;
};

BatchCaseReader::BatchCaseReader() : buffers_(std::make_unique<Buffers>()) {}
BatchCaseReader::~BatchCaseReader() = default;
BatchCaseReader::BatchCaseReader(BatchCaseReader&&) noexcept = default;

std::optional<BatchCase> BatchCaseReader::read(std::string_view text) {
  constexpr std::size_t kLargest = 1u << 20;
  if (text.size() > kLargest || text.find("\\u") != std::string_view::npos) return std::nullopt;
  element document;
  if (buffers_->parser.parse(text.data(), text.size()).get(document) != simdjson::SUCCESS)
    return std::nullopt;
  try {
    return read_document(document);
  } catch (const Unusual&) {
    return std::nullopt;
  }
}

}  // namespace perrev

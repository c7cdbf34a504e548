#include "src/batch_case.h"

#include <simdjson.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>

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

std::string_view text_of(const element& from) { return as<std::string_view>(from); }

bool has_items(const element& at) {
  return at.type() == element_type::ARRAY || at.type() == element_type::OBJECT;
}

// Of one object; none stands twice.
class Keys {
 public:
  void add(std::string_view key) {
    const auto end = keys_.begin() + static_cast<std::ptrdiff_t>(count_);
    expect(count_ < kMostKeys && std::find(keys_.begin(), end, key) == end);
    keys_[count_++] = key;
  }

 private:
  std::array<std::string_view, kMostKeys> keys_;
  std::size_t count_ = 0;
};

// No object in it has a key twice.
void look_through(const element& at, int depth = 0) {
  expect(depth < kDeepest);
  if (at.type() == element_type::ARRAY) {
    for (const element item : as<array>(at)) look_through(item, depth + 1);
  } else if (at.type() == element_type::OBJECT) {
    Keys keys;
    for (const auto& [key, value] : as<object>(at)) {
      keys.add(key);
      if (has_items(value)) look_through(value, depth + 1);
    }
  }
}

// Those of most entries first.
enum Key : std::size_t {
  kId,
  kAt,
  kBy,
  kFact,
  kValue,
  kPlace,
  kAnswer,
  kWith,
  kWho,
  kMinutes,
  kPhotos,
  kCheck,
  kRetracts,
  kRepair,
  kResult,
  kCloses,
  kProof,
  kKeys
};
constexpr std::array<std::string_view, kKeys> kNames = {
    "id",      "at",     "by",    "fact",     "value",  "place",  "answer", "with", "who",
    "minutes", "photos", "check", "retracts", "repair", "result", "closes", "proof"};

class EntryFields {
 public:
  explicit EntryFields(const object& from) {
    std::vector<std::string_view> others;
    for (const auto& [key, value] : from) {
      if (has_items(value)) look_through(value);
      const auto found = std::find(kNames.begin(), kNames.end(), key);
      if (found == kNames.end()) {
        expect(others.size() < kMostKeys);
        others.push_back(key);
        continue;
      }
      const auto at = static_cast<std::size_t>(found - kNames.begin());
      expect(!has(static_cast<Key>(at)));
      values_[at] = value;
      has_ |= 1u << at;
    }
    std::sort(others.begin(), others.end());
    expect(std::adjacent_find(others.begin(), others.end()) == others.end());
  }

  bool has(Key key) const { return (has_ >> key) & 1u; }
  const element& value(Key key) const { return values_[key]; }

  std::string_view text(Key key) const {
    expect(has(key));
    const std::string_view out = text_of(values_[key]);
    expect(!out.empty());
    return out;
  }
  std::string_view text_if_any(Key key) const {
    return has(key) ? text_of(values_[key]) : std::string_view();
  }
  void list(Key key, std::vector<std::string>& out) const {
    const array items = as<array>(values_[key]);
    out.resize(items.size());
    std::size_t next = 0;
    for (const element item : items) out[next++] = text_of(item);
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
  out.with.clear();
  if (from.has(kWith))
    for (const auto& [key, value] : as<object>(from.value(kWith)))
      out.with[std::string(key)] = text_of(value);
  expect(from.has(kAnswer) != from.has(kValue));
  out.unsure = from.has(kAnswer);
  if (out.unsure) {
    expect(from.text(kAnswer) == "unsure");
    out.is_list = false;
    out.values.clear();
    return;
  }
  const element& value = from.value(kValue);
  out.is_list = value.type() == element_type::ARRAY;
  if (out.is_list) return from.list(kValue, out.values);
  out.values.resize(1);
  if (value.type() == element_type::BOOL)
    out.values[0] = as<bool>(value) ? "yes" : "no";
  else
    out.values[0] = text_of(value);
}

Entry::Kind kind_of(const EntryFields& from) {
  if (from.has(kFact)) return Entry::Kind::answer;
  if (from.has(kCheck)) return Entry::Kind::not_possible;
  if (from.has(kRetracts)) return Entry::Kind::retraction;
  if (from.has(kRepair)) return Entry::Kind::repair;
  expect(from.has(kCloses));
  return Entry::Kind::closing;
}

// All that an entry of its kind has.
void read_kind(const EntryFields& from, Entry& out) {
  switch (out.kind) {
    case Entry::Kind::answer:
      return read_answer(from, out);
    case Entry::Kind::not_possible:
      out.check = from.text(kCheck);
      return expect(from.text(kAnswer) == "not_possible");
    case Entry::Kind::retraction:
      out.retracts = from.text(kRetracts);
      return;
    case Entry::Kind::repair:
      out.repair = from.text(kRepair);
      out.done = from.text(kResult) == "done";
      return expect(out.done || from.text(kResult) == "not_done");
    case Entry::Kind::closing:
      from.list(kCloses, out.closes);
      out.proof = from.text_if_any(kProof);
  }
}

// Over an entry of an earlier case, whose buffers are kept.
void read_entry(const element& json, Entry& out) {
  const EntryFields from(as<object>(json));
  expect(!from.has(kPhotos));
  const Entry::Kind kind = kind_of(from);
  if (out.kind != kind) out = Entry{};
  out.kind = kind;
  out.id = from.text(kId);
  out.at = from.text(kAt);
  expect(moment(out.at).has_value());
  expect(from.has(kBy));
  out.by = asker_of(as<std::string_view>(from.value(kBy)));
  out.who = from.text_if_any(kWho);
  out.minutes = -1.0;
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
  // Numbers that rise, as most ids are, stand in this order.
  const auto before = [](std::string_view a, std::string_view b) {
    return a.size() != b.size() ? a.size() < b.size() : a < b;
  };
  if (!std::is_sorted(ids.begin(), ids.end(), before)) std::sort(ids.begin(), ids.end(), before);
  return std::adjacent_find(ids.begin(), ids.end()) == ids.end();
}

void read_document(const element& document, BatchCase& out) {
  Keys keys;
  bool is_case = false;
  std::optional<array> entries;
  out.label.clear();
  for (const auto& [key, value] : as<object>(document)) {
    keys.add(key);
    if (key == "perrev_case")
      is_case = as<std::uint64_t>(value) == kCaseVersion;
    else if (key == "label")
      out.label = text_of(value);
    else if (key == "entries")
      entries = as<array>(value);
    else
      look_through(value);
  }
  expect(is_case && entries && entries->size() <= kMostEntries);
  out.entries.resize(entries->size());
  std::size_t next = 0;
  for (const element entry : *entries) read_entry(entry, out.entries[next++]);
  expect(are_different(out.entries));
}

}  // namespace

struct BatchCaseReader::Buffers {
  simdjson::dom::parser parser;
  BatchCase read;
};

BatchCaseReader::BatchCaseReader() : buffers_(std::make_unique<Buffers>()) {}
BatchCaseReader::~BatchCaseReader() = default;
BatchCaseReader::BatchCaseReader(BatchCaseReader&&) noexcept = default;

const BatchCase* BatchCaseReader::read(std::string_view text) {
  constexpr std::size_t kLargest = 1u << 20;
  if (text.size() > kLargest || text.find("\\u") != std::string_view::npos) return nullptr;
  element document;
  if (buffers_->parser.parse(text.data(), text.size()).get(document) != simdjson::SUCCESS)
    return nullptr;
  try {
    read_document(document, buffers_->read);
    return &buffers_->read;
  } catch (const Unusual&) {
    return nullptr;
  }
}

}  // namespace perrev

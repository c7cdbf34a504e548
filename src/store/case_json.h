// Heads and entries as the store keeps them: JSON without blanks, checked. Internal to this folder.
//
// A stored head is a case document with no entries: "entries" is an empty list and "photos", where
// it stands, an empty object. So the places of both in the file are kept.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "src/store/store.h"

namespace perrev {

struct StoredEntry {
  std::string id;
  std::string at;
  std::string part;  // column `part` of the table `addition`
  std::string json;
  std::size_t bytes = 0;  // in an exported file
};

// What additions come to, as the newest of a case says of the whole case.
struct Tally {
  std::int64_t seq = 0;  // 0: no such case
  std::int64_t entries = 0;
  std::int64_t bytes = 0;
  std::string last_at;  // the newest; empty: no entries

  void add(const StoredEntry& entry);
};

Refused refused(Refused::Kind kind, std::string what, std::string right);

Stored<std::string> read_head(const std::string& head_json);
Stored<std::vector<StoredEntry>> read_entries(const std::vector<std::string>& entries_json);
// Of a text with a whole number of more than 64 bits, which would lose digits.
std::optional<Refused> lost_digits(const std::string& json);

// The parsed values are equal; the order of keys does not count.
bool same_json(const std::string& one, const std::string& other);
// The same for stored heads, but for where entries and photos stand.
bool same_head(const std::string& one, const std::string& other);

enum class Keys { set, only_new };
// `head` with the keys of `keys_json`, new ones before the entries. With `only_new`, a key that is
// there with another value is a conflict.
Stored<std::string> head_with(const std::string& head, const std::string& keys_json, Keys which);
// Without the places of entries and photos.
std::string told_head(const std::string& head);

// The document as a file. `photos` in the order they were added: SHA-256 and the photo.
std::string document(const std::string& head, const std::vector<std::string>& entries,
                     const std::vector<std::pair<std::string, Photo>>& photos);

}  // namespace perrev

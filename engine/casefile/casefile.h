// A case as it stands on disk: an ordered log of entries, only ever added to.
//
// JSON in and out. Keys that this program does not know are kept and written back where they stood;
// a case of a later format version is refused. This room's first half knows nothing of the rule
// base: whether a fact exists and its value makes sense is decided in facts_of.h.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/result.h"

namespace perrev {

inline constexpr int kCaseVersion = 1;

// The moment and the id order entries; both are part of the entry, so the order in the file means
// nothing.
struct EntryKey {
  EntryKey() = default;
  EntryKey(std::int64_t milliseconds, std::string id);

  std::int64_t milliseconds = 0;  // since 1970-01-01 UTC
  std::string id;
  std::int64_t number = -1;  // the id as a whole number of less than 19 digits
};
// Earlier first; ids that are whole numbers compare as numbers, before all others.
bool operator<(const EntryKey& a, const EntryKey& b);

struct Entry {
  enum class Kind { answer, not_possible, retraction, repair, closing };
  Kind kind = Kind::answer;
  std::string id;
  std::string at;  // ISO 8601, UTC: "2026-05-04T09:12:00Z"
  Asker by = Asker::write_up;
  std::string who;                  // initials; may be empty
  double minutes = -1.0;            // time spent; below 0 where it is not told
  std::vector<std::string> photos;  // SHA-256 of the bytes, 64 small hex digits each
  std::string fact, place;          // answer
  std::vector<std::string> values;  // answer: one text, or the items of a list
  bool is_list = false;             // answer: the value is a JSON list
  bool unsure = false;              // answer: asked, and the person cannot tell
  // answer: what was held while it was read; `by`, `speed`, `rpm` and `sd` are used, others kept
  std::map<std::string, std::string> with;
  std::string check;                // not_possible
  std::string retracts;             // retraction: an entry's id
  std::string repair;               // repair
  bool done = false;                // repair: result is "done"
  std::vector<std::string> closes;  // closing: causes
  std::string proof;                // closing

  EntryKey key() const;
};

// Pointer to entry i of a file, for problems.
Place entry_place(const std::string& shown, std::size_t entry, const std::string& below = {});

class CaseFile {
 public:
  CaseFile();  // an empty case
  CaseFile(const CaseFile& other);
  CaseFile(CaseFile&& other) noexcept;
  CaseFile& operator=(CaseFile other) noexcept;
  ~CaseFile();

  // `shown` names the file in problems. Text that is no JSON is told with line and column; else all
  // problems are told, each with a JSON pointer. Refused besides: more than 16 MiB, nesting beyond
  // 50, more than 1000 keys in one object, keys that stand twice. Time is linear in the text.
  static Result<CaseFile, Problems> parse(const std::string& shown, const std::string& text);
  // The whole document, two blanks a level, a line end at the end.
  std::string text() const;

  const std::string& label() const { return label_; }
  void set_label(const std::string& label);
  // In the order of the file.
  const std::vector<Entry>& entries() const { return entries_; }
  // Adds to the log. An empty id gets the next free number.
  void add(Entry entry);
  // Any top-level key as JSON text, empty when there is none ("true" of a reference case).
  std::string member(const std::string& key) const;
  const std::string& shown() const { return shown_; }
  Place place(std::size_t entry, const std::string& below = {}) const {
    return entry_place(shown_, entry, below);
  }

 private:
  std::string shown_;
  std::string label_;
  std::vector<Entry> entries_;
  std::unique_ptr<nlohmann::ordered_json> document_;
};

// Milliseconds since 1970 of an ISO 8601 moment with Z or an offset; nothing if it is none.
std::optional<std::int64_t> moment(const std::string& text);

}  // namespace perrev

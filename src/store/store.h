// The shop's cases in one SQLite file, only ever added to.
//
// 1. Every addition (an entry, or a new state of a case's head) has a `seq`; over all cases of the
//    store it only rises, and what was added once is never changed or removed: the file itself
//    refuses UPDATE and DELETE.
// 2. What is acknowledged has been committed and flushed (WAL, synchronous=FULL).
// 3. Adding the same again changes nothing and answers the same, so a caller that does not know
//    whether it got through may try once more. The same id with other content is a conflict.
// 4. What is accepted here can be written out and read again: entries and heads pass
//    CaseFile::parse, and a case with all its photos stays within the 16 MiB of a case file.
//    Whether its facts are in the rule base is the caller's business.
// 5. Keys keep their order and unknown keys stay; a case that was in the layout of CaseFile::text
//    comes out byte for byte. Numbers are 64-bit whole numbers or IEEE doubles; a whole number that
//    would lose digits is refused.
//
// Threads: every method may be called from any thread. Reads run beside each other and beside a
// write, each on a connection of its own; writes wait for one another. Several processes may have
// the file open. Many small writes go faster through a Writer (writer.h).
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/result.h"

namespace perrev {

// In bytes where nothing else is said. Sizes of entries and heads are those of the JSON: an entry's
// without blanks, a case's as in the file that export writes.
inline constexpr std::size_t kLargestEntry = 16u << 10;
inline constexpr std::size_t kLargestHead = 256u << 10;
inline constexpr std::size_t kLargestEntries = 2u << 20;  // all entries of a case
inline constexpr std::size_t kMostEntriesOfCase = 5000;   // in number
inline constexpr std::size_t kLargestPhoto = 2u << 20;
inline constexpr std::size_t kLargestPhotos = 10u << 20;  // all photos of a case
inline constexpr std::size_t kMostPhotosOfCase = 500;     // in number

// Why nothing was done. `kind` is for the caller's next step, `problems` for people; a place in a
// batch of entries is the pointer "/entries/<index>...".
struct Refused {
  enum class Kind {
    invalid,    // no case id, no entry, no head
    not_image,  // a photo whose bytes are no JPEG, PNG or WebP, or not of the type it came with
    missing,    // no such case, no such file
    conflict,   // the id is there with other content
    too_large,  // beyond one of the limits above
    busy,       // another process kept the file, or too much waits; later it may work
    broken,     // the file: damaged, of a newer program, no room, no right to write
  };
  Kind kind = Kind::invalid;
  Problems problems;
};

template <class T>
using Stored = Result<T, Refused>;

struct Addition {
  enum class Kind { head, entry };
  std::int64_t seq = 0;
  std::string case_id;
  Kind kind = Kind::entry;
  std::string json;  // the entry; or all of the case's top-level keys other than entries and photos
};

// What a list of cases shows.
struct CaseLine {
  std::string id;
  std::string label;
  std::string words;    // the latest complaint_words in force; may be empty
  std::string last_at;  // the newest `at` of its entries, as written there; empty: no entries
  std::int64_t last_seq = 0;
  int entries = 0;
  bool closed = false;  // the latest closing in force names a cause
};

struct Added {
  std::vector<std::string> ids;  // add_entries: of the whole batch, in its order
  std::size_t fresh = 0;         // how many additions this made; 0: all of it stood there already
  std::int64_t last_seq = 0;     // the case's newest addition
};

struct CaseText {
  std::string text;           // as CaseFile::text writes it
  std::int64_t last_seq = 0;  // the newest addition in it
};

struct Photo {
  std::string type;  // image/jpeg, image/png or image/webp
  std::string bytes;
};

// For how long another program may keep the store from us, and who is told of it, once a wait, when
// a second of it has gone; on any thread.
struct Patience {
  std::chrono::milliseconds longest{20000};
  std::function<void()> told{};
};

// `[a-z0-9-]{6,40}`.
bool is_case_id(const std::string& id);

// What can be added. Handed out by Store::change and Writer, for the time of one call.
class Changes {
 public:
  virtual ~Changes() = default;

  // The head is an object with any of a case's keys; "perrev_case" and "entries" are put in where
  // they are missing. Entries in it must be an empty list, photos an empty object: they stand for
  // the place in the file. A head that the case has or had changes nothing; another is a conflict.
  virtual Stored<Added> add_case(const std::string& id, const std::string& head_json) = 0;
  // Sets the keys that are given and leaves the others.
  virtual Stored<Added> set_head(const std::string& case_id, const std::string& head_json) = 0;
  // Sets those keys that are not there yet; one that is there with another value is a conflict.
  virtual Stored<Added> add_keys(const std::string& case_id, const std::string& head_json) = 0;
  // All or nothing, each a JSON object. Ids that are there with the same content are passed over.
  // Content is the same when the parsed JSON is: blanks and the order of keys do not count.
  virtual Stored<Added> add_entries(const std::string& case_id,
                                    const std::vector<std::string>& entries_json) = 0;
  // Answers the SHA-256 of the bytes in hex. `type` must be what the bytes are; empty takes what
  // they are.
  virtual Stored<std::string> add_photo(const std::string& case_id, const std::string& bytes,
                                        const std::string& type) = 0;
};

class Store {
 public:
  enum class Mode {
    existing,  // the file must be there
    create,    // made where it is missing, with its folders, readable by its owner alone
    reading,   // as `existing`, and the file itself is left as it is: for a backup
  };
  // Brings an older file to this program's schema first; one of a newer program is refused. A file
  // on a disk that cannot be written is read, where it is of this schema and a backup.
  static Stored<std::unique_ptr<Store>> open(const std::string& path, Mode mode,
                                             const Patience& patience = {});
  ~Store();
  Store(const Store&) = delete;
  Store& operator=(const Store&) = delete;

  const std::string& path() const;

  // Each of these is a transaction of its own; see Changes.
  Stored<Added> add_case(const std::string& id, const std::string& head_json);
  Stored<Added> set_head(const std::string& case_id, const std::string& head_json);
  Stored<Added> add_entries(const std::string& case_id,
                            const std::vector<std::string>& entries_json);
  Stored<std::string> add_photo(const std::string& case_id, const std::string& bytes,
                                const std::string& type);

  // One piece of work: what it adds is kept if it returns nothing, and undone if it returns why
  // not. It must not call the store's own methods that add.
  using Work = std::function<std::optional<Refused>(Changes&)>;
  std::optional<Refused> change(const Work& work);
  // Several in one transaction, one flush for all. Each is kept or undone by itself; an answer for
  // each, in their order.
  std::vector<std::optional<Refused>> change(const std::vector<Work>& works);

  enum class Photos { without, with };
  // The whole document. With photos: as an exported file has them, in the key "photos".
  Stored<CaseText> case_text(const std::string& case_id, Photos photos = Photos::without) const;
  // What was added after `seq`, in the order of adding. An empty id: of all cases.
  Stored<std::vector<Addition>> since(const std::string& case_id, std::int64_t seq,
                                      std::size_t limit) const;
  // Newest addition first. Each word of `search` must be somewhere in the case's label, complaint
  // words or text answers, the last one as the beginning of a word; what was corrected later is
  // still found. `search` is words, never a query language; without any letter or digit in it, all
  // cases are listed. `before`: only cases whose last_seq is smaller; 0: from the newest.
  Stored<std::vector<CaseLine>> cases(const std::string& search, std::int64_t before,
                                      std::size_t limit) const;
  Stored<std::vector<std::string>> case_ids() const;  // in the order of their first additions
  Stored<std::int64_t> last_seq() const;              // of the whole store; 0 when it is empty
  Stored<Photo> photo(const std::string& sha256) const;

  // A consistent copy, also while others write. `to` must not exist; it is there whole and sound or
  // not at all, and flushed.
  std::optional<Refused> backup(const std::string& to) const;
  // Everything that should hold of the file and does not; empty: it is sound. Reads every byte.
  // With the search index it writes, and waits for others that do.
  enum class Index { without, with };
  Stored<Problems> check(Index index = Index::with) const;

 private:
  class Inside;
  explicit Store(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace perrev

#include "src/store/changes.h"

#include <utility>

#include "engine/quantity/text.h"
#include "src/store/case_json.h"
#include "src/store/digest.h"
#include "src/store/photo_bytes.h"

namespace perrev {

namespace {

using Kind = Refused::Kind;

class OpenChanges : public Changes {
 public:
  explicit OpenChanges(sql::Connection& connection) : sql_(connection) {}

  Stored<Added> add_case(const std::string& id, const std::string& head_json) override {
    if (!is_case_id(id))
      return refused(Kind::invalid, perrev::quoted(id) + " is no id of a case",
                     "6 to 40 of a-z, 0-9 and -");
    auto head = read_head(head_json);
    if (!head) return head.error();
    const Tally before = tally(id);
    if (before.seq != 0) {
      auto heads = sql_.statement(
          "SELECT json FROM addition WHERE case_id = ?1 AND part = 'head' ORDER BY seq DESC");
      heads.with(id);
      while (heads.row())
        if (same_head(heads.text(0), *head)) return Added{{}, 0, before.seq};
      return refused(Kind::conflict,
                     "the case " + perrev::quoted(id) + " is there with another head",
                     "an id of its own");
    }
    sql_.statement("INSERT INTO shop_case(id) VALUES (?1)").with(id).run();
    return added_head(id, before, *head);
  }

  Stored<Added> set_head(const std::string& case_id, const std::string& head_json) override {
    return change_head(case_id, head_json, Keys::set);
  }
  Stored<Added> add_keys(const std::string& case_id, const std::string& head_json) override {
    return change_head(case_id, head_json, Keys::only_new);
  }

  Stored<Added> add_entries(const std::string& case_id,
                            const std::vector<std::string>& entries_json) override {
    Tally now = tally(case_id);
    if (now.seq == 0) return no_such_case(case_id);
    auto entries = read_entries(entries_json);
    if (!entries) return entries.error();
    Added out;
    std::vector<const StoredEntry*> fresh;
    Problems conflicts;
    for (std::size_t i = 0; i < entries->size(); ++i) {
      const StoredEntry& entry = (*entries)[i];
      out.ids.push_back(entry.id);
      const auto there = entry_there(case_id, entry.id);
      if (!there) {
        fresh.push_back(&entry);
      } else if (!same_json(*there, entry.json)) {
        conflicts.push_back(
            Problem{{{}, 0, 0, "/entries/" + std::to_string(i) + "/id"},
                    "the entry " + perrev::quoted(entry.id) + " is there with other content",
                    "an id of its own",
                    {}});
      }
    }
    if (!conflicts.empty()) return Refused{Kind::conflict, std::move(conflicts)};
    if (auto full = no_room(now, fresh)) return *std::move(full);
    for (const StoredEntry* entry : fresh) {
      now.add(*entry);
      now.seq = insert(case_id, now, entry->part, &entry->id, entry->json);
    }
    out.fresh = fresh.size();
    out.last_seq = now.seq;
    return done(std::move(out));
  }

  Stored<std::string> add_photo(const std::string& case_id, const std::string& bytes,
                                const std::string& type) override {
    if (tally(case_id).seq == 0) return no_such_case(case_id);
    if (bytes.size() > kLargestPhoto)
      return refused(Kind::too_large, "the photo is larger than 2 MiB", "a smaller one");
    const std::string is = image_type(bytes);
    if (is.empty() || (!type.empty() && type != is))
      return refused(Kind::not_image,
                     is.empty() ? "the photo is neither JPEG, PNG nor WebP"
                                : "the photo is " + is + ", not " + perrev::quoted(type),
                     "the bytes of one of them, and its type");
    std::string sha256 = sha256_hex(bytes);
    if (has_photo(case_id, sha256)) return done(std::move(sha256));
    auto held = sql_.statement(
        "SELECT count(*), coalesce(sum(length(bytes)), 0) FROM case_photo JOIN photo USING "
        "(sha256) "
        "WHERE case_id = ?1");
    held.with(case_id);
    if (held.row() && (held.number(0) >= static_cast<std::int64_t>(kMostPhotosOfCase) ||
                       static_cast<std::size_t>(held.number(1)) + bytes.size() > kLargestPhotos))
      return refused(Kind::too_large, "the case has no room for another photo",
                     "at most 500 photos of 10 MiB in all");
    if (!sql_.statement("SELECT 1 FROM photo WHERE sha256 = ?1").with(sha256).row())
      sql_.statement("INSERT INTO photo(sha256, type, bytes) VALUES (?1, ?2, ?3)")
          .with(sha256)
          .with(is)
          .with_bytes(bytes)
          .run();
    sql_.statement("INSERT INTO case_photo(case_id, sha256) VALUES (?1, ?2)")
        .with(case_id)
        .with(sha256)
        .run();
    return done(std::move(sha256));
  }

 private:
  // A failure is told by whoever began the transaction; here it must only not pass for success.
  template <class T>
  Stored<T> done(T value) {
    if (sql_.failed()) return Refused{Kind::broken, {}};
    return value;
  }

  Tally tally(const std::string& case_id) {
    auto newest = sql_.statement(
        "SELECT seq, entries, bytes, last_at FROM addition WHERE case_id = ?1 "
        "ORDER BY seq DESC LIMIT 1");
    newest.with(case_id);
    if (!newest.row()) return {};
    return {newest.number(0), newest.number(1), newest.number(2), newest.text(3)};
  }

  std::optional<std::string> entry_there(const std::string& case_id, const std::string& id) {
    auto found = sql_.statement("SELECT json FROM addition WHERE case_id = ?1 AND entry_id = ?2");
    found.with(case_id).with(id);
    return found.row() ? std::optional<std::string>(found.text(0)) : std::nullopt;
  }

  bool has_photo(const std::string& case_id, const std::string& sha256) {
    return sql_.statement("SELECT 1 FROM case_photo WHERE case_id = ?1 AND sha256 = ?2")
        .with(case_id)
        .with(sha256)
        .row();
  }

  static std::optional<Refused> no_room(const Tally& now,
                                        const std::vector<const StoredEntry*>& fresh) {
    std::size_t bytes = static_cast<std::size_t>(now.bytes);
    for (const StoredEntry* entry : fresh) bytes += entry->bytes;
    if (static_cast<std::size_t>(now.entries) + fresh.size() > kMostEntriesOfCase)
      return refused(Kind::too_large, "the case would have more than 5,000 entries",
                     "a new case for the next visit");
    if (bytes > kLargestEntries)
      return refused(Kind::too_large, "the entries of the case would be larger than 2 MiB",
                     "a new case for the next visit");
    return std::nullopt;
  }

  Stored<Added> change_head(const std::string& case_id, const std::string& head_json, Keys which) {
    const Tally before = tally(case_id);
    if (before.seq == 0) return no_such_case(case_id);
    const std::string head = newest_head(sql_, case_id);
    if (sql_.failed()) return Refused{Kind::broken, {}};
    auto changed = head_with(head, head_json, which);
    if (!changed) return changed.error();
    if (same_head(head, *changed)) return Added{{}, 0, before.seq};
    return added_head(case_id, before, *changed);
  }

  Stored<Added> added_head(const std::string& case_id, const Tally& now, const std::string& head) {
    return done(Added{{}, 1, insert(case_id, now, "head", nullptr, head)});
  }

  std::int64_t insert(const std::string& case_id, const Tally& now, const std::string& part,
                      const std::string* entry_id, const std::string& json) {
    auto adding = sql_.statement(
        "INSERT INTO addition(case_id, part, entry_id, json, entries, bytes, last_at) "
        "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) RETURNING seq");
    adding.with(case_id).with(part);
    if (entry_id)
      adding.with(*entry_id);
    else
      adding.with_nothing();
    adding.with(json).with(now.entries).with(now.bytes).with(now.last_at);
    const std::int64_t seq = adding.row() ? adding.number(0) : 0;
    adding.run();
    return seq;
  }

  sql::Connection& sql_;
};

}  // namespace

std::unique_ptr<Changes> changes_on(sql::Connection& connection) {
  return std::make_unique<OpenChanges>(connection);
}

std::string newest_head(sql::Connection& connection, const std::string& case_id) {
  auto head = connection.statement(
      "SELECT json FROM addition WHERE case_id = ?1 AND part = 'head' ORDER BY seq DESC LIMIT 1");
  head.with(case_id);
  return head.row() ? head.text(0) : std::string();
}

Refused no_such_case(const std::string& case_id) {
  return refused(Kind::missing, "there is no case " + perrev::quoted(case_id), "the id of a case");
}

}  // namespace perrev

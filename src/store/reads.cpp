// What is asked of a store, but for the list of cases (lines.cpp).
#include <algorithm>
#include <limits>
#include <utility>

#include "engine/quantity/text.h"
#include "src/store/case_json.h"
#include "src/store/changes.h"
#include "src/store/inside.h"

namespace perrev {

namespace {

std::vector<std::pair<std::string, Photo>> photos_of(sql::Connection& connection,
                                                     const std::string& case_id) {
  std::vector<std::pair<std::string, Photo>> out;
  auto rows = connection.statement(
      "SELECT sha256, type, bytes FROM case_photo JOIN photo USING (sha256) WHERE case_id = ?1 "
      "ORDER BY seq");
  rows.with(case_id);
  while (rows.row()) out.push_back({rows.text(0), {rows.text(1), rows.text(2)}});
  return out;
}

bool has_case(sql::Connection& connection, const std::string& case_id) {
  return connection.statement("SELECT 1 FROM shop_case WHERE id = ?1").with(case_id).row();
}

std::int64_t as_limit(std::size_t limit) {
  constexpr auto kMost = static_cast<std::size_t>(std::numeric_limits<std::int64_t>::max());
  return static_cast<std::int64_t>(std::min(limit, kMost));
}

}  // namespace

Stored<CaseText> Store::case_text(const std::string& case_id, Photos photos) const {
  return inside_->read<CaseText>([&](sql::Connection& connection) -> Stored<CaseText> {
    const std::string head = newest_head(connection, case_id);
    if (head.empty()) return no_such_case(case_id);
    std::vector<std::string> entries;
    CaseText out;
    auto rows = connection.statement(
        "SELECT seq, json, part = 'head' FROM addition WHERE case_id = ?1 ORDER BY seq");
    rows.with(case_id);
    while (rows.row()) {
      out.last_seq = rows.number(0);
      if (rows.number(2) == 0) entries.push_back(rows.text(1));
    }
    const bool with = photos == Photos::with;
    out.text = document(
        head, entries,
        with ? photos_of(connection, case_id) : std::vector<std::pair<std::string, Photo>>());
    return out;
  });
}

Stored<std::vector<Addition>> Store::since(const std::string& case_id, std::int64_t seq,
                                           std::size_t limit) const {
  using Out = std::vector<Addition>;
  return inside_->read<Out>([&](sql::Connection& connection) -> Stored<Out> {
    if (!case_id.empty() && !has_case(connection, case_id)) return no_such_case(case_id);
    auto rows = connection.statement(
        case_id.empty() ? "SELECT seq, case_id, part = 'head', json FROM addition WHERE seq > ?1 "
                          "ORDER BY seq LIMIT ?2"
                        : "SELECT seq, case_id, part = 'head', json FROM addition WHERE seq > ?1 "
                          "AND case_id = ?3 ORDER BY seq LIMIT ?2");
    rows.with(seq).with(as_limit(limit));
    if (!case_id.empty()) rows.with(case_id);
    Out out;
    while (rows.row()) {
      const bool is_head = rows.number(2) != 0;
      out.push_back({rows.number(0), rows.text(1),
                     is_head ? Addition::Kind::head : Addition::Kind::entry,
                     is_head ? told_head(rows.text(3)) : rows.text(3)});
    }
    return out;
  });
}

Stored<std::vector<std::string>> Store::case_ids() const {
  using Out = std::vector<std::string>;
  return inside_->read<Out>([](sql::Connection& connection) -> Stored<Out> {
    auto rows = connection.statement(
        "SELECT id FROM shop_case ORDER BY (SELECT min(seq) FROM addition WHERE case_id = id)");
    Out out;
    while (rows.row()) out.push_back(rows.text(0));
    return out;
  });
}

Stored<std::int64_t> Store::last_seq() const {
  return inside_->read<std::int64_t>([](sql::Connection& connection) -> Stored<std::int64_t> {
    auto newest = connection.statement("SELECT coalesce(max(seq), 0) FROM addition");
    return newest.row() ? newest.number(0) : 0;
  });
}

Stored<Photo> Store::photo(const std::string& sha256) const {
  return inside_->read<Photo>([&](sql::Connection& connection) -> Stored<Photo> {
    auto found = connection.statement("SELECT type, bytes FROM photo WHERE sha256 = ?1");
    found.with(sha256);
    if (!found.row())
      return refused(Refused::Kind::missing, "there is no photo " + perrev::quoted(sha256),
                     "the SHA-256 of a photo's bytes");
    return Photo{found.text(0), found.text(1)};
  });
}

}  // namespace perrev

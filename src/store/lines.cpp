// The list of cases: newest first, found by words.
#include <algorithm>
#include <limits>
#include <map>
#include <nlohmann/json.hpp>
#include <utility>

#include "engine/casefile/casefile.h"
#include "src/store/changes.h"
#include "src/store/inside.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

// General punctuation of Unicode (U+2000 to U+207F) begins so in UTF-8; the index has none of it.
bool is_punctuation(const std::string& word, std::size_t at) {
  return word[at] == '\xe2' && at + 1 < word.size() &&
         (word[at + 1] == '\x80' || word[at + 1] == '\x81');
}

// Something that the index may have.
bool has_letter_or_digit(const std::string& word) {
  for (std::size_t i = 0; i < word.size(); ++i) {
    const auto c = static_cast<unsigned char>(word[i]);
    if (is_punctuation(word, i))
      i += 2;
    else if (c >= 0x80 || (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') ||
             (c >= 'A' && c <= 'Z'))
      return true;
  }
  return false;
}

// Each word as a string of FTS5 (SQLite docs, "FTS5 Strings"), so that nothing in it is syntax; the
// last one as the beginning of a word.
std::vector<std::string> search_terms(const std::string& search) {
  constexpr std::size_t kMostWords = 8, kLongest = 400;
  std::vector<std::string> out;
  std::string word;
  const auto end = [&] {
    if (has_letter_or_digit(word) && out.size() < kMostWords) {
      std::string term = "\"";
      for (const char c : word) term += c == '"' ? std::string("\"\"") : std::string(1, c);
      out.push_back(term + "\"");
    }
    word.clear();
  };
  for (const char c : search.substr(0, kLongest))
    if (static_cast<unsigned char>(c) <= ' ')
      end();
    else
      word += c;
  end();
  if (!out.empty()) out.back() += " *";
  return out;
}

struct Listed {
  std::string id;
  std::int64_t last_seq;
};

// A case stands where its newest addition does.
std::vector<Listed> newest(sql::Connection& connection, std::int64_t before, std::int64_t limit) {
  auto rows = connection.statement(
      "SELECT case_id, seq FROM addition AS one WHERE seq < ?1 AND NOT EXISTS (SELECT 1 FROM "
      "addition AS later WHERE later.case_id = one.case_id AND later.seq > one.seq) "
      "ORDER BY seq DESC LIMIT ?2");
  rows.with(before).with(limit);
  std::vector<Listed> out;
  while (rows.row()) out.push_back({rows.text(0), rows.number(1)});
  return out;
}

// Words may stand in different additions of a case.
std::vector<Listed> found(sql::Connection& connection, const std::vector<std::string>& terms,
                          std::int64_t before, std::int64_t limit) {
  std::string cases;
  for (std::size_t i = 0; i < terms.size(); ++i)
    cases += std::string(i == 0 ? "" : " INTERSECT ") +
             "SELECT DISTINCT case_id FROM search JOIN addition ON addition.seq = search.rowid "
             "WHERE search MATCH ?";
  const std::string text =
      "SELECT case_id, newest FROM (SELECT case_id, (SELECT max(seq) FROM addition WHERE "
      "addition.case_id = all_words.case_id) AS newest FROM (" +
      cases + ") AS all_words) WHERE newest < ? ORDER BY newest DESC LIMIT ?";
  auto rows = connection.statement(text.c_str());
  for (const std::string& term : terms) rows.with(term);
  rows.with(before).with(limit);
  std::vector<Listed> out;
  while (rows.row()) out.push_back({rows.text(0), rows.number(1)});
  return out;
}

// What people wrote of a case and took back, as far as a line needs it.
class Telling {
 public:
  void add(const std::string& part, const std::string& json) {
    const Json addition = Json::parse(json, nullptr, false);
    if (!addition.is_object()) return;  // damaged; `check` tells so
    if (part == "head") {
      label_ = text_of(addition, "label");
      return;
    }
    const std::string id = text_of(addition, "id");
    const EntryKey key{moment(text_of(addition, "at")).value_or(0), id};
    if (part == "retraction")
      retractions_[text_of(addition, "retracts")].push_back(id);
    else if (part == "words" && addition.contains("value"))
      words_.push_back({key, text_of(addition, "value")});
    else if (part == "closing")
      closings_.push_back({key, addition.value("closes", Json()).empty() ? "" : "closed"});
  }

  std::string label() const { return label_; }
  std::string words() { return latest(words_); }
  bool closed() { return !latest(closings_).empty(); }

 private:
  struct Said {
    EntryKey key;
    std::string what;
  };

  static std::string text_of(const Json& object, const char* key) {
    const auto found = object.find(key);
    return found != object.end() && found->is_string() ? found->get<std::string>() : std::string();
  }

  // Of those in force; empty: none.
  std::string latest(const std::vector<Said>& all) {
    const Said* out = nullptr;
    for (const Said& said : all)
      if ((!out || out->key < said.key) && in_force(said.key.id)) out = &said;
    return out ? out->what : std::string();
  }

  // An entry is in force unless an entry in force retracts it. In a circle, which facts_of refuses,
  // the one asked for first counts as taken back by one that does not count.
  bool in_force(const std::string& id) {
    if (const auto known = known_.find(id); known != known_.end()) return known->second;
    known_[id] = false;
    bool out = true;
    if (const auto by = retractions_.find(id); by != retractions_.end())
      out = std::none_of(by->second.begin(), by->second.end(),
                         [&](const std::string& other) { return in_force(other); });
    known_[id] = out;
    return out;
  }

  std::string label_;
  std::vector<Said> words_, closings_;
  std::map<std::string, std::vector<std::string>> retractions_;  // of an entry, by these
  std::map<std::string, bool> known_;
};

CaseLine line_of(sql::Connection& connection, const Listed& listed) {
  CaseLine out;
  out.id = listed.id;
  out.last_seq = listed.last_seq;
  {
    auto newest = connection.statement("SELECT entries, last_at FROM addition WHERE seq = ?1");
    newest.with(listed.last_seq);
    if (newest.row()) {
      out.entries = static_cast<int>(newest.number(0));
      out.last_at = newest.text(1);
    }
  }
  auto rows = connection.statement(
      "SELECT part, json FROM addition WHERE case_id = ?1 AND part IN ('head', 'words', "
      "'retraction', 'closing') ORDER BY seq");
  rows.with(listed.id);
  Telling telling;
  while (rows.row()) telling.add(rows.text(0), rows.text(1));
  out.label = telling.label();
  out.words = telling.words();
  out.closed = telling.closed();
  return out;
}

}  // namespace

Stored<std::vector<CaseLine>> Store::cases(const std::string& search, std::int64_t before,
                                           std::size_t limit) const {
  using Out = std::vector<CaseLine>;
  constexpr std::size_t kMostLines = 1000000;
  const std::int64_t below = before > 0 ? before : std::numeric_limits<std::int64_t>::max();
  const auto most = static_cast<std::int64_t>(std::min(limit, kMostLines));
  const std::vector<std::string> terms = search_terms(search);
  return inside_->read<Out>([&](sql::Connection& connection) -> Stored<Out> {
    Out out;
    for (const Listed& listed :
         terms.empty() ? newest(connection, below, most) : found(connection, terms, below, most))
      out.push_back(line_of(connection, listed));
    return out;
  });
}

}  // namespace perrev

#include "tests/fuzz/case_law.h"

#include <algorithm>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <tuple>

#include "engine/casefile/facts_of.h"
#include "engine/casefile/vehicle_of.h"
#include "engine/providers/felt.h"
#include "engine/providers/orders.h"
#include "src/batch_case.h"
#include "tests/engine/knowledge/badly_told.h"
#include "tests/engine/shipped_rules.h"
#include "tests/fuzz/ranking_law.h"

namespace perrev::fuzz {

namespace {

using testing::shipped_rules;

const std::string kShown = "case.json", kEntries = "/entries/";

const Reasoner& shipped_reasoner() {
  static const FeltProvider felt;
  static const OrdersProvider orders;
  static const Reasoner made(shipped_rules(), {&felt, &orders});
  return made;
}

auto told_in(const Entry& entry) {
  return std::tie(entry.kind, entry.id, entry.at, entry.by, entry.who, entry.minutes, entry.photos,
                  entry.fact, entry.place, entry.values, entry.is_list, entry.unsure, entry.with,
                  entry.check, entry.retracts, entry.repair, entry.done, entry.closes, entry.proof);
}

bool same_entries(const std::vector<Entry>& a, const std::vector<Entry>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const Entry& x, const Entry& y) { return told_in(x) == told_in(y); });
}
bool same_entries(const CaseFile& a, const CaseFile& b) {
  return a.label() == b.label() && same_entries(a.entries(), b.entries());
}

// What is read quickly is what is read with care, whatever was read before.
bool same_as_a_line(const std::string& text, const Result<CaseFile, Problems>& file) {
  static BatchCaseReader reader;
  const BatchCase* line = reader.read(text);
  return !line || (file.ok() && line->label == file->label() &&
                   same_entries(line->entries, file->entries()));
}

std::string misplaced(const Place& place, const std::string& text) {
  if (place.file != kShown) return "of another file";
  if (place.line != 0) return small::badly_placed(place, text);
  return place.pointer.empty() || place.pointer[0] == '/' ? "" : "no pointer";
}

bool points_at_an_entry(const Place& place, const CaseFile& file) {
  return place.file == kShown && place.pointer.compare(0, kEntries.size(), kEntries) == 0 &&
         std::strtoull(place.pointer.c_str() + kEntries.size(), nullptr, 10) <
             file.entries().size();
}

std::string broken_case_refusal(const Problems& problems, const std::string& text) {
  if (problems.empty()) return "neither a case nor a problem";
  for (const Problem& each : problems) {
    if (auto wrong = small::badly_worded(each); !wrong.empty()) return wrong + ": " + each.text();
    if (auto wrong = misplaced(each.place, text); !wrong.empty()) return wrong + ": " + each.text();
  }
  return "";
}

std::string broken_writing(CaseFile file) {
  const std::string written = file.text();
  const auto again = CaseFile::parse(kShown, written);
  if (!again) return "it cannot be read as it is written: " + again.error().front().text();
  if (again->text() != written) return "it is written otherwise the second time";
  if (!same_entries(file, *again)) return "another case as it is written";
  Entry more;
  more.at = "2026-05-04T09:12:00Z";
  more.fact = "complaint_words";
  more.values = {"it shakes"};
  file.add(more);
  const auto longer = CaseFile::parse(kShown, file.text());
  if (!longer) return "nothing can be added: " + longer.error().front().text();
  return same_entries(file, *longer) ? "" : "another case with an entry more";
}

// The facts of a case, and its vehicle's: what the program asks before it ranks.
Result<CaseFacts, Problems> facts_and_vehicle(const CaseFile& file) {
  auto facts = facts_of(file, shipped_rules());
  for (std::size_t round = 0; facts && round < facts->rounds.size(); ++round) {
    const auto vehicle = vehicle_of(file, shipped_rules(), *facts, round);
    if (!vehicle) return vehicle.error();
  }
  return facts;
}

CaseFile reversed(const CaseFile& file) {
  auto document = nlohmann::ordered_json::parse(file.text());
  std::reverse(document["entries"].begin(), document["entries"].end());
  return CaseFile::parse(kShown, document.dump()).value();
}

bool same_ranking(const Ranking& a, const Ranking& b) {
  return a.not_listed == b.not_listed && a.nothing_left == b.nothing_left &&
         std::equal(a.causes.begin(), a.causes.end(), b.causes.begin(), b.causes.end(),
                    [](const Ranked& x, const Ranked& y) {
                      return x.cause == y.cause && x.probability == y.probability &&
                             x.alone == y.alone && x.impossible == y.impossible;
                    });
}

std::string broken_meaning(const CaseFile& file) {
  const auto facts = facts_and_vehicle(file), backwards = facts_and_vehicle(reversed(file));
  if (facts.ok() != backwards.ok()) return "the order of entries makes a difference";
  if (!facts) {
    if (facts.error().empty()) return "neither facts nor a problem";
    for (const Problem& each : facts.error()) {
      if (auto wrong = small::badly_worded(each); !wrong.empty()) return wrong + ": " + each.text();
      if (!points_at_an_entry(each.place, file)) return "no such entry: " + each.text();
    }
    return "";
  }
  const Ranking ranking = rank(shipped_reasoner(), *facts);
  if (auto wrong = broken_ranking(ranking); !wrong.empty()) return wrong;
  return same_ranking(ranking, rank(shipped_reasoner(), *backwards))
             ? ""
             : "the order of entries moves the ranking";
}

}  // namespace

std::string broken_case_law(std::string_view bytes) {
  const std::string text(bytes);
  const auto file = CaseFile::parse(kShown, text);
  if (!same_as_a_line(text, file)) return "read otherwise as a line of many";
  if (!file) return broken_case_refusal(file.error(), text);
  if (auto wrong = broken_writing(*file); !wrong.empty()) return wrong;
  return broken_meaning(*file);
}

bool case_comes_through(std::string_view text) {
  const auto file = CaseFile::parse(kShown, std::string(text));
  return file && facts_and_vehicle(*file).ok();
}

}  // namespace perrev::fuzz

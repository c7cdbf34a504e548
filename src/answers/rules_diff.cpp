#include "src/answers/rules_diff.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "src/answers/words.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {
constexpr double kLeastSeen = 0.0005;  // shows in tenths of a percent
}

bool RulesDiff::breaks() const {
  return std::any_of(otherwise.begin(), otherwise.end(),
                     [](const CaseChange& of) { return of.breaks; });
}

void take_cases(std::vector<CaseChange> compared, bool all, RulesDiff& diff) {
  diff.cases = compared.size();
  for (CaseChange& of : compared)
    if (of.otherwise || of.size >= (all ? kLeastSeen : kHardly))
      diff.otherwise.push_back(std::move(of));
    else
      diff.hardly += of.size > 0.0 ? 1u : 0u;
  worst_first(diff.otherwise);
}

namespace {

Json or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json base_json(const ComparedBase& base) {
  return {{"name", base.name}, {"commit", or_null(base.commit)}, {"rules_digest", base.digest}};
}

// Null where nothing is said; a list where it is one.
Json said_json(const std::vector<std::string>& said, bool is_list) {
  if (is_list) return said;
  return said.empty() ? Json(nullptr) : Json(said.front());
}

Json rule_json(const RuleChange& change) {
  Json fields = Json::array();
  for (const FieldChange& field : change.fields)
    fields.push_back({{"field", field.field},
                      {"before", said_json(field.before, field.is_list)},
                      {"after", said_json(field.after, field.is_list)}});
  return {{"how", name_of(change.how)},
          {"kind", change.kind},
          {"id", change.id},
          {"perhaps", or_null(change.perhaps)},
          {"fields", fields}};
}

Json placed_json(const Placed& of) {
  return {{"cause", of.cause},
          {"probability", six_digits(of.probability)},
          {"rank", of.rank == 0 ? Json(nullptr) : Json(of.rank)}};
}

Json view_json(const CaseView& view) {
  Json out = {{"standing", name_of(view.tested.standing)}};
  if (view.tested.standing == CaseStanding::unreadable) {
    out["problems"] = Json::array();
    for (const Problem& of : view.tested.problems)
      out["problems"].push_back({{"what", of.what}, {"right", of.right}});
    return out;
  }
  out["true"] = Json::array();
  for (const Placed& of : view.truth) out["true"].push_back(placed_json(of));
  out["first"] = placed_json(view.first);
  out["next"] = view.next;
  out["stops"] = view.stops;
  out["misses"] = Json::array();
  for (const Miss& miss : view.tested.misses)
    out["misses"].push_back({{"key", miss.key}, {"expected", miss.expected}, {"came", miss.came}});
  return out;
}

Json case_json(const CaseChange& change) {
  Json moved = Json::array();
  for (const Moved& of : change.moved)
    moved.push_back({{"name", or_null(of.name)},
                     {"weight_decibans",
                      std::isinf(of.decibans) ? Json(nullptr) : Json(six_digits(of.decibans))}});
  return {{"case", change.after.tested.name},
          {"breaks", change.breaks},
          {"mended", change.mended},
          {"size", six_digits(change.size)},
          {"before", view_json(change.before)},
          {"after", view_json(change.after)},
          {"subject", or_null(change.subject)},
          {"rival", or_null(change.rival)},
          {"moved", moved}};
}

}  // namespace

namespace {

Json mean_json(const PairedMean& mean) {
  return {{"before", six_digits(mean.before)},
          {"after", six_digits(mean.after)},
          {"change", six_digits(mean.change())},
          {"standard_error", six_digits(mean.error)},
          {"may_be_chance", mean.may_be_chance()}};
}

Json drawn_json(const PairedReport& report) {
  return {{"complaints", report.complaints},
          {"alike", report.alike},
          {"first_place", mean_json(report.first)},
          {"minutes", mean_json(report.minutes)},
          {"solved", mean_json(report.solved)}};
}

Json simulated_json(const RulesDiff& diff) {
  if (!diff.drawn_from_before || !diff.drawn_from_after) return nullptr;
  return {{"seed", diff.seed},
          {"drawn_from_after", drawn_json(*diff.drawn_from_after)},
          {"drawn_from_before", drawn_json(*diff.drawn_from_before)}};
}

}  // namespace

Json to_json(const RulesDiff& diff) {
  Json rules = Json::array(), cases = Json::array();
  for (const RuleChange& change : diff.rules) rules.push_back(rule_json(change));
  for (const CaseChange& change : diff.otherwise) cases.push_back(case_json(change));
  return {{"before", base_json(diff.before)},
          {"after", base_json(diff.after)},
          {"breaks", diff.breaks()},
          {"rules", rules},
          {"cases",
           {{"compared", diff.cases},
            {"otherwise", diff.otherwise.size()},
            {"hardly", diff.hardly},
            {"same", diff.cases - diff.otherwise.size() - diff.hardly},
            {"changes", cases}}},
          {"simulated", simulated_json(diff)}};
}

}  // namespace perrev

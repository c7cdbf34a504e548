// The technician's report: everything that is known, and where from.
#include "src/report/technician.h"

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>

#include "engine/quantity/text.h"
#include "src/answers/diagnosis_parts.h"
#include "src/answers/words.h"
#include "src/report/report_words.h"
#include "src/report/standing.h"

namespace perrev {

namespace {

class TechnicianReport {
 public:
  explicit TechnicianReport(const ReportedCase& of)
      : of_(of), base_(of.base()), facts_(of.facts()), diagnosis_(of.diagnosis) {}

  Report all() {
    html_.open("article", "report technician");
    head();
    stops();
    stands();
    ranking_part(of_, html_);
    plan();
    repairs();
    readings_part(of_, html_);
    checks();
    gates();
    time_spent();
    entries_part(of_, html_);
    photos_part(of_, html_);
    const std::string& label = of_.file().label();
    return {"Report for the technician" + (label.empty() ? "" : ": " + label), html_.take()};
  }

 private:
  const Check& check(int c) const { return base_.checks[static_cast<std::size_t>(c)]; }
  const Repair& repair(int r) const { return base_.repairs[static_cast<std::size_t>(r)]; }
  const Entry& entry(std::size_t i) const { return of_.file().entries()[i]; }

  void head() {
    html_.open("header").leaf("h1", "Vibration: everything that is known").open("dl", "facts");
    const auto item = [&](const char* name, const std::string& text) {
      if (!text.empty()) html_.open("div").leaf("dt", name).leaf("dd", text).close();
    };
    const std::vector<std::size_t> order = in_order(of_.file());
    item("Job", of_.file().label());
    if (!order.empty()) {
      item("From", short_moment(entry(order.front()).at));
      item("To", short_moment(entry(order.back()).at));
    }
    item("Entries", std::to_string(order.size()));
    item("Round", std::to_string(facts_.rounds.size()));
    item("Earlier visit", plain(of_.file().member("earlier")));
    item("Rules", base_.digest);
    item("Program", of_.options.version.empty() ? "" : "perrev " + of_.options.version);
    html_.close().close();
  }

  // Of a JSON value: text without its quotes.
  static std::string plain(const std::string& json) {
    const auto value = nlohmann::ordered_json::parse(json, nullptr, false);
    return value.is_string() ? value.get<std::string>() : json;
  }

  void stops() {
    for (const bool lifted : {false, true}) {
      if (std::none_of(facts_.stops.begin(), facts_.stops.end(),
                       [&](const StopState& s) { return s.lifted == lifted; }))
        continue;
      html_.open("section", lifted ? "" : "stop");
      html_.leaf("h2", lifted ? "Stops that were lifted" : "Stop: must not be driven");
      for (const StopState& state : facts_.stops)
        if (state.lifted == lifted) one_stop(state);
      html_.close();
    }
  }

  void one_stop(const StopState& state) {
    const Fact& fact = fact_of(base_, state.fact);
    html_.open("p")
        .leaf("strong", fact.stop->reason + ".")
        .text(" " + fact.stop->caution)
        .text(" ");
    html_.text("From ").leaf("code", fact.id).text(", entry ").leaf("code", entry(state.entry).id);
    html_.text("; lifted in the bay by ").leaf("code", fact_of(base_, fact.stop->cleared_by).id);
    html_.text(": " + fact_of(base_, fact.stop->cleared_by).ask).close();
  }

  void stands() {
    const Standing standing = standing_of(of_);
    html_.open("section", "standing").leaf("h2", "Where it stands");
    html_.open("p").leaf("strong", standing_title(standing) + ".");
    html_.text(" " + standing_words(of_, standing)).close();
    const std::string end = end_words(base_, end_of(base_, facts_, diagnosis_));
    if (!end.empty()) html_.leaf("p", "By the path: " + end + ".");
    for (const Conflict& conflict : diagnosis_.conflicts)
      html_.leaf("p", "These cannot all be true: " + conflict.what);
    html_.close();
  }

  void plan() {
    html_.open("section").leaf("h2", "Plan");
    html_.leaf(
        "p", "Expected to a vehicle that is right: " + minutes_words(diagnosis_.plan.expected) +
                 "; for one who knew the fault: " + minutes_words(diagnosis_.plan.if_known) + ".");
    html_.open("ol");
    for (const PlannedStep& step : diagnosis_.plan.next) {
      html_.open("li").leaf("strong", words_of(base_, step));
      html_.text(" (" + why_next(diagnosis_.plan, step) + ")");
      if (step.kind == Choice::Kind::check && !check(step.check).caution.empty())
        html_.text(" Caution: " + check(step.check).caution);
      html_.close();
    }
    html_.close();
    if (diagnosis_.plan.path.size() > 1) {
      html_.leaf("p", "If each step shows what is most probable:").open("ol");
      for (const PlannedStep& step : diagnosis_.plan.path) html_.leaf("li", words_of(base_, step));
      html_.close();
    }
    html_.close();
  }

  void repairs() {
    html_.open("section").leaf("h2", "Repairs and proofs");
    bool any = false;
    for (std::size_t r = 1; r < facts_.rounds.size(); ++r)
      for (const int done : facts_.rounds[r].opened_by) {
        one_repair("Done, opens round " + std::to_string(r + 1), repair(done), repair(done).proof,
                   {repair(done).caution});
        any = true;
      }
    for (const int verdict : facts_.verdicts) {
      const Cause& cause = cause_of(base_, verdict);
      one_repair("To do, for: " + cause.name, repair(cause.repair), cause.proof,
                 {repair(cause.repair).caution, cause.caution});
      any = true;
    }
    for (const std::size_t i : in_order(of_.file())) {
      if (entry(i).kind != Entry::Kind::closing || facts_.round_of[i] < 0) continue;
      std::string names;
      for (const std::string& id : entry(i).closes)
        names += (names.empty() ? "" : "; ") + cause_of(base_, base_.cause_index(id)).name;
      html_.leaf("p", "Closed: " + (names.empty() ? "without a cause" : names) +
                          ". Proof: " + (entry(i).proof.empty() ? "none given" : entry(i).proof));
      any = true;
    }
    if (!any) html_.leaf("p", "None yet, and nothing is shown.");
    html_.close();
  }

  void one_repair(const std::string& head, const Repair& of, const std::string& proof,
                  const std::vector<std::string>& cautions) {
    html_.open("div", "finding").leaf("h3", of.what).open("ul");
    html_.leaf("li", head + ", about " + minutes_words(of.minutes) + ".");
    html_.leaf("li", "Proof: " + proof);
    for (const std::string& caution : cautions)
      if (!caution.empty()) html_.leaf("li", "Caution: " + caution);
    html_.close().close();
  }

  // Something that the check learns was entered in this round; a check of what does not apply
  // counts as done, too.
  bool is_read(std::size_t round, const Check& of) const {
    const std::vector<Reading>& readings = facts_.rounds[round].readings;
    return std::any_of(readings.begin(), readings.end(), [&](const Reading& reading) {
      return facts_.round_of[reading.entry] == static_cast<int>(round) &&
             std::find(of.learns.begin(), of.learns.end(), reading.fact) != of.learns.end();
    });
  }

  void checks() {
    html_.open("section").leaf("h2", "Checks");
    for (std::size_t r = 0; r < facts_.rounds.size(); ++r) {
      const RoundFacts& round = facts_.rounds[r];
      std::string done, not_possible;
      for (std::size_t c = 0; c < base_.checks.size(); ++c) {
        const int number = static_cast<int>(c);
        const bool cannot =
            std::binary_search(round.not_possible.begin(), round.not_possible.end(), number);
        if (cannot || !is_done(base_, round, number) || !is_read(r, check(number))) continue;
        done += (done.empty() ? "" : "; ") + check(number).what;
      }
      for (const int c : round.not_possible)
        not_possible += (not_possible.empty() ? "" : "; ") + check(c).what;
      html_.open("p").leaf("strong", "Round " + std::to_string(r + 1) + ", done: ");
      html_.text(done.empty() ? "none" : done).close();
      if (!not_possible.empty())
        html_.open("p").leaf("strong", "Not possible: ").text(not_possible).close();
    }
    html_.close();
  }

  void gates() {
    html_.open("section").leaf("h2", "Gates").open("ul");
    for (const GateState& state : diagnosis_.offers.gates) {
      std::string missing;
      for (const int fact : state.missing)
        missing += (missing.empty() ? "" : ", ") + spaced(fact_of(base_, fact).id);
      const Gate& gate = base_.gates[static_cast<std::size_t>(state.gate)];
      html_.leaf(
          "li", gate.what + ": " + (state.passed ? "passed" : "not passed; not clear: " + missing));
    }
    html_.close().close();
  }

  void time_spent() {
    std::map<std::string, double> by_person;
    for (std::size_t i = 0; i < of_.file().entries().size(); ++i)
      if (entry(i).minutes >= 0.0 && facts_.round_of[i] >= 0)
        by_person[entry(i).who] += entry(i).minutes;
    if (by_person.empty()) return;
    html_.open("section").leaf("h2", "Time spent").open("table");
    html_.head_row({"Who", "Time"}).open("tbody");
    for (const auto& one : by_person)
      html_.row({one.first.empty() ? "not told" : one.first, spent_words(one.second)});
    html_.row({"Together", spent_words(minutes_spent(of_.file(), facts_))});
    html_.close().close().close();
  }

  const ReportedCase& of_;
  const RuleBase& base_;
  const CaseFacts& facts_;
  const Diagnosis& diagnosis_;
  Html html_;
};

}  // namespace

Report technician_report(const ReportedCase& of) { return TechnicianReport(of).all(); }

}  // namespace perrev

#include "engine/planning/plan.h"

#include <algorithm>
#include <cmath>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/planning/road_plan.h"
#include "engine/quantity/text.h"
#include "engine/reasoning/feature.h"
#include "engine/reasoning/next.h"
#include "engine/reasoning/reasons.h"
#include "src/answers/diagnosis_parts.h"
#include "src/answers/reasoning.h"
#include "src/answers/road_page.h"
#include "src/commands/common.h"
#include "src/rules.h"

namespace perrev {

namespace {

// Of more answers than that the rare ones are put together.
constexpr std::size_t kMostAnswers = 8;
constexpr double kRareAnswer = 0.05;

struct PlanOptions {
  Common common;
  std::string path;
  std::string ready;
  bool road = false;
};

class PlanText {
 public:
  PlanText(const Planner& planner, const CaseFacts& facts, const Ranking& ranking, Units units)
      : reasoner_(planner.reasoner()),
        base_(planner.reasoner().base()),
        facts_(facts),
        ranking_(ranking),
        units_(units) {}

  std::string all(const Plan& plan) const {
    std::string out = "\nExpected from here: at most " + minutes_words(plan.expected) +
                      " to a vehicle that is right,\n" + minutes_words(plan.if_known) +
                      " if the fault were known.\n";
    if (plan.held.standing >= 0)
      out += wrapped("Taken to stand ready: " +
                         base_.setups[static_cast<std::size_t>(plan.held.standing)].what,
                     0, 2);
    const std::string repairs = repairs_text(base_, facts_, ranking_);
    if (repairs.empty())
      out += "\nWhat to do next\n";
    else
      out += "\nShown already, so repair it\n" + repairs;
    for (std::size_t i = 0; i < plan.next.size(); ++i) {
      // Once something is shown, only what comes before its repair is worth its minutes.
      if (!repairs.empty() && (plan.next[i].kind != Choice::Kind::check ||
                               plan.repair_at_once - plan.next[i].expected < kHardlyTold))
        break;
      if (!repairs.empty() && i == 0) out += "\nWhat may save minutes before it\n";
      out += step(plan, i);
    }
    out += "\nThe way on, if each step shows what is most probable\n";
    double after = 0.0;
    for (const PlannedStep& planned : plan.path) {
      after += planned.minutes;
      out += wrapped(words_of(base_, planned) + " (" + minutes_words(planned.minutes) + ", after " +
                         minutes_words(after) + ")",
                     2, 4);
    }
    return out;
  }

 private:
  std::string step(const Plan& plan, std::size_t i) const {
    const PlannedStep& planned = plan.next[i];
    std::string out = wrapped(std::to_string(i + 1) + ". " + words_of(base_, planned) + " (" +
                                  minutes_words(planned.minutes) +
                                  (planned.repairs.empty() ? "" : " with parts and proof") + ")",
                              1, 4);
    if (planned.kind == Choice::Kind::repair) {
      out += wrapped(
          percent(planned.cures) + " that it is right after it and the drive that proves it", 4, 4);
      for (const int r : planned.repairs) {
        const Repair& repair = base_.repairs[static_cast<std::size_t>(r)];
        for (const int cause : repair.cures) out += shown(cause);
        out += still_open_words(base_, ranking_, r);
        if (!repair.caution.empty()) out += wrapped("Caution: " + repair.caution, 4, 4);
      }
    }
    if (planned.kind == Choice::Kind::check) {
      const Check& check = base_.checks[static_cast<std::size_t>(planned.check)];
      out += would_show(plan, check);
      if (!check.caution.empty()) out += wrapped("Caution: " + check.caution, 4, 4);
    }
    const std::string why = i > 0 ? why_later(plan, planned) : why_first(plan);
    return why.empty() ? out : out + wrapped(why, 4, 4);
  }

  static std::string why_first(const Plan& plan) {
    if (plan.next.size() < 2) return {};
    const double ahead = plan.next[1].expected - plan.next[0].expected;
    const double saved = plan.repair_at_once - plan.next[0].expected;
    const bool repair = plan.next[0].kind == Choice::Kind::repair;
    std::string out = ahead >= kHardlyTold ? "It comes first because it leaves " +
                                                 minutes_words(ahead) + " fewer than the next best"
                      : repair ? "It comes first because no check before it would save "
                                 "a minute"
                      : ahead > -kHardlyTold ? "It comes first though the next is as good"
                                             : "It comes first because it costs so little";
    if (!repair && saved >= kHardlyTold)
      out += "; it leaves " + minutes_words(saved) + " fewer than repairing without it";
    return out;
  }

  static std::string why_later(const Plan& plan, const PlannedStep& planned) {
    const double more = planned.expected - plan.next[0].expected;
    return "Done first it comes to " + minutes_words(planned.expected) +
           (more >= kHardlyTold    ? ", " + minutes_words(more) + " more"
            : more <= -kHardlyTold ? ", " + minutes_words(-more) + " fewer"
                                   : ", as good");
  }

  std::string shown(int cause) const {
    const Ranked& ranked = ranking_.of(cause);
    const CauseState state = state_of(base_, facts_, ranked);
    if (state != CauseState::likely && state != CauseState::confirmed) return {};
    return wrapped(base_.causes[static_cast<std::size_t>(cause)].name + ": " +
                       (state == CauseState::confirmed
                            ? "confirmed"
                            : "likely, not confirmed; the drive after the repair decides"),
                   4, 4);
  }

  // What each answer to the fact that tells most would do to the first three.
  std::string would_show(const Plan& plan, const Check& check) const {
    int fact = -1;
    double most = 0.0, total = 0.0;
    std::vector<Hypothesis> hypotheses;
    std::vector<double> mass;
    for (const Ranked& ranked : ranking_.causes)
      if (ranked.alone > 0.0) {
        hypotheses.push_back({ranked.cause, -1});
        mass.push_back(ranked.alone);
        total += ranked.alone;
      }
    for (double& share : mass) share /= total;
    Telling telling(reasoner_, facts_, hypotheses, mass);
    for (const int f : check.learns) {
      const double bits = telling.bits(f, check.by);
      if (bits <= most) continue;
      most = bits;
      fact = f;
    }
    if (fact < 0) return {};
    const std::vector<Outcome> answers =
        outcomes(reasoner_, facts_, ranking_, fact, plan.first, units_);
    if (answers.size() < 2) return {};
    std::string out = wrapped(base_.facts[static_cast<std::size_t>(fact)].ask, 4, 4);
    double rest = 0.0;
    for (const Outcome& outcome : answers) {
      if (answers.size() > kMostAnswers && outcome.probability < kRareAnswer) {
        rest += outcome.probability;
        continue;
      }
      std::string line =
          first_place(fact) + outcome.label + " (" + percent(outcome.probability) + "):";
      for (std::size_t c = 0; c < plan.first.size(); ++c)
        line +=
            std::string(c == 0 ? " " : ", ") + letter(c) + " " + percent(outcome.causes_after[c]);
      out += wrapped(line, 4, 6);
    }
    return rest > 0.0 ? out + wrapped("Any other (" + percent(rest) + ")", 4, 6) : out;
  }

  // "At the left front, " of a fact that is read at several places: the one that outcomes() tells.
  std::string first_place(int fact) const {
    const std::vector<std::string>& places =
        places_of(base_.facts[static_cast<std::size_t>(fact)].per);
    for (std::size_t p = 0; p < places.size(); ++p) {
      if (facts_.now().find(fact, static_cast<int>(p))) continue;
      return "At the " + spaced(places[p]) + ", ";
    }
    return {};
  }

  static std::string letter(std::size_t i) { return std::string(1, static_cast<char>('A' + i)); }

  const Reasoner& reasoner_;
  const RuleBase& base_;
  const CaseFacts& facts_;
  const Ranking& ranking_;
  Units units_;
};

Exit run(const PlanOptions& options) {
  OtherFiles others;
  if (!options.common.shop.empty()) others["shop.yaml"] = options.common.shop;
  const auto base = load_rules(rules_folder(options.common.rules), others);
  if (!base) return tell(base.error());
  const auto open = open_case(options.path, *base);
  if (!open) return tell(open.error());
  const Reasoning reasoning(*base);
  const Reasoner& reasoner = reasoning.reasoner;
  const Ranking ranking = rank(reasoner, open->facts);
  const Offers offers = offers_of(*base, open->facts);
  if (options.road) {
    const RoadPlan road = road_plan(reasoner, open->facts, ranking, offers, options.common.units());
    if (options.common.json)
      std::cout << indented_json(road_json(reasoner, road)) << "\n";
    else
      std::cout << road_page(reasoner, open->facts, road, options.common.units());
    return Exit::done;
  }
  const Planner& planner = reasoning.planner;
  Held held = held_now(planner, open->file, open->facts);
  if (!options.ready.empty()) {
    const auto ready = held_with(planner, options.ready);
    if (!ready) return tell_option("--ready", ready.error());
    held = *ready;
  }
  const Plan plan = plan_of(planner, open->facts, ranking, offers, held);
  const PlanText text(planner, open->facts, ranking, options.common.units());
  if (options.common.json) {
    std::cout << indented_json(plan_json(*base, open->file, open->facts, ranking, plan)) << "\n";
    return Exit::done;
  }
  const std::string stops = stops_text(*base, open->facts);
  if (!open->file.label().empty()) std::cout << wrapped(open->file.label(), 0, 2);
  if (!stops.empty()) std::cout << "\n" << stops << "\n";
  if (is_proved(*base, open->facts, ranking)) {
    std::cout << "\n" << wrapped(end_words(*base, "no_fault") + ".", 0, 2);
    return Exit::done;
  }
  for (std::size_t i = 0; i < plan.first.size(); ++i) {
    const Ranked& ranked = ranking.of(plan.first[i]);
    const CauseState state = state_of(*base, open->facts, ranked);
    std::cout << wrapped(std::string(1, static_cast<char>('A' + i)) + "  " +
                             base->causes[static_cast<std::size_t>(ranked.cause)].name + ": " +
                             percent(ranked.probability) +
                             (state == CauseState::open ? "" : ", " + name_of(state)),
                         0, 3);
  }
  const std::vector<int> missing = missing_for_drive(*base, offers);
  if (!missing.empty() && stops.empty()) {
    std::cout << "\nBefore anybody drives it, ask:\n";
    for (const int fact : missing)
      std::cout << wrapped("- " + base->facts[static_cast<std::size_t>(fact)].ask, 2, 4);
  }
  std::cout << text.all(plan);
  return Exit::done;
}

}  // namespace

void add_plan_command(CLI::App& app, Action& chosen) {
  CLI::App* command = app.add_subcommand(
      "plan", "Say what to do next in the fewest expected minutes, why, and how it goes on");
  const auto options = std::make_shared<PlanOptions>();
  command->add_option("CASE", options->path, "a case file, or - for standard input")
      ->type_name("FILE")
      ->required();
  command->add_flag("--road", options->road, "the plan of the road test, on one page");
  command->add_option(
      "--ready", options->ready,
      "a set-up that stands ready now (ids of shop.yaml); else taken from the case");
  add_units_and_json(*command, options->common);
  add_rules_option(*command, options->common);
  add_shop_option(*command, options->common);
  command->footer("Example: perrev plan cases/shakes_after_new_tires.json");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev

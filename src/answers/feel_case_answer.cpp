// How a cause would be felt in the vehicle of a case, beside the speeds that were entered.
#include <algorithm>
#include <array>
#include <cmath>

#include "engine/casefile/vehicle_of.h"
#include "engine/knowledge/computed.h"
#include "engine/providers/felt_tables.h"
#include "src/answers/asked.h"
#include "src/answers/feel_words.h"
#include "src/answers/road_words.h"
#include "src/answers/words.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

constexpr double kWidth = 460.0;        // px of the picture's frame, unless it is asked for
constexpr double kHeight = 0.55;        // of the width,
constexpr double kLeastHeight = 180.0;  // and not below, px
constexpr double kSameSpeed = 0.3;      // m/s: shown alike

struct Entered {
  const char* fact;
  const char* label;
};
constexpr std::array<Entered, 2> kEntered = {
    {{"begins_speed", "entered: begins"}, {"worst_speed", "entered: worst"}}};

const Reading* known(const Asked& asked, const CaseFacts& facts, const char* id) {
  const int fact = asked.base.fact_index(id);
  const Reading* found = fact < 0 ? nullptr : facts.now().find(fact);
  return found && !found->unsure ? found : nullptr;
}

// A speed that was entered, and what the vehicle did then.
struct EnteredSpeed {
  double shown = 0.0, road = 0.0;  // m/s
};

std::optional<EnteredSpeed> entered_speed(const Asked& asked, const CaseFacts& facts,
                                          const FeelQuestion& question, const char* fact) {
  const Reading* reading = known(asked, facts, fact);
  if (!reading || reading->numbers.empty()) return std::nullopt;
  const auto by = reading->with.find("by");
  Motion motion;
  motion.speed = reading->number;
  motion.by = by == reading->with.end() ? SpeedSource::unknown : speed_source_named(by->second);
  const auto road = true_speed(asked.base.physics, question, motion);
  if (!road) return std::nullopt;
  return EnteredSpeed{reading->number, *road};
}

std::string entered_sentence(const EnteredSpeed& worst, Units units) {
  const std::string shown = "Entered as worst: " + speed_words(worst.shown, units);
  if (std::abs(worst.shown - worst.road) < kSameSpeed) return shown + ".";
  return shown + ", taken as " + speed_words(worst.road, units) +
         " on the road, because a dash reads high.";
}

// Probability that it sits at the front, where the case tells more of it than the rule base.
std::optional<double> front_in(const RuleBase& base, int cause, const CaseFacts& facts,
                               std::size_t round) {
  const PhysicsFault* fault = fault_of(base, cause);
  if (!fault) return std::nullopt;
  const double front = front_share(*fault, felt_vehicle(base, facts, round));
  return front != fault->front ? std::optional<double>(front) : std::nullopt;
}

Result<FeelQuestion, Problems> question_of(const Asked& asked, const OpenCase& open) {
  const std::size_t now = open.facts.rounds.size() - 1;
  FaultAsked fault;
  fault.cause = asked.base.cause_index(asked.text("cause"));
  if (fault.cause < 0) return wrong("cause", "there is no such cause", "an id of the ranking");
  if (!asked.text("size").empty()) fault.size = asked.text("size");
  FeelQuestion out;
  out.vehicle = vehicle_of(asked.base, open.facts, now);
  out.vehicle_kind = answer_known(asked.base, open.facts.now(), "vehicle_kind");
  out.motion = motion_of(asked.base, open.facts, now);
  fault.front = front_in(asked.base, fault.cause, open.facts, now);
  const auto known_fault = fault_asked(asked.base, fault, out.vehicle, asked.units());
  if (!known_fault) return Problems{known_fault.error()};
  out.fault = *known_fault;
  return out;
}

Json rows_of(const FeelAnswer& answer) {
  Json out = Json::array();
  for (const FeltPoint& point : answer.rows) {
    Json row = {{"speed_km_h", six_digits(3.6 * point.speed)},
                {"probability", six_digits(point.probability)},
                {"places", Json::object()}};
    for (const FeltPlace place : felt_places(answer))
      row["places"][std::string(name_of(place))] =
          six_digits(point.places[static_cast<std::size_t>(place)].probability);
    out.push_back(row);
  }
  return out;
}

}  // namespace

Answered feel_case_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  auto question = question_of(asked, *open);
  if (!question) return question.error();
  const Units units = asked.units();
  std::vector<FeelMark> marks;
  for (const Entered& entered : kEntered)
    if (const auto speed = entered_speed(asked, open->facts, *question, entered.fact))
      marks.push_back({speed->road, entered.label});
  const auto worst = entered_speed(asked, open->facts, *question, "worst_speed");
  if (worst) question.value().speed = worst->road;
  const auto answer = feel_answer(asked.base, *question, units);
  if (!answer) return Problems{answer.error()};
  Json out = to_json(*question, *answer, units);
  if (worst) out["sentences"].insert(out["sentences"].begin(), entered_sentence(*worst, units));
  out["title"] = feel_title(question->fault, units);
  out["rows"] = rows_of(*answer);
  out["marks"] = Json::array();
  for (const FeelMark& mark : marks)
    out["marks"].push_back({{"label", mark.label}, {"speed_km_h", six_digits(3.6 * mark.speed)}});
  Plot plot = feel_plot(*question, *answer, marks, units);
  // Short: its words would make a narrow picture wide.
  plot.title = "Felt: " + size_words(question->fault.kind, question->fault.size, units);
  plot.width = asked.width(kWidth);
  plot.height = std::max(kLeastHeight, kHeight * plot.width);
  out["svg"] = svg_of(plot);
  return out;
}

}  // namespace perrev

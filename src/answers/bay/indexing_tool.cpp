// Re-seating check: a wheel read in several mountings, and which share is the wheel's own.
#include <algorithm>
#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/studs.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/indexing_words.h"
#include "src/answers/bay/place_error.h"
#include "src/answers/bay/turned_words.h"
#include "src/answers/bay/vector_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

// A step of 1 g, 0.01 mm and 1 N, as a uniform error.
constexpr IndexedKind kIndexedKinds[] = {
    {"imbalance", "imbalance_sd", "imbalance", Dimension::mass, 0.002, 0.29e-3},
    {"runout", "runout_sd", "runout", Dimension::length, 0.03e-3, 0.0029e-3},
    {"force", "force_sd", "radial force", Dimension::force, 8.0, 0.29}};

// The difference of two seatings stays below this many standard deviations of one component in 95 %
// of pairs: sqrt 2 times the root of chi-square's 0.95 point with 2 degrees, 5.991.
constexpr double kTwoSeatings = 3.4616;

class IndexingRun {
 public:
  IndexingRun(const BayInput& input, const BayContext& context)
      : input_(input), context_(context) {}

  Result<BayResult, Problems> run() {
    for (const IndexedKind& kind : kIndexedKinds)
      if (!input_.rows(kind.field).empty()) {
        if (wheel_.kind) return several();
        wheel_.kind = &kind;
      }
    if (!wheel_.kind) return several();
    wheel_.on_hub = input_.choice("where") == "hub";
    wheel_.from_valve = input_.choice("counted_from") == "valve";
    wheel_.one_side = input_.choice("plane") == "one_side";
    if (const auto studs = input_.number("studs"))
      wheel_.studs = static_cast<int>(std::lround(*studs));
    if (const auto wrong = read_mountings()) return *wrong;
    const bool turned =
        std::any_of(wheel_.mountings.begin(), wheel_.mountings.end(),
                    [](const Mounting& each) { return std::abs(each.turn) > kDegree; });
    if (!turned) return same_place();
    return split();
  }

 private:
  static Problems several() {
    return field_problem("imbalance", problem("mountings of one kind are wanted",
                                              "imbalance, or runout, or force: two rows or more"));
  }

  std::string say(const Interval& of) const {
    return told(of, wheel_.kind->dimension, context_.units);
  }

  std::optional<Problems> read_mountings() {
    const auto read = read_turned(input_, wheel_.kind->field);
    if (!read) return read.error();
    taken_ = with_places(wheel_.kind->seating_sd, *read, input_.required("place_sd"));
    for (std::size_t i = 0; i < read->size(); ++i) {
      Mounting mounting{(*read)[i].turn, (*read)[i].read, false};
      const BayInput::Row& row = input_.rows(wheel_.kind->field)[i];
      mounting.one_flange = row.size() > 3 && row[3] && *row[3] < 1.5;
      if (wheel_.studs) {
        const auto turn = stud_turn(*wheel_.studs, mounting.turn);
        if (!turn)
          return field_problem(std::string(wheel_.kind->field) + "/" + std::to_string(i) + "/2",
                               turn.error());
        mounting.turn = *turn;
      }
      wheel_.mountings.push_back(mounting);
    }
    return std::nullopt;
  }

  // How far one seating is from another: as told, else from the mountings, else from memory.
  std::optional<Scatter> known_scatter() {
    if (const auto sd = input_.number(wheel_.kind->sd_field)) return Scatter{*sd, std::nullopt};
    if (wheel_.mountings.size() > 2) return std::nullopt;
    out_.notes.push_back("Two mountings do not tell how far seatings scatter: " +
                         told(wheel_.kind->seating_sd, wheel_.kind->dimension, context_.units) +
                         " is taken, from memory, with what places add that are read by eye: " +
                         told(taken_.sd, wheel_.kind->dimension, context_.units) +
                         " in all. A third mounting would tell.");
    return taken_;
  }

  Result<BayResult, Problems> same_place() {
    std::vector<Vector> readings;
    for (const Mounting& each : wheel_.mountings) readings.push_back(each.read);
    const auto spread = seating_spread(readings);
    if (!spread) return field_problem(wheel_.kind->field, spread.error());
    out_.sentences = {
        "Seated " + std::to_string(readings.size()) +
            " times at the same place, the reading scatters by " + say(spread->sd) +
            " (standard deviation, each direction).",
        "Of two seatings, the reading may differ by up to " +
            told(kTwoSeatings * spread->sd.value, wheel_.kind->dimension, context_.units) +
            " in 19 of 20 pairs: no smaller change means anything."};
    out_.numbers = {{"seating_sd", "Scatter of one seating", wheel_.kind->dimension,
                     spread->sd.value, spread->sd}};
    add_vector("mean", "Mean reading", spread->mean, wheel_.kind->dimension, out_);
    out_.notes.push_back(
        "Seated at the same place, the wheel's part and the mounting's stay one: turn the wheel by "
        "a known angle to tell them apart.");
    cautions();
    return out_;
  }

  Result<BayResult, Problems> split() {
    const auto from = wheel_.from_valve ? CountedFrom::turning : CountedFrom::staying;
    auto found = index_wheel(wheel_.mountings, from, known_scatter());
    if (!found) return field_problem(wheel_.kind->field, found.error());
    if (const Scatter step{wheel_.kind->step_sd, std::nullopt};
        found->parts.scatter.freedom && found->parts.rms < step.sd)
      found = index_wheel(wheel_.mountings, from, step);
    wheel_.found = *found;
    say_indexing(wheel_, context_, out_);
    cautions();
    return out_;
  }

  void cautions() {
    if (wheel_.on_hub)
      out_.cautions.push_back(
          "Turn it by hand, in neutral; nuts by hand in sequence each time, faces wiped. At the "
          "end nuts to the maker's torque, and again after 50 to 100 km (30 to 60 miles).");
    else
      out_.cautions.push_back("Hood down, stones out of the tread, nobody beside the wheel.");
  }

  const BayInput& input_;
  const BayContext& context_;
  IndexedWheel wheel_;
  Scatter taken_;  // of one mounting, where nothing tells
  BayResult out_;
};

BayField mountings_field(const IndexedKind& kind, std::string_view label, std::string_view help,
                         double most) {
  return turned_rows(kind.field, label, help, kind.dimension, most);
}

BayField seating_field(const IndexedKind& kind, std::string_view label, double most) {
  return quantity_field({kind.sd_field, label, kind.dimension, 0.0, most},
                        "One standard deviation of a seating with its reading; else it is learned "
                        "from three mountings or more.");
}

}  // namespace

BayTool indexing_tool() {
  BayField from = choice_field(
      "counted_from", "Places are counted from",
      "The balancer's display counts from its own shaft; a place noted against the valve turns "
      "with the wheel. The two answers swap wheel and mounting.",
      {{"shaft", "A mark on the shaft or hub"}, {"valve", "The valve or a mark on the wheel"}}, "");
  from.required = true;
  BayField imbalance = mountings_field(
      kIndexedKinds[0], "Imbalance in each mounting",
      "Take the wheel off, turn it by a known angle, seat it again, read again.", 2.0);
  imbalance.columns.push_back(whole_column("flanges", "Flanges read", 1.0, 2.0, false));
  return {
      "indexing",
      "Re-seating check",
      "From readings of one wheel in several mountings to what is the wheel's own and what "
      "comes from how it sits.",
      {"residual_static", "reseat_change", "on_off_difference", "runout_follows",
       "radial_force_first"},
      {"reseat_wheel", "rebalance"},
      {choice_field("where", "Mounted on", "Where it was taken off and seated again.",
                    {{"balancer", "The balancer"}, {"hub", "The hub of the vehicle"}}, "balancer"),
       from,
       quantity_field(whole_column("studs", "Studs or nut holes", 3.0, 12.0),
                      "Where the wheel can only be turned by whole studs: five allow 72 and "
                      "144 deg, never half a turn."),
       imbalance,
       choice_field("plane", "The imbalance is", "Two sides are two reckonings.",
                    {{"static", "Of the whole wheel, static"}, {"one_side", "Of one side"}},
                    "static"),
       mountings_field(kIndexedKinds[1], "Runout in each mounting",
                       "Total runout, up and down, and its high place.", 0.02),
       mountings_field(kIndexedKinds[2], "Radial force in each mounting",
                       "First harmonic, peak to peak, and its high place.", 2000.0),
       seating_field(kIndexedKinds[0], "Scatter of imbalance", 0.2),
       seating_field(kIndexedKinds[1], "Scatter of runout", 0.005),
       seating_field(kIndexedKinds[2], "Scatter of force", 200.0), place_sd_field()},
      [](const BayInput& input, const BayContext& context) {
        return IndexingRun(input, context).run();
      },
      "perrev bay indexing --counted-from shaft \\\n"
      "    --imbalance \"1.0 oz, 100 deg, 0 deg; 0.75 oz, 215 deg, 180 deg\""};
}

}  // namespace perrev

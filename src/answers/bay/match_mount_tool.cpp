// Match mounting: how far to turn a tire on its rim, what that leaves, and whether it pays.
#include <algorithm>
#include <cmath>

#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/match_mount_words.h"
#include "src/answers/bay/place_error.h"
#include "src/answers/bay/turned_words.h"
#include "src/answers/bay/vector_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr double kMillimetre = 1e-3;
constexpr double kOwnStiffnessSpread = 0.15;  // 95 %, of one that was told: from memory
constexpr double kUsualForceLimit = 53.379;   // 12 lb in N, common practice: a base without limits

class MatchRun {
 public:
  MatchRun(const BayInput& input, const BayContext& context) : input_(input), context_(context) {}

  Result<BayResult, Problems> run() {
    set_terms();
    const bool forces = !input_.rows("forces").empty(), runouts = !input_.rows("runouts").empty();
    const bool parts =
        input_.number("rim_runout") || input_.number("tire_force") || input_.number("tire_runout");
    if (forces + runouts + parts != 1)
      return field_problem(
          "forces", problem("one way to tell tire and rim apart is wanted",
                            "forces of the assembly, or its runout, with the tire turned between; "
                            "or the tire and the rim, each by itself"));
    if (const auto wrong = parts ? read_parts() : read_rows(forces)) return *wrong;
    say_match({terms_, as_force(read_, terms_), match_mount(read_, terms_), parts,
               input_.number("stiffness").has_value()},
              context_, out_);
    return out_;
  }

 private:
  void set_terms() {
    terms_.interaction =
        input_.choice("wheel") == "precise" ? kPrecisionMountingInteraction : kMountingInteraction;
    if (const auto per_mm = input_.number("stiffness")) {
      const double stiffness = *per_mm / kMillimetre;
      terms_.stiffness = {stiffness, stiffness * (1.0 - kOwnStiffnessSpread),
                          stiffness * (1.0 + kOwnStiffnessSpread)};
    }
    BayContext car = context_;
    car.limit_class = "other";
    const auto own = context_.limit("radial_force_first"), usual = car.limit("radial_force_first");
    if (const auto given = input_.number("limit")) {
      terms_.limit = *given;
    } else if (own) {
      terms_.limit = own->good;
    } else {
      terms_.limit = usual ? usual->good : kUsualForceLimit;
      out_.notes.push_back("The kind of vehicle is not told: the limit is that of a car, " +
                           told_limit(terms_.limit, Dimension::force, context_.units) + ".");
    }
  }

  static Interval as_read(double amount, double sd, const Interval& stiffness) {
    const double half = Scatter{sd, std::nullopt}.half_width();
    return {amount * stiffness.value, std::max(0.0, amount - half) * stiffness.low,
            (amount + half) * stiffness.high};
  }

  // The assembly, with the tire turned on the rim between.
  std::optional<Problems> read_rows(bool forces) {
    const char* field = forces ? "forces" : "runouts";
    const auto rows = read_turned(input_, field);
    if (!rows) return rows.error();
    const double stiffness = terms_.stiffness.value;
    const Scatter seated =
        forces ? mounting_scatter(terms_.interaction, input_.required("force_sd"))
               : mounting_scatter(terms_.interaction / stiffness, input_.required("runout_sd"));
    const Scatter scatter = with_places(seated.sd, *rows, input_.required("place_sd"));
    const auto from =
        input_.choice("counted_from") == "tire" ? CountedFrom::turning : CountedFrom::staying;
    const auto split = split_turned(*rows, from, scatter);
    if (!split) return field_problem(field, split.error());
    read_ = *split;
    terms_.read = forces ? MatchRead::forces : MatchRead::both_runout;
    terms_.mounted_at = rows->back().turn;
    const double now = std::abs(rows->back().read);
    terms_.read_now = forces ? as_read(now, input_.required("force_sd"), {1.0, 1.0, 1.0})
                             : as_read(now, input_.required("runout_sd"), terms_.stiffness);
    if (forces)
      out_.feeds.push_back({"radial_force_first", now, {}, terms_.read_now});
    else
      out_.feeds.push_back(
          {"tire_own_runout", std::abs(read_.turns), {}, read_.turning().amount()});
    if (read_.torn)
      out_.notes.push_back(
          "The readings differ by more than seating explains: was the pressure the same, the bead "
          "seated, the tire warm?");
    return std::nullopt;
  }

  std::optional<Problems> read_parts() {
    const bool by_force = input_.number("tire_force").has_value();
    if (by_force == input_.number("tire_runout").has_value())
      return field_problem("tire_force",
                           problem("the tire is wanted as force or as runout", "one of the two"));
    for (const char* field : {"rim_runout", "rim_place", "tire_place"})
      if (!input_.number(field))
        return field_problem(field, problem("this is wanted beside the tire's own reading",
                                            "amount and high place of tire and rim"));
    const auto part = [&](const char* amount, const char* place, const char* sd) {
      return vector_read(input_.required(amount), input_.required(place), input_.required(sd),
                         input_.required("place_sd"));
    };
    const VectorEstimate rim = part("rim_runout", "rim_place", "runout_sd");
    const VectorEstimate tire = by_force ? part("tire_force", "tire_place", "force_sd")
                                         : part("tire_runout", "tire_place", "runout_sd");
    read_ = parts_read_apart(rim, tire);
    terms_.read = by_force ? MatchRead::rim_runout : MatchRead::both_runout;
    out_.feeds.push_back({"rim_radial_runout", std::abs(rim.value), {}, rim.amount()});
    if (!by_force)
      out_.feeds.push_back({"tire_own_runout", std::abs(tire.value), {}, tire.amount()});
    return std::nullopt;
  }

  const BayInput& input_;
  const BayContext& context_;
  MatchTerms terms_;
  TurnedParts read_;
  BayResult out_;
};

}  // namespace

BayTool match_mount_tool() {
  return {
      "match_mount",
      "Match mounting",
      "From tire and rim, or from the assembly with the tire turned between, to how far the tire "
      "should be turned on its rim and what that leaves.",
      {"radial_force_first", "tire_own_runout", "rim_radial_runout"},
      {"match_mount"},
      {turned_rows("forces", "Force of the assembly, tire turned between",
                   "First harmonic, peak to peak, its high place, and how far the tire was turned "
                   "on the rim.",
                   Dimension::force, 2000.0),
       turned_rows("runouts", "Runout of the assembly, tire turned between",
                   "Total runout of the tread, its high place, and how far the tire was turned on "
                   "the rim.",
                   Dimension::length, 0.02),
       choice_field("counted_from", "Places are counted from",
                    "With the tire turned on the rim, the valve stays and a chalk line on the tire "
                    "turns.",
                    {{"valve", "The valve"}, {"tire", "A chalk line on the tire"}}, "valve"),
       quantity_field({"tire_force", "Force of the tire alone", Dimension::force, 0.0, 2000.0},
                      "First harmonic, peak to peak."),
       quantity_field({"tire_runout", "Runout of the tire alone", Dimension::length, 0.0, 0.02},
                      "Of the tread, less what the rim does."),
       quantity_field(place_column("tire_place", "High place of the tire"),
                      "As it is mounted now, clockwise from the valve."),
       quantity_field({"rim_runout", "Runout of the rim", Dimension::length, 0.0, 0.02},
                      "Up and down, mean of both bead seats, total."),
       quantity_field(place_column("rim_place", "High place of the rim"),
                      "Clockwise from the valve."),
       quantity_field(
           {"stiffness", "Stiffness: force for one millimetre", Dimension::force, 50.0, 2000.0},
           "Of the tire; a car tire has about 200 N."),
       choice_field("wheel", "The wheel is", "How far seating the tire again changes the force.",
                    {{"ordinary", "An ordinary wheel"}, {"precise", "A precision wheel"}},
                    "ordinary"),
       quantity_field({"limit", "Limit of the assembly", Dimension::force, 1.0, 1000.0},
                      "Peak to peak; else that of the vehicle."),
       quantity_field({"force_sd", "Scatter of a force reading", Dimension::force, 0.0, 100.0},
                      "One standard deviation.", false, "5 N"),
       quantity_field({"runout_sd", "Scatter of a runout reading", Dimension::length, 0.0, 0.002},
                      "One standard deviation.", false, "0.03 mm"),
       place_sd_field()},
      [](const BayInput& input, const BayContext& context) {
        return MatchRun(input, context).run();
      },
      "perrev bay match-mount --tire-force \"20 lb\" --tire-place \"2:30\" \\\n"
      "    --rim-runout \"0.012 in\" --rim-place \"7:00\""};
}

}  // namespace perrev

#include "src/answers/bay/match_mount_words.h"

#include <cmath>
#include <numbers>

#include "src/answers/bay/turned_words.h"
#include "src/answers/bay/vector_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr double kDegreesInRadian = 180.0 / std::numbers::pi;
constexpr double kPoundPerInch = 4.4482216152605 / 0.0254;  // N/m
constexpr double kNewtonPerMillimetre = 1e3;                // N/m

class MatchWords {
 public:
  MatchWords(const MatchedTire& of, const BayContext& context, BayResult& out)
      : of_(of), context_(context), out_(out) {}

  void say_all() {
    say_turn();
    say_worth();
    say_rest();
    numbers();
    notes();
    picture();
  }

 private:
  std::string newtons(double value) const { return told(value, Dimension::force, context_.units); }
  std::string newtons(const Interval& of) const {
    return told(of, Dimension::force, context_.units);
  }

  // "150 and 280 N/mm", "860 and 1600 lb/in".
  std::string stiffness_words() const {
    const bool us = context_.units == Units::us;
    const double unit = us ? kPoundPerInch : kNewtonPerMillimetre, step = us ? 20.0 : 10.0;
    const auto rounded = [&](double si) { return fixed(std::round(si / unit / step) * step, 0); };
    return rounded(of_.terms.stiffness.low) + " and " + rounded(of_.terms.stiffness.high) +
           (us ? " lb/in" : " N/mm");
  }

  bool turn_known() const { return of_.match.turn_half_width < 0.5 * std::numbers::pi; }

  void say_turn() {
    if (!turn_known()) {
      out_.sentences.push_back(
          "One of the two is too small to tell which way to turn: there is little to gain.");
      return;
    }
    const std::string half = fixed(of_.match.turn_half_width * kDegreesInRadian, 0) + " deg";
    out_.sentences.push_back(
        "The best place of the tire on this rim is " + told_turned(of_.match.turn) +
        " from where it is, give or take " + half + ": the tire's high place, now " +
        told_place(angle_of(of_.force.turns) + of_.terms.mounted_at) +
        ", then meets the rim's low one " + told_place(angle_of(-of_.force.stays)) + ".");
  }

  void say_worth() {
    const std::string limit = told_limit(of_.terms.limit, Dimension::force, context_.units),
                      best = newtons(of_.match.best);
    const std::string chance = newtons(of_.terms.interaction);
    switch (of_.match.worth) {
      case MatchWorth::not_needed:
        return say("It need not be turned: " + newtons(of_.match.now) + " is within " + limit +
                   " as it is.");
      case MatchWorth::falls_short:
        return say("Even the best place leaves " + best + ", beyond " + limit + ": the " +
                   (std::abs(of_.force.turns) > std::abs(of_.force.stays) ? "tire" : "rim") +
                   " is the larger part, and another one is wanted.");
      case MatchWorth::drowned:
        return say("It is not worth the labour: turning gains " + newtons(of_.match.gain) +
                   ", and seating the tire again changes up to " + chance + " by chance.");
      case MatchWorth::may_help:
        return say("It is worth a try: " + newtons(of_.match.now) + " now, " + best +
                   " at the best place, and up to " + chance +
                   " more or less by the chance of a new seating; the limit is " + limit + ".");
      case MatchWorth::will_help:
        return say("It is worth the labour: " + newtons(of_.match.now) + " now, " + best +
                   " at the best place, within " + limit + " even where a new seating adds its " +
                   chance + ".");
    }
  }

  void say_rest() {
    say("The worst place would make it " + newtons(of_.match.worst) + ".");
    if (of_.terms.read != MatchRead::forces)
      say("A tire between " + stiffness_words() + " leaves " + newtons(of_.match.by_stiffness.low) +
          " to " + newtons(of_.match.by_stiffness.high) +
          " at the best place, which stays the same.");
  }

  void say(std::string sentence) { out_.sentences.push_back(std::move(sentence)); }

  void numbers() {
    const auto add = [&](const char* id, const char* label, const Interval& of) {
      out_.numbers.push_back({id, label, Dimension::force, of.value, of});
    };
    add("now", "As it is now, peak to peak", of_.match.now);
    add("best", "At the best place", of_.match.best);
    add("worst", "At the worst place", of_.match.worst);
    add("afterwards", "After a new seating, by chance", of_.match.afterwards);
    add_vector("tire", "The tire's part, now",
               times(of_.force.turning(), vector_at(1.0, of_.terms.mounted_at)), Dimension::force,
               out_);
    add_vector("rim", "The rim's part", of_.force.staying(), Dimension::force, out_);
    if (turn_known())
      out_.numbers.push_back({"turn", "Turn of the tire, clockwise", Dimension::angle,
                              of_.match.turn,
                              Interval{of_.match.turn, of_.match.turn - of_.match.turn_half_width,
                                       of_.match.turn + of_.match.turn_half_width}});
  }

  void notes() {
    out_.notes.push_back(
        "Force and runout are first harmonics, peak to peak, at the pressure of the label, tire "
        "warm; clockwise as seen where the places were read.");
    out_.notes.push_back(
        "Seating a tire again changes 25 to 30 N (6 to 7 lb) on ordinary wheels, 10 N (2 lb) on "
        "precision ones, at random: Schuring, Tire Science and Technology 19 (1991) 213.");
    if (!of_.by_parts)
      out_.notes.push_back(
          "What stays is all that the tire does not take along: rim, adapter and "
          "seat. A re-seating check tells rim and adapter apart.");
    if (of_.terms.read != MatchRead::forces && !of_.own_stiffness)
      out_.notes.push_back("The stiffness is that of a car tire, from memory.");
    out_.cautions = {
        "Chalk tire and rim at the valve first. All air out and valve core out before the bead is "
        "broken; a run-flat let down is looked at inside.",
        "Inflate in steps with a clip-on chuck, out of its way; never above about 275 kPa (40 psi) "
        "to seat a bead unless the tire says more. Balance again afterwards."};
  }

  void picture() {
    Dial dial;
    dial.title = "Tire and rim";
    dial.unit = std::string(usual_unit(Dimension::force, context_.units));
    const auto arrow = [&](const char* name, const VectorEstimate& of) {
      return vector_arrow(name, of, Dimension::force, context_.units);
    };
    dial.arrows = {arrow("rim", of_.force.staying()),
                   arrow("tire", times(of_.force.turning(), vector_at(1.0, of_.terms.mounted_at))),
                   arrow("both, now", of_.force.sum_at(of_.terms.mounted_at)),
                   arrow("both, best", of_.force.sum_at(of_.terms.mounted_at + of_.match.turn))};
    dial.arrows[1].from = 0;
    dial.arrows[3].reference = true;
    out_.svg = svg_of(dial);
  }

  const MatchedTire& of_;
  const BayContext& context_;
  BayResult& out_;
};

}  // namespace

void say_match(const MatchedTire& of, const BayContext& context, BayResult& out) {
  MatchWords(of, context, out).say_all();
}

}  // namespace perrev

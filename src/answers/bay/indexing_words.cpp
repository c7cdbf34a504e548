#include "src/answers/bay/indexing_words.h"

#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/studs.h"
#include "src/answers/bay/turned_words.h"
#include "src/answers/bay/vector_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

class IndexingWords {
 public:
  IndexingWords(const IndexedWheel& wheel, const BayContext& context, BayResult& out)
      : wheel_(wheel), context_(context), out_(out) {}

  void say_all() {
    const VectorEstimate wheel = wheel_.found.wheel(), mounting = wheel_.found.mounting();
    verdict();
    out_.sentences.push_back("The wheel's own " + std::string(wheel_.kind->noun) + " is " +
                             say(wheel.amount()) + ", " + told_where(wheel) + ".");
    out_.sentences.push_back("What stays with the " + seat() + " is " + say(mounting.amount()) +
                             ", " + told_where(mounting) + ".");
    trap();
    best_place();
    add_vector("wheel", "The wheel's own part", wheel, wheel_.kind->dimension, out_);
    add_vector("mounting", "The mounting's part", mounting, wheel_.kind->dimension, out_);
    if (wheel_.found.parts.freedom > 0)
      out_.numbers.push_back({"scatter", "Scatter of a mounting, as read", wheel_.kind->dimension,
                              wheel_.found.parts.rms});
    out_.notes.push_back("Places are those of the first mounting, clockwise from the mark at 12.");
    if (!wheel_.found.parts.torn) feed();
    picture();
  }

 private:
  std::string seat() const { return wheel_.on_hub ? "hub" : "balancer"; }
  std::string say(const Interval& of) const {
    return told(of, wheel_.kind->dimension, context_.units);
  }

  // The limit that the mounting has, and what of the mounting is held against it.
  void verdict() {
    if (wheel_.found.parts.torn) {
      out_.sentences.push_back(
          "The mountings do not agree with one another: something moved between them. Clean the "
          "seats and read all of them again; nothing goes into the case.");
      return;
    }
    const bool runout = wheel_.kind->dimension == Dimension::length;
    const auto limit = wheel_.kind->dimension == Dimension::mass && !wheel_.on_hub
                           ? context_.limit("reseat_change")
                       : runout && wheel_.on_hub ? context_.limit("on_off_difference")
                                                 : std::nullopt;
    if (!limit) return;
    const Interval held = runout ? wheel_.found.mounting().amount()
                                 : wheel_.found.half_turn_change(CountedFrom::turning);
    const std::string what = runout ? "What the hub, the fit or dirt adds"
                                    : "The change that the mounting makes half a turn on";
    const std::string against = ", " + say(held) + ", ";
    const auto text = [&](double value) {
      return told_limit(value, wheel_.kind->dimension, context_.units);
    };
    if (standing(held, limit->good) == Standing::within)
      out_.sentences.push_back(what + against + "is within " + text(limit->good) +
                               ": the wheel sits true.");
    else if (standing(held, limit->bad) == Standing::beyond)
      out_.sentences.push_back(
          what + against + "is beyond " + text(limit->bad) + " by itself: " +
          (wheel_.on_hub ? "clean hub and wheel, check ring and centre, before the wheel is blamed."
                         : "seat the wheel again before any weight is moved, from its true side, "
                           "or by its nut "
                           "holes where it has no true middle hole."));
    else
      out_.sentences.push_back(what + against + "is not clearly within " + text(limit->good) +
                               " nor beyond " + text(limit->bad) +
                               ": read more mountings before it is blamed or cleared.");
  }

  void trap() {
    std::size_t most = 0;
    for (std::size_t i = 1; i < wheel_.mountings.size(); ++i)
      if (std::abs(std::sin(0.5 * wheel_.mountings[i].turn)) >
          std::abs(std::sin(0.5 * wheel_.mountings[most].turn)) + 1e-9)
        most = i;
    const std::string change =
        "Turned by " + fixed(wheel_.mountings[most].turn * 360.0 / kTurn, 0) +
        " deg the reading changed by " +
        told(wheel_.found.changes[most], wheel_.kind->dimension, context_.units) +
        ": that is about " + told_times(wheel_.mountings[most].turn) + " times ";
    out_.sentences.push_back(
        wheel_.from_valve
            ? change +
                  "the mounting's part; the wheel's own does not change a reading that counts "
                  "from the valve."
            : change +
                  "the wheel's own part, not the mounting's, which does not change a reading "
                  "that counts from the " +
                  (wheel_.on_hub ? "hub." : "shaft."));
  }

  void best_place() {
    if (!wheel_.studs || !wheel_.on_hub) return;
    const auto best = best_stud_place(wheel_.found.parts, *wheel_.studs);
    if (!best) return;
    const double from_now = std::remainder(best->turn - wheel_.mountings.back().turn, kTurn);
    const Interval now = wheel_.found.parts.sum_at(wheel_.mountings.back().turn).amount();
    out_.sentences.push_back(
        std::abs(from_now) < 1e-6
            ? "It reads least where it sits now: " + say(best->amount) + "."
            : "On these studs it reads least when turned from where it sits now by " +
                  told_turned(from_now) + ": " + say(best->amount) + ", now " + say(now) + ".");
    out_.numbers.push_back(
        {"best_turn", "Best turn from now, clockwise", Dimension::angle, from_now});
  }

  void feed() {
    const double wheel = std::abs(wheel_.found.wheel().value),
                 mounting = std::abs(wheel_.found.mounting().value);
    if (wheel_.kind->dimension == Dimension::mass) {
      if (!wheel_.one_side)
        out_.feeds.push_back({"residual_static", wheel, {}, wheel_.found.wheel().amount()});
      if (!wheel_.on_hub)
        out_.feeds.push_back({"reseat_change",
                              2.0 * mounting,
                              {},
                              wheel_.found.half_turn_change(CountedFrom::turning)});
    } else if (wheel_.kind->dimension == Dimension::force) {
      out_.feeds.push_back({"radial_force_first", wheel, {}, wheel_.found.wheel().amount()});
    } else if (wheel_.on_hub) {
      out_.feeds.push_back({"on_off_difference", mounting, {}, wheel_.found.mounting().amount()});
      follow();
    }
  }

  // Which part carries the high place, where one of them clearly does.
  void follow() {
    const Interval wheel = wheel_.found.wheel().amount(), hub = wheel_.found.mounting().amount();
    const auto limit = context_.limit("tread_radial_runout");
    const char* answer = limit && wheel_.found.parts.most().high <= limit->good ? "no_high_place"
                         : wheel.low > hub.high                                 ? "with_wheel"
                         : hub.low > wheel.high                                 ? "with_hub"
                                                                                : "";
    if (*answer) out_.feeds.push_back({"runout_follows", 0.0, answer});
  }

  void picture() {
    Dial dial;
    dial.title = "Wheel and mounting, first mounting";
    dial.unit = std::string(usual_unit(wheel_.kind->dimension, context_.units));
    dial.mark = wheel_.from_valve ? "valve" : "mark";
    const auto arrow = [&](const char* name, const VectorEstimate& of) {
      return vector_arrow(name, of, wheel_.kind->dimension, context_.units);
    };
    dial.arrows = {arrow("stays: mounting", wheel_.found.mounting()),
                   arrow("turns: wheel", wheel_.found.wheel()),
                   arrow("both", wheel_.found.parts.sum_at(0.0))};
    dial.arrows[1].from = 0;
    dial.arrows[2].reference = true;
    out_.svg = svg_of(dial);
  }

  const IndexedWheel& wheel_;
  const BayContext& context_;
  BayResult& out_;
};

}  // namespace

void say_indexing(const IndexedWheel& wheel, const BayContext& context, BayResult& out) {
  IndexingWords(wheel, context, out).say_all();
}

}  // namespace perrev

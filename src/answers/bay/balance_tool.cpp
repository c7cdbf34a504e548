// Which weights go where on a wheel, from a balancer's reading in two planes, and what they leave.
#include <cmath>

#include "engine/shopmath/weights.h"
#include "src/answers/bay/balance_words.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/vector_words.h"
#include "src/answers/bay/wheel_planes.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

// One weight as it is fastened.
struct FastenedWeight {
  std::size_t plane = 0;
  double mass = 0.0, angle = 0.0;
};

// Each weight as it goes on; one behind the spokes is split between two of them where they are
// told.
Result<std::vector<FastenedWeight>, Problems> fastened(const BayInput& input,
                                                       const WheelPlanes& wheel,
                                                       const WeightPlan& plan) {
  std::vector<FastenedWeight> out;
  const auto spokes = input.number("spokes");
  for (const PlacedWeight& weight : plan.weights) {
    if (!spokes || wheel.names[weight.plane] != "Behind the spokes") {
      out.push_back({weight.plane, weight.mass, weight.angle});
      continue;
    }
    const auto [first, second] = spokes_beside(weight.angle, static_cast<int>(std::lround(*spokes)),
                                               input.number("spoke_at").value_or(0.0));
    const auto split =
        split_weight(weight.mass, weight.angle, first, second, wheel.weights[weight.plane].sizes);
    if (!split) return field_problem("spokes", split.error());
    if (split->first_size > 0.0) out.push_back({weight.plane, split->first_size, first});
    if (split->second_size > 0.0) out.push_back({weight.plane, split->second_size, second});
  }
  return out;
}

std::string weight_words(const WheelPlanes& wheel, const FastenedWeight& weight, Units units) {
  std::string out = wheel.names[weight.plane] + ": " + mass_at(weight.mass, weight.angle, units);
  const double segment = wheel.segments[weight.plane];
  if (segment > 0.0) {
    const int count = segments_in(weight.mass, segment);
    out += ", " + std::to_string(count) + (count == 1 ? " segment" : " segments");
  }
  return out + ".";
}

// Static part and couple as masses at the rim flange.
struct AsMasses {
  VectorEstimate static_part, couple;
};
AsMasses as_masses(const Unbalance& of, const WheelPlanes& wheel) {
  AsMasses out{times(of.static_part(), 1.0 / wheel.radius),
               times(of.couple(0.5 * wheel.width), 1.0 / (wheel.radius * wheel.width))};
  for (VectorEstimate* part : {&out.static_part, &out.couple})
    if (std::abs(part->value) < 1e-9) part->value = 0.0;  // a millionth of a gram
  return out;
}

// "static 24 g at 132 deg (4:30 o'clock), couple 12 g a side".
std::string static_words(const AsMasses& of, bool couple_read, Units units) {
  const Vector whole = of.static_part.value;
  std::string out = "static " + mass_at(std::abs(whole), angle_of(whole), units);
  if (couple_read)
    out += ", couple " + told(std::abs(of.couple.value), Dimension::mass, units) +
           " a side, outside " + told_place(angle_of(of.couple.value));
  return out;
}

void add_verdict(BayResult& out, const BayInput& input, const AsMasses& left,
                 const BalanceMasses& limits, Units units) {
  const double static_left = std::abs(left.static_part.value);
  const double couple_left = std::abs(left.couple.value);
  const bool static_passes = static_left <= limits.static_mass * (1.0 + 1e-9);
  const bool couple_read = couple_is_read(input);
  const bool couple_passes = !couple_read || couple_left <= limits.couple_mass * (1.0 + 1e-9);
  const auto left_of = [&](double mass, double limit) {
    return told(mass, Dimension::mass, units) + " is left (" +
           told_limit(limit, Dimension::mass, units) + " may be)";
  };
  out.sentences.push_back(
      std::string("With these weights on it ") +
      (static_passes && couple_passes ? "passes" : "does not pass") + ": static " +
      left_of(static_left, limits.static_mass) +
      (couple_read ? ", couple a side " + left_of(couple_left, limits.couple_mass) : "") + ".");
  if (static_passes && !couple_passes)
    out.sentences.push_back(
        "Static is in order and couple is not: the wheel will wobble, and the steering can shake.");
  if (!couple_read)
    out.notes.push_back(
        "A static reading says nothing of couple: a wheel that passes it may still wobble. Weights "
        "are shared so that they add none; spin it in two planes where the balancer can.");
  if (input.choice("weights") == "inner_only")
    out.notes.push_back(
        "All weight inside is a last resort: it takes the static part and leaves couple. Adhesive "
        "weight behind the spokes is the second plane of a wheel with no outer flange.");
  if (left.static_part.amount().high > limits.static_mass ||
      (couple_read && left.couple.amount().high > limits.couple_mass))
    out.notes.push_back("Within how well it reads, more may be left than passes: spin it again.");
}

void add_numbers(BayResult& out, const AsMasses& found, const AsMasses& left, bool couple_read) {
  const auto add = [&](const char* id, const char* label, const VectorEstimate& of) {
    out.numbers.push_back({id, label, Dimension::mass, std::abs(of.value), of.amount()});
  };
  add("static", "Static, as read", found.static_part);
  if (couple_read) add("couple", "Couple a side, as read", found.couple);
  add("static_left", "Static, left over", left.static_part);
  if (couple_read) add("couple_left", "Couple a side, left over", left.couple);
}

// A stripped wheel needs weight however well it ran: only one that was spun as it came in is
// evidence. Weights are taken off before the wheel is balanced, so that counts unless it is told.
void add_feeds(BayResult& out, const BayInput& input, const AsMasses& found) {
  if (input.choice("old_weights") != "on") {
    out.notes.push_back(
        "Read with the old weights off, which says nothing of what the wheel was out by as it came "
        "in: a case is not told of it. Where they were on, say so.");
    return;
  }
  const auto feed = [&](const char* fact, const VectorEstimate& of) {
    out.feeds.push_back({fact, std::abs(of.value), {}, of.amount()});
  };
  feed("residual_static", found.static_part);
  if (couple_is_read(input)) feed("residual_couple", found.couple);
  out.notes.push_back(
      "The case is told what the wheel was out by as it came in, with its old weights on.");
}

void add_cautions(BayResult& out) {
  out.cautions = {
      "Hood down, stones out of the tread, nobody beside the wheel while it turns.",
      "No weight where the caliper or a linkage can reach it; turn the wheel by hand first."};
  out.notes.push_back(
      "Clean and dry under adhesive weight, clips of the rim's own shape. Places are counted "
      "clockwise from the valve, seen from outside, for both planes.");
  out.notes.push_back("Off and seated again it should read the same within 7 g (0.25 oz).");
}

Result<BayResult, Problems> run_balance(const BayInput& input, const BayContext& context) {
  const auto wheel = planes_of(input);
  if (!wheel) return wheel.error();
  const auto of = unbalance_read(input, *wheel);
  if (!of) return of.error();
  const bool couple_read = couple_is_read(input);
  const BalanceMasses limits = balance_masses(context);
  const BalanceLimits moments{limits.static_mass * wheel->radius,
                              limits.couple_mass * wheel->radius * wheel->width,
                              0.5 * wheel->width};
  const auto plan = plan_weights(*of, wheel->weights, moments);
  if (!plan) return field_problem("weights", plan.error());
  const auto weights = fastened(input, *wheel, *plan);
  if (!weights) return weights.error();

  const Units units = context.units;
  BayResult out;
  Unbalance after = *of;
  const AsMasses found = as_masses(*of, *wheel);
  std::vector<DialArrow> arrows{
      vector_arrow("Heavy, static", found.static_part, Dimension::mass, units)};
  if (couple_read)
    arrows.push_back(vector_arrow("Heavy outside, couple", found.couple, Dimension::mass, units));
  if (weights->empty())
    out.sentences.push_back("No weight is wanted: the smallest there is would make it worse.");
  for (std::size_t i = 0; i < weights->size(); ++i) {
    const FastenedWeight& weight = (*weights)[i];
    const Plane& at = wheel->weights[weight.plane].at;
    after = after.with(vector_at(weight.mass * at.radius, weight.angle), at.position);
    out.sentences.push_back(weight_words(*wheel, weight, units));
    arrows.push_back(
        mass_arrow(wheel->names[weight.plane], vector_at(weight.mass, weight.angle), units));
    const std::string id = "weight_" + std::to_string(i + 1);
    out.numbers.push_back({id, wheel->names[weight.plane], Dimension::mass, weight.mass});
    out.numbers.push_back(place_number(id + "_at", weight.angle));
  }
  if (plan->beyond_sizes)
    out.sentences.push_back("More than " + told(kMostWeight, Dimension::mass, units) +
                            " is wanted in one plane: look first how the wheel is seated, for dirt "
                            "and a bent rim, and turn the tire on it.");
  const AsMasses left = as_masses(after, *wheel);
  out.sentences.push_back("As read it is heavy by " + static_words(found, couple_read, units) +
                          ".");
  add_verdict(out, input, left, limits, units);
  add_numbers(out, found, left, couple_read);
  add_feeds(out, input, found);
  add_cautions(out);
  if (limits.of_a_car)
    out.notes.push_back("The kind of vehicle is not told: what may be left is that of a car.");
  if (input.rows("spins").size() == 1 && !input.number("reading_sd"))
    out.notes.push_back("How well the balancer repeats is taken as " +
                        told(kReadingSd, Dimension::mass, units) + "; several spins tell.");
  out.svg = mass_dial("Weights and what is heavy", "valve", arrows, units);
  return out;
}

}  // namespace

BayTool balance_tool() {
  return {
      "balance",
      "Wheel balance",
      "From a balancer's reading, of two planes or static, to the weights that go on, and what "
      "they "
      "leave.",
      {"residual_static", "residual_couple"},
      {"rebalance"},
      {rows_field("spins", "Spins",
                  "One row a spin; spins without a change tell how well it reads.",
                  {{"inner", "Inner or static mass", Dimension::mass, 0.0, 0.5},
                   place_column("inner_at", "Its place", false),
                   {"outer", "Outer or couple mass", Dimension::mass, 0.0, 0.5, false},
                   place_column("outer_at", "Its place", false)},
                  1, 8),
       reads_field(),
       choice_field(
           "old_weights", "Old weights",
           "They come off before a wheel is balanced. Spun once as it came in, before "
           "that, it is evidence for a case; stripped it is none.",
           {{"off", "Taken off before"}, {"on", "On it, as it came in", "residual_static"}}, "off"),
       shows_field(),
       quantity_field({"rim_diameter", "Rim diameter", Dimension::length, 0.2, 0.8},
                      "Where clip-on weights sit, across.", true),
       quantity_field({"rim_width", "Width between the flanges", Dimension::length, 0.05, 0.45},
                      "From weight to weight along the axis.", true),
       choice_field("read_at", "Outer plane it reads", "As the balancer was told.",
                    {{"flange", "Outer flange"}, {"spokes", "Behind the spokes"}}, "flange"),
       choice_field("weights", "Weights go", "A wheel with no outer flange: behind the spokes.",
                    {{"flanges", "On both flanges"},
                     {"inner_and_adhesive", "Inner flange, and behind the spokes"},
                     {"adhesive", "Two places inside the rim"},
                     {"inner_only", "Inner flange only, a last resort"}},
                    "flanges"),
       quantity_field({"spoke_plane", "Plane behind the spokes", Dimension::length, 0.0, 0.45},
                      "How far it lies outside the inner flange."),
       quantity_field({"inner_adhesive", "Inner adhesive plane", Dimension::length, 0.0, 0.45},
                      "How far it lies outside the inner flange.", false, "20 mm"),
       quantity_field({"adhesive_diameter", "Adhesive diameter", Dimension::length, 0.15, 0.8},
                      "Inside the rim, where adhesive weights sit, across."),
       quantity_field(whole_column("spokes", "Spokes", 3.0, 40.0),
                      "To hide the weight: split between the two spokes beside its place."),
       quantity_field(place_column("spoke_at", "Place of a spoke"), "Any one of them."),
       quantity_field({"clip_step", "Step of clip-on weights", Dimension::mass, 0.0005, 0.03},
                      "The smallest, and what each is heavier than the next; else 0.25 oz, or 5 g "
                      "where spins are in grams."),
       quantity_field({"segment", "One adhesive segment", Dimension::mass, 0.0005, 0.03},
                      "All segments alike.", false, "5 g"),
       quantity_field({"place_step", "Step of places", Dimension::angle, 0.017, 1.0},
                      "Where weights only go at certain places; else anywhere."),
       quantity_field({"reading_sd", "How well it repeats", Dimension::mass, 0.0, 0.05},
                      "One standard deviation of a reading; else spins tell.")},
      run_balance,
      "perrev bay balance --spins \"38 g, 3 o'clock, 21 g, 9 o'clock\" \\\n"
      "    --rim-diameter \"16 in\" --rim-width \"6.5 in\""};
}

}  // namespace perrev

// What a fault of some size feels like: laws that hold whatever the numbers of physics.yaml.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "src/answers/feel_words.h"
#include "tests/engine/picture/svg_reader.h"
#include "tests/src/shipped.h"

namespace perrev {
namespace {

FeelQuestion question(FaultKind kind, double size, double front = 1.0) {
  FeelQuestion out;
  out.vehicle.front_tire = out.vehicle.rear_tire = *parse_tire("225/60R16");
  out.vehicle_kind = "car";
  FaultAsked asked;
  asked.kind = kind;
  if (usual_way(kind).order == 0.0) {  // of the engine
    out.vehicle.cylinders = 4;
    out.vehicle.gear_ratio = 0.7;
  }
  asked.size = size_words(kind, size, Units::metric);
  if (std::string(usual_way(kind).source) == "tire") asked.front = front;
  const auto fault = fault_asked(test::shipped_rules(), asked, out.vehicle, Units::metric);
  REQUIRE(fault);
  out.fault = *fault;
  return out;
}

FeelAnswer answer_to(const FeelQuestion& asked) {
  const auto out = feel_answer(test::shipped_rules(), asked, Units::metric);
  REQUIRE(out);
  return *out;
}

std::vector<FaultKind> kinds() {
  std::vector<FaultKind> out;
  for (const std::string& name : fault_kind_names()) out.push_back(*fault_kind_named(name));
  return out;
}

const FeltAtPlace& of(const FeltPoint& point, FeltPlace place) {
  return point.places[static_cast<std::size_t>(place)];
}

double highest(const FeelAnswer& answer, FeltPlace place) {
  double out = 0.0;
  for (const FeltPoint& point : answer.curve) out = std::max(out, of(point, place).probability);
  return out;
}

TEST_CASE("law: a larger fault is felt by no fewer, at every speed and place") {
  for (const FaultKind kind : kinds()) {
    CAPTURE(std::string(name_of(kind)));
    FeelAnswer smaller = answer_to(question(kind, 1e-3 * largest_of(kind)));
    bool grew = false;
    for (const double part : {1e-2, 1e-1}) {
      const FeelAnswer larger = answer_to(question(kind, part * largest_of(kind)));
      for (std::size_t i = 0; i < larger.curve.size(); ++i)
        for (std::size_t p = 0; p < kFeltPlaces; ++p) {
          CHECK(larger.curve[i].places[p].probability >= smaller.curve[i].places[p].probability);
          grew |= larger.curve[i].places[p].probability > smaller.curve[i].places[p].probability;
        }
      smaller = larger;
    }
    CHECK(grew);
  }
}

TEST_CASE("law: of a fault of the size that half feel, half feel it at the worst speed") {
  for (const FaultKind kind : kinds())
    for (const double part : {1e-3, 1e-2}) {
      CAPTURE(std::string(name_of(kind)));
      FeelQuestion asked = question(kind, part * largest_of(kind));
      const FeelAnswer first = answer_to(asked);
      REQUIRE(first.worst);
      const FeelSizes sizes = first.sizes;
      asked.speed = first.worst->speed;
      for (const auto& [size, share] : {std::pair{sizes.few, 0.158655}, std::pair{sizes.half, 0.5},
                                        std::pair{sizes.most, 0.841345}}) {
        if (!size) continue;
        asked.fault.size = *size;
        CHECK(answer_to(asked).at_speed->probability == doctest::Approx(share).epsilon(1e-6));
      }
      if (sizes.few && sizes.half) CHECK(*sizes.few < *sizes.half);
      if (sizes.half && sizes.most) CHECK(*sizes.half < *sizes.most);
    }
}

TEST_CASE("the front axle is felt more in the steering wheel, the rear one more in the seat") {
  for (const FaultKind kind : {FaultKind::imbalance, FaultKind::force_variation}) {
    const double size = 0.02 * largest_of(kind);
    const FeelAnswer front = answer_to(question(kind, size, 1.0)),
                     rear = answer_to(question(kind, size, 0.0));
    CHECK(highest(front, FeltPlace::steering_wheel) > highest(rear, FeltPlace::steering_wheel));
    CHECK(highest(rear, FeltPlace::seat) > highest(front, FeltPlace::seat));
  }
}

TEST_CASE("law: at either axle, as many feel it as the mean of the two") {
  const double size = 0.03;
  const FeelAnswer front = answer_to(question(FaultKind::imbalance, size, 1.0)),
                   rear = answer_to(question(FaultKind::imbalance, size, 0.0)),
                   either = answer_to(question(FaultKind::imbalance, size, 0.3));
  for (std::size_t i = 0; i < either.curve.size(); ++i) {
    CHECK(either.curve[i].probability ==
          doctest::Approx(0.3 * front.curve[i].probability + 0.7 * rear.curve[i].probability));
    const auto seat = [&](const FeelAnswer& one) {
      return std::pow(of(one.curve[i], FeltPlace::seat).acceleration, 2.0);
    };
    CHECK(seat(either) == doctest::Approx(0.3 * seat(front) + 0.7 * seat(rear)));
  }
}

TEST_CASE("more than half feel it between the two speeds that are told, and nowhere else") {
  for (const FaultKind kind : kinds())
    for (const double part : {1e-3, 3e-3, 1e-2, 3e-2}) {
      const FeelAnswer answer = answer_to(question(kind, part * largest_of(kind)));
      double most = 0.0;
      for (const FeltPoint& point : answer.curve) {
        most = std::max(most, point.probability);
        if (!answer.half_from || point.speed < *answer.half_from - 1e-9 ||
            (answer.half_to && point.speed > *answer.half_to + 1e-9))
          CHECK(point.probability < 0.5);
      }
      CHECK(answer.half_from.has_value() == (most >= 0.5));
    }
}

TEST_CASE("the tire decides the frequency, and who does not name it gets a usual one, said so") {
  FeelQuestion asked = question(FaultKind::imbalance, 0.03);
  const FeelAnswer known = answer_to(asked);
  const double around = rolling_circumference(*asked.vehicle.front_tire, {}).mean;
  CHECK(known.circumference == doctest::Approx(around));
  for (const FeltPoint& point : known.curve)
    CHECK(point.hz == doctest::Approx(point.speed / around).epsilon(1e-9));
  asked.vehicle = {};
  asked.vehicle_kind.clear();
  const FeelAnswer usual = answer_to(asked);
  CHECK(usual.circumference ==
        doctest::Approx(test::shipped_rules().physics.bodies.front().circumference));
  CHECK(usual.notes.size() == known.notes.size() + 2);
}

TEST_CASE("a picture is well-formed, has a line for everywhere and one for each place") {
  for (const FaultKind kind : kinds())
    for (const Units units : {Units::us, Units::metric}) {
      FeelQuestion asked = question(kind, 0.05 * largest_of(kind));
      asked.speed = 25.0;
      const FeelAnswer answer = answer_to(asked);
      const Plot plot = feel_plot(asked, answer, {{25.0, "here"}}, units);
      REQUIRE(!plot.series.empty());
      CHECK(plot.series.front().name == "anywhere");
      CHECK(plot.series.size() <= 1 + felt_places(answer).size());
      const auto elements = test::read_svg(svg_of(plot));
      REQUIRE(elements);
      for (const std::string& sentence : feel_sentences(asked, answer, units))
        CHECK(plot.summary.find(sentence) != std::string::npos);
    }
}

TEST_CASE("sizes are read in the units of their kind and refused in others") {
  const auto read = [](FaultKind kind, const char* text) {
    return read_fault_size(kind, text, Units::metric);
  };
  struct Row {
    FaultKind kind;
    const char* text;
    double si;
  };
  const Row rows[] = {{FaultKind::imbalance, "1 oz", 0.028349523125},
                      {FaultKind::force_variation, "30 lb", 133.4466},
                      {FaultKind::radial_runout, "0.030 in", 0.000762},
                      {FaultKind::shaft_imbalance, "1 oz in", 7.20077887375e-4},
                      {FaultKind::joint_angle, "2 deg", 0.0349065850},
                      {FaultKind::brake_torque, "40 N m", 40.0},
                      {FaultKind::brake_torque, "40Nm", 40.0},
                      {FaultKind::engine_torque, "10 lb ft", 13.5581795},
                      {FaultKind::engine_torque, "10 ft-lb", 13.5581795}};
  for (const Row& row : rows) {
    CAPTURE(row.text);
    const auto size = read(row.kind, row.text);
    REQUIRE(size);
    CHECK(*size == doctest::Approx(row.si).epsilon(1e-6));
    // What is shown is read back.
    for (const Units units : {Units::us, Units::metric})
      CHECK(*read_fault_size(row.kind, size_words(row.kind, *size, units), units) ==
            doctest::Approx(*size).epsilon(6e-3));
  }
  for (const FaultKind kind : kinds())
    for (const char* text : {"1", "", "0 g", "1 psi", "-1", "1e9 g", "m", "N m", " ft"}) {
      CAPTURE(text);
      CHECK_FALSE(read(kind, text));
    }
}

TEST_CASE("a fault that is dangerous to drive with is told so; a small one is not") {
  for (const FaultKind kind : kinds()) {
    CHECK(danger_of(kind, 0.001 * largest_of(kind)).empty());
    const FeelAnswer answer = answer_to(question(kind, largest_of(kind)));
    const std::string danger = danger_of(kind, largest_of(kind));
    if (!danger.empty()) CHECK(answer.cautions.front() == danger);
  }
  CHECK_FALSE(danger_of(FaultKind::imbalance, 0.2).empty());
}

}  // namespace
}  // namespace perrev

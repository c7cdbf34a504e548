#include "src/answers/recording/recorded.h"

#include <cmath>

namespace perrev {

namespace {

// Of rates as likely as each other: the mean of their logarithms, and how far those scatter.
Rate any_of_them(const std::vector<Rate>& rates) {
  double mean = 0.0, squares = 0.0;
  const double count = static_cast<double>(rates.size());
  for (const Rate& rate : rates) mean += std::log(rate.value) / count;
  for (const Rate& rate : rates) {
    const double off = std::log(rate.value) - mean;
    squares += (off * off + rate.spread * rate.spread) / count;
  }
  return {std::exp(mean), std::sqrt(squares)};
}

}  // namespace

UsualTurns usual_of(const PhysicsBook& book, const std::string& kind) {
  UsualTurns out = usual_turns(book, kind);
  if (!kind.empty() || book.empty()) return out;
  std::vector<Rate> wheels, shafts;
  for (const PhysicsBody& body : book.bodies) {
    const UsualTurns turns = usual_turns(book, body.id);
    wheels.push_back(turns.wheel);
    shafts.push_back(turns.shaft);
  }
  out.wheel = any_of_them(wheels);
  out.shaft = any_of_them(shafts);
  return out;
}

RecordedLines lines_of(const RuleBase& base, const Recorded& recorded,
                       const RecordedVehicle& vehicle) {
  return recorded_lines(base, vehicle.facts, usual_of(base.physics, vehicle.kind),
                        recorded.analysis, recorded.by);
}

}  // namespace perrev

#include "engine/providers/usual_turns.h"

#include "engine/normal.h"

namespace perrev {

Rate times(const Rate& a, const Rate& b) {
  return {a.value * b.value, sd_of_sum(a.spread, b.spread)};
}

UsualTurns usual_turns(const PhysicsBook& book, std::string_view kind) {
  UsualTurns out;
  if (book.empty()) return out;
  const PhysicsBody& body = book.bodies[static_cast<std::size_t>(body_index(book, kind))];
  out.wheel = {1.0 / body.circumference, body.circumference_sd};
  out.shaft = {body.axle_ratio, body.axle_ratio_sd};
  return out;
}

}  // namespace perrev

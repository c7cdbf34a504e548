// Words of the road-test plan: speeds, engine speeds, suspects, cautions. For road_page and
// road_json.
#pragma once

#include <string>
#include <vector>

#include "engine/planning/road_plan.h"

namespace perrev {

// A box to tick while lines are still being broken at blanks: it has none that could break it in
// two.
inline constexpr const char* kBox = "[~]";

// "A", "B", ..
std::string letter(std::size_t suspect);
std::string letters(const std::vector<std::size_t>& suspects);
// "worst speed": a fact in as few words as there are.
std::string short_name(const RuleBase& base, int fact);
std::string suspect_name(const RuleBase& base, const RoadSuspect& suspect);

// "62 mph", "30 to 65 mph"; to the whole unit.
std::string speed_words(double speed, Units units);
std::string speed_words(double from, double to, Units units);
// "1800 rpm", "2150 to 2700 rpm"; to 50.
std::string rpm_words(double low_hz, double high_hz);

// "A from B C; C from D": the pairs, suspects with the same partners together.
std::string pair_words(const std::vector<RoadPair>& pairs);

// The sentences of a caution that are not said once for the whole drive (general_cautions).
std::string own_caution(const std::string& caution);
// What holds for every drive, one sentence a line.
std::vector<std::string> general_cautions(const RoadPlan& plan, Units units);

}  // namespace perrev

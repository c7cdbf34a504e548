// The road-test plan as one printed page, and as JSON.
//
// Plain text: 80 columns, about kRoadPageLines lines at most, with the cautions and with room to
// note what was found. Suspects are lettered A, B, .. in the order of the plan, and an answer names
// the letters that it points to. A caution is left out only where the page says the same for the
// whole drive, and then by whole sentences. A page that grows too long loses its blank lines, of
// each manoeuvre all but the two questions that tell most, and at the end the names of the bay's
// checks; never a caution, a manoeuvre or a stop.
//
// JSON keys are stable; numbers are metric with the unit in the key's name, probabilities 0..1.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/planning/road_plan.h"

namespace perrev {

inline constexpr std::size_t kRoadPageLines = 60;

std::string road_page(const Reasoner& reasoner, const CaseFacts& facts, const RoadPlan& plan,
                      Units units);

nlohmann::ordered_json road_json(const Reasoner& reasoner, const RoadPlan& plan);

}  // namespace perrev

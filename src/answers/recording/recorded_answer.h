// All that is said of a recording about one vehicle, put together once for the command line and for
// the page.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "src/answers/open_case.h"
#include "src/answers/recording/recorded_entries.h"
#include "src/answers/recording/recording_run.h"

namespace perrev {

// Of the case as it stands now; nothing is known of a vehicle without one.
RecordedVehicle vehicle_in(const RuleBase& base, const OpenCase* open);
WheelTerms wheel_of(const RuleBase& base, const RecordedVehicle& vehicle);

const std::vector<std::string>& recording_cautions();

// Keys of docs/json.md, "recording". `open`: null without a case; then there are no entries.
nlohmann::ordered_json recorded_answer(const RuleBase& base, const Recorded& recorded,
                                       const RecordedVehicle& vehicle, const OpenCase* open,
                                       Units units, double width);

}  // namespace perrev

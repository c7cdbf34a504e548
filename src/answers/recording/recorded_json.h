// A recording and what it says, as JSON (docs/json.md, "recording") and as text of 80 columns.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/recording/severity_change.h"
#include "src/answers/recording/recorded_entries.h"

namespace perrev {

nlohmann::ordered_json to_json(const Recorded& recorded, const RecordedLines& lines);
nlohmann::ordered_json to_json(const std::vector<RecordedEntry>& entries);
nlohmann::ordered_json severity_json(const Severity& severity);
nlohmann::ordered_json change_json(const SeverityChange& change);
nlohmann::ordered_json to_json(const std::vector<FileColumn>& columns);
// What was read, and what was found about it: `perrev recording check`.
nlohmann::ordered_json reading_json(const Recorded& recorded);

std::string reading_text(const Recorded& recorded, Units units);
std::string vibrations_text(const RecordedLines& lines, Units units);

}  // namespace perrev

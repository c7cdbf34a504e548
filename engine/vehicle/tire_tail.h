// What may follow the rim of a tire designation: suffix, load range, service description, marks.
// Internal to this folder.
#pragma once

#include <optional>

#include "engine/result.h"
#include "engine/vehicle/tire_reading.h"
#include "engine/vehicle/tire_scanner.h"

namespace perrev {

// Reads to the end of the text, in whatever order and spacing people write these things.
std::optional<Problem> read_tail(TireScanner& scanner, TireReading& reading);

// Load ranges above E are for trucks: alone behind a passenger size such a letter is a stray speed
// symbol.
bool is_stray_range(char letter, const TireReading& reading);

}  // namespace perrev

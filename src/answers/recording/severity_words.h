// How severe a vibration is, in sentences that a customer can be shown.
#pragma once

#include <string>
#include <vector>

#include "engine/quantity/quantity.h"
#include "engine/recording/severity.h"
#include "engine/recording/severity_change.h"

namespace perrev {

// A subject where nobody said where the recorder lay.
inline constexpr char kAtTheRecorder[] = "Shake at the recorder";

// `subject`: what shook where, as "Shake on the seat". Nothing of a recording that was too
// short to weigh.
std::vector<std::string> severity_sentences(const Severity& severity, const std::string& subject);

// The figures first, then what they are worth.
std::vector<std::string> change_sentences(const SeverityChange& change, const std::string& subject,
                                          Units units);

}  // namespace perrev

// Parts of the technician's report. Internal to this folder.
#pragma once

#include "src/report/html.h"
#include "src/report/report.h"

namespace perrev {

// Every entry of the file by round, with who, when and source, taken back or not; keys that the
// program does not know as they stand there.
void entries_part(const ReportedCase& of, Html& html);

// Readings against their limits, with class and origin, by round.
void readings_part(const ReportedCase& of, Html& html);

// The causes with probabilities; the first ones with every weight, the rest in a line each.
void ranking_part(const ReportedCase& of, Html& html);

// By digest; shown, where that is wanted and the case holds them.
void photos_part(const ReportedCase& of, Html& html);

}  // namespace perrev

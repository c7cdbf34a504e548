// How strongly rules speak, by what closed cases show. The inside of fit.h.
#pragma once

#include <vector>

#include "engine/bench/fit.h"

namespace perrev {

std::vector<StrengthFit> fit_strengths(const AnswerModel& model, const std::vector<Claim>& claims,
                                       const std::vector<ClosedCase>& cases, double deviation);

}  // namespace perrev

#include "engine/recording/spectrum.h"

namespace perrev {

std::size_t Spectrum::lines() const { return density[kAllAxes].size(); }

}  // namespace perrev

// `perrev simulate --score-recordings`: how well recordings of made-up drives are understood.
#pragma once

#include <cstdint>

#include "engine/bench/synthetic_complaint.h"
#include "src/commands/common.h"

namespace perrev {

// `count` recordings, a third of each shape of a drive, their tones from 6 to 20 dB over the road.
Exit score_recordings(const Simulator& simulator, std::uint64_t seed, std::size_t count,
                      const Common& common);

}  // namespace perrev

// `perrev simulate --score-recordings`: how well recordings of made-up drives are understood.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>

#include "engine/bench/synthetic_complaint.h"
#include "src/commands/common.h"

namespace perrev {

// `count` recordings, a third of each shape of a drive, their tones from 6 to 20 dB over the road.
Exit score_recordings(const Simulator& simulator, std::uint64_t seed, std::size_t count,
                      std::optional<double> sample_rate, const Common& common);

}  // namespace perrev

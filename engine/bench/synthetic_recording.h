// What a recorder on the body would write down on a drive through the worst speed of a made-up
// complaint.
//
// z: the road and what the fault pushes upright, through the corner of the vehicle
// (physics/drive_signal.h); what shafts and torque do comes to it as a tone by their paths to the
// seat. x, y: the road's share fore and aft and sideways (`fore_aft`, `lateral` of physics.yaml)
// and white noise, with the tones of fore-aft and sideways pushes by their paths to the seat. A
// fault of braking shakes all along while the speed falls; any other while it rises evenly.
#pragma once

#include <cstdint>
#include <string>

#include "engine/bench/synthetic_complaint.h"

namespace perrev {

// The speed goes evenly from 15 % below the worst one to 15 % above it (a fault of braking: the
// other way round), or back down, or is held there as well as a driver can: half a percent to and
// fro.
enum class DriveShape { through, coasting, steady };

struct RecordingStyle {
  double sample_rate = 200.0;  // Hz
  double duration = 60.0;      // s
  DriveShape shape = DriveShape::through;
  double gain = 1.0;  // on what the fault does; 0: the road alone
};

struct SyntheticRecording {
  std::vector<double> time, speed;  // s, m/s
  std::vector<double> x, y, z;      // m/s2
};

// Lines at and above half the sampling rate are left out. Where the complaint names no worst speed,
// 25 m/s is driven through.
SyntheticRecording record(const Simulator& simulator, const SyntheticComplaint& complaint,
                          const RecordingStyle& style, std::uint64_t seed);

std::string recording_csv(const SyntheticRecording& recording);

}  // namespace perrev

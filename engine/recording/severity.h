// How severe a vibration is for people: ISO 2631-1:1997, weighted r.m.s. on the seat.
//
// x and y by Wd, z by Wk, factors of one for health and comfort of seated people (7.2.3, 8.2.2). A
// recorder that lies on the floor or the rail is not the seat: say where it was.
#pragma once

#include <array>
#include <string_view>
#include <vector>

#include "engine/recording/samples.h"

namespace perrev {

struct Severity {
  std::array<double, kAxes> weighted{};  // m/s2 r.m.s., by axis; 0 where there is none
  double total = 0.0;                    // vibration total value: root of the sum of squares
  double highest_running = 0.0;          // MTVV: highest running r.m.s. over 1 s, of the total
  double dose = 0.0;                     // VDV, m/s1.75, of the total's worst axis
  double crest = 0.0;                    // highest weighted peak over r.m.s., worst axis
  double seconds = 0.0;
  // Running r.m.s. of the total, one value for each second or longer so that there are at most
  // 3,600: m/s2.
  std::vector<double> running;
  double running_step = 0.0;  // s
};

// The words of annex C for a total value, of those ranges that overlap the milder and the harsher:
// "not uncomfortable", ... "a little to fairly uncomfortable".
std::string_view comfort_of(double total);

}  // namespace perrev

// How severe a vibration is for people: ISO 2631-1:1997, weighted r.m.s. on the seat.
//
// x and y by Wd, z by Wk, factors of one for health and comfort of seated people (7.2.3, 8.2.2). A
// recorder that lies on the floor or the rail is not the seat: say where it was. What lies above
// half the rate of the recording is not in it.
#pragma once

#include <array>
#include <string_view>
#include <vector>

#include "engine/recording/samples.h"

namespace perrev {

struct Severity {
  std::array<double, kAxes> weighted{};  // m/s2 r.m.s., by axis; 0 where there is none
  double total = 0.0;                    // vibration total value: root of the sum of squares
  double highest_running =
      0.0;               // MTVV: highest running r.m.s. over 1 s, of the total; 0: under 1 s
  double dose = 0.0;     // VDV, m/s1.75: the largest of the axes'
  double crest = 0.0;    // highest weighted peak over r.m.s., of the axis with most r.m.s.
  double seconds = 0.0;  // behind the figures: without those in which the filter settles
  // R.m.s. of the total over each step of those seconds, in m/s2: a step is 1 s, or as many times
  // two of it as makes them 3,600 at most. A rest shorter than a step is left out here.
  std::vector<double> running;
  double running_step = 0.0;  // s
  // Mean speed in each step, m/s; empty where none is known.
  std::vector<double> running_speed;
};

// The words of annex C for a total value, of those ranges that overlap the milder and the harsher:
// "not uncomfortable", ... "a little to fairly uncomfortable". Empty where it is not a number.
std::string_view comfort_of(double total);

}  // namespace perrev

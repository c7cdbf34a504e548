// What a number of trials of one strategy come to.
#pragma once

#include <string>
#include <vector>

#include "engine/picture/plot.h"
#include "engine/planning/trial.h"

namespace perrev {

struct ReliabilityBin {
  double low = 0.0, high = 0.0;
  int count = 0;
  double predicted = 0.0;  // mean probability of the cause that stood first
  double observed = 0.0;   // share of them that were there
};

struct TrialReport {
  std::string strategy;
  int complaints = 0;
  double solved = 0.0;  // share repaired in the shop, not handed on
  double minutes = 0.0, minutes_sd = 0.0, minutes_90 = 0.0;  // mean, its standard error, percentile
  double bound = 0.0;                     // mean minutes of one who knows the fault
  double checks = 0.0, repairs = 0.0;     // means
  double first = 0.0, first_three = 0.0;  // of complaints whose cause is listed, before a repair
  double calibration_error = 0.0;         // expected, over the bins
  std::vector<ReliabilityBin> bins;
};

// `runs` in the order of their seeds.
TrialReport report_of(const std::string& strategy, const std::vector<TrialRun>& runs);

// The mean of something in the same trials gone about in two ways.
struct PairedMean {
  double before = 0.0, after = 0.0;
  double error = 0.0;  // standard error of the mean of the differences

  double change() const { return after - before; }
  // Not beyond two standard errors: it may be chance.
  bool may_be_chance() const;
};

struct PairedReport {
  int complaints = 0;
  int alike = 0;     // in minutes, rank and outcome
  PairedMean first;  // share; of complaints whose cause is listed, before a repair
  PairedMean minutes;
  PairedMean solved;  // share
};

// Both in the order of the same seeds.
PairedReport paired_report(const std::vector<TrialRun>& before, const std::vector<TrialRun>& after);

// How often the cause that stood first was there, over its probability.
Plot reliability_plot(const TrialReport& report);

}  // namespace perrev

// How long from one swelling to the next: two turning parts of nearly one frequency.
//
// Two wheels: their circumferences differ by 0.1 to 2 %, log-uniform (from memory), or by what
// a comparison, treads, pressures and sizes of the case make of it. Other parts: any two lines of
// the vehicle that lie near enough. Answers are the bands between the values that the fact's base
// rates name.
#pragma once

#include <utility>
#include <vector>

#include "engine/providers/orders_feel.h"
#include "engine/providers/orders_lines.h"

namespace perrev {

// The fact, its bands and how often each is answered where the cause is not listed.
struct BeatFact {
  int fact = -1;              // -1: the rule base has none
  std::vector<double> edges;  // s, one more than bands
  std::vector<double> log_edges;
  std::vector<double> base;  // all positive; sums to 1

  std::size_t band_of(double period) const;
  // The same with what is below the band of `period` as one band, and what is above it.
  BeatFact around(double period) const;
};
BeatFact beat_fact(const RuleBase& base);

// What two wheels of the case are known to differ by, relative: as compared in the bay, else one
// for each two that can be computed from sizes, treads and pressures.
std::vector<Estimate> wheel_differences(const RuleBase& base, const CaseFacts& facts,
                                        std::size_t round);

class BeatModel {
 public:
  BeatModel(const BeatFact& fact, const RoundLines& round, const std::vector<FeltMoment>& moments,
            std::vector<Estimate> differences)
      : fact_(fact), round_(round), moments_(moments), differences_(std::move(differences)) {}

  // P(band | line); the base rates where nothing near could beat with the line. `by_size`: the
  // cause is just that two tires are not of one size.
  std::vector<double> bands(const CauseLine& line, bool by_size) const;

 private:
  std::vector<double> of_wheels(double order) const;
  std::vector<double> of_parts(const CauseLine& line, double& reach) const;

  const BeatFact& fact_;
  const RoundLines& round_;
  const std::vector<FeltMoment>& moments_;
  std::vector<Estimate> differences_;
};

}  // namespace perrev

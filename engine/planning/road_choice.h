// Choosing a set of manoeuvres: what tells every pair of suspects apart that can be told apart, the
// most for each minute first.
//
// A manoeuvre tells two suspects apart when the answers of one of the things it learns have a total
// variation of at least kTellsApart between them: of a hundred vehicles with the one fault and a
// hundred with the other, at least thirty answer differently, so that between two causes equally
// likely the better guess is right 65 times in a hundred. A rule of strength `strong` on an answer
// that one complaint in ten gives comes to that (0.37), `some` does not (0.12). The set tells each
// pair nearly as far apart as the best option does (within kNearBest): nobody drives the weak test
// and leaves the good one.
//
// Greedy: the next is the one with the largest sum, over the pairs not served yet, of
// weight * variation, for each minute; a set-up is paid once. At the end what others make
// superfluous is left out. Ties go to the lower check. A set-up of -1 is none.
#pragma once

#include <cstddef>
#include <vector>

namespace perrev {

inline constexpr double kTellsApart = 0.30;
inline constexpr double kNearBest = 0.10;

struct RoadOption {
  int check = -1;
  double minutes = 0.0;
  int setup = -1;
  bool needed = false;        // in the set whatever it tells
  std::vector<double> apart;  // total variation, by pair
};

// Pairs of n suspects in one row: 01, 02, .., 12, ..
std::size_t pair_count(std::size_t suspects);
std::size_t pair_index(std::size_t first, std::size_t second, std::size_t suspects);

// Indices of the chosen options, ascending. `weights` by pair; `told` by pair: 1 where nothing more
// is wanted; `setup_minutes` by set-up.
std::vector<std::size_t> choose_manoeuvres(const std::vector<RoadOption>& options,
                                           const std::vector<double>& weights,
                                           const std::vector<char>& told,
                                           const std::vector<double>& setup_minutes);

}  // namespace perrev

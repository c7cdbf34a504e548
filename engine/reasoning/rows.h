// Loops over rows, one number for each cause: the innermost work of ranking.
//
// Rows begin where the widest loads like it and are as long as a multiple of kRowStep; what stands
// past the causes counts for nothing. `from` and `to` are multiples of kRowStep.
#pragma once

#include <boost/align/aligned_allocator.hpp>
#include <cstddef>
#include <vector>

namespace perrev {

inline constexpr std::size_t kRowStep = 16;

using CauseRow = std::vector<double, boost::alignment::aligned_allocator<double, 64>>;

constexpr std::size_t whole_steps(std::size_t length) {
  return (length + kRowStep - 1) / kRowStep * kRowStep;
}

// Whether a double holds a factor with room to spare.
constexpr bool held(double factor) { return (factor > 1e-290) & (factor < 1e290); }

// product *= by.
void times(double* product, const double* by, std::size_t from, std::size_t to);

// out = the product of the rows.
void product_of(double* out, const std::vector<const double*>& rows, std::size_t to);

// What variables say alone, and 1 / what was counted for that.
struct RowOver {
  const double *row, *over;
};
// out = the mean of `value` and the product of the rows, over what was counted.
void mean_of(double* out, double value, const std::vector<RowOver>& rows, std::size_t to);

// sum += by.
void add(double* sum, const double* by, std::size_t from, std::size_t to);
// sum = (sum + by) / over.
void add_and_divide(double* sum, double by, double over, std::size_t from, std::size_t to);

// out = scale * a * b.
void scaled_product(double* out, double scale, const double* a, const double* b, std::size_t from,
                    std::size_t to);

// What known variables say of each cause with every other, by the causes' rows; numbers without a
// row hang on the one cause.
struct PairTerms {
  struct Variable {
    const double* over = nullptr;
    const double* row = nullptr;  // mean and needs
    const double* no = nullptr;   // any and placed, as the next
    const double* inverse = nullptr;
    double fixed = 0.0;  // any
  };
  struct Mean {  // (own + row) * over, and half of it
    const Variable* of;
    double own;
  };
  struct Needs {  // (own + row) * inverse_mass * over
    const Variable* of;
    const double* inverse_mass;
    double own;
  };
  struct Any {  // (fixed + no * scale * min(inverse, own)) * over
    const Variable* of;
    double own, scale;
  };
  struct Placed {  // (fixed + no * (slope + scale * min(inverse, own))) * over
    const Variable* of;
    double own, fixed, slope, scale;
  };
  std::vector<Mean> mean;
  std::vector<Needs> needs;
  std::vector<Any> any;
  std::vector<Placed> placed;
  // By cause: up to where its terms go, which begin where the cause's before it end, and the halves
  // of its means multiplied.
  struct End {
    std::size_t mean = 0, needs = 0, any = 0, placed = 0;
    double halves = 1.0;
  };
  std::vector<End> ends;
};

// rows[cause] = product * each of the cause's terms, from the step that the cause after it is in;
// causes without a row are passed over.
void times_terms(const std::vector<double*>& rows, const double* product, const PairTerms& terms,
                 std::size_t to);

// row = 0 where it is not possible (0). Returns how many that are possible are not held.
std::size_t clear_impossible(double* row, const double* possible, std::size_t from, std::size_t to);

// product *= by, 0 staying 0; nothing is done where some product would not be held, and then false.
bool times_if_held(double* product, const double* by, std::size_t from, std::size_t to);

// Whether all that are possible (not 0) are held.
bool all_held(const double* row, const double* possible, std::size_t from, std::size_t to);

// Of a cause with every other: the mean of what both say times what stands over each, where one of
// them is modelled (not 0); else 1.
struct PairMean {
  const double *says, *over, *models;  // rows
  double own_says, own_over, own_models;
};
void mean_over(double* out, const PairMean& of, std::size_t from, std::size_t to);

bool any_at_least(const double* row, double least, std::size_t from, std::size_t to);

// total += by; returns the sum of `by`.
double add_and_sum(double* total, const double* by, std::size_t from, std::size_t to);

}  // namespace perrev

#include "engine/planning/check_outcomes.h"

#include <algorithm>
#include <utility>

namespace perrev {

namespace {

constexpr std::size_t kMostSheets = 48;
constexpr double kTellsNothing = 1e-6;  // bits

// By more than the last digits, in which machines differ: of equal ones the first is taken on all.
bool less_by_far(double one, double other) { return one < other * (1.0 - 1e-9) - 1e-15; }

double mean(const std::vector<double>& row, const std::vector<double>& mass) {
  double out = 0.0;
  for (std::size_t h = 0; h < mass.size(); ++h) out += mass[h] * row[h];
  return out;
}

// How much is lost when two outcomes are put together: to the second order the information in
// which of the two it was.
double loss(const std::vector<double>& one, double p, const std::vector<double>& other, double q,
            const std::vector<double>& mass) {
  const double share = p / (p + q);
  double out = 0.0;
  for (std::size_t h = 0; h < one.size(); ++h) {
    const double both = one[h] + other[h];
    const double off = one[h] - share * both;
    if (both > 0.0) out += mass[h] * off * off / both;
  }
  return out / (share * (1.0 - share));
}

// Puts outcomes together until there are at most `most`, the rarest first, each with the one that
// loses least.
void merge(LikelihoodTable& table, const std::vector<double>& mass, std::size_t most) {
  std::vector<double> p;
  LikelihoodTable kept;
  for (std::vector<double>& row : table) {
    const double here = mean(row, mass);
    if (here <= 0.0) continue;
    p.push_back(here);
    kept.push_back(std::move(row));
  }
  while (kept.size() > most) {
    const std::size_t rare =
        static_cast<std::size_t>(std::min_element(p.begin(), p.end(), less_by_far) - p.begin());
    std::size_t nearest = kept.size();
    double least = 0.0;
    for (std::size_t i = 0; i < kept.size(); ++i) {
      if (i == rare) continue;
      const double here = loss(kept[i], p[i], kept[rare], p[rare], mass);
      if (nearest < kept.size() && !less_by_far(here, least)) continue;
      least = here;
      nearest = i;
    }
    for (std::size_t h = 0; h < mass.size(); ++h) kept[nearest][h] += kept[rare][h];
    p[nearest] += p[rare];
    kept.erase(kept.begin() + static_cast<std::ptrdiff_t>(rare));
    p.erase(p.begin() + static_cast<std::ptrdiff_t>(rare));
  }
  table = std::move(kept);
}

struct Learned {
  Feature feature;
  LikelihoodTable table;
  double bits = 0.0;
};

// The sheets of answers to several features, each exact: where the rules of a hypothesis tie two of
// them together, the second is taken given the first.
class Sheets {
 public:
  Sheets(const Reasoner& reasoner, const Answers& answers,
         const std::vector<Hypothesis>& hypotheses, const std::vector<Learned>& features)
      : reasoner_(reasoner), answers_(answers), hypotheses_(hypotheses), features_(features) {}

  LikelihoodTable all() {
    extend(0, std::vector<double>(hypotheses_.size(), 1.0));
    return std::move(out_);
  }

 private:
  void extend(std::size_t depth, const std::vector<double>& so_far) {
    if (depth == features_.size()) {
      out_.push_back(so_far);
      return;
    }
    const Learned& here = features_[depth];
    if (here.feature.slots.size() > 1) return extend_any(depth, so_far);
    const LikelihoodTable given = depth == 0 || here.feature.provider
                                      ? here.table
                                      : table_of(reasoner_, answers_, here.feature, hypotheses_);
    for (std::size_t a = 0; a < given.size(); ++a) {
      for (const std::size_t slot : here.feature.slots) answers_[slot] = static_cast<int>(a);
      extend(depth + 1, times(so_far, given[a]));
    }
    for (const std::size_t slot : here.feature.slots) answers_[slot] = -1;
  }

  // That some place says yes is all that may be, less what follows where all say no.
  void extend_any(std::size_t depth, const std::vector<double>& so_far) {
    const Feature& here = features_[depth].feature;
    const LikelihoodTable given = table_of(reasoner_, answers_, here, hypotheses_);
    const std::size_t begin = out_.size();
    for (const std::size_t slot : here.slots) answers_[slot] = 0;
    extend(depth + 1, times(so_far, given[0]));
    const std::size_t end = out_.size();
    for (const std::size_t slot : here.slots) answers_[slot] = -1;
    extend(depth + 1, so_far);
    for (std::size_t row = end; row < out_.size(); ++row)
      for (std::size_t h = 0; h < so_far.size(); ++h)
        out_[row][h] = std::max(0.0, out_[row][h] - out_[row - end + begin][h]);
  }

  static std::vector<double> times(std::vector<double> one, const std::vector<double>& other) {
    for (std::size_t h = 0; h < one.size(); ++h) one[h] *= other[h];
    return one;
  }

  const Reasoner& reasoner_;
  Answers answers_;
  const std::vector<Hypothesis>& hypotheses_;
  const std::vector<Learned>& features_;
  LikelihoodTable out_;
};

}  // namespace

LikelihoodTable outcomes_of(const Reasoner& reasoner, const CaseFacts& facts, int check,
                            const std::vector<Hypothesis>& hypotheses,
                            const std::vector<double>& mass, std::size_t most) {
  std::vector<Learned> telling;
  const Check& done = reasoner.base().checks[static_cast<std::size_t>(check)];
  for (const int fact : done.learns)
    for (Feature& feature : features_of(reasoner, facts, fact, done.by)) {
      Learned made{std::move(feature), {}, 0.0};
      made.table = table_of(reasoner, facts, made.feature, hypotheses);
      made.bits = bits_of(made.table, mass);
      if (made.bits > kTellsNothing) telling.push_back(std::move(made));
    }
  std::sort(telling.begin(), telling.end(), [](const Learned& a, const Learned& b) {
    if (a.bits != b.bits) return a.bits > b.bits;
    return std::pair(a.feature.fact, a.feature.variable) <
           std::pair(b.feature.fact, b.feature.variable);
  });
  std::size_t sheets = 1, kept = 0;
  for (; kept < telling.size(); ++kept) {
    sheets *= telling[kept].table.size();
    if (kept > 0 && sheets > kMostSheets) break;
  }
  telling.erase(telling.begin() + static_cast<std::ptrdiff_t>(kept), telling.end());
  if (telling.empty()) return {};
  LikelihoodTable out = Sheets(reasoner, facts.now().answers, hypotheses, telling).all();
  merge(out, mass, most);
  return out;
}

}  // namespace perrev

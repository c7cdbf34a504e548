#include "engine/providers/orders.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

#include "engine/providers/orders_beat.h"
#include "engine/providers/orders_feel.h"
#include "engine/providers/orders_lines.h"

namespace perrev {

namespace {

constexpr int kFrequencyBands = 48;  // even in the logarithm
// The cause that is nothing but a difference of size between two tires.
constexpr const char* kBySize = "mismatched_tires_beating";

int frequency_fact(const RuleBase& base) { return base.fact_index("measured_frequency"); }

// Of each reading, where the recording it is from tells it.
std::optional<double> sd_held(const Reading& reading) {
  const auto found = reading.with.find("sd");
  if (found == reading.with.end()) return std::nullopt;
  const auto sd = parse_quantity(found->second, Dimension::frequency);
  return sd && *sd > 0.0 ? std::optional<double>(*sd) : std::nullopt;
}

// What one round says of a line, by factor; and what of it is known.
class Round {
 public:
  // The reading of `but` is left out, as if it were not known yet.
  Round(const RuleBase& base, const CaseFacts& facts, std::size_t round, int but = -1)
      : base_(base),
        round_(round_lines(base, facts, round)),
        felt_(felt_fact(base)),
        beat_(beat_fact(base)),
        moments_(felt_moments(base, facts, round, round_.vehicle)),
        beats_(beat_, round_, moments_,
               but == beat_.fact || facts.rounds[round].find(beat_.fact)
                   ? wheel_differences(base, facts, round)
                   : std::vector<Estimate>{}) {
    const auto known = [&](int fact) {
      const Reading* found = fact < 0 || fact == but ? nullptr : facts.rounds[round].find(fact);
      return found && !found->unsure ? found : nullptr;
    };
    if (const Reading* read = known(felt_.fact)) answer_ = read->answers[0];
    if (const Reading* read = known(frequency_fact(base)))
      if (computes_lines()) peaks_ = peaks_of(read->numbers, sd_held(*read));
    if (const Reading* read = known(beat_.fact))
      if (!read->numbers.empty()) period_ = read->number;
  }

  std::vector<int> known_facts() const {
    std::vector<int> out;
    if (!peaks_.empty()) out.push_back(frequency_fact(base_));
    if (answer_ >= 0) out.push_back(felt_.fact);
    if (period_) out.push_back(beat_.fact);
    std::sort(out.begin(), out.end());
    return out;
  }
  bool computes_lines() const { return !round_.lines.empty() || round_.moment; }
  const FeltFact& felt() const { return felt_; }
  const BeatFact& beat() const { return beat_; }
  std::vector<CauseLine> lines(const Cause& cause) const { return cause_lines(cause, round_); }

  // For each line, over not_listed: P(what is known | line).
  std::vector<double> likelihoods(const Cause& cause, const std::vector<CauseLine>& lines) const {
    std::vector<double> out(lines.size(), 1.0);
    if (measures(lines)) out = by_peaks(lines);
    for (std::size_t i = 0; i < lines.size(); ++i)
      out[i] *= by_feel(lines[i]) * by_beat(cause, lines[i]);
    return out;
  }

  double by_feel(const CauseLine& line) const {
    if (answer_ < 0) return 1.0;
    const std::size_t a = static_cast<std::size_t>(answer_);
    return felt_answers(line)[a] / felt_base()[a];
  }
  double by_beat(const Cause& cause, const CauseLine& line) const {
    if (!period_) return 1.0;
    const std::size_t band = beat_.band_of(*period_);
    return beat_bands(cause, line)[band] / beat_.base[band];
  }
  bool measures(const std::vector<CauseLine>& lines) const {
    return !peaks_.empty() && all_computed(lines);
  }
  std::vector<double> by_peaks(const std::vector<CauseLine>& lines) const {
    std::vector<Estimate> hz;
    std::vector<double> shares;
    for (const CauseLine& line : lines) {
      hz.push_back(*line.hz);
      shares.push_back(line.share);
    }
    return explained_by(peaks_, hz, shares);
  }

  const std::vector<double>& felt_base() const {
    const Fact& of = base_.facts[static_cast<std::size_t>(felt_.fact)];
    return base_.variables[static_cast<std::size_t>(of.first_variable)].base;
  }
  // P(answer | line), in the order of the fact's answers.
  const std::vector<double>& felt_answers(const CauseLine& line) const {
    std::vector<double>& out = felt_made_[{line.source, line.order}];
    if (!out.empty()) return out;
    const FeltShares shares = felt_as(line.source, line.order, line.order_spread, moments_);
    out = felt_base();
    for (double& p : out) p *= kMisnamed;
    for (std::size_t a = 0; a < kFeltRates; ++a)
      out[felt_.answers[a]] += (1.0 - kMisnamed) * shares[a];
    return out;
  }
  std::vector<double> beat_bands(const Cause& cause, const CauseLine& line) const {
    return beats_.bands(line, cause.id == kBySize);
  }
  const std::vector<Peak>& peaks() const { return peaks_; }
  bool feels() const { return answer_ >= 0; }
  bool beats() const { return period_.has_value(); }

 private:
  const RuleBase& base_;
  RoundLines round_;
  FeltFact felt_;
  BeatFact beat_;
  std::vector<FeltMoment> moments_;
  BeatModel beats_;
  int answer_ = -1;  // of how fast it feels
  std::vector<Peak> peaks_;
  std::optional<double> period_;
  mutable std::map<std::pair<std::string, double>, std::vector<double>> felt_made_;
};

double total(const std::vector<CauseLine>& lines, const std::vector<double>& likelihoods) {
  double out = 0.0;
  for (std::size_t i = 0; i < lines.size(); ++i) out += lines[i].share * likelihoods[i];
  return out;
}

std::string hz_text(double hz) { return show_rounded(hz, Dimension::frequency, Units::us); }

// The line that explains most of what is known.
std::size_t best_line(const std::vector<CauseLine>& lines, const std::vector<double>& likelihoods) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < lines.size(); ++i)
    if (lines[i].share * likelihoods[i] > lines[best].share * likelihoods[best]) best = i;
  return best;
}

std::string because_of_peaks(const Round& round, const std::vector<CauseLine>& lines) {
  const std::vector<double> fits = round.by_peaks(lines);
  const CauseLine& line = lines[best_line(lines, fits)];
  const Peak* nearest = &round.peaks().front();
  for (const Peak& peak : round.peaks())
    if (std::abs(peak.hz - line.hz->mean) < std::abs(nearest->hz - line.hz->mean)) nearest = &peak;
  const bool one = round.peaks().size() == 1;
  const bool lies = total(lines, fits) > 1.0;
  return (one ? "The frequency " + hz_text(nearest->hz)
              : std::to_string(round.peaks().size()) +
                    " peaks were measured: " + hz_text(nearest->hz)) +
         (lies  ? " lies on "
          : one ? " does not lie on "
                : ", the nearest, does not lie on ") +
         line.about() + (line.usual ? ", on such vehicles about " : ", computed at ") +
         hz_text(line.hz->mean) + ".";
}

std::string because_of_feel(const Round& round, const std::vector<CauseLine>& lines) {
  std::vector<double> fits;
  for (const CauseLine& line : lines) fits.push_back(round.by_feel(line));
  const bool lies = total(lines, fits) > 1.0;
  return std::string("How fast it feels ") + (lies ? "fits " : "does not fit ") +
         lines[best_line(lines, fits)].about() + ".";
}

std::string because_of_beat(const Round& round, const Cause& cause,
                            const std::vector<CauseLine>& lines) {
  std::vector<double> fits;
  for (const CauseLine& line : lines) fits.push_back(round.by_beat(cause, line));
  const double all = total(lines, fits);
  if (all == 1.0) return {};
  const bool wheels = lines[best_line(lines, fits)].source == "tire";
  return std::string(wheels ? "Two wheels a little unequal in size would "
                            : "Two parts that turn nearly alike would ") +
         (all > 1.0 ? "swell and fade in about that time." : "rarely swell and fade in that time.");
}

std::string because_of(const Round& round, const Cause& cause,
                       const std::vector<CauseLine>& lines) {
  std::vector<std::string> said;
  if (round.measures(lines)) said.push_back(because_of_peaks(round, lines));
  if (round.feels()) said.push_back(because_of_feel(round, lines));
  if (round.beats()) said.push_back(because_of_beat(round, cause, lines));
  std::string out;
  for (const std::string& one : said)
    if (!one.empty()) out += (out.empty() ? "" : " ") + one;
  return out;
}

std::vector<double> frequency_edges() {
  std::vector<double> out;
  for (int i = 0; i <= kFrequencyBands; ++i)
    out.push_back(kLowestHz *
                  std::pow(kHighestHz / kLowestHz, static_cast<double>(i) / kFrequencyBands));
  return out;
}

// What a recording of one peak would show of a line.
std::vector<double> peak_bands(const Estimate& line) {
  static const std::vector<double> edges = frequency_edges();
  std::vector<double> out(kFrequencyBands, kSomethingElse / kFrequencyBands);
  for (std::size_t b = 0; b < out.size(); ++b)
    out[b] += (1.0 - kSomethingElse) * share_on_line(edges[b], edges[b + 1], line);
  return out;
}

}  // namespace

std::vector<int> OrdersProvider::facts(const RuleBase& base) const {
  std::vector<int> out;
  for (const int fact : {frequency_fact(base), felt_fact(base).fact, beat_fact(base).fact})
    if (fact >= 0) out.push_back(fact);
  std::sort(out.begin(), out.end());
  return out;
}

ProviderWeights OrdersProvider::weigh(const RuleBase& base, const CaseFacts& facts,
                                      std::size_t at) const {
  ProviderWeights out;
  const RoundFacts& seen = facts.rounds[at];
  const std::vector<int> owned = this->facts(base);
  if (std::none_of(owned.begin(), owned.end(), [&](int fact) { return seen.find(fact); }))
    return out;
  const Round round(base, facts, at);
  out.facts = round.known_facts();
  if (out.facts.empty()) return out;
  for (const Cause& cause : base.causes) {
    const std::vector<CauseLine> lines = round.lines(cause);
    out.models.push_back(!lines.empty());
    const double all = lines.empty() ? 1.0 : total(lines, round.likelihoods(cause, lines));
    out.by_cause.push_back(std::log(all));
  }
  return out;
}

std::string OrdersProvider::because(const RuleBase& base, const CaseFacts& facts, std::size_t at,
                                    int cause) const {
  const Round round(base, facts, at);
  const Cause& of = base.causes[static_cast<std::size_t>(cause)];
  const std::vector<CauseLine> lines = round.lines(of);
  if (lines.empty() || round.known_facts().empty()) return {};
  return total(lines, round.likelihoods(of, lines)) == 1.0 ? std::string()
                                                           : because_of(round, of, lines);
}

ProviderTable OrdersProvider::expect(const RuleBase& base, const CaseFacts& facts,
                                     int variable) const {
  ProviderTable out;
  const int fact = base.variables[static_cast<std::size_t>(variable)].fact;
  const Round round(base, facts, facts.rounds.size() - 1, fact);
  const bool frequency = fact == frequency_fact(base), felt = fact == round.felt().fact;
  if (frequency && !round.computes_lines()) return out;
  out.base = frequency ? std::vector<double>(kFrequencyBands, 1.0 / kFrequencyBands)
             : felt    ? round.felt_base()
                       : round.beat().base;
  if (frequency) out.edges = frequency_edges();
  for (const Cause& cause : base.causes) {
    const std::vector<CauseLine> lines = round.lines(cause);
    const std::vector<double> known = round.likelihoods(cause, lines);
    const double all = lines.empty() ? 1.0 : total(lines, known);
    out.known.push_back(std::log(all));
    std::vector<double> row;
    if (frequency && !lines.empty() && !all_computed(lines)) {
      row = out.base;
    } else if (!lines.empty()) {
      row.assign(out.base.size(), 0.0);
      for (std::size_t i = 0; i < lines.size(); ++i) {
        const std::vector<double> made = frequency ? peak_bands(*lines[i].hz)
                                         : felt    ? round.felt_answers(lines[i])
                                                   : round.beat_bands(cause, lines[i]);
        for (std::size_t a = 0; a < row.size(); ++a)
          row[a] += lines[i].share * known[i] / all * made[a];
      }
    }
    out.by_cause.push_back(std::move(row));
  }
  return out;
}

}  // namespace perrev

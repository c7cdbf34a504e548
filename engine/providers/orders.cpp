#include "engine/providers/orders.h"

#include <algorithm>
#include <cmath>
#include <memory>

#include "engine/providers/orders_round.h"
#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

constexpr int kFrequencyBands = 48;  // even in the logarithm

double total(const std::vector<RoundLine>& lines, const std::vector<double>& likelihoods) {
  if (lines.empty()) return 1.0;
  double out = 0.0;
  for (std::size_t i = 0; i < lines.size(); ++i) out += lines[i].share * likelihoods[i];
  return out;
}

std::string hz_text(double hz) { return show_rounded(hz, Dimension::frequency, Units::us); }

// The line that explains most of what is known.
const CauseLine& best_line(const OrdersRound& round, const std::vector<RoundLine>& lines,
                           const std::vector<double>& likelihoods) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < lines.size(); ++i)
    if (lines[i].share * likelihoods[i] > lines[best].share * likelihoods[best]) best = i;
  return round.lines()[lines[best].line];
}

std::string because_of_peaks(const OrdersRound& round, const std::vector<RoundLine>& lines) {
  const std::vector<double> fits = round.by_peaks(lines);
  const CauseLine& line = best_line(round, lines, fits);
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

std::string because_of_feel(const OrdersRound& round, const std::vector<RoundLine>& lines) {
  std::vector<double> fits;
  for (const RoundLine& of : lines) fits.push_back(round.by_feel(round.lines()[of.line]));
  const bool lies = total(lines, fits) > 1.0;
  return std::string("How fast it feels ") + (lies ? "fits " : "does not fit ") +
         best_line(round, lines, fits).about() + ".";
}

std::string because_of_beat(const OrdersRound& round, const std::vector<RoundLine>& lines) {
  std::vector<double> fits;
  for (const RoundLine& of : lines) fits.push_back(round.by_beat(round.lines()[of.line]));
  const double all = total(lines, fits);
  if (all == 1.0) return {};
  const bool wheels = best_line(round, lines, fits).source == "tire";
  return std::string(wheels ? "Two wheels a little unequal in size would "
                            : "Two parts that turn nearly alike would ") +
         (all > 1.0 ? "swell and fade in about that time." : "rarely swell and fade in that time.");
}

std::string because_of(const OrdersRound& round, const std::vector<RoundLine>& lines) {
  std::vector<std::string> said;
  if (round.measures(lines)) said.push_back(because_of_peaks(round, lines));
  if (round.feels()) said.push_back(because_of_feel(round, lines));
  if (round.beats()) said.push_back(because_of_beat(round, lines));
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

std::vector<int> OrdersProvider::facts(const RuleBase& base) const { return book_.of(base)->facts; }

ProviderWeights OrdersProvider::weigh(const RuleBase& base, const CaseFacts& facts,
                                      std::size_t at) const {
  ProviderWeights out;
  const std::shared_ptr<const OrdersBook> book = book_.of(base);
  const RoundFacts& seen = facts.rounds[at];
  if (std::none_of(book->facts.begin(), book->facts.end(),
                   [&](int fact) { return seen.find(fact); }))
    return out;
  const OrdersRound round(*book, base, facts, at);
  out.facts = round.known_facts();
  if (out.facts.empty()) return out;
  std::vector<double> by_mix;
  for (const ShakeBook::Mix& mix : book->shakes.mixes) {
    const std::vector<RoundLine> lines = round.lines_of(mix);
    by_mix.push_back(std::log(total(lines, round.likelihoods(lines))));
  }
  for (const std::size_t mix : book->shakes.mix_of) {
    out.models.push_back(!book->shakes.mixes[mix].empty());
    out.by_cause.push_back(by_mix[mix]);
  }
  return out;
}

std::string OrdersProvider::because(const RuleBase& base, const CaseFacts& facts, std::size_t at,
                                    int cause) const {
  const std::shared_ptr<const OrdersBook> book = book_.of(base);
  const ShakeBook::Mix& mix =
      book->shakes.mixes[book->shakes.mix_of[static_cast<std::size_t>(cause)]];
  if (mix.empty()) return {};
  const OrdersRound round(*book, base, facts, at);
  if (round.known_facts().empty()) return {};
  const std::vector<RoundLine> lines = round.lines_of(mix);
  return total(lines, round.likelihoods(lines)) == 1.0 ? std::string() : because_of(round, lines);
}

ProviderTable OrdersProvider::expect(const RuleBase& base, const CaseFacts& facts,
                                     int variable) const {
  ProviderTable out;
  const std::shared_ptr<const OrdersBook> book = book_.of(base);
  const int fact = base.variables[static_cast<std::size_t>(variable)].fact;
  const OrdersRound round(*book, base, facts, facts.rounds.size() - 1, fact);
  const bool frequency = fact == book->frequency, felt = fact == book->felt.fact;
  if (frequency && !round.computes_lines()) return out;
  out.base = frequency ? std::vector<double>(kFrequencyBands, 1.0 / kFrequencyBands)
             : felt    ? book->felt_base
                       : book->beat.base;
  if (frequency) out.edges = frequency_edges();
  const auto told_by = [&](const CauseLine& line) {
    if (felt) return round.felt_answers(line);
    if (!frequency) return round.beat_bands(line);
    return line.hz ? peak_bands(*line.hz) : std::vector<double>();
  };
  std::vector<std::vector<double>> by_line;
  for (const CauseLine& line : round.lines()) by_line.push_back(told_by(line));
  std::vector<double> known;  // by mix
  std::vector<std::vector<double>> by_mix;
  for (const ShakeBook::Mix& mix : book->shakes.mixes) {
    const std::vector<RoundLine> lines = round.lines_of(mix);
    const std::vector<double> likelihoods = round.likelihoods(lines);
    const double all = total(lines, likelihoods);
    known.push_back(std::log(all));
    std::vector<double> row;
    if (frequency && !lines.empty() && !round.all_computed(lines)) {
      row = out.base;
    } else if (!lines.empty()) {
      row.assign(out.base.size(), 0.0);
      for (std::size_t i = 0; i < lines.size(); ++i)
        for (std::size_t a = 0; a < row.size(); ++a)
          row[a] += lines[i].share * likelihoods[i] / all * by_line[lines[i].line][a];
    }
    by_mix.push_back(std::move(row));
  }
  for (const std::size_t mix : book->shakes.mix_of) {
    out.known.push_back(known[mix]);
    out.by_cause.push_back(by_mix[mix]);
  }
  return out;
}

}  // namespace perrev

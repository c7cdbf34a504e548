#include "engine/providers/orders_round.h"

#include <algorithm>
#include <utility>

#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

// Of each reading, where the recording it is from tells it.
std::optional<double> sd_held(const Reading& reading) {
  const auto found = reading.with.find("sd");
  if (found == reading.with.end()) return std::nullopt;
  const auto sd = parse_quantity(found->second, Dimension::frequency);
  return sd && *sd > 0.0 ? std::optional<double>(*sd) : std::nullopt;
}

}  // namespace

OrdersBook::OrdersBook(const RuleBase& base)
    : vehicle(base),
      frequency(vehicle.measured_frequency),
      felt(felt_fact(base)),
      beat(beat_fact(base)),
      shakes(base) {
  if (felt.fact >= 0) {
    const Fact& of = base.facts[static_cast<std::size_t>(felt.fact)];
    felt_base = base.variables[static_cast<std::size_t>(of.first_variable)].base;
  }
  for (const int fact : {frequency, felt.fact, beat.fact})
    if (fact >= 0) facts.push_back(fact);
  std::sort(facts.begin(), facts.end());
}

OrdersRound::OrdersRound(const OrdersBook& book, const RuleBase& base, const CaseFacts& facts,
                         std::size_t round, int but)
    : book_(book),
      seen_(facts.rounds[round]),
      but_(but),
      usual_(usual_turns(base.physics, answer_known(base, seen_, book.vehicle.vehicle_kind))),
      round_(lines_of_vehicle(base)),
      moments_(felt_moments(base, book.vehicle, seen_, round_.vehicle, usual_)),
      period_(period_known()),
      beat_(period_ ? book.beat.around(*period_) : book.beat),
      beats_(
          beat_, round_, moments_,
          asked(book.beat.fact) ? wheel_differences(base, facts, round) : std::vector<Estimate>()) {
  if (const Reading* read = known(book.felt.fact)) answer_ = read->answers[0];
  if (const Reading* read = known(book.frequency))
    if (computes_lines()) peaks_ = peaks_of(read->numbers, sd_held(*read));
  for (const ShakeLine& told : book.shakes.lines) {
    first_.push_back(lines_.size());
    add_lines(told, 1.0, round_, lines_);
  }
  first_.push_back(lines_.size());
  by_answers_.resize(lines_.size());
}

const Reading* OrdersRound::known(int fact) const {
  const Reading* found = fact < 0 || fact == but_ ? nullptr : seen_.find(fact);
  return found && !found->unsure ? found : nullptr;
}

std::optional<double> OrdersRound::period_known() const {
  const Reading* read = known(book_.beat.fact);
  return read && !read->numbers.empty() ? std::optional<double>(read->number) : std::nullopt;
}

// Feeling asks for no frequencies.
RoundLines OrdersRound::lines_of_vehicle(const RuleBase& base) const {
  VehicleFacts vehicle = vehicle_of(base, book_.vehicle, seen_);
  if (!asked(book_.frequency) && !asked(book_.beat.fact))
    return {std::move(vehicle), {}, std::nullopt};
  return lines_at(std::move(vehicle), motion_of(book_.vehicle, seen_), usual_);
}

std::vector<int> OrdersRound::known_facts() const {
  std::vector<int> out;
  if (!peaks_.empty()) out.push_back(book_.frequency);
  if (feels()) out.push_back(book_.felt.fact);
  if (beats()) out.push_back(book_.beat.fact);
  std::sort(out.begin(), out.end());
  return out;
}

std::vector<RoundLine> OrdersRound::lines_of(const ShakeBook::Mix& mix) const {
  std::vector<RoundLine> out;
  for (const ShakeBook::Part& part : mix)
    for (std::size_t i = first_[part.line]; i < first_[part.line + 1]; ++i)
      out.push_back({i, part.share * lines_[i].share});
  return out;
}

bool OrdersRound::all_computed(const std::vector<RoundLine>& lines) const {
  return !lines.empty() && std::all_of(lines.begin(), lines.end(), [&](const RoundLine& of) {
    return lines_[of.line].hz.has_value();
  });
}

bool OrdersRound::measures(const std::vector<RoundLine>& lines) const {
  return !peaks_.empty() && all_computed(lines);
}

std::vector<double> OrdersRound::likelihoods(const std::vector<RoundLine>& lines) const {
  std::vector<double> out =
      measures(lines) ? by_peaks(lines) : std::vector<double>(lines.size(), 1.0);
  for (std::size_t i = 0; i < lines.size(); ++i) out[i] *= by_answers(lines[i].line);
  return out;
}

double OrdersRound::by_answers(std::size_t line) const {
  std::optional<double>& made = by_answers_[line];
  if (!made) made = by_feel(lines_[line]) * by_beat(lines_[line]);
  return *made;
}

std::vector<double> OrdersRound::by_peaks(const std::vector<RoundLine>& lines) const {
  std::vector<Estimate> hz;
  std::vector<double> shares;
  for (const RoundLine& of : lines) {
    hz.push_back(*lines_[of.line].hz);
    shares.push_back(of.share);
  }
  return explained_by(peaks_, hz, shares);
}

double OrdersRound::by_feel(const CauseLine& line) const {
  if (!feels()) return 1.0;
  const std::size_t a = static_cast<std::size_t>(answer_);
  return felt_answers(line)[a] / book_.felt_base[a];
}

double OrdersRound::by_beat(const CauseLine& line) const {
  if (!beats()) return 1.0;
  const std::size_t band = beat_.band_of(*period_);
  return beat_bands(line)[band] / beat_.base[band];
}

std::vector<double> OrdersRound::felt_answers(const CauseLine& line) const {
  const FeltSource& source =
      felt_.try_emplace({line.source, line.order_spread}, line.source, line.order_spread, moments_)
          .first->second;
  const FeltShares shares = source.shares(line.order);
  std::vector<double> out = book_.felt_base;
  for (double& p : out) p *= kMisnamed;
  for (std::size_t a = 0; a < kFeltRates; ++a)
    out[book_.felt.answers[a]] += (1.0 - kMisnamed) * shares[a];
  return out;
}

std::vector<double> OrdersRound::beat_bands(const CauseLine& line) const {
  return beats_.bands(line, line.by_size);
}

}  // namespace perrev

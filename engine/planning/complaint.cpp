#include "engine/planning/complaint.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "engine/reasoning/feature.h"
#include "engine/reasoning/offers.h"

namespace perrev {

namespace {

void insert(std::vector<Reading>& readings, Reading made) {
  const auto at = std::lower_bound(readings.begin(), readings.end(), made,
                                   [](const Reading& a, const Reading& b) {
                                     return std::tie(a.fact, a.place) < std::tie(b.fact, b.place);
                                   });
  readings.insert(at, std::move(made));
}

void note_stop(const RuleBase& base, CaseFacts& facts, const Reading& reading) {
  const int fact = reading.fact;
  if (reading.unsure) return;
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  const int first = reading.answers.empty() ? -1 : reading.answers[0];
  const bool clear = first >= 0 && ((of.clear >> first) & 1u) != 0;
  if (reading.by == Asker::bay)
    for (StopState& stop : facts.stops)
      if (base.facts[static_cast<std::size_t>(stop.fact)].stop->cleared_by == fact)
        stop.lifted = clear;
  if (!of.stop) return;
  const auto hit = [&](std::size_t i) { return ((of.stop->answers >> i) & 1u) != 0; };
  bool stops = false;
  if (of.kind == FactKind::several)
    for (std::size_t i = 0; i < reading.answers.size(); ++i)
      stops = stops || (reading.answers[i] == 1 && hit(i));
  else
    stops = first >= 0 && hit(static_cast<std::size_t>(first));
  if (!stops) return;
  const auto at = std::lower_bound(facts.stops.begin(), facts.stops.end(), fact,
                                   [](const StopState& s, int f) { return s.fact < f; });
  if (at != facts.stops.end() && at->fact == fact)
    at->lifted = false;
  else
    facts.stops.insert(at, {fact, 0, false});
}

}  // namespace

CaseFacts nothing_known(const RuleBase& base) {
  CaseFacts out;
  out.vehicle.assign(static_cast<std::size_t>(base.slot_count), -1);
  out.rounds.emplace_back();
  out.rounds.back().answers = out.vehicle;
  return out;
}

void enter_reading(const RuleBase& base, CaseFacts& facts, Reading made) {
  const Fact& of = base.facts[static_cast<std::size_t>(made.fact)];
  for (std::size_t i = 0; i < made.answers.size(); ++i) {
    const Variable& variable = base.variables[static_cast<std::size_t>(of.first_variable) + i];
    const std::size_t slot =
        static_cast<std::size_t>(variable.first_slot + std::max(0, made.place));
    facts.rounds.back().answers[slot] = made.answers[i];
    if (!variable.lasts_with_vehicle) continue;
    facts.vehicle[slot] = made.answers[i];
    for (RoundFacts& earlier : facts.rounds) earlier.answers[slot] = made.answers[i];
  }
  note_stop(base, facts, made);
  insert(facts.rounds.back().readings, std::move(made));
}

void open_round(const RuleBase& base, CaseFacts& facts, const std::vector<int>& repairs,
                const char* says) {
  RoundFacts round;
  round.answers = facts.vehicle;
  round.opened_by = repairs;
  for (const Reading& reading : facts.now().readings)
    if (base.facts[static_cast<std::size_t>(reading.fact)].lasts_with_vehicle)
      round.readings.push_back(reading);
  facts.rounds.push_back(std::move(round));
  const int asked = base.fact_index("complaint_now");
  if (asked < 0) return;
  Reading made;
  made.fact = asked;
  made.by = Asker::road;
  made.answers = {answer_index(base.facts[static_cast<std::size_t>(asked)], says)};
  made.unsure = made.answers[0] < 0;
  enter_reading(base, facts, std::move(made));
}

Complaint::Complaint(const Reasoner& reasoner, std::uint64_t seed, double corrupted)
    : reasoner_(&reasoner), seed_(seed), corrupted_(corrupted) {
  draw_truth();
  facts_ = nothing_known(reasoner.base());
}

void Complaint::draw_truth() {
  const RuleBase& base = reasoner_->base();
  const std::vector<Pair>& pairs = reasoner_->pairs().pairs();
  std::vector<double> prior = {std::exp(reasoner_->log_prior_not_listed())};
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    prior.push_back(std::exp(reasoner_->log_prior(static_cast<int>(c))));
  for (const Pair& pair : pairs) prior.push_back(reasoner_->prior(pair));
  const std::size_t drawn = Random(seed_).weighted(prior);
  if (drawn == 0)
    truth_ = {};
  else if (drawn <= base.causes.size())
    truth_ = {static_cast<int>(drawn - 1), -1};
  else
    truth_ = {pairs[drawn - 1 - base.causes.size()].first,
              pairs[drawn - 1 - base.causes.size()].second};
  now_ = truth_;
}

bool Complaint::is_right() const { return now_.first == reasoner_->base().nothing_left(); }

void Complaint::learn(int check) {
  const Check& done = reasoner_->base().checks[static_cast<std::size_t>(check)];
  for (const int fact : done.learns) answer(fact, done.by);
}

void Complaint::answer(int fact, Asker by) {
  const RuleBase& base = reasoner_->base();
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  if (!is_asked(base, facts_.now(), fact)) return;
  const std::size_t places = std::max<std::size_t>(1, places_of(of.per).size());
  for (std::size_t p = 0; p < places; ++p) {
    Reading made;
    made.fact = fact;
    made.place = of.per == Per::vehicle_case ? -1 : static_cast<int>(p);
    made.by = by;
    if (facts_.now().find(fact, made.place)) continue;
    for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v) {
      const Variable& variable = base.variables[static_cast<std::size_t>(v)];
      const std::size_t slot = static_cast<std::size_t>(variable.first_slot) + p;
      Random random = Random::stream(seed_, (std::uint64_t{facts_.rounds.size()} << 32) + slot);
      int drawn = draw(fact, v, slot, random, made);
      if (corrupted_ > 0.0 && random.real() < corrupted_)
        drawn = static_cast<int>(random.below(static_cast<std::size_t>(variable.size())));
      made.answers.push_back(drawn);
      facts_.rounds.back().answers[slot] = drawn;
    }
    enter_reading(base, facts_, std::move(made));
  }
}

// From the answer model, or from the provider that owns the fact. Where that has bands of its own,
// the reading gets a number.
int Complaint::draw(int fact, int variable, std::size_t slot, Random& random, Reading& made) const {
  const Answers& answers = facts_.now().answers;
  const Provider* provider = reasoner_->owner_of(fact);
  Feature feature{fact, variable, {}, provider, {}};
  if (provider) feature.computed = provider->expect(reasoner_->base(), facts_, variable);
  if (feature.computed.base.empty())
    return static_cast<int>(random.weighted(prospect(*reasoner_, now_, variable, slot, answers)));
  std::vector<double> weights;
  for (const std::vector<double>& answer : table_of(*reasoner_, facts_, feature, {now_}))
    weights.push_back(answer.front());
  const std::size_t drawn = random.weighted(weights);
  const std::vector<double>& bands = feature.computed.edges;
  if (bands.empty()) return static_cast<int>(drawn);
  made.number = bands[drawn] + random.real() * (bands[drawn + 1] - bands[drawn]);
  made.numbers = {made.number};
  const std::vector<double>& edges =
      reasoner_->base().variables[static_cast<std::size_t>(variable)].edges;
  const auto above = std::upper_bound(edges.begin() + 1, edges.end() - 1, made.number);
  return static_cast<int>(above - edges.begin()) - 1;
}

void Complaint::lift_stops() { facts_.stops.clear(); }

const char* Complaint::repair(const std::vector<int>& repairs, const std::vector<int>& also) {
  const RuleBase& base = reasoner_->base();
  const auto cured = [&](int cause) {
    return std::find(also.begin(), also.end(), cause) != also.end() ||
           std::any_of(repairs.begin(), repairs.end(), [&](int r) {
             const std::vector<int>& cures = base.repairs[static_cast<std::size_t>(r)].cures;
             return std::binary_search(cures.begin(), cures.end(), cause);
           });
  };
  const Hypothesis before = now_;
  if (now_.second >= 0 && cured(now_.second)) now_ = {now_.first, -1};
  if (now_.first >= 0 && cured(now_.first))
    now_ = {now_.second >= 0 ? now_.second : base.nothing_left(), -1};
  const char* says = is_right() ? "gone" : now_ == before ? "same" : "less";
  open_round(base, facts_, repairs, says);
  return says;
}

}  // namespace perrev

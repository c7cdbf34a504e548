#include "engine/planning/seen_complaint.h"

#include <algorithm>

#include "engine/reasoning/offers.h"

namespace perrev {

namespace {

constexpr std::uint64_t kWithinBand = std::uint64_t{1} << 62;  // a stream of its own

template <class Thing>
const Thing& at(const std::vector<Thing>& things, int index) {
  return things[static_cast<std::size_t>(index)];
}

}  // namespace

SeenComplaint::SeenComplaint(const Planner& world, const Planner& judge, std::uint64_t seed,
                             double corrupted)
    : world_(world),
      judge_(judge),
      same_(&world == &judge),
      seed_(seed),
      complaint_(world.reasoner(), seed, corrupted),
      seen_(nothing_known(judge.reasoner().base())) {}

int SeenComplaint::cause_of(int cause) const {
  return cause < 0 ? -1 : of_judge().cause_index(at(of_world().causes, cause).id);
}

const Check* SeenComplaint::check_of_world(int check) const {
  const int index = of_world().check_index(at(of_judge().checks, check).id);
  return index < 0 ? nullptr : &at(of_world().checks, index);
}

// -1 where the world has no such fact, or another kind of one.
int SeenComplaint::fact_of_world(int fact) const {
  const Fact& judged = at(of_judge().facts, fact);
  const int index = of_world().fact_index(judged.id);
  if (index < 0) return -1;
  const Fact& is = at(of_world().facts, index);
  const bool alike = is.kind == judged.kind && is.per == judged.per && is.unit == judged.unit &&
                     is.answers.empty() == judged.answers.empty() &&
                     is.lasts_with_vehicle == judged.lasts_with_vehicle;
  return alike ? index : -1;
}

void SeenComplaint::learn(int check) {
  const Check& done = at(of_judge().checks, check);
  if (same_) return complaint_.learn(check);
  for (const int fact : done.learns) {
    if (!is_asked(of_judge(), seen_.now(), fact)) continue;
    const int known = fact_of_world(fact);
    if (known >= 0) complaint_.answer(known, done.by);
    const std::size_t places = places_of(at(of_judge().facts, fact).per).size();
    if (places == 0) see(fact, -1, done.by);
    for (std::size_t p = 0; p < places; ++p) see(fact, static_cast<int>(p), done.by);
  }
}

void SeenComplaint::see(int fact, int place, Asker by) {
  if (seen_.now().find(fact, place)) return;
  const Fact& of = at(of_judge().facts, fact);
  Reading made;
  made.fact = fact;
  made.place = place;
  made.by = by;
  const int known = fact_of_world(fact);
  const Reading* reading = known < 0 ? nullptr : complaint_.facts().now().find(known, place);
  for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v)
    made.answers.push_back(
        reading
            ? answer_of_judge(v, known, *reading, place < 0 ? 0 : static_cast<std::size_t>(place))
            : -1);
  if (reading && of.kind == FactKind::number) {
    made.number = reading->number;
    made.numbers = reading->numbers;
  }
  made.unsure = std::all_of(made.answers.begin(), made.answers.end(), [](int a) { return a < 0; });
  enter_reading(of_judge(), seen_, std::move(made));
}

// -1 where the judge has no such answer, or the world none for it.
int SeenComplaint::answer_of_judge(int variable, int fact, const Reading& reading,
                                   std::size_t place) const {
  const Variable& judged = at(of_judge().variables, variable);
  const Fact& asked = at(of_judge().facts, judged.fact);
  const Fact& known = at(of_world().facts, fact);
  if (judged.answer >= 0) {
    const int ticked = answer_index(known, at(asked.answers, judged.answer).id);
    return ticked < 0 ? -1 : at(reading.answers, ticked);
  }
  if (reading.answers.empty() || reading.answers[0] < 0) return -1;
  const int answer = reading.answers[0];
  if (!asked.answers.empty()) return answer_index(asked, at(known.answers, answer).id);
  const Variable& drawn = at(of_world().variables, known.first_variable);
  if (drawn.edges == judged.edges) return answer;
  const std::size_t slot = static_cast<std::size_t>(drawn.first_slot) + place;
  const double low = at(drawn.edges, answer), high = at(drawn.edges, answer + 1);
  const double value = reading.numbers.empty()
                           ? low + (high - low) * Random::stream(seed_, kWithinBand + slot).real()
                           : reading.number;
  const auto above = std::upper_bound(judged.edges.begin(), judged.edges.end(), value);
  if (above == judged.edges.begin() || above == judged.edges.end()) return -1;
  return static_cast<int>(above - judged.edges.begin()) - 1;
}

void SeenComplaint::repair(const std::vector<int>& repairs) {
  if (same_) {
    complaint_.repair(repairs);
    return;
  }
  std::vector<int> known, cured;
  for (const int repair : repairs) {
    const Repair& of = at(of_judge().repairs, repair);
    const int index = of_world().repair_index(of.id);
    if (index >= 0) known.push_back(index);
    if (index < 0)
      for (const int cause : of.cures) {
        const int is = cause < static_cast<int>(of_judge().causes.size())
                           ? of_world().cause_index(at(of_judge().causes, cause).id)
                           : -1;
        if (is >= 0) cured.push_back(is);
      }
  }
  const char* says = complaint_.repair(known, cured);
  open_round(of_judge(), seen_, repairs, says);
}

void SeenComplaint::lift_stops() {
  complaint_.lift_stops();
  seen_.stops.clear();
}

double SeenComplaint::set_up_and_check(int check) {
  const Check& done = at(of_judge().checks, check);
  const Check* known = check_of_world(check);
  double out = minutes_of_check(check);
  if (known) {
    out += world_.set_ups().minutes(held_in_world_, known->setup);
    held_in_world_ = world_.set_ups().with(held_in_world_, known->setup);
  } else {
    out += judge_.set_ups().minutes(held_, done.setup);
  }
  held_ = judge_.set_ups().with(held_, done.setup);
  return out;
}

double SeenComplaint::minutes_of_check(int check) const {
  const Check* known = check_of_world(check);
  return known ? known->minutes : at(of_judge().checks, check).minutes;
}

double SeenComplaint::minutes_from_nothing(int check) const {
  const Check* known = check_of_world(check);
  return minutes_of_check(check) +
         (known ? of_world().setup_minutes(known->setup)
                : of_judge().setup_minutes(at(of_judge().checks, check).setup));
}

double SeenComplaint::minutes_of_repair(int repair) const {
  const Repair& of = at(of_judge().repairs, repair);
  const int known = of_world().repair_index(of.id);
  return known < 0 ? judge_.minutes_of(of) : world_.minutes_of(at(of_world().repairs, known));
}

void SeenComplaint::hold_after_repair() {
  held_ = judge_.after_repair();
  held_in_world_ = world_.after_repair();
}

}  // namespace perrev

#include "tests/engine/reasoning/random_case.h"

#include <cstdio>

namespace perrev::testing {

namespace {

const std::vector<Asker> kAskers = {Asker::write_up, Asker::road, Asker::bay};

std::string random_place(const Fact& fact, Lcg& random) {
  if (fact.per == Per::vehicle_case) return {};
  if (fact.per == Per::wheel && random.chance(0.05))
    return random.chance(0.5) ? "front_axle" : "rear_axle";
  return random.chance(0.07) ? "all" : random.pick(places_of(fact.per));
}

// Anything that the fact can be, between the edges of its limit as well.
std::vector<std::string> random_values(const Fact& fact, Lcg& random) {
  if (fact.kind == FactKind::text) return {"it hums"};
  if (fact.kind == FactKind::several) {
    std::vector<std::string> ticked;
    for (const Answer& answer : fact.answers)
      if (random.chance(0.4)) ticked.push_back(answer.id);
    return ticked;
  }
  if (fact.kind != FactKind::number) return {random.pick(fact.answers).id};
  std::vector<std::string> readings;
  const int count = random.chance(0.8) ? 1 : random.between(2, 3);
  for (int i = 0; i < count; ++i)
    readings.push_back(fact.limit >= 0 ? std::to_string(random.between(0, 10)) + " mm"
                                       : std::to_string(random.between(0, 20) * 10) + " km/h");
  return readings;
}

}  // namespace

std::string minute(int minutes) {
  char text[32];
  std::snprintf(text, sizeof text, "2026-05-04T09:%02d:00Z", minutes);
  return text;
}

Entry random_answer(const RuleBase& base, Lcg& random, double unsure) {
  const Fact& fact = random.pick(base.facts);
  Entry out;
  out.at = minute(random.below(60));
  out.by = random.pick(kAskers);
  out.fact = fact.id;
  out.place = random_place(fact, random);
  if (random.chance(unsure)) {
    out.unsure = true;
    return out;
  }
  out.values = random_values(fact, random);
  out.is_list = fact.kind == FactKind::several || out.values.size() > 1;
  return out;
}

CaseFile random_case(const RuleBase& base, Lcg& random, const CaseShape& shape) {
  CaseFile file;
  std::vector<std::string> ids;
  for (int i = 0; i < shape.entries; ++i) {
    Entry entry;
    const double kind = random.real();
    if (kind < shape.retractions && !ids.empty()) {
      entry.kind = Entry::Kind::retraction;
      entry.retracts = random.pick(ids);
    } else if (kind < shape.retractions + shape.repairs) {
      entry.kind = Entry::Kind::repair;
      entry.repair = random.pick(base.repairs).id;
      entry.done = random.chance(0.8);
    } else if (kind < shape.retractions + shape.repairs + 0.04) {
      entry.kind = Entry::Kind::not_possible;
      entry.check = random.pick(base.checks).id;
    } else if (kind < shape.retractions + shape.repairs + 0.06) {
      entry.kind = Entry::Kind::closing;
      entry.closes = {random.pick(base.causes).id};
      entry.proof = "It is gone";
    } else {
      entry = random_answer(base, random, shape.unsure);
    }
    if (entry.kind != Entry::Kind::answer) {
      entry.at = minute(random.below(60));
      entry.by = random.pick(kAskers);
    }
    entry.id = (random.chance(0.1) ? "n" : "") + std::to_string(i + 1);
    ids.push_back(entry.id);
    file.add(std::move(entry));
  }
  return file;
}

std::vector<std::string> values_for(const RuleBase& base, int fact_number,
                                    const std::vector<int>& answers) {
  const Fact& fact = base.facts[static_cast<std::size_t>(fact_number)];
  if (fact.kind == FactKind::several) {
    std::vector<std::string> ticked;
    for (std::size_t i = 0; i < answers.size(); ++i)
      if (answers[i] == 1) ticked.push_back(fact.answers[i].id);
    return ticked;
  }
  const std::size_t answer = static_cast<std::size_t>(answers.front());
  if (fact.kind != FactKind::number) return {fact.answers[answer].id};
  if (fact.limit >= 0) {
    const bool zero =
        (answer == 0) == base.limits[static_cast<std::size_t>(fact.limit)].lower_is_better;
    return {zero ? "0 mm" : "10 mm"};
  }
  const std::vector<double>& edges =
      base.variables[static_cast<std::size_t>(fact.first_variable)].edges;
  char text[32];
  std::snprintf(text, sizeof text, "%.3f km/h", 1.8 * (edges[answer] + edges[answer + 1]));
  return {text};
}

Entry answer_entry(const RuleBase& base, int fact, const std::string& place,
                   const std::vector<int>& answers, Asker by, const std::string& at) {
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  Entry out;
  out.at = at;
  out.by = by;
  out.fact = of.id;
  out.place = place;
  out.values = values_for(base, fact, answers);
  out.is_list = of.kind == FactKind::several;
  return out;
}

CaseFile shuffled(const CaseFile& file, Lcg& random) {
  std::vector<Entry> entries = file.entries();
  random.shuffle(entries);
  CaseFile out;
  for (Entry& entry : entries) out.add(std::move(entry));
  return out;
}

}  // namespace perrev::testing

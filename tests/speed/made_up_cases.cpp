#include "tests/speed/made_up_cases.h"

#include <algorithm>

#include "engine/casefile/casefile.h"
#include "engine/planning/complaint.h"
#include "engine/random.h"

namespace perrev {

namespace {

constexpr int kFewest = 30, kMost = 50;  // facts answered
constexpr std::uint64_t kOrder = 1;      // the stream that shuffles the facts

// What was drawn is an answer, or a band of numbers: the middle of it stands for a number.
std::string number_of(const RuleBase& base, const Fact& fact, const Reading& reading) {
  double si = reading.number;
  if (reading.numbers.empty() && fact.limit >= 0) {
    const bool low = base.limits[static_cast<std::size_t>(fact.limit)].lower_is_better ==
                     (reading.answers[0] == 0);
    si = low ? fact.low : fact.high;
  } else if (reading.numbers.empty()) {
    const std::vector<double>& edges =
        base.variables[static_cast<std::size_t>(fact.first_variable)].edges;
    const std::size_t band = static_cast<std::size_t>(reading.answers[0]);
    si = 0.5 * (std::max(edges[band], fact.low) + std::min(edges[band + 1], fact.high));
  }
  return show(std::clamp(si, fact.low, fact.high), fact.unit, Units::metric);
}

std::vector<std::string> ticked(const Fact& fact, const Reading& reading) {
  std::vector<std::string> out, alone;
  for (std::size_t i = 0; i < fact.answers.size(); ++i) {
    const std::string& id = fact.answers[i].id;
    if (reading.answers[i] == 1) (id == "none" || id == "nothing" ? alone : out).push_back(id);
  }
  return out.empty() ? alone : out;
}

Entry entry_of(const RuleBase& base, const Reading& reading) {
  const Fact& fact = base.facts[static_cast<std::size_t>(reading.fact)];
  Entry out;
  out.at = "2026-05-04T09:12:00Z";
  out.by = reading.by;
  out.fact = fact.id;
  if (reading.place >= 0) out.place = places_of(fact.per)[static_cast<std::size_t>(reading.place)];
  out.is_list = fact.kind == FactKind::several;
  if (out.is_list)
    out.values = ticked(fact, reading);
  else if (fact.kind == FactKind::number)
    out.values = {number_of(base, fact, reading)};
  else
    out.values = {fact.answers[static_cast<std::size_t>(reading.answers[0])].id};
  return out;
}

std::string case_text(const Reasoner& reasoner, int number) {
  const RuleBase& base = reasoner.base();
  Complaint complaint(reasoner, static_cast<std::uint64_t>(number));
  Random random = Random::stream(static_cast<std::uint64_t>(number), kOrder);
  std::vector<int> left;
  for (std::size_t f = 0; f < base.facts.size(); ++f)
    if (base.facts[f].kind != FactKind::text) left.push_back(static_cast<int>(f));
  std::size_t wanted = kFewest + random.below(kMost - kFewest + 1);
  while (wanted > 0 && !left.empty()) {
    const auto picked = left.begin() + static_cast<std::ptrdiff_t>(random.below(left.size()));
    const std::size_t before = complaint.facts().now().readings.size();
    complaint.answer(*picked, base.facts[static_cast<std::size_t>(*picked)].asked_at.back());
    if (complaint.facts().now().readings.size() > before) --wanted;
    left.erase(picked);
  }
  CaseFile file;
  file.set_label("Complaint " + std::to_string(number));
  for (const Reading& reading : complaint.facts().now().readings)
    if (!reading.unsure) file.add(entry_of(base, reading));
  return file.text();
}

}  // namespace

std::vector<std::string> made_up_cases(const Reasoner& reasoner, int count) {
  std::vector<std::string> out;
  for (int number = 1; number <= count; ++number) out.push_back(case_text(reasoner, number));
  return out;
}

}  // namespace perrev

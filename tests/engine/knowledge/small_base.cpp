#include "tests/engine/knowledge/small_base.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>
#include <utility>

namespace perrev::small {

SmallBase::SmallBase() : files_(small_files()) {}

SourceFile& SmallBase::file(const std::string& name) {
  for (SourceFile& each : files_)
    if (each.name == name) return each;
  files_.push_back({name, "rules/" + name, ""});
  return files_.back();
}

SmallBase& SmallBase::change(const std::string& name, const std::string& before,
                             const std::string& after) {
  std::string& text = file(name).text;
  const std::size_t at = text.find(before);
  REQUIRE_MESSAGE(at != std::string::npos, "'" << before << "' does not stand in " << name);
  REQUIRE_MESSAGE(text.find(before, at + 1) == std::string::npos,
                  "'" << before << "' stands in " << name << " twice");
  text.replace(at, before.size(), after);
  return *this;
}

SmallBase& SmallBase::append(const std::string& name, const std::string& text) {
  file(name).text += text;
  return *this;
}

SmallBase& SmallBase::set(const std::string& name, const std::string& text) {
  file(name).text = text;
  return *this;
}

SmallBase& SmallBase::remove(const std::string& name) {
  files_.erase(std::remove_if(files_.begin(), files_.end(),
                              [&](const SourceFile& each) { return each.name == name; }),
               files_.end());
  return *this;
}

std::vector<std::string> SmallBase::complaints() const {
  const auto made = load();
  return made ? std::vector<std::string>{} : first_lines(made.error());
}

RuleBase SmallBase::loaded() const {
  auto made = load();
  if (!made) FAIL("it does not load:\n" << listed(first_lines(made.error())));
  return std::move(made).value();
}

namespace {

std::string with_line_ends(std::string text) {
  for (std::size_t at = text.find("\\n"); at != std::string::npos; at = text.find("\\n", at))
    text.replace(at, 2, "\n");
  return text;
}

SmallBase changed(const std::string& row, SmallBase made) {
  const std::string bar = " | ";
  const std::size_t first = row.find(bar), second = row.find(" |", first + bar.size());
  REQUIRE_MESSAGE(second != std::string::npos, "not 'file | before | after': " << row);
  const std::string name = row.substr(0, first);
  const std::string before = row.substr(first + bar.size(), second - first - bar.size());
  const std::string after =
      second + bar.size() <= row.size() ? with_line_ends(row.substr(second + bar.size())) : "";
  if (before == "+") return made.append(name, after);
  if (before == "*") return made.set(name, after);
  if (before == "-") return made.remove(name);
  return made.change(name, with_line_ends(before), after);
}

}  // namespace

std::vector<WrongBase> wrong_bases(const std::string& table, const SmallBase& from) {
  std::vector<WrongBase> out;
  std::istringstream in(table);
  for (std::string line; std::getline(in, line);) {
    if (line.empty()) continue;
    if (line[0] != ' ')
      out.push_back({line, changed(line, from), {}});
    else
      out.back().expected.push_back(line.substr(2));
  }
  return out;
}

SmallBase base_with_physics() {
  SmallBase made;
  made.append("facts.yaml", R"(vehicle_kind:
  ask: What kind of vehicle is it?
  kind: one
  answers: {car: A car, van: A van}
  base: {car: 0.8, van: 0.2}
  asked_at: write_up
  lasts: vehicle
how_strong:
  ask: How strong is it?
  kind: one
  answers: {slight: Slight, clear: Clear, strong: Strong, alarming: Alarming}
  base: {slight: 0.3, clear: 0.4, strong: 0.2, alarming: 0.1}
  asked_at: write_up
)");
  made.change("evidence/history.yaml", "{wheels: some, bent_rim: hint}", "{wheels: some}");
  made.change("evidence/readings.yaml", "80..120 km/h, not: {hums: yes}}", "80..120 km/h}");
  return made.set("physics.yaml", R"(bodies:
  car: {sprung_kg: 300, unsprung_kg: 40, spring_n_per_mm: 20, tire_n_per_mm: 200,
        damper_ns_per_m: 1500, wheel_kg: 20, circumference_mm: 1980, circumference_sd: 0.04,
        axle_ratio: 3.3, axle_ratio_sd: 0.12, origin: from memory}
road: {roughness_cm3: 2, fore_aft: 0.3, lateral: 0.1, origin: from memory}
people:
  spread_db: 4.5
  vehicle_spread_db: 3
  listening_hz: 0.5
  complains_from_db: 4
  complains_spread_db: 4
  clear_db: 5
  strong_db: 13
  alarming_db: 22
  strength_spread_db: 4
  whole_car_db: 16
  senses:
    seat: {weighting: wk, threshold: 0.0106, origin: from memory}
    steering_wheel: {weighting: wh, threshold: 0.02, origin: from memory}
  origin: from memory
paths:
  - {from: vertical, to: seat, hz: 4.5, damping: 0.3, isolates: yes, gain: 2.5, front: 0.7,
     origin: from memory}
faults:
  bent_rim: {kind: radial_runout, median: 0.8, spread: 1.8, heard_db: 2, origin: from memory}
)");
}

std::vector<std::string> first_lines(const Problems& problems) {
  std::vector<std::string> lines;
  for (const Problem& problem : problems) {
    const std::string text = problem.text();
    lines.push_back(text.substr(0, text.find('\n')));
  }
  return lines;
}

std::string listed(const std::vector<std::string>& words) {
  std::string out;
  for (const std::string& word : words) out += word + "\n";
  return out;
}

unsigned long long Lcg::next() {
  state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
  return state_ >> 11;
}

int Lcg::below(int bound) {
  return static_cast<int>(next() % static_cast<unsigned long long>(bound));
}

double Lcg::between(double low, double high) {
  return low + (high - low) * static_cast<double>(next()) / 9007199254740992.0;
}

}  // namespace perrev::small

#include "src/report/report_words.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "engine/quantity/text.h"
#include "src/answers/diagnosis_parts.h"

namespace perrev {

std::string day_words(const std::string& at, Units units) {
  constexpr std::array kMonths = {"January",   "February", "March",    "April",
                                  "May",       "June",     "July",     "August",
                                  "September", "October",  "November", "December"};
  if (at.size() < 10) return {};
  const int month = std::atoi(at.substr(5, 2).c_str()), day = std::atoi(at.substr(8, 2).c_str());
  if (month < 1 || month > 12) return {};
  const std::string year = at.substr(0, 4), name = kMonths[static_cast<std::size_t>(month - 1)];
  return units == Units::us ? name + " " + std::to_string(day) + ", " + year
                            : std::to_string(day) + " " + name + " " + year;
}

std::string short_moment(const std::string& at) {
  return at.size() < 16 ? at : at.substr(0, 10) + " " + at.substr(11, 5);
}

std::string spent_words(double minutes) {
  const long whole = std::lround(minutes);
  if (whole < 60) return std::to_string(whole) + " min";
  char shown[48];
  std::snprintf(shown, sizeof shown, "%ld h %02ld min", whole / 60, whole % 60);
  return shown;
}

std::string place_words(const RuleBase& base, int fact, int place) {
  const std::vector<std::string>& places = places_of(fact_of(base, fact).per);
  if (place < 0 || static_cast<std::size_t>(place) >= places.size()) return {};
  return spaced(places[static_cast<std::size_t>(place)]);
}

std::string asker_words(Asker asker) {
  switch (asker) {
    case Asker::write_up:
      return "Write-up";
    case Asker::road:
      return "Road";
    case Asker::bay:
      return "Bay";
  }
  return {};
}

std::string short_quantity(double si, Dimension dimension, Units units) {
  const double shown = in_usual_unit(si, dimension, units);
  if (shown == 0.0) return show(si, dimension, units);
  const double step = std::pow(10.0, std::floor(std::log10(std::abs(shown))) - 2.0);
  return show(si * (std::round(shown / step) * step / shown), dimension, units);
}

namespace {

std::string number_words(const Fact& fact, const Reading& reading, Units units) {
  std::string out;
  for (const double number : reading.numbers)
    out += (out.empty() ? "" : ", ") + short_quantity(number, fact.unit, units);
  return out;
}

}  // namespace

std::string answer_words(const RuleBase& base, const Reading& reading, Units units) {
  const Fact& fact = fact_of(base, reading.fact);
  if (reading.unsure) return "Cannot tell";
  if (fact.kind == FactKind::text) return reading.text;
  if (fact.kind == FactKind::number) return number_words(fact, reading, units);
  std::string out;
  for (std::size_t i = 0; i < reading.answers.size(); ++i) {
    const int answer = reading.answers[i];
    if (fact.kind == FactKind::several) {
      if (answer != 1) continue;
      const std::string& label = fact.answers[i].label;
      out += out.empty() ? label : ", " + small(label);
    } else if (answer >= 0) {
      out = capital(fact.answers[static_cast<std::size_t>(answer)].label);
    }
  }
  return out.empty() ? "None of the answers" : out;
}

std::string limit_words(const RuleBase& base, int fact, const Answers& answers, Units units) {
  const Fact& of = fact_of(base, fact);
  if (of.limit < 0) return {};
  const Limit& limit = base.limits[static_cast<std::size_t>(of.limit)];
  std::string out;
  for (const LimitClass* row : limit_rows(base, limit, answers))
    out += (out.empty() ? "" : "; ") + std::string(limit.lower_is_better ? "below " : "above ") +
           short_quantity(row->bad, of.unit, units);
  return out;
}

std::string held_words(const RuleBase& base, const Reading& reading) {
  if (reading.unsure || fact_of(base, reading.fact).limit < 0) return {};
  const int answer = reading.answers.front();
  return answer < 0 ? "near its limit" : answer == 0 ? "within its limit" : "beyond its limit";
}

const Reading* reading_of(const RuleBase& base, const RoundFacts& round, const char* fact) {
  const int index = base.fact_index(fact);
  return index < 0 ? nullptr : round.find(index);
}

std::string answer_id(const RuleBase& base, const RoundFacts& round, const char* fact) {
  const Reading* reading = reading_of(base, round, fact);
  if (!reading || reading->answers.size() != 1 || reading->answers.front() < 0) return {};
  const std::vector<Answer>& answers = fact_of(base, reading->fact).answers;
  const auto i = static_cast<std::size_t>(reading->answers.front());
  return i < answers.size() ? answers[i].id : std::string();
}

std::optional<Reading> reading_of(const RuleBase& base, const Entry& entry) {
  const int fact = base.fact_index(entry.fact);
  if (entry.kind != Entry::Kind::answer || fact < 0) return std::nullopt;
  Reading out;
  out.fact = fact;
  out.unsure = entry.unsure;
  if (!entry.unsure) {
    auto read = read_value(base, fact, entry.values, {});
    if (!read) return std::nullopt;
    out = std::move(read).value();
  }
  out.by = entry.by;
  out.with = entry.with;
  return out;
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z')
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string small(std::string text) {
  const bool word = text.size() > 1 && text[1] >= 'a' && text[1] <= 'z';  // not "I feel it"
  const bool article = text.size() > 1 && text[0] == 'A' && text[1] == ' ';
  if ((word || article) && text[0] >= 'A' && text[0] <= 'Z')
    text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

std::vector<std::size_t> in_order(const CaseFile& file) {
  std::vector<EntryKey> keys;
  for (const Entry& entry : file.entries()) keys.push_back(entry.key());
  std::vector<std::size_t> out(keys.size());
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = i;
  std::sort(out.begin(), out.end(),
            [&](std::size_t a, std::size_t b) { return keys[a] < keys[b]; });
  return out;
}

double minutes_spent(const CaseFile& file, const CaseFacts& facts) {
  double out = -1.0;
  for (std::size_t i = 0; i < file.entries().size(); ++i) {
    const double minutes = file.entries()[i].minutes;
    if (minutes >= 0.0 && facts.round_of[i] >= 0) out = std::max(out, 0.0) + minutes;
  }
  return out;
}

}  // namespace perrev

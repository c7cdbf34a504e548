#include "src/answers/road_words.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <string_view>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

// How a clause begins that general_cautions() says for every manoeuvre.
constexpr std::array<std::string_view, 6> kSaidOnce = {
    "two people",        "not faster than the law", "the second person",
    "the driver writes", "the driver never",        "the driver holds the speed"};

bool said_once(std::string clause) {
  const std::size_t begin = clause.find_first_not_of(' ');
  clause.erase(0, begin == std::string::npos ? clause.size() : begin);
  std::transform(clause.begin(), clause.end(), clause.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return std::any_of(kSaidOnce.begin(), kSaidOnce.end(),
                     [&](std::string_view said) { return clause.rfind(said, 0) == 0; });
}

std::vector<std::string> split(const std::string& text, const std::string& at) {
  std::vector<std::string> out;
  for (std::size_t from = 0; from < text.size();) {
    std::size_t end = text.find(at, from);
    if (end == std::string::npos) end = text.size();
    out.push_back(text.substr(from, end - from));
    from = end + at.size();
  }
  return out;
}

std::string whole(double value) { return show_number(std::round(value)); }

std::string rpm_number(double hz) { return whole(50.0 * std::round(60.0 * hz / 50.0)); }

}  // namespace

std::string letter(std::size_t suspect) {
  return std::string(1, static_cast<char>('A' + static_cast<int>(suspect)));
}

std::string letters(const std::vector<std::size_t>& suspects) {
  std::string out;
  for (const std::size_t s : suspects) out += (out.empty() ? "" : " ") + letter(s);
  return out;
}

std::string short_name(const RuleBase& base, int fact) {
  return spaced(base.facts[static_cast<std::size_t>(fact)].id);
}

std::string suspect_name(const RuleBase& base, const RoadSuspect& suspect) {
  return suspect.cause == base.nothing_left()
             ? "Nothing is wrong any more"
             : base.causes[static_cast<std::size_t>(suspect.cause)].name;
}

std::string speed_words(double speed, Units units) {
  return whole(in_usual_unit(speed, Dimension::speed, units)) + " " +
         std::string(usual_unit(Dimension::speed, units));
}

std::string speed_words(double from, double to, Units units) {
  return whole(in_usual_unit(from, Dimension::speed, units)) + " to " + speed_words(to, units);
}

std::string rpm_words(double low_hz, double high_hz) {
  const std::string low = rpm_number(low_hz), high = rpm_number(high_hz);
  return (low == high ? low : low + " to " + high) + " rpm";
}

std::string pair_words(const std::vector<RoadPair>& pairs) {
  struct Row {
    std::vector<std::size_t> firsts, partners;
  };
  std::vector<Row> rows;
  for (const RoadPair& pair : pairs) {
    if (rows.empty() || rows.back().firsts.front() != pair.first)
      rows.push_back({{pair.first}, {}});
    rows.back().partners.push_back(pair.second);
  }
  std::vector<Row> merged;
  for (const Row& row : rows) {
    const auto same = std::find_if(merged.begin(), merged.end(),
                                   [&](const Row& m) { return m.partners == row.partners; });
    if (same == merged.end())
      merged.push_back(row);
    else
      same->firsts.push_back(row.firsts.front());
  }
  std::string out;
  for (const Row& row : merged)
    out += (out.empty() ? "" : "; ") + letters(row.firsts) + " from " + letters(row.partners);
  return out;
}

std::string own_caution(const std::string& caution) {
  std::string out;
  for (std::string sentence : split(caution, ". ")) {
    if (!sentence.empty() && sentence.back() == '.') sentence.pop_back();
    const std::vector<std::string> clauses = split(sentence, ";");
    if (std::all_of(clauses.begin(), clauses.end(), said_once)) continue;
    out += (out.empty() ? "" : " ") + sentence + ".";
  }
  return out;
}

std::vector<std::string> general_cautions(const RoadPlan& plan, Units units) {
  std::string fastest = "Not faster than the law and the road allow, and never above " +
                        speed_words(plan.speeds.cap, units);
  switch (plan.speeds.cap_reason) {
    case SpeedCap::usual:
      break;
    case SpeedCap::tires:
      fastest += ", the limit of these tires";
      break;
    case SpeedCap::small_spare:
      fastest += " on the small spare wheel, with which a drive at speed proves nothing";
      break;
    case SpeedCap::snow_chain:
      fastest += " on snow chains";
      break;
  }
  return {"Two people: the driver drives; the passenger reads, operates and writes.", fastest + ".",
          "Anything loose, lumpy, hot, soft or smelling: slow down gently, stop where it is safe, "
          "have it brought home."};
}

}  // namespace perrev

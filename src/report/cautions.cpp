#include "src/report/cautions.h"

#include <algorithm>

#include "src/answers/diagnosis_parts.h"
#include "src/report/report_words.h"

namespace perrev {

namespace {

constexpr const char* kTightenAgain =
    "Wheel nuts or bolts that were loosened must be tightened again to their torque after 50 to "
    "100 km (30 to 60 miles). Come by; it takes a few minutes.";

bool has(const std::string& text, const char* words) {
  return text.find(words) != std::string::npos;
}

// What the owner of the vehicle has to do or not to do; the rest is for those who repair it.
bool concerns_owner(const std::string& sentence) {
  for (const char* words : {"he vehicle stays", "ever drive", "Drive it no", "not driven",
                            "goes no further", "km/h (", "efore the vehicle leaves"})
    if (has(sentence, words)) return true;
  return false;
}

}  // namespace

std::vector<std::string> sentences(const std::string& text) {
  std::vector<std::string> out;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t stop = text.find(". ", at);
    const std::size_t end = stop == std::string::npos ? text.size() : stop + 1;
    out.push_back(text.substr(at, end - at));
    at = stop == std::string::npos ? end : end + 1;
  }
  return out;
}

std::vector<std::string> customer_cautions(const ReportedCase& of,
                                           const std::vector<FaultFound>& findings) {
  std::vector<std::string> out;
  const auto add = [&](const std::string& sentence) {
    if (std::find(out.begin(), out.end(), sentence) == out.end()) out.push_back(sentence);
  };
  for (const FaultFound& finding : findings)
    if (finding.in_force)
      for (const std::string& sentence : sentences(cause_of(of.base(), finding.cause).caution))
        if (concerns_owner(sentence))
          add(cause_of(of.base(), finding.cause).name + ": " + small(sentence));
  for (const RoundFacts& round : of.facts().rounds)
    for (const int r : round.opened_by) {
      const Repair& repair = of.base().repairs[static_cast<std::size_t>(r)];
      if (has(repair.caution + repair.proof, "50 to 100 km")) add(kTightenAgain);
    }
  return out;
}

}  // namespace perrev

#include "src/report/standing.h"

#include <algorithm>

#include "engine/casefile/closing.h"
#include "src/answers/diagnosis_parts.h"
#include "src/report/report_words.h"

namespace perrev {

namespace {

bool is_closed_without_cause(const ReportedCase& of) {
  const Entry* closing = closing_in_force(of.file(), of.facts());
  return closing && closing->closes.empty();
}

Standing after_repair(const ReportedCase& of) {
  const std::string now = answer_id(of.base(), of.facts().now(), "complaint_now");
  if (now.empty() || now == "gone") return Standing::not_proved;
  return Standing::not_gone;
}

}  // namespace

bool is_explained(const RuleBase& base, int cause) {
  return base.repairs[static_cast<std::size_t>(cause_of(base, cause).repair)].id ==
         "explain_to_customer";
}

Standing standing_of(const ReportedCase& of) {
  const RuleBase& base = of.base();
  const CaseFacts& facts = of.facts();
  if (facts.stopped()) return Standing::stopped;
  if (!facts.verdicts.empty())
    return std::all_of(facts.verdicts.begin(), facts.verdicts.end(),
                       [&](int cause) { return is_explained(base, cause); })
               ? Standing::normal
               : Standing::shown;
  if (facts.rounds.size() > 1)
    return answer_id(base, facts.now(), "complaint_now") == "gone" &&
                   is_proved(base, facts, of.diagnosis.ranking)
               ? Standing::proved
               : after_repair(of);
  if (is_closed_without_cause(of)) return Standing::no_fault;
  if (answer_id(base, facts.now(), "duplicated") == "no") return Standing::not_duplicated;
  if (end_of(base, facts, of.diagnosis) == "referral" &&
      confirming(base, facts, of.diagnosis).empty())
    return Standing::handed_on;
  return Standing::open;
}

std::string standing_title(Standing standing) {
  switch (standing) {
    case Standing::stopped:
      return "Must not be driven";
    case Standing::proved:
      return "Repaired and proved";
    case Standing::normal:
      return "Normal, no fault of this vehicle";
    case Standing::shown:
      return "Cause shown, not repaired yet";
    case Standing::not_gone:
      return "Worked on, not gone yet";
    case Standing::not_proved:
      return "Worked on, not proved yet";
    case Standing::no_fault:
      return "No fault found";
    case Standing::not_duplicated:
      return "Could not be duplicated";
    case Standing::handed_on:
      return "To be handed on";
    case Standing::open:
      return "Not decided yet";
  }
  return {};
}

std::string standing_words(const ReportedCase& of, Standing standing) {
  switch (standing) {
    case Standing::stopped:
      return "It stays here until what is named above has been looked at and put right.";
    case Standing::proved:
      return "After the work it was gone when it was tried again on the road.";
    case Standing::normal:
      return "What you feel has been shown to come from no fault of the vehicle. We will gladly "
             "show it to you.";
    case Standing::shown:
      return "A check has shown what is wrong. It is not repaired yet.";
    case Standing::not_gone: {
      const Reading* now = reading_of(of.base(), of.facts().now(), "complaint_now");
      return "After the work it was tried again: " + answer_words(of.base(), *now, of.units()) +
             ".";
    }
    case Standing::not_proved:
      return answer_id(of.base(), of.facts().now(), "complaint_now") == "gone"
                 ? "It was gone when it was tried again, but what we know does not prove the "
                   "repair."
                 : "The work is done. Only the same road at the same speed proves it; that drive "
                   "is "
                   "not recorded yet.";
    case Standing::no_fault:
      return "We looked for what you described and found nothing wrong. If it comes back, note "
             "speed, road and weather, and come again.";
    case Standing::not_duplicated:
      return "On our drive it did not show itself. Without feeling it nobody can prove what it is. "
             "Note speed, road and weather when it comes back; best we drive it together.";
    case Standing::handed_on:
      return "What can be found out here does not decide it. A specialist or the maker should look "
             "at it, with this sheet.";
    case Standing::open:
      return "We are still looking. Nothing has been shown yet.";
  }
  return {};
}

}  // namespace perrev

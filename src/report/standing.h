// Where a case stands, in the words of a customer.
#pragma once

#include <string>

#include "src/report/report.h"

namespace perrev {

enum class Standing {
  stopped,         // must not be driven
  proved,          // repaired, and gone on the road
  normal,          // shown to be no fault of this vehicle
  shown,           // a cause is shown and not repaired
  not_gone,        // repaired, and still felt
  not_proved,      // repaired, and not driven to prove it, or that proves nothing
  no_fault,        // closed without a cause
  not_duplicated,  // it did not show itself on the road
  handed_on,       // what can be known here does not decide
  open
};

Standing standing_of(const ReportedCase& of);
// Two or three words, and a sentence.
std::string standing_title(Standing standing);
std::string standing_words(const ReportedCase& of, Standing standing);

// Whether the cause is no fault of the vehicle, only to be explained.
bool is_explained(const RuleBase& base, int cause);

}  // namespace perrev

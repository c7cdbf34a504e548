// How a case ended, as far as it did.
#pragma once

#include "engine/casefile/facts_of.h"

namespace perrev {

// The latest closing that was not taken back, with or without a cause; null where there is none.
const Entry* closing_in_force(const CaseFile& file, const CaseFacts& facts);

}  // namespace perrev

// How commands wait for a store that another program keeps busy.
#pragma once

#include "src/store/store.h"

namespace perrev {

// After a second it is said on stderr that something is waited for, and how long at most.
Patience told_patience();

}  // namespace perrev

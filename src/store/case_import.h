// A case file taken into a store.
#pragma once

#include <cstddef>
#include <string>

#include "src/store/store.h"

namespace perrev {

struct Imported {
  std::string case_id;
  std::size_t fresh = 0;  // additions; 0: all of it stood there already
};

// What is there already is passed over and what is new is added, photos included. Refused as a
// whole, with a conflict, where the file says otherwise than the store. An empty `case_id` is made
// of the label and the first entry, which do not change while a case grows; so the same file comes
// to the same case again. `shown` names the file in problems.
Stored<Imported> import_case(Changes& changes, const std::string& shown, const std::string& text,
                             const std::string& case_id);

}  // namespace perrev

// What is asked about a new thing, in which order, and in which words.
//
// The fields are those of knowledge/fields.h; what is not asked here may still be given as an
// option. Whether a question is due hangs on what was said before: answers are only asked of a fact
// that has some.
#pragma once

#include <string_view>
#include <vector>

#include "engine/bench/new_thing.h"

namespace perrev {

struct NewQuestion {
  std::string_view key;
  std::string_view ask;
  std::string_view help = {};
  std::string_view otherwise = {};  // taken where nothing is said
  bool needed = false;              // something must be said where it is due
  bool one_a_line = false;          // several pairs, each on a line of its own
};

const std::vector<NewQuestion>& questions_of(NewKind kind);

// Whether it is to be asked, or must be there, given the fields so far.
bool is_due(NewKind kind, const NewQuestion& question, const YamlNode& fields);

}  // namespace perrev

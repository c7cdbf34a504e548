// One run of `perrev rules new`: gathers what was said, asks for the rest, and has it written.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "src/commands/commands.h"
#include "src/commands/new_talk.h"
#include "src/would_be.h"

namespace perrev {

struct NewOptions {
  std::string rules, id, file, below, case_out;
  // key of a field, with `repair_` before those of a new repair: what was said
  std::map<std::string, std::vector<std::string>> said;
  std::vector<std::string> seen;
  bool yes = false, prompt = false, no_case = false, json = false;
};

// The option of a field's key: "--asked-at" of "asked_at".
std::string option_of(std::string_view key);

Exit make_new(NewKind kind, const NewOptions& options, WouldBe would_be);

}  // namespace perrev

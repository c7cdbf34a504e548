// The end of one run of `perrev rules new`: what was gathered is shown, with a reference case, and
// written.
#pragma once

#include <iosfwd>
#include <string>

#include "src/commands/new_making.h"

namespace perrev {

struct NewRun {
  const NewKind kind;
  const NewOptions& options;
  WouldBe would_be;
  const bool asks;
  std::ostream& out;
  NewTalk talk;
  std::string id;
};

// The person left, or said no.
Exit nothing_written(const NewRun& run);

// What is new is in `run.would_be`, the first thing in front.
Exit write_new(NewRun& run);

}  // namespace perrev

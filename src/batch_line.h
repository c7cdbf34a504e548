// One case on a line to one answer on a line: what `perrev diagnose --batch` does, without files.
#pragma once

#include <cstddef>
#include <string>

#include "engine/reasoning/ranking.h"
#include "src/batch_case.h"

namespace perrev {

struct BatchTerms {
  std::size_t named = 10;     // causes, the most probable
  std::size_t explained = 3;  // of these, with what speaks for and against them
};

struct BatchAnswer {
  std::string text;  // JSON, without the end of the line
  bool good = true;  // false: `text` says what is wrong with the case
};

// As %.6g of printf writes it, in any locale.
void add_six_digits(double value, std::string& out);

// `line` is the number of the line, from 1. Keys and numbers as docs/json.md says.
BatchAnswer answer_line(const Reasoner& reasoner, std::size_t line, const std::string& text,
                        const BatchTerms& terms, BatchCaseReader& reader);

// The same of a line that is passed over for these problems.
BatchAnswer refused_line(std::size_t line, const Problems& problems);

}  // namespace perrev

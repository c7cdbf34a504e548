// `perrev diagnose --batch`: a case a line in, an answer a line out.
#pragma once

#include <string>

#include "src/batch_line.h"
#include "src/commands/common.h"

namespace perrev {

// `in`: a file, or - for standard input; answers go to standard output.
Exit diagnose_batch(const std::string& in, const BatchTerms& terms, const Common& common);

}  // namespace perrev

// How a problem of loading must be told, whatever the files say.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev::small {

// What is not as it should be about the way a problem is told; empty where all is well. Its place
// lies in one of the files, and in that at a letter or just behind the last one of the line.
std::string badly_told(const Problem& problem, const std::vector<ParsedFile>& files);

// The same of a place alone.
std::string badly_placed(const Place& place, const std::vector<ParsedFile>& files);
// Whether line and column lie within the text.
std::string badly_placed(const Place& place, const std::string& text);

// The same of what is said alone: one line of text, neither nothing nor far too much.
std::string badly_worded(const Problem& problem);

}  // namespace perrev::small

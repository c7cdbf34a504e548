// What holds of a rule base whatever its files say: the law that the fuzz target and the replay of
// its inputs hold the loader to.
//
// An input is the small base (tests/engine/knowledge/small_base.h) with some of its files replaced,
// so that a short input reaches far into loading. Each part begins with a line of its own:
//     --- file facts.yaml     the lines that follow are that file; the last of a name counts
//     --- no path.yaml        there is no such file
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev::fuzz {

// The files of an input, parsed.
std::vector<ParsedFile> files_in(std::string_view input);

// What breaks the law; empty where nothing does. A rule base comes or at least one problem, each
// problem well told at a place within the files. A rule base keeps the promises of its header,
// survives being made into bytes, and all that is made of it without a case comes out: findings at
// places within the files, drawings, a ranking of an empty case that sums to one.
std::string broken_loader_law(std::string_view input);

// Whether it is a rule base.
bool loader_comes_through(std::string_view input);

}  // namespace perrev::fuzz

// The inside of new_thing.h: files and families looked up, one entry as lines of a file, and the
// byte where they go.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/bench/new_thing.h"

namespace perrev {

// Null where there is none of that name.
const ParsedFile* file_named(const std::vector<ParsedFile>& files, std::string_view name);
// What the cause says itself; empty where it says none.
std::string family_of(const YamlNode& cause);

// How the entries of a file are written.
struct EntryStyle {
  int dash = 0;           // blanks before the dash of a list's item
  int indent = 2;         // blanks before the keys of an entry
  bool separated = true;  // an empty line between entries
};

// With a line end at its end.
std::string entry_text(const NewThing& thing, const EntryStyle& style);

// Under entry `below` of the file's mapping or list, which has one.
Result<std::vector<Insertion>> entry_insertion(const NewThing& thing, const ParsedFile& file,
                                               int below);
// At the end of `edges`.
Result<std::vector<Insertion>> edge_insertion(const NewThing& thing, const ParsedFile& file);
// At the end of the repair's `cures`.
Result<std::vector<Insertion>> cure_insertions(const NewThing& thing, const ParsedFile& file);

}  // namespace perrev

// Files of the program: read with a cap, written so that a killed process loses nothing.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "engine/result.h"

namespace perrev {

// The whole file. Errors name the file: missing, a directory, unreadable, larger than `most` bytes.
Result<std::string> read_file(const std::string& path, std::size_t most);

// Where a link leads; the path itself where there is none.
std::string link_target(const std::string& path);

// A new file is anybody's to read as far as the process lets it, and one that is there keeps its
// rights; or it is its owner's alone.
enum class Rights { usual, owner };

// All or nothing: written beside it (".NAME.part"), flushed to the disk, then renamed over it, a
// link included. Who writes the same file at that moment is waited for, up to 2 s. Empty when it
// went well.
std::vector<Problem> write_file(const std::string& path, const std::string& text,
                                Rights rights = Rights::usual);

struct FileChange {
  std::string path;
  std::optional<std::string> before;  // what must still stand there; nothing: no file
  std::string after;
};
// All files or none: every one is written beside its place, and looked at whether `before` still
// stands there, before the first is replaced; where one cannot be replaced the others are put back.
// Folders that are not there are made. A process killed within the moment in which several are
// replaced can leave some of them new.
std::vector<Problem> write_files(const std::vector<FileChange>& changes);

// What a person has a command write where they say. A file that is there already is written over
// only where it is empty or begins as one of the kind does, so that a wrong name costs no case and
// no rule.
std::vector<Problem> write_output(const std::string& path, const std::string& text,
                                  const std::vector<std::string>& begins);

// "-" is standard input for commands that read a case.
Result<std::string> read_file_or_input(const std::string& path, std::size_t most);

}  // namespace perrev

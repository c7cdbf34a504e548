// Text put into a file between what stands there: nothing that stands there is changed or moved
// against the rest.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace perrev {

struct Insertion {
  std::string file;    // relative to the rule base: "causes/wheel.yaml"
  std::size_t at = 0;  // byte of the file as it is, before which the text goes
  std::string text;
};

// The file with those of `insertions` that are for `file`; of two at one place the first comes
// first.
std::string with_insertions(std::string_view file, const std::string& text,
                            const std::vector<Insertion>& insertions);

// What they do, for a person: under each place in a file the lines that come, with "+" before them;
// a line that gets longer stands there as it was, with "-" before it, and as it will be.
// `shown` names the file, `text` is its text.
std::string listing(std::string_view file, const std::string& shown, const std::string& text,
                    const std::vector<Insertion>& insertions);

}  // namespace perrev

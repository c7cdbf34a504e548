// What the completions of both shells share.
#pragma once

#include <string>
#include <vector>

namespace perrev {

// As one word of a shell, in single quotes.
std::string shell_word(const std::string& text);
// With blanks between them, as one word of a shell.
std::string shell_list(const std::vector<std::string>& words);
// "perrev rules new" as the name of a function: "_perrev_rules_new".
std::string shell_function(const std::string& words);

}  // namespace perrev

// Small helpers for text that a person typed or will read.
//
// Input is bytes that may be anything; what comes out of `quoted` is valid UTF-8 on one line.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace perrev {

// Without blanks, tabs and line ends at both ends.
std::string_view trimmed(std::string_view text);

// The text in double quotes for a message: control bytes and broken UTF-8 become "?", long text is
// cut.
std::string quoted(std::string_view text);

// No-break spaces as plain blanks, runs of blanks and tabs as one, none at the ends.
std::string with_plain_blanks(std::string_view text);

// Bytes of the valid UTF-8 sequence that begins at `at`, 0 where none does: shortest forms only, no
// surrogates (RFC 3629; Unicode 15, table 3-7).
std::size_t sequence_length(std::string_view text, std::size_t at);

// ASCII upper or lower case, whatever the locale; other bytes stay.
std::string upper_case(std::string_view text);
std::string lower_case(std::string_view text);

// An id in words: "left front" of "left_front".
std::string spaced(std::string_view id);

// One after the other, with `glue` between them.
std::string joined(const std::vector<std::string>& items, std::string_view glue = ", ");

inline bool is_digit(char c) { return c >= '0' && c <= '9'; }

}  // namespace perrev

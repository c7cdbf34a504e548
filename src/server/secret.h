// Random secrets as text, and their comparison.
#pragma once

#include <string>
#include <string_view>

namespace perrev {

// `bytes` of the system's random numbers in base32 (RFC 4648, 6), lower case, unpadded. Empty when
// the system has none to give.
std::string random_word(std::size_t bytes);
// "abcdefgh" to "abcd-efgh": for people who type it.
std::string in_groups(const std::string& word);
// Lower case, without blanks and dashes.
std::string out_of_groups(std::string_view typed);
// Takes the same time wherever they differ.
bool same_secret(std::string_view a, std::string_view b);

}  // namespace perrev

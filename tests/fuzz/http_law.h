// What holds of a server, whatever it is sent: the law of the fuzz target.
//
// An input is some requests as wire.h reads them, one after the other to a server with an empty
// store and the rule base that the project ships; a first line "lan" has it ask for a key, kKey.
#pragma once

#include <string>
#include <string_view>

namespace perrev::fuzz {

// What breaks the law; empty where nothing does. Every request that gets a response gets a status
// of RFC 9110, headers without control characters, and JSON: of the known shape where it refuses,
// nothing thrown on the way. Afterwards the store is sound, and every case in it reads as a case.
std::string broken_http_law(std::string_view input);

// Whether something was written into the store.
bool http_comes_through(std::string_view input);

}  // namespace perrev::fuzz

// What holds of a request in JSON, as a page's engine and POST /api/answers/NAME take it: the law
// of the fuzz target.
//
// An input is the name of an answer on a line of its own, then the request. It is answered by the
// rule base that the project ships.
#pragma once

#include <string>
#include <string_view>

namespace perrev::fuzz {

// What breaks the law; empty where nothing does. The answer is {"ok": {...}} or problems of the
// known shape, the same each time; nothing is thrown on the way, and nothing in it can run in a
// page.
std::string broken_answers_law(std::string_view input);

// Whether it is answered.
bool answers_comes_through(std::string_view input);

}  // namespace perrev::fuzz

// The shape that every answer in JSON has, of the page's engine and of the server.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace perrev::fuzz {

// What is not as it should be about an answer that refuses; empty where all is well. It is
// {"problems": [{"what", "right"?, "where"?}]} of texts, says something, and does not say that
// something was thrown on the way.
std::string badly_refused(const nlohmann::ordered_json& answer);

// The same of what is answered: no text in it can run in a page.
std::string badly_answered(const nlohmann::ordered_json& answer);

}  // namespace perrev::fuzz

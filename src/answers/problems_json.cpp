#include "src/answers/problems_json.h"

#include <nlohmann/json.hpp>

#include "engine/json_text.h"

namespace perrev {

using Json = nlohmann::ordered_json;

std::string problems_json(const Problems& problems) {
  Json out = Json::array();
  for (const Problem& problem : problems) {
    Json item = {{"what", problem.what}};
    if (!problem.right.empty()) item["right"] = problem.right;
    if (!problem.place.pointer.empty()) item["where"] = problem.place.pointer;
    out.push_back(std::move(item));
  }
  return compact_json({{"problems", std::move(out)}});
}

}  // namespace perrev

#include "tests/fuzz/answers_law.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "src/answers/answers.h"
#include "tests/engine/shipped_rules.h"
#include "tests/fuzz/answer_shape.h"

namespace perrev::fuzz {

namespace {

using Json = nlohmann::ordered_json;

std::string answer_to(std::string_view input) {
  static const Answerer answers(testing::shipped_rules());
  const std::size_t end = std::min(input.find('\n'), input.size());
  return answers.answer(input.substr(0, end), input.substr(std::min(end + 1, input.size())));
}

}  // namespace

std::string broken_answers_law(std::string_view input) {
  const std::string text = answer_to(input);
  const Json answer = Json::parse(text, nullptr, false);
  if (answer.is_discarded()) return "no JSON: " + text;
  if (!answer.contains("ok")) return badly_refused(answer);
  return answer.size() == 1 ? badly_answered(answer["ok"]) : "an answer and a problem";
}

bool answers_comes_through(std::string_view input) {
  return answer_to(input).compare(0, 6, "{\"ok\":") == 0;
}

}  // namespace perrev::fuzz

#include <nlohmann/json.hpp>

#include "src/server/handlers.h"
#include "src/server/json_body.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

// Keys of the query that the answer knows, as texts of its request.
Response about_case(Api& api, const Call& call, std::string_view name,
                    std::initializer_list<const char*> keys, Json request = Json::object()) {
  const auto text = api.store.case_text(call.ids[0]);
  if (!text) return refusal(text.error());
  request["units"] = api.about.units;
  for (const char* key : keys)
    if (const auto value = call.request.asked(key)) request[key] = *value;
  return unwrapped(api.rules.now()->answers.answer(name, request.dump(), text->text));
}

}  // namespace

Response get_diagnosis(Api& api, const Call& call) {
  Json request = Json::object();
  if (const auto explained = call.request.asked("explained")) {
    const auto number = whole_number(*explained);
    if (!number || *number > 1000)
      return refused(400, "explained is no such number", "0 to 1000 causes");
    request["explained"] = *number;
  }
  return about_case(api, call, "diagnosis", {}, std::move(request));
}

Response get_plan(Api& api, const Call& call) { return about_case(api, call, "plan", {"ready"}); }

Response get_road(Api& api, const Call& call) { return about_case(api, call, "road", {"units"}); }

Response get_report(Api& api, const Call& call) {
  const std::string reader = call.request.asked("for").value_or("customer");
  if (reader != "customer" && reader != "technician")
    return refused(400, "nobody reads a report under this name", "for=customer or for=technician");
  return about_case(api, call, "report", {"units"}, {{"for", reader}});
}

Response post_answer(Api& api, const Call& call) {
  const auto body = read_object(call.request.body);
  if (!body) return problems_response(400, {body.error()});
  const Rules rules = api.rules.now();
  const std::string answer = rules->answers.answer(call.ids[0], call.request.body);
  return rules->answers.knows(call.ids[0]) ? unwrapped(answer) : json_response(404, answer);
}

}  // namespace perrev

#include "tests/fuzz/http_law.h"

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>
#include <vector>

#include "engine/casefile/casefile.h"
#include "src/server/events.h"
#include "tests/engine/shipped_rules.h"
#include "tests/fuzz/answer_shape.h"
#include "tests/fuzz/wire.h"

namespace perrev::fuzz {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view kLan = "lan\n";
const std::string kKey = "abcdefghijklmnopqrstuvwxyz";

const Rules& rule_set() {
  static const Rules made = std::make_shared<const RuleSet>(testing::shipped_rules(),
                                                            std::vector<NamedAnswer>(), "bytes");
  return made;
}

bool has_control(std::string_view text) {
  return std::any_of(text.begin(), text.end(),
                     [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; });
}

std::string broken_response(const Response& response) {
  const std::string status = std::to_string(response.status);
  if (reason_phrase(response.status) == "Unknown") return "no such status: " + status;
  bool is_json = false, is_coded = false;
  for (const auto& [name, value] : response.headers) {
    if (name.empty() || has_control(name) || has_control(value)) return "a header that is none";
    is_json = is_json || (name == "Content-Type" && value == "application/json");
    is_coded = is_coded || name == "Content-Encoding";
  }
  if (response.status == 500 || response.status == 503) return "not answered: " + response.body;
  if (response.status >= 400 && !is_json) return status + " without JSON";
  if (!is_json || is_coded) return "";
  const Json body = Json::parse(response.content(), nullptr, false);
  if (body.is_discarded()) return "no JSON: " + response.body;
  const std::string wrong = response.status >= 400 ? badly_refused(body) : badly_answered(body);
  return wrong.empty() ? "" : status + ": " + wrong;
}

std::string broken_case(const Store& store, const std::string& id) {
  for (const auto photos : {Store::Photos::without, Store::Photos::with}) {
    const auto text = store.case_text(id, photos);
    if (!text) return "a case that cannot be had: " + text.error().problems.front().text();
    const auto file = CaseFile::parse(id, text->text);
    if (!file) return "a case that cannot be read: " + file.error().front().text();
    if (file->text() != text->text) return "a case that is written otherwise";
  }
  return "";
}

// Three lines and the one that ends it (WHATWG HTML, 9.2.5).
bool is_event(const std::string& text) {
  return std::count(text.begin(), text.end(), '\n') == 4 && text.find('\r') == std::string::npos &&
         Json::accept(text.substr(text.find("data: ") + 6));
}

std::string broken_store(const Store& store) {
  const auto found = store.check();
  if (!found) return "the store cannot be checked";
  if (!found->empty()) return "the store is not sound: " + found->front().text();
  const auto ids = store.case_ids();
  if (!ids) return "no list of cases";
  for (const std::string& id : *ids)
    if (auto wrong = broken_case(store, id); !wrong.empty()) return wrong;
  const auto additions = store.since("", 0, 10000);
  if (!additions) return "no list of additions";
  for (const Addition& each : *additions)
    if (!is_event(event_of_case(each)) || !is_event(event_of_all(each)))
      return "an event of more than one: " + event_of_case(each);
  return "";
}

}  // namespace

std::string broken_http_law(std::string_view input) {
  const bool lan = input.substr(0, kLan.size()) == kLan;
  if (lan) input.remove_prefix(kLan.size());
  test::Served server(rule_set(), lan ? Access(kKey) : Access());
  for (const std::string& request : requests_in(input))
    if (const auto response = response_to(server, request))
      if (auto wrong = broken_response(*response); !wrong.empty()) return wrong;
  return broken_store(*server.store);
}

bool http_comes_through(std::string_view input) {
  test::Served server(rule_set());
  for (const std::string& request : requests_in(input)) response_to(server, request);
  return server.store->last_seq().value() > 0;
}

}  // namespace perrev::fuzz

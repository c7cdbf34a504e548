#include "src/server/json_body.h"

#include <nlohmann/json.hpp>
#include <set>
#include <utility>
#include <vector>

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kDeepest = 50;
constexpr std::size_t kMostKeys = 1000;  // of one object: the library looks them up one by one

// Reads once without keeping anything. The library destroys values level by level and keeps one of
// two equal keys, so both are told here before it makes any value.
class Strictly : public nlohmann::json_sax<Json> {
 public:
  std::string fault;

  bool null() override { return true; }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t) override { return true; }
  bool number_unsigned(number_unsigned_t) override { return true; }
  bool number_float(number_float_t, const string_t& text) override {
    return text.find_first_of(".eE") != std::string::npos ||
           tell("a whole number has more than 64 bits and would lose digits");
  }
  bool string(string_t&) override { return true; }
  bool binary(binary_t&) override { return true; }
  bool start_object(std::size_t) override { return open(); }
  bool start_array(std::size_t) override { return open(); }
  bool end_object() override { return close(); }
  bool end_array() override { return close(); }
  bool key(string_t& name) override {
    if (keys_.back().size() >= kMostKeys) return tell("an object has more than 1000 keys");
    return keys_.back().insert(name).second || tell("a key stands twice in one object");
  }
  bool parse_error(std::size_t position, const std::string&,
                   const nlohmann::detail::exception&) override {
    return tell("this is no JSON from byte " + std::to_string(position) + " on");
  }

 private:
  bool tell(std::string what) {
    fault = std::move(what);
    return false;
  }
  bool open() {
    if (keys_.size() >= kDeepest) return tell("this is nested more than 50 deep");
    keys_.emplace_back();
    return true;
  }
  bool close() {
    keys_.pop_back();
    return true;
  }

  std::vector<std::set<std::string>> keys_;  // of what is open
};

}  // namespace

Result<Json, Problem> read_object(const std::string& text) {
  try {
    Strictly strictly;
    if (!Json::sax_parse(text, &strictly))
      return problem(strictly.fault, "one JSON object, in UTF-8, every key once");
    Json value = Json::parse(text);
    if (!value.is_object()) return problem("this is no JSON object", "{...}");
    return value;
  } catch (const Json::exception&) {
    return problem("this is no JSON that can be held", "one JSON object");
  }
}

}  // namespace perrev

#include "engine/bench/expectation.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;
using Pointer = Json::json_pointer;

Pointer at(const std::string& key) { return Pointer("/reference") / key; }

const std::vector<std::string> kKeys = {"about",
                                        "known_gap",
                                        "true",
                                        "rank",
                                        "not_above",
                                        "every_cause_at_most",
                                        "not_listed_first",
                                        "nothing_left_first",
                                        "stops",
                                        "state",
                                        "next"};

class ExpectationReader {
 public:
  ExpectationReader(const CaseFile& file, const RuleBase& base) : file_(file), base_(base) {}

  Result<Expectation, Problems> read() {
    const std::string text = file_.member("reference");
    if (text.empty()) {
      say(Pointer("/reference"), "no `reference`: this is no reference case",
          "what is true of the vehicle, and what must come of the case");
      return problems_;
    }
    document_ = Json::parse(text);
    if (!document_.is_object()) {
      say(Pointer("/reference"), "'reference' is no object", "{\"true\": [...], \"about\": ...}");
      return problems_;
    }
    for (const auto& member : document_.items())
      if (std::find(kKeys.begin(), kKeys.end(), member.key()) == kKeys.end())
        unknown(at(member.key()), "key", member.key(), kKeys);
    out_.about = words("about");
    if (out_.about.empty()) say(at("about"), "missing", "why it must come so");
    out_.known_gap = words("known_gap");
    read_causes();
    read_probabilities();
    read_path();
    if (problems_.empty() && says_nothing())
      say(Pointer("/reference"), "expects nothing", "a true cause, or what must not be concluded");
    if (!problems_.empty()) return problems_;
    return std::move(out_);
  }

 private:
  void say(const Pointer& where, std::string what, std::string right) {
    problems_.push_back(
        {{file_.shown(), 0, 0, where.to_string()}, std::move(what), std::move(right), {}});
  }

  void unknown(const Pointer& where, const std::string& kind, const std::string& id,
               const std::vector<std::string>& known) {
    const auto near = nearest(id, known);
    say(where, "unknown " + kind + " " + perrev::quoted(id),
        near ? "did you mean " + perrev::quoted(*near) + "?" : "one that is there");
  }

  // Null where the key is missing.
  const Json* find(const std::string& key) const {
    const auto at = document_.find(key);
    return at == document_.end() ? nullptr : &*at;
  }

  std::string words(const std::string& key) {
    const Json* value = find(key);
    if (!value) return {};
    if (value->is_string() && !trimmed(value->get<std::string>()).empty())
      return value->get<std::string>();
    say(at(key), "is no text, or an empty one", "words");
    return {};
  }

  bool flag(const std::string& key) {
    const Json* value = find(key);
    if (value && !value->is_boolean()) say(at(key), "is neither true nor false", "true");
    return value && value->is_boolean() && value->get<bool>();
  }

  std::optional<double> probability(const Pointer& where, const Json& value) {
    if (value.is_number() && value.get<double>() >= 0.0 && value.get<double>() <= 1.0)
      return value.get<double>();
    say(where, "is no probability", "a number from 0 to 1");
    return {};
  }

  int index_of(const Pointer& where, const std::string& kind, const std::string& id,
               const Ids& known) {
    const auto at = known.find(id);
    if (at != known.end()) return at->second;
    unknown(where, kind, id, sorted_ids(known));
    return -1;
  }

  // One id or a list of them.
  std::vector<int> indices(const std::string& key, const std::string& kind, const Ids& known) {
    const Json* value = find(key);
    if (!value) return {};
    std::vector<int> out;
    const Json list = value->is_array() ? *value : Json::array({*value});
    for (const Json& item : list) {
      if (!item.is_string()) {
        say(at(key), "is no list of " + kind + "s", "[\"id\", ...]");
        return {};
      }
      out.push_back(index_of(at(key), kind, item.get<std::string>(), known));
    }
    return out;
  }

  // An object with a cause before each value; calls `each(where, cause, value)`.
  template <class Each>
  void by_cause(const std::string& key, const Each& each) {
    const Json* value = find(key);
    if (!value) return;
    if (!value->is_object()) return say(at(key), "is no object", "{\"cause\": ...}");
    for (const auto& member : value->items()) {
      const Pointer where = at(key) / member.key();
      const int cause = index_of(where, "cause", member.key(), base_.cause_by_id);
      each(where, cause, member.value());
    }
  }

  void read_causes() {
    if (!find("true")) say(at("true"), "missing", "the true causes; [] where none is listed");
    out_.truth = indices("true", "cause", base_.cause_by_id);
    if (const Json* rank = find("rank")) {
      if (rank->is_number_integer() && rank->get<long long>() >= 1 &&
          rank->get<long long>() <= 1000)
        out_.rank = rank->get<int>();
      else
        say(at("rank"), "is no rank", "a whole number from 1 on");
    }
    by_cause("state", [&](const Pointer& where, int cause, const Json& value) {
      for (const CauseState state :
           {CauseState::confirmed, CauseState::likely, CauseState::open, CauseState::excluded})
        if (value.is_string() && value.get<std::string>() == name_of(state)) {
          out_.states.emplace_back(cause, state);
          return;
        }
      say(where, "is no state of a cause", "confirmed, likely, open or excluded");
    });
  }

  void read_probabilities() {
    by_cause("not_above", [&](const Pointer& where, int cause, const Json& value) {
      if (const auto limit = probability(where, value)) out_.not_above.emplace_back(cause, *limit);
    });
    if (const Json* most = find("every_cause_at_most"))
      out_.every_cause_at_most = probability(at("every_cause_at_most"), *most);
    out_.not_listed_first = flag("not_listed_first");
    out_.nothing_left_first = flag("nothing_left_first");
  }

  void read_path() {
    out_.stops = indices("stops", "fact", base_.fact_by_id);
    std::sort(out_.stops.begin(), out_.stops.end());
    for (const int fact : out_.stops)
      if (fact >= 0 && !base_.facts[static_cast<std::size_t>(fact)].stop)
        say(at("stops"),
            perrev::quoted(base_.facts[static_cast<std::size_t>(fact)].id) + " never stops",
            "a fact with a `stop`");
    out_.next = indices("next", "check", base_.check_by_id);
  }

  bool says_nothing() const {
    return out_.truth.empty() && out_.not_above.empty() && !out_.every_cause_at_most &&
           !out_.not_listed_first && !out_.nothing_left_first && out_.states.empty() &&
           out_.stops.empty() && out_.next.empty();
  }

  const CaseFile& file_;
  const RuleBase& base_;
  Json document_;
  Expectation out_;
  Problems problems_;
};

}  // namespace

Result<Expectation, Problems> read_expectation(const CaseFile& file, const RuleBase& base) {
  return ExpectationReader(file, base).read();
}

}  // namespace perrev

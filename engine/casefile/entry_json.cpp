// One entry of a case, from JSON and back.
#include "engine/casefile/entry_json.h"

#include <nlohmann/json.hpp>
#include <utility>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr double kMostMinutes = 100000.0;

class EntryReader {
 public:
  EntryReader(const std::string& shown, std::size_t index, const Json& json, Problems& problems)
      : shown_(shown),
        base_("/entries/" + std::to_string(index)),
        json_(json),
        problems_(problems) {}

  Entry read() {
    Entry out;
    if (!json_.is_object()) {
      fault("", "an entry must be an object", "{\"id\": ..., \"at\": ..., \"by\": ..., ...}");
      return out;
    }
    out.id = text("id", true);
    out.at = text("at", true);
    if (!out.at.empty() && !moment(out.at))
      fault("/at", perrev::quoted(out.at) + " is no moment", "as 2026-05-04T09:12:00Z");
    const std::string by = text("by", true);
    if (by == "road")
      out.by = Asker::road;
    else if (by == "bay")
      out.by = Asker::bay;
    else if (!by.empty() && by != "write_up")
      fault("/by", perrev::quoted(by) + " enters nothing", "write_up, road or bay");
    out.who = text("who", false);
    minutes(out);
    photos(out);
    kind(out);
    return out;
  }

 private:
  void minutes(Entry& out) {
    const auto found = json_.find("minutes");
    if (found == json_.end()) return;
    const double read = found->is_number() ? found->get<double>() : -1.0;
    if (read >= 0.0 && read <= kMostMinutes)
      out.minutes = read;
    else
      fault("/minutes", "'minutes' must be a number from 0 to 100000", "\"minutes\": 12");
  }

  void photos(Entry& out) {
    if (!json_.contains("photos")) return;
    const std::size_t before = problems_.size();
    out.photos = list("photos");
    if (problems_.size() != before) return;
    for (std::size_t i = 0; i < out.photos.size(); ++i)
      if (out.photos[i].size() != 64 ||
          out.photos[i].find_first_not_of("0123456789abcdef") != std::string::npos)
        fault("/photos/" + std::to_string(i), "a photo is named by 64 hex digits",
              "the SHA-256 of its bytes, in small letters");
  }

  void kind(Entry& out) {
    if (json_.contains("fact")) {
      out.kind = Entry::Kind::answer;
      answer(out);
    } else if (json_.contains("check")) {
      out.kind = Entry::Kind::not_possible;
      out.check = text("check", true);
      const std::string answer = text("answer", true);
      if (!answer.empty() && answer != "not_possible")
        fault("/answer", "a check is entered only when it cannot be done",
              "\"answer\": \"not_possible\"");
    } else if (json_.contains("retracts")) {
      out.kind = Entry::Kind::retraction;
      out.retracts = text("retracts", true);
    } else if (json_.contains("repair")) {
      out.kind = Entry::Kind::repair;
      out.repair = text("repair", true);
      const std::string result = text("result", true);
      if (result != "done" && result != "not_done" && !result.empty())
        fault("/result", perrev::quoted(result) + " is no result", "done or not_done");
      out.done = result == "done";
    } else if (json_.contains("closes")) {
      out.kind = Entry::Kind::closing;
      out.closes = list("closes");
      out.proof = text("proof", false);
    } else {
      fault("", "the entry says nothing", "one of fact, check, retracts, repair, closes");
    }
  }

  void answer(Entry& out) {
    out.fact = text("fact", true);
    out.place = text("place", false);
    if (json_.contains("with")) held(json_["with"], out);
    const bool has_answer = json_.contains("answer"), has_value = json_.contains("value");
    if (has_answer == has_value) {
      fault("", "an answer needs 'value' or \"answer\": \"unsure\"", "one of the two");
    } else if (has_answer) {
      out.unsure = true;
      const std::string word = text("answer", true);
      if (!word.empty() && word != "unsure")
        fault("/answer", "the only such answer is unsure", "\"value\": ...");
    } else if (json_["value"].is_array()) {
      out.is_list = true;
      out.values = list("value");
    } else if (json_["value"].is_boolean()) {
      out.values = {json_["value"].get<bool>() ? "yes" : "no"};
    } else if (json_["value"].is_number()) {
      out.values = {json_["value"].dump()};
    } else if (json_["value"].is_string()) {
      out.values = {json_["value"].get<std::string>()};
    } else {
      fault("/value", "a value is text, a number with its unit as text, or a list of them",
            "\"65 mph\"");
    }
  }

  // What was held while it was read. Only what the program reads must be text (a bare number is
  // refused later, by its missing unit); the rest is kept as it is.
  void held(const Json& with, Entry& out) {
    if (!with.is_object()) return fault("/with", "'with' must be an object", "{\"by\": \"gps\"}");
    for (const auto& item : with.items()) {
      const std::string& key = item.key();
      if (item.value().is_string())
        out.with[key] = item.value().get<std::string>();
      else if (item.value().is_number())
        out.with[key] = item.value().dump();
      else if (key == "by" || key == "speed" || key == "rpm")
        fault("/with/" + key, "'" + key + "' must be text", "\"...\"");
    }
  }

  std::string text(const char* key, bool must) {
    const auto found = json_.find(key);
    if (found == json_.end()) {
      if (must)
        fault("", std::string("the entry has no '") + key + "'",
              std::string("\"") + key + "\": \"...\"");
      return {};
    }
    const bool is_text = found->is_string();
    if (is_text && (!must || !found->get_ref<const std::string&>().empty()))
      return found->get<std::string>();
    fault(std::string("/") + key,
          std::string("'") + key + (is_text ? "' is empty" : "' must be text"), "\"...\"");
    return {};
  }

  std::vector<std::string> list(const char* key) {
    std::vector<std::string> out;
    const Json& items = json_[key];
    const std::string here = std::string("/") + key;
    if (!items.is_array()) {
      fault(here, std::string("'") + key + "' must be a list", "[\"...\"]");
      return out;
    }
    for (std::size_t i = 0; i < items.size(); ++i) {
      if (items[i].is_string())
        out.push_back(items[i].get<std::string>());
      else if (items[i].is_number())
        out.push_back(items[i].dump());
      else
        fault(here + "/" + std::to_string(i), "an item must be text", "\"...\"");
    }
    return out;
  }

  void fault(const std::string& below, std::string what, std::string right) {
    problems_.push_back(
        Problem{{shown_, 0, 0, base_ + below}, std::move(what), std::move(right), {}});
  }

  const std::string& shown_;
  std::string base_;
  const Json& json_;
  Problems& problems_;
};

}  // namespace

Entry read_entry(const std::string& shown, std::size_t index, const Json& json,
                 Problems& problems) {
  return EntryReader(shown, index, json, problems).read();
}

Json json_of(const Entry& entry) {
  Json out = {{"id", entry.id}, {"at", entry.at}, {"by", std::string(name_of(entry.by))}};
  if (!entry.who.empty()) out["who"] = entry.who;
  switch (entry.kind) {
    case Entry::Kind::answer:
      out["fact"] = entry.fact;
      if (!entry.place.empty()) out["place"] = entry.place;
      if (entry.unsure)
        out["answer"] = "unsure";
      else if (entry.is_list)
        out["value"] = entry.values;
      else
        out["value"] = entry.values.empty() ? std::string() : entry.values.front();
      if (!entry.with.empty()) out["with"] = entry.with;
      break;
    case Entry::Kind::not_possible:
      out["check"] = entry.check;
      out["answer"] = "not_possible";
      break;
    case Entry::Kind::retraction:
      out["retracts"] = entry.retracts;
      break;
    case Entry::Kind::repair:
      out["repair"] = entry.repair;
      out["result"] = entry.done ? "done" : "not_done";
      break;
    case Entry::Kind::closing:
      out["closes"] = entry.closes;
      out["proof"] = entry.proof;
      break;
  }
  if (entry.minutes >= 0.0) out["minutes"] = entry.minutes;
  if (!entry.photos.empty()) out["photos"] = entry.photos;
  return out;
}

}  // namespace perrev

#include <algorithm>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/answers/diagnosis_parts.h"
#include "src/report/report_words.h"
#include "src/report/technician.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

std::string text_of(const Json& value) {
  return value.is_string() ? value.get<std::string>() : compact_json(value);
}

class EntriesTable {
 public:
  EntriesTable(const ReportedCase& of, Html& html)
      : of_(of),
        base_(of.base()),
        html_(html),
        document_(Json::parse(of.file().member("entries"), nullptr, false)) {}

  void all() {
    const int rounds = static_cast<int>(of_.facts().rounds.size());
    for (int round = 0; round < rounds; ++round) group(round);
    group(-1);
  }

 private:
  const Entry& entry(std::size_t i) const { return of_.file().entries()[i]; }

  void group(int round) {
    std::vector<std::size_t> here;
    for (const std::size_t i : in_order(of_.file()))
      if (of_.facts().round_of[i] == round) here.push_back(i);
    if (here.empty()) return;
    html_.open("section");
    html_.leaf("h2", round < 0 ? "Entries that were taken back"
                               : "Entries of round " + std::to_string(round + 1));
    html_.open("table", "entries");
    html_.head_row({"Entry", "When", "Source", "Who", "What", "Answer", "Besides"}).open("tbody");
    for (const std::size_t i : here)
      html_.row({entry(i).id, entry(i).at, asker_words(entry(i).by), entry(i).who, what(entry(i)),
                 answer(entry(i)), besides(i)});
    html_.close().close().close();
  }

  std::string what(const Entry& e) const {
    switch (e.kind) {
      case Entry::Kind::answer: {
        const int fact = base_.fact_index(e.fact);
        return (fact < 0 ? "" : fact_of(base_, fact).ask + " ") + "[" + e.fact +
               (e.place.empty() ? "" : ", " + e.place) + "]";
      }
      case Entry::Kind::not_possible: {
        const int check = base_.check_index(e.check);
        return (check < 0 ? "" : base_.checks[static_cast<std::size_t>(check)].what + " ") + "[" +
               e.check + "]";
      }
      case Entry::Kind::retraction:
        return "Takes back entry " + e.retracts;
      case Entry::Kind::repair: {
        const int repair = base_.repair_index(e.repair);
        return (repair < 0 ? "" : base_.repairs[static_cast<std::size_t>(repair)].what + " ") +
               "[" + e.repair + "]";
      }
      case Entry::Kind::closing:
        return "Closes: " + (e.closes.empty() ? "no cause" : joined(e.closes));
    }
    return {};
  }

  // As it counts, and as it was entered where that reads otherwise.
  std::string answer(const Entry& e) const {
    switch (e.kind) {
      case Entry::Kind::answer: {
        const auto reading = reading_of(base_, e);
        std::string entered = e.unsure ? "unsure" : joined(e.values);
        if (!reading) return entered;
        const std::string words = answer_words(base_, *reading, of_.units());
        return words == entered ? words : words + " [" + entered + "]";
      }
      case Entry::Kind::not_possible:
        return "not possible";
      case Entry::Kind::retraction:
        return {};
      case Entry::Kind::repair:
        return e.done ? "done" : "not done";
      case Entry::Kind::closing:
        return e.proof;
    }
    return {};
  }

  // Minutes, photos, what was held with a reading, and keys that the program does not know.
  std::string besides(std::size_t i) const {
    std::string out;
    const auto add = [&](const std::string& text) { out += (out.empty() ? "" : "; ") + text; };
    if (entry(i).minutes >= 0.0) add(show_number(entry(i).minutes) + " min");
    for (const std::string& photo : entry(i).photos) add("photo " + photo);
    for (const auto& item : document_[i].items()) {
      const std::string& key = item.key();
      if (key == "with" && item.value().is_object()) {
        for (const auto& held : item.value().items())
          add(held.key() + ": " + text_of(held.value()));
        continue;
      }
      bool known = false;
      for (const char* name :
           {"id", "at", "by", "who", "minutes", "photos", "fact", "place", "value", "answer",
            "check", "retracts", "repair", "result", "closes", "proof"})
        known = known || key == name;
      if (!known) add(key + ": " + text_of(item.value()));
    }
    return out;
  }

  const ReportedCase& of_;
  const RuleBase& base_;
  Html& html_;
  const Json document_;
};

}  // namespace

void entries_part(const ReportedCase& of, Html& html) { EntriesTable(of, html).all(); }

}  // namespace perrev

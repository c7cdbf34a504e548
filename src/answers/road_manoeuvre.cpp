#include "src/answers/road_manoeuvre.h"

#include <algorithm>

#include "engine/casefile/vehicle_of.h"
#include "src/answers/road_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z')
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

class Words {
 public:
  Words(const RuleBase& base, const CaseFacts& facts, const RoadPlan& plan, Units units, bool dense)
      : base_(base),
        plan_(plan),
        units_(units),
        dense_(dense),
        has_engine_(vehicle_of(base, facts, facts.rounds.size() - 1).powertrain !=
                    Powertrain::electric) {}

  std::string text(const RoadManoeuvre& of, const std::string& number) const {
    const Check& check = check_of(of.check);
    const std::string where = how(of);
    std::string out = wrapped(number + check.what + (where.empty() ? "" : ": " + where), 1, 5);
    const bool ticks = std::any_of(of.watch.begin(), of.watch.end(), [&](const RoadWatch& each) {
      return each.tells && !is_number(each);
    });
    if (of.separates.empty() && of.need != RoadNeed::complaint && !dense_)
      out += wrapped(why_needed(of.need), 5, 5);
    if (!of.separates.empty() && !ticks && of.kind != RoadKind::record)
      out += wrapped("Tells " + pair_words(of.separates) + ".", 5, 7);
    if (of.kind == RoadKind::record)
      out += recording();
    else if (of.need != RoadNeed::gate)
      out += watches(of);
    const std::string own = own_caution(check.caution);
    return out + (own.empty() ? "" : wrapped("Caution: " + own, 5, 7));
  }

 private:
  const Check& check_of(int check) const { return base_.checks[at(check)]; }

  // Where and how fast, after the manoeuvre's own words.
  std::string how(const RoadManoeuvre& of) const {
    const bool engine = of.engine_low.has_value();
    const std::string rpm = engine ? rpm_words(*of.engine_low, *of.engine_high) : "";
    if (of.kind == RoadKind::standing) return engine ? "up to " + rpm : "";
    if (!of.from) {
      const bool waits = of.kind == RoadKind::hold || of.kind == RoadKind::coast ||
                         of.kind == RoadKind::lower_gear;
      const bool finds = of.need == RoadNeed::complaint || of.need == RoadNeed::proof;
      return waits && !finds && !plan_.speeds.standing ? "at the speed that was found" : "";
    }
    if (of.kind == RoadKind::sweep) return speed_words(*of.from, *of.to, units_);
    if (of.kind == RoadKind::coast)
      return speed_words(*of.from, units_) + " down to " + speed_words(*of.to, units_) +
             (engine ? "; the gear back in near " + rpm : "");
    std::string held = speed_words(*of.from, units_);
    if (of.kind == RoadKind::record && !plan_.speeds.told)
      return "at the speed that was found, worked out here for " + held;
    if (of.kind == RoadKind::lower_gear)
      return held + ", one gear down" + (engine ? " at about " + rpm : "; note the rpm");
    return held;
  }

  std::string why_needed(RoadNeed need) const {
    switch (need) {
      case RoadNeed::none:
        return {};
      case RoadNeed::gate:
        return "It looks at what must be clear before a drive.";
      case RoadNeed::complaint:
        return "What cannot be brought back cannot be tested.";
      case RoadNeed::speed:
        return "It finds the speed that the rest is driven at.";
      case RoadNeed::engine_speed:
        return "The engine's lines are worked out from it.";
      case RoadNeed::proof:
        return "It is the proof of the repair.";
    }
    return {};
  }

  bool is_number(const RoadWatch& watch) const {
    const FactKind kind = base_.facts[at(watch.fact)].kind;
    return kind == FactKind::number || kind == FactKind::text || watch.answers.empty();
  }

  // A question with a box for each answer; once it tells, answers that point nowhere share a box.
  std::string ticked(const RoadWatch& watch) const {
    const Fact& fact = base_.facts[at(watch.fact)];
    std::string out = fact.ask;
    std::size_t silent = 0;
    const RoadAnswer* last = nullptr;
    for (const RoadAnswer& answer : watch.answers) {
      if (watch.tells && answer.suspects.empty()) {
        ++silent;
        last = &answer;
        continue;
      }
      out += "  " + std::string(kBox) + " " + label(answer);
      if (!answer.suspects.empty()) out += ": " + letters(answer.suspects);
    }
    if (silent > 0 && fact.kind != FactKind::several)
      out += "  " + std::string(kBox) + " " + (silent == 1 ? label(*last) : std::string("Else"));
    return out;
  }

  std::string label(const RoadAnswer& answer) const {
    const Variable& variable = base_.variables[at(answer.variable)];
    const std::size_t index = at(variable.answer >= 0 ? variable.answer : answer.answer);
    return capital(base_.facts[at(variable.fact)].answers[index].label);
  }

  bool is_third(const RoadManoeuvre& of, const RoadWatch& watch) const {
    return std::count_if(of.watch.begin(), of.watch.end(), [&](const RoadWatch& other) {
             return other.tells && !is_number(other) && other.apart > watch.apart;
           }) >= 2;
  }

  std::string watches(const RoadManoeuvre& of) const {
    std::string out, numbers;
    const bool any = std::any_of(of.watch.begin(), of.watch.end(), [&](const RoadWatch& each) {
      return each.tells && !is_number(each);
    });
    for (const RoadWatch& each : of.watch) {
      if (is_number(each)) {
        numbers += (numbers.empty() ? "" : ", ") + short_name(base_, each.fact) + " ________";
      } else if (any ? each.tells && !(dense_ && is_third(of, each)) : &each == &of.watch.front()) {
        out += wrapped(ticked(each), 5, 7);
      }
    }
    return out + (numbers.empty() ? "" : wrapped("Note: " + numbers, 5, 7));
  }

  // "       tire order 1       14.2 +- 0.36 Hz   A B"
  std::string line_row(const SuspectLine& line, const std::vector<Estimate>& lies) const {
    const auto padded = [](const std::string& text, std::size_t width) {
      return text + std::string(text.size() < width ? width - text.size() : 0, ' ') + "  ";
    };
    return "       " + padded(line.about, 28) + padded(lies_at(line, lies), 25) +
           letters(line.suspects) + "\n";
  }

  std::string setting_words(const RecordingSetting& setting) const {
    std::string out = "At " + speed_words(setting.speed, units_);
    if (plan_.speeds.standing) out = "Standing";
    if (setting.gear == RoadGear::one_lower)
      out += ", one gear lower";
    else if (has_engine_ && !plan_.speeds.standing)
      out += ", in the gear it is felt in";
    if (setting.gear == RoadGear::one_lower && setting.engine) {
      const double step = 0.5 * (kGearStepLow + kGearStepHigh);
      out += ", about " + rpm_words(setting.engine->mean * kGearStepLow / step,
                                    setting.engine->mean * kGearStepHigh / step);
    } else if (setting.engine) {
      out += ", about " + rpm_words(setting.engine->mean, setting.engine->mean);
    }
    return out;
  }

  static bool engines(const SuspectLine& line) {
    return line.source == "engine" || line.source == "accessory";
  }

  static std::string lies_at(const SuspectLine& line, const std::vector<Estimate>& lies) {
    if (!lies.empty()) {
      if (lies.size() == 1)
        return short_hz(lies.front().mean) + " +- " + short_hz(lies.front().sd) + " Hz";
      return short_hz(lies.front().mean) + (line.low_order < line.high_order ? " to " : " or ") +
             short_hz(lies.back().mean) + " Hz";
    }
    if (!engines(line)) return "not known";
    if (line.low_order > 0.0) return "rpm/60 x " + show_number(line.low_order);
    return "rpm/60 x " + show_number(line.per_cylinder) + " x cylinders";
  }

  std::string recording() const {
    const RoadRecording& recording = *plan_.recording;
    std::string out;
    for (std::size_t s = 0; s < recording.settings.size(); ++s) {
      const RecordingSetting& setting = recording.settings[s];
      if (s > 0) out += wrapped(moved(s), 5, 7);
      out += wrapped(setting_words(setting) + ":", 5, 7);
      for (std::size_t l = 0; l < recording.lines.size(); ++l)
        if (setting.gear == RoadGear::as_felt || engines(recording.lines[l]))
          out += line_row(recording.lines[l], setting.lines[l]);
      out += "     Found: ________ Hz at ________ " +
             std::string(usual_unit(Dimension::speed, units_)) +
             (has_engine_ ? ", ________ rpm\n" : "\n");
    }
    for (const RoadAmbiguity& ambiguity : plan_.ambiguous) {
      const LinePair& pair = recording.pairs[ambiguity.pair];
      out += wrapped(
          "Ambiguous at any speed and in any gear: " + recording.lines[pair.first].about + " and " +
              recording.lines[pair.second].about + ", " + short_hz(pair.apart.hz) +
              " Hz apart at " + speed_words(recording.settings[pair.setting].speed, units_) + "; " +
              instead(ambiguity.instead),
          5, 7);
    }
    return out;
  }

  // Why a further setting is driven.
  std::string moved(std::size_t setting) const {
    const RoadRecording& recording = *plan_.recording;
    std::string out;
    for (const LinePair& pair : recording.pairs) {
      if (pair.setting != setting || pair.ambiguous() || pair.at_first.separation >= kLinesClear)
        continue;
      out += (out.empty() ? "" : "; ") + recording.lines[pair.first].about + " and " +
             recording.lines[pair.second].about + " within " + short_hz(pair.at_first.hz) + " Hz";
    }
    return "Ambiguous at " + speed_words(recording.settings.front().speed, units_) + ": " + out +
           ". So once more:";
  }

  std::string instead(int check) const {
    if (check < 0) return "no other check tells them.";
    for (std::size_t m = 0; m < plan_.manoeuvres.size(); ++m)
      if (plan_.manoeuvres[m].check == check) return "number " + std::to_string(m + 1) + " tells.";
    return "\"" + check_of(check).what + "\" tells" +
           (check_of(check).by == Asker::bay ? ", in the bay." : ".");
  }

  const RuleBase& base_;
  const RoadPlan& plan_;
  Units units_;
  bool dense_;
  bool has_engine_;
};

}  // namespace

std::string manoeuvre_text(const RuleBase& base, const CaseFacts& facts, const RoadPlan& plan,
                           std::size_t manoeuvre, Units units, bool dense) {
  return Words(base, facts, plan, units, dense)
      .text(plan.manoeuvres[manoeuvre], std::to_string(manoeuvre + 1) + ". ");
}

}  // namespace perrev

// The road-test plan as JSON. Keys:
//   stops (fact, reason, caution, cleared_by), before_driving (gate, what, missing facts),
//   look_first (cause, check or null), shown causes, suspects (cause, name, probability),
//   not_listed, speeds, manoeuvres and longer_drives (check, what, kind, needed, minutes, speeds
//   and engine speeds, separates, watch, caution), recording or null, look_up facts, left_open
//   (causes, bay check or null), confirming checks, equipment, minutes, thresholds.
#include <nlohmann/json.hpp>
#include <optional>

#include "src/answers/road_page.h"
#include "src/answers/road_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

std::size_t at(int i) { return static_cast<std::size_t>(i); }

Json number(const std::optional<double>& value, double factor) {
  return value ? Json(six_digits(*value * factor)) : Json(nullptr);
}

constexpr double kKmh = 3.6, kRpm = 60.0;

class Writer {
 public:
  Writer(const RuleBase& base, const RoadPlan& plan) : base_(base), plan_(plan) {}

  Json json() const {
    Json out;
    out["stops"] = Json::array();
    for (const int fact : plan_.stops) {
      const StopRule& stop = *base_.facts[at(fact)].stop;
      out["stops"].push_back({{"fact", fact_id(fact)},
                              {"reason", stop.reason},
                              {"caution", stop.caution},
                              {"cleared_by", fact_id(stop.cleared_by)}});
    }
    out["before_driving"] = Json::array();
    for (const RoadGate& gate : plan_.gates)
      out["before_driving"].push_back({{"gate", base_.gates[at(gate.gate)].id},
                                       {"what", base_.gates[at(gate.gate)].what},
                                       {"missing", facts(gate.missing)}});
    out["look_first"] = Json::array();
    for (const RoadLookFirst& look : plan_.look_first)
      out["look_first"].push_back(
          {{"cause", suspect_id(look.suspect)}, {"check", check(look.check)}});
    out["shown"] = Json::array();
    for (const int cause : plan_.shown) out["shown"].push_back(base_.causes[at(cause)].id);
    out["suspects"] = Json::array();
    for (std::size_t s = 0; s < plan_.suspects.size(); ++s)
      out["suspects"].push_back({{"cause", suspect_id(s)},
                                 {"name", suspect_name(base_, plan_.suspects[s])},
                                 {"probability", plan_.suspects[s].probability}});
    out["not_listed"] = plan_.not_listed;
    out["speeds"] = speeds();
    out["conflicts"] = Json::array();
    for (const Conflict& conflict : plan_.conflicts) out["conflicts"].push_back(conflict.what);
    out["manoeuvres"] = manoeuvres(plan_.manoeuvres);
    out["longer_drives"] = manoeuvres(plan_.longer);
    out["recording"] = plan_.recording ? recording(*plan_.recording) : Json(nullptr);
    out["look_up"] = facts(plan_.look_up);
    out["left_open"] = Json::array();
    for (const RoadLeftOpen& pair : plan_.left_open)
      out["left_open"].push_back({{"causes", {suspect_id(pair.first), suspect_id(pair.second)}},
                                  {"bay", check(pair.bay)}});
    out["confirming"] = Json::array();
    for (const int each : plan_.confirming) out["confirming"].push_back(check(each));
    out["equipment"] = Json::array();
    for (const int each : plan_.equipment) out["equipment"].push_back(base_.equipment[at(each)].id);
    out["minutes"] = six_digits(plan_.minutes);
    out["thresholds"] = {{"tells_apart", kTellsApart},         {"near_best", kNearBest},
                         {"lines_clear", kLinesClear},         {"covered", kCovered},
                         {"least_probability", kLeastSuspect}, {"most_suspects", kMostSuspects}};
    return out;
  }

 private:
  const std::string& fact_id(int fact) const { return base_.facts[at(fact)].id; }
  Json check(int check) const {
    return check < 0 ? Json(nullptr) : Json(base_.checks[at(check)].id);
  }
  std::string suspect_id(std::size_t suspect) const {
    const int cause = plan_.suspects[suspect].cause;
    return cause == base_.nothing_left() ? "nothing_left" : base_.causes[at(cause)].id;
  }
  Json facts(const std::vector<int>& all) const {
    Json out = Json::array();
    for (const int fact : all) out.push_back(fact_id(fact));
    return out;
  }
  Json suspects(const std::vector<std::size_t>& all) const {
    Json out = Json::array();
    for (const std::size_t suspect : all) out.push_back(suspect_id(suspect));
    return out;
  }

  static const char* name_of(SpeedCap reason) {
    switch (reason) {
      case SpeedCap::usual:
        return "common_practice";
      case SpeedCap::tires:
        return "tires";
      case SpeedCap::small_spare:
        return "small_spare";
      case SpeedCap::snow_chain:
        return "snow_chain";
    }
    return "";
  }
  static const char* name_of(RoadKind kind) {
    switch (kind) {
      case RoadKind::standing:
        return "standing";
      case RoadKind::walking_pace:
        return "walking_pace";
      case RoadKind::own:
        return "own_speed";
      case RoadKind::any:
        return "any_speed";
      case RoadKind::sweep:
        return "speed_up";
      case RoadKind::hold:
        return "hold";
      case RoadKind::record:
        return "record";
      case RoadKind::lower_gear:
        return "lower_gear";
      case RoadKind::coast:
        return "coast";
    }
    return "";
  }
  static Json name_of(RoadNeed need) {
    switch (need) {
      case RoadNeed::none:
        return nullptr;
      case RoadNeed::gate:
        return "gate";
      case RoadNeed::complaint:
        return "complaint";
      case RoadNeed::speed:
        return "speed";
      case RoadNeed::engine_speed:
        return "engine_speed";
      case RoadNeed::proof:
        return "proof";
    }
    return nullptr;
  }

  Json speeds() const {
    const RoadSpeeds& speeds = plan_.speeds;
    Json recorded = Json::array();
    for (const double speed : speeds.recording) recorded.push_back(six_digits(speed * kKmh));
    return {{"told", speeds.told},
            {"standing", speeds.standing},
            {"felt_km_h", six_digits(speeds.felt * kKmh)},
            {"highest_km_h", six_digits(speeds.cap * kKmh)},
            {"highest_because", name_of(speeds.cap_reason)},
            {"felt_above_highest", speeds.capped},
            {"by", speeds.by == SpeedSource::gps ? "gps" : "speedometer"},
            {"recording_km_h", recorded}};
  }

  Json watch(const RoadWatch& watch) const {
    const Fact& fact = base_.facts[at(watch.fact)];
    Json answers = Json::array();
    for (const RoadAnswer& answer : watch.answers) {
      const int which = base_.variables[at(answer.variable)].answer;
      const std::size_t index = at(which >= 0 ? which : answer.answer);
      const std::string id = fact.answers.empty()
                                 ? base_.answer_name(answer.variable, answer.answer, Units::metric)
                                 : fact.answers[index].id;
      answers.push_back({{"answer", id},
                         {"label", fact.answers.empty() ? id : fact.answers[index].label},
                         {"causes", suspects(answer.suspects)}});
    }
    return {{"fact", fact.id},
            {"ask", fact.ask},
            {"total_variation", six_digits(watch.apart)},
            {"answers", answers}};
  }

  Json manoeuvres(const std::vector<RoadManoeuvre>& all) const {
    Json out = Json::array();
    for (const RoadManoeuvre& of : all) {
      const Check& check = base_.checks[at(of.check)];
      Json pairs = Json::array(), watches = Json::array();
      for (const RoadPair& pair : of.separates)
        pairs.push_back(
            {{"causes", {suspect_id(pair.first), suspect_id(pair.second)}},
             {"words", "\"" + suspect_name(base_, plan_.suspects[pair.first]) + "\" from \"" +
                           suspect_name(base_, plan_.suspects[pair.second]) + "\""},
             {"total_variation", six_digits(pair.apart)}});
      for (const RoadWatch& each : of.watch) watches.push_back(watch(each));
      out.push_back({{"check", check.id},
                     {"what", check.what},
                     {"kind", name_of(of.kind)},
                     {"needed", name_of(of.need)},
                     {"minutes", six_digits(of.minutes)},
                     {"from_km_h", number(of.from, kKmh)},
                     {"to_km_h", number(of.to, kKmh)},
                     {"engine_low_rpm", number(of.engine_low, kRpm)},
                     {"engine_high_rpm", number(of.engine_high, kRpm)},
                     {"separates", pairs},
                     {"watch", watches},
                     {"caution", check.caution}});
    }
    return out;
  }

  Json recording(const RoadRecording& recording) const {
    Json settings = Json::array(), pairs = Json::array();
    for (const RecordingSetting& setting : recording.settings) {
      Json lines = Json::array();
      for (std::size_t l = 0; l < recording.lines.size(); ++l) {
        const SuspectLine& line = recording.lines[l];
        Json lies = Json::array();
        for (const Estimate& hz : setting.lines[l])
          lies.push_back({{"frequency_hz", six_digits(hz.mean)}, {"sd_hz", six_digits(hz.sd)}});
        lines.push_back({{"about", line.about},
                         {"source", line.source},
                         {"low_order", six_digits(line.low_order)},
                         {"high_order", six_digits(line.high_order)},
                         {"causes", suspects(line.suspects)},
                         {"lies_at", lies}});
      }
      settings.push_back(
          {{"speed_km_h", six_digits(setting.speed * kKmh)},
           {"gear", setting.gear == RoadGear::as_felt ? "as_felt" : "one_lower"},
           {"engine_rpm", setting.engine ? Json(six_digits(setting.engine->mean * kRpm)) : Json()},
           {"lines", lines}});
    }
    for (std::size_t p = 0; p < recording.pairs.size(); ++p) {
      const LinePair& pair = recording.pairs[p];
      Json instead = nullptr;
      for (const RoadAmbiguity& ambiguity : plan_.ambiguous)
        if (ambiguity.pair == p) instead = check(ambiguity.instead);
      pairs.push_back(
          {{"lines", {recording.lines[pair.first].about, recording.lines[pair.second].about}},
           {"setting", pair.setting},
           {"apart_hz", six_digits(pair.apart.hz)},
           {"separation", six_digits(pair.apart.separation)},
           {"best_separation", six_digits(pair.best)},
           {"ambiguous", pair.ambiguous()},
           {"instead", instead}});
    }
    return {{"settings", settings}, {"line_pairs", pairs}};
  }

  const RuleBase& base_;
  const RoadPlan& plan_;
};

}  // namespace

nlohmann::ordered_json road_json(const Reasoner& reasoner, const RoadPlan& plan) {
  return Writer(reasoner.base(), plan).json();
}

}  // namespace perrev

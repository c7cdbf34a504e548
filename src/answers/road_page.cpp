#include "src/answers/road_page.h"

#include <algorithm>
#include <cmath>

#include "engine/casefile/vehicle_of.h"
#include "src/answers/road_manoeuvre.h"
#include "src/answers/road_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

std::size_t as_index(int i) { return static_cast<std::size_t>(i); }

std::string right_in(const std::string& left, const std::string& right) {
  return left +
         std::string(
             left.size() + right.size() + 2 <= kColumns ? kColumns - left.size() - right.size() : 2,
             ' ') +
         right + "\n";
}

std::string with_boxes(std::string text) {
  const std::string box = kBox;
  for (std::size_t at = text.find(box); at != std::string::npos; at = text.find(box, at))
    text.replace(at, box.size(), "[ ]");
  return text;
}

// With its full stop and a blank after it; nothing of nothing.
std::string sentence(const std::string& text) {
  if (text.empty()) return text;
  return text + (text.back() == '.' ? " " : ". ");
}

std::size_t lines_in(const std::string& text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

class Page {
 public:
  // A `dense` page has no blank lines, and of each manoeuvre the two questions that tell most.
  Page(const Reasoner& reasoner, const CaseFacts& facts, const RoadPlan& plan, Units units,
       bool dense)
      : base_(reasoner.base()), facts_(facts), plan_(plan), units_(units), dense_(dense) {}

  std::string text() const {
    std::string out = head() + suspects() + shown();
    if (!plan_.stops.empty()) return out + stops();
    out += gates() + look_first() + cautions() + manoeuvres() + longer();
    if (plan_.manoeuvres.empty() && plan_.longer.empty() && plan_.gates.empty())
      out += "Nothing offered on the road tells more here; no drive is planned.\n\n";
    if (dense_)
      for (std::size_t at = out.find("\n\n"); at != std::string::npos; at = out.find("\n\n", at))
        out.erase(at, 1);
    return out + rest(lines_in(out));
  }

 private:
  const Check& check_of(int check) const { return base_.checks[as_index(check)]; }

  std::string answered(const char* id) const {
    const int fact = base_.fact_index(id);
    if (fact < 0) return {};
    const Reading* reading = facts_.now().find(fact);
    if (!reading || reading->unsure || reading->answers.empty() || reading->answers[0] < 0)
      return {};
    return base_.facts[as_index(fact)].answers[as_index(reading->answers[0])].label;
  }

  std::string head() const {
    std::string out = "Road test";
    if (plan_.stops.empty() && !plan_.manoeuvres.empty())
      out = right_in(out, "about " + show_number(std::ceil(plan_.minutes)) +
                              " minutes, the way there included");
    else
      out += "\n";
    std::string about;
    const VehicleFacts vehicle = vehicle_of(base_, facts_, facts_.rounds.size() - 1);
    if (vehicle.front_tire) about = vehicle.front_tire->designation;
    if (vehicle.rear_tire && vehicle.rear_tire->designation != about)
      about += ", rear " + vehicle.rear_tire->designation;
    for (const char* id : {"powertrain", "gearbox", "driven_axle"})
      if (const std::string value = answered(id); !value.empty())
        about += (about.empty() ? "" : "; ") +
                 (id == std::string("driven_axle") ? "driven: " + value : value);
    if (!about.empty()) out += wrapped("Vehicle: " + about + ".", 0, 2);
    return out + wrapped(felt(), 0, 2) + "\n";
  }

  std::string felt() const {
    const RoadSpeeds& speeds = plan_.speeds;
    if (!speeds.told)
      return "Nobody has said a speed yet: the usual band for wheels is driven, " +
             speed_words(speeds.recording.front(), speeds.recording.back(), units_) + ".";
    if (speeds.standing) return "It is felt standing or at a crawl.";
    std::string out = "Felt at " + speed_words(speeds.felt, units_) +
                      (speeds.by == SpeedSource::gps ? " by satellite." : " by the speedometer.");
    if (speeds.capped)
      out = "It is felt faster than " + speed_words(speeds.cap, units_) +
            ", but the plan does not go there: it stays at or below that.";
    return out;
  }

  std::string suspects() const {
    if (plan_.suspects.empty()) return plan_.shown.empty() ? "No listed cause stands out.\n\n" : "";
    std::string out = "Still possible\n";
    for (std::size_t s = 0; s < plan_.suspects.size(); ++s)
      out += suspect_line(letter(s), plan_.suspects[s].probability,
                          suspect_name(base_, plan_.suspects[s]));
    if (plan_.not_listed >= kLeastSuspect && !dense_)
      out += suspect_line("-", plan_.not_listed, "something that is not listed");
    return out + "\n";
  }

  std::string shown() const {
    std::string out;
    for (const int cause : plan_.shown)
      out += wrapped("Shown already: " + base_.causes[as_index(cause)].name +
                         ". Repair that first; a drive then proves it.",
                     0, 2);
    return out.empty() ? out : out + "\n";
  }

  static std::string suspect_line(const std::string& mark, double share, const std::string& name) {
    const std::string shown = percent(share);
    return row("  " + mark + std::string(shown.size() < 9 ? 10 - shown.size() : 1, ' ') + shown, 15,
               name);
  }

  std::string stops() const {
    std::string out = "Not to be driven: this plan holds no manoeuvre\n";
    for (const int fact : plan_.stops) {
      const StopRule& stop = *base_.facts[as_index(fact)].stop;
      out += wrapped("- " + sentence(stop.reason) + sentence(stop.caution) +
                         "What lifts it, in the bay: " + base_.facts[as_index(stop.cleared_by)].ask,
                     2, 4);
    }
    return out;
  }

  std::string gates() const {
    std::vector<int> missing;
    for (const RoadGate& gate : plan_.gates)
      for (const int fact : gate.missing)
        if (std::find(missing.begin(), missing.end(), fact) == missing.end())
          missing.push_back(fact);
    if (missing.empty()) return {};
    const bool drives =
        std::any_of(plan_.manoeuvres.begin(), plan_.manoeuvres.end(),
                    [&](const RoadManoeuvre& m) { return check_of(m.check).moves != Moves::no; });
    std::string out = drives ? "Before the brakes are tried, ask or look; then plan again\n"
                             : "Before it is driven at all, ask or look; then plan again\n";
    for (const int fact : missing)
      out += wrapped(kBox + (" " + base_.facts[as_index(fact)].ask), 2, 6);
    return out + "\n";
  }

  std::string look_first() const {
    std::string out;
    for (const RoadLookFirst& look : plan_.look_first)
      out +=
          wrapped(letter(look.suspect) + ": " +
                      (look.check < 0 ? "to be ruled out in the bay" : check_of(look.check).what),
                  2, 5);
    return out.empty() ? out : "Dangerous if it is there, so in the bay first\n" + out + "\n";
  }

  std::string cautions() const {
    if (plan_.manoeuvres.empty()) return {};
    std::string out = "For the whole drive\n";
    for (const std::string& caution : general_cautions(plan_, units_))
      out += wrapped("- " + caution, 2, 4);
    if (!plan_.equipment.empty()) {
      std::string things;
      for (const int thing : plan_.equipment)
        things += (things.empty() ? "" : "; ") + base_.equipment[as_index(thing)].what;
      out += wrapped("- Take along: " + things + ".", 2, 4);
    }
    return out + "\n";
  }

  std::string manoeuvres() const {
    std::string out;
    for (std::size_t m = 0; m < plan_.manoeuvres.size(); ++m)
      out += manoeuvre_text(base_, facts_, plan_, m, units_, dense_);
    if (out.empty()) return {};
    const bool drives =
        std::any_of(plan_.manoeuvres.begin(), plan_.manoeuvres.end(),
                    [&](const RoadManoeuvre& m) { return check_of(m.check).moves != Moves::no; });
    return std::string(drives ? "The drive, in this order" : "Standing, in this order") +
           (plan_.suspects.size() > 1 ? " (an answer points to the letters after it)\n" : "\n") +
           out + "\n";
  }

  std::string longer() const {
    std::string out;
    for (const RoadManoeuvre& of : plan_.longer)
      out += wrapped(check_of(of.check).what + " (" + show_number(of.minutes) +
                         " minutes): " + pair_words(of.separates) + ".",
                     2, 4);
    return out.empty() ? out : "Drives of their own, for what this one leaves open\n" + out + "\n";
  }

  std::string rest(std::size_t above) const {
    std::string out;
    if (!plan_.look_up.empty()) {
      out = "To look up for a recording: ";
      for (std::size_t i = 0; i < plan_.look_up.size(); ++i)
        out += (i == 0 ? "" : ", ") + short_name(base_, plan_.look_up[i]);
      out = wrapped(out + ".", 0, 2);
    }
    for (const Conflict& conflict : plan_.conflicts)
      out += wrapped("These cannot all be true: " + conflict.what + ".", 0, 2);
    if (!plan_.confirming.empty() && plan_.look_first.empty())
      out += wrapped("One cause leads alone. What would show it: " +
                         check_of(plan_.confirming.front()).what + ".",
                     0, 2);
    return out + left_open(above + lines_in(out));
  }

  std::string left_open(std::size_t above) const {
    std::vector<std::pair<int, std::string>> by_check;
    for (const RoadLeftOpen& pair : plan_.left_open) {
      auto found = std::find_if(by_check.begin(), by_check.end(),
                                [&](const auto& each) { return each.first == pair.bay; });
      if (found == by_check.end()) found = by_check.insert(by_check.end(), {pair.bay, ""});
      found->second +=
          (found->second.empty() ? "" : ", ") + letter(pair.first) + "-" + letter(pair.second);
    }
    std::vector<std::string> lines;
    for (const auto& [check, pairs] : by_check)
      lines.push_back(wrapped(pairs + ": " +
                                  (check < 0 ? "no check here; repair the likelier one and prove it"
                                             : check_of(check).what),
                              2, 4));
    if (lines.empty()) return {};
    if (above + 1 + lines_in(lines.front()) + (lines.size() > 1 ? 1 : 0) > kRoadPageLines) {
      std::string all;
      for (const auto& each : by_check) all += (all.empty() ? "" : ", ") + each.second;
      const std::string start = plan_.gates.empty() ? "No drive tells apart" : "Not told apart yet";
      std::string told = wrapped(start + ", but the bay may: " + all + ".", 0, 2);
      if (plan_.left_open.size() > 1 && above + lines_in(told) > kRoadPageLines + 1)
        told = wrapped(start + ", but the bay may: " + std::to_string(plan_.left_open.size()) +
                           " pairs of these.",
                       0, 2);
      return told;
    }
    // The last line is kept for what does not fit.
    std::string out = plan_.gates.empty()
                          ? "What no drive tells apart, and what does\n"
                          : "What is not told apart yet, and what does it standing\n";
    for (std::size_t l = 0; l < lines.size(); ++l) {
      const bool last = l + 1 == lines.size();
      if (above + lines_in(out + lines[l]) + (last ? 0 : 1) > kRoadPageLines)
        return out + "  and " + std::to_string(lines.size() - l) + " more\n";
      out += lines[l];
    }
    return out;
  }

  const RuleBase& base_;
  const CaseFacts& facts_;
  const RoadPlan& plan_;
  Units units_;
  bool dense_;
};

}  // namespace

std::string road_page(const Reasoner& reasoner, const CaseFacts& facts, const RoadPlan& plan,
                      Units units) {
  std::string out = Page(reasoner, facts, plan, units, false).text();
  if (lines_in(out) > kRoadPageLines) out = Page(reasoner, facts, plan, units, true).text();
  while (out.size() > 1 && out[out.size() - 2] == '\n') out.pop_back();
  return with_boxes(std::move(out));
}

}  // namespace perrev

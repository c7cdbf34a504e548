// The customer's page: one sheet when printed.
#include <algorithm>
#include <map>

#include "src/answers/diagnosis_parts.h"
#include "src/report/cautions.h"
#include "src/report/findings.h"
#include "src/report/html.h"
#include "src/report/report_words.h"
#include "src/report/standing.h"

namespace perrev {

namespace {

constexpr std::size_t kMostBesides = 3;  // of what is still open besides, so that it stays a page

class CustomerPage {
 public:
  explicit CustomerPage(const ReportedCase& of)
      : of_(of),
        base_(of.base()),
        facts_(of.facts()),
        findings_(findings_of(base_, facts_)),
        beyond_(beyond_limits(base_, facts_, findings_)),
        standing_(standing_of(of)) {}

  Report all() {
    html_.open("article", "report customer");
    head();
    stops();
    words();
    felt();
    found();
    done();
    stands();
    still_open();
    mind();
    consent();
    foot();
    const std::string& label = of_.file().label();
    return {"Report for the customer" + (label.empty() ? "" : ": " + label), html_.take()};
  }

 private:
  const RoundFacts& now() const { return facts_.now(); }
  const Entry& entry(std::size_t i) const { return of_.file().entries()[i]; }
  const Repair& repair(int r) const { return base_.repairs[static_cast<std::size_t>(r)]; }

  void head() {
    html_.open("header").leaf("h1", "The vibration of your vehicle").open("dl", "facts");
    const auto item = [&](const char* name, const std::string& text) {
      if (!text.empty()) html_.open("div").leaf("dt", name).leaf("dd", text).close();
    };
    item("Date", dates());
    item("Job", of_.file().label());
    item("Vehicle", vehicle());
    html_.close().close();
  }

  std::string dates() const {
    const std::vector<std::size_t> order = in_order(of_.file());
    if (order.empty()) return {};
    const std::string first = day_words(entry(order.front()).at, of_.units());
    const std::string last = day_words(entry(order.back()).at, of_.units());
    return first == last ? first : first + " to " + last;
  }

  std::string vehicle() const {
    std::string out;
    const auto add = [&](const std::string& text) {
      if (!text.empty()) out += out.empty() ? text : "; " + small(text);
    };
    const auto answer = [&](const char* fact) {
      const Reading* reading = reading_of(base_, now(), fact);
      return !reading || reading->unsure ? std::string()
                                         : answer_words(base_, *reading, of_.units());
    };
    const auto after = [](const char* head, const std::string& text) {
      return text.empty() ? text : head + small(text);
    };
    add(answer("vehicle_kind"));
    add(answer("powertrain"));
    add(after("cylinders: ", answer("cylinders")));
    add(after("gearbox: ", answer("gearbox")));
    add(after("driven: ", answer("driven_axle")));
    add(after("tires: ", tire_sizes()));
    const std::string distance = answer("distance_driven");
    if (distance.find_first_of("0123456789") != std::string::npos)  // not "more than that"
      add(after("distance: ", distance));
    return out;
  }

  std::string tire_sizes() const {
    std::vector<std::string> sizes;
    const int fact = base_.fact_index("tire_size");
    for (const Reading& reading : now().readings)
      if (reading.fact == fact && !reading.unsure &&
          std::find(sizes.begin(), sizes.end(), reading.text) == sizes.end())
        sizes.push_back(reading.text);
    std::string out;
    for (const std::string& size : sizes) out += (out.empty() ? "" : " and ") + size;
    return out;
  }

  void stops() {
    if (!facts_.stopped()) return;
    html_.open("section", "stop").leaf("h2", "Stop: this vehicle must not be driven");
    std::vector<std::string> lifted_by;
    for (const StopState& state : facts_.stops) {
      if (state.lifted) continue;
      const Fact& fact = fact_of(base_, state.fact);
      html_.open("p")
          .leaf("strong", fact.stop->reason + ".")
          .text(" " + fact.stop->caution)
          .close();
      const std::string& ask = fact_of(base_, fact.stop->cleared_by).ask;
      if (std::find(lifted_by.begin(), lifted_by.end(), ask) == lifted_by.end())
        lifted_by.push_back(ask);
    }
    for (const std::string& ask : lifted_by)
      html_.leaf("p", "Lifted only when the workshop can answer yes to this: " + ask);
    html_.close();
  }

  void words() {
    html_.open("section").leaf("h2", "What you told us");
    bool any = false;
    for (const std::size_t i : in_order(of_.file())) {
      if (facts_.round_of[i] < 0 || entry(i).fact != "complaint_words") continue;
      for (const std::string& text : entry(i).values) html_.leaf("blockquote", text);
      any = any || !entry(i).values.empty();
    }
    if (!any) html_.leaf("p", "Your own words were not taken down.");
    html_.close();
  }

  // One line a round and who entered it; an answer given again there takes the place of the
  // earlier one.
  void felt() {
    Html rows;
    bool any = false;
    rows.open("section").leaf("h2", "When and where it is felt").open("dl", "felt");
    for (std::size_t round = 0; round < facts_.rounds.size(); ++round)
      for (const Asker by : {Asker::write_up, Asker::road}) {
        const std::string text = felt_words(static_cast<int>(round), by);
        if (text.empty()) continue;
        any = true;
        rows.open("div").leaf("dt", felt_head(round, by)).leaf("dd", text).close();
      }
    if (!any) return;
    html_.add(rows);
  }

  static std::string felt_head(std::size_t round, Asker by) {
    if (round == 0) return by == Asker::write_up ? "As you told it" : "On our drive";
    return by == Asker::write_up ? "As you told it after the work" : "On our drive after the work";
  }

  std::string felt_words(int round, Asker by) const {
    std::map<std::string, Reading> said;
    for (const std::size_t i : in_order(of_.file())) {
      if (facts_.round_of[i] != round || entry(i).by != by) continue;
      auto reading = reading_of(base_, entry(i));
      if (reading && !reading->unsure) said[entry(i).fact] = std::move(*reading);
    }
    std::string out;
    const auto add = [&](const char* fact, const char* before, const char* after) {
      const auto at = said.find(fact);
      if (at == said.end()) return;
      const std::string answer = answer_words(base_, at->second, of_.units());
      const bool first = out.empty() && *before == '\0';
      out += (out.empty() ? "" : "; ") + (before + (first ? answer : small(answer))) + after;
    };
    add("complaint_now", "", "");
    add("duplicated", "did it show itself: ", "");
    add("felt_at", "", "");
    add("heard", "heard: ", "");
    add("worst_speed", "worst at ", "");
    add("begins_speed", "from ", " on");
    add("ends_speed", "gone above ", "");
    add("when_braking", "braking: ", "");
    return capital(out);
  }

  void found() {
    html_.open("section").leaf("h2", "What was found");
    for (const FaultFound& finding : findings_) one_finding(finding);
    if (!beyond_.empty()) {
      html_.open("div", "finding").leaf("h3", "Also beyond its limit, not shown to be the cause");
      html_.open("ul");
      for (const Reading* reading : beyond_) html_.leaf("li", reading_words(*reading));
      html_.close().close();
    }
    if (findings_.empty()) html_.leaf("p", "Nothing has been shown by a check yet.");
    within_limits();
    html_.close();
  }

  void one_finding(const FaultFound& finding) {
    const Cause& cause = cause_of(base_, finding.cause);
    html_.open("div", "finding").open("h3").text(cause.name);
    html_.leaf("span", finding.in_force ? " shown" : " shown, repaired", "state").close();
    html_.open("ul");
    for (const FindingLine& line : finding.lines) {
      html_.open("li").text(reading_words(*line.before));
      if (line.after) {
        const bool repaired =
            finding.repaired_in > line.before_round && finding.repaired_in <= line.after_round;
        html_.leaf(
            "span",
            (repaired ? " After the repair: " : " Read again: ") + value_words(*line.after) + ".",
            "after");
      }
      html_.close();
    }
    html_.close().close();
  }

  // "How large is the static imbalance? Right front: 1.9 oz, beyond its limit (a fault from 1 oz
  // on)."
  std::string reading_words(const Reading& reading) const {
    const std::string place = place_words(base_, reading.fact, reading.place);
    std::string out = fact_of(base_, reading.fact).ask + " " +
                      (place.empty() ? "" : capital(place) + ": ") + value_words(reading);
    const std::string limit = limit_words(base_, reading.fact, facts_.vehicle, of_.units());
    if (!limit.empty()) out += " (should be " + limit + ")";
    return out + ".";
  }

  std::string value_words(const Reading& reading) const {
    const std::string held = held_words(base_, reading);
    return answer_words(base_, reading, of_.units()) + (held.empty() ? "" : ", " + held);
  }

  void within_limits() {
    std::size_t within = 0;
    for (const Reading* reading : latest_held(base_, facts_))
      if (reading->answers.front() == 0) ++within;
    if (within > 0)
      html_.leaf("p",
                 std::to_string(within) +
                     (within == 1 ? " measurement lies" : " measurements lie") +
                     " within the limit at the latest reading.",
                 "quiet");
  }

  void done() {
    html_.open("section").leaf("h2", "What was done");
    bool any = false;
    html_.open("ul");
    for (const RoundFacts& round : facts_.rounds)
      for (const int r : round.opened_by) {
        html_.open("li").leaf("strong", repair(r).what + ".").text(" Proof: " + repair(r).proof);
        html_.close();
        any = true;
      }
    for (const std::size_t i : in_order(of_.file()))
      if (facts_.round_of[i] >= 0 && entry(i).kind == Entry::Kind::closing &&
          !entry(i).proof.empty())
        html_.open("li").leaf("strong", "Recorded at the end:").text(" " + entry(i).proof).close();
    for (const StopState& state : facts_.stops)
      if (state.lifted)
        html_.open("li")
            .text("Safety concern looked at and cleared: " +
                  fact_of(base_, state.fact).stop->reason)
            .text(".")
            .close();
    if (!any) html_.leaf("li", "No repair has been done yet.");
    html_.close();
    const double minutes = minutes_spent(of_.file(), facts_);
    if (minutes >= 0.0) html_.leaf("p", "Time spent so far: " + spent_words(minutes) + ".");
    html_.close();
  }

  void stands() {
    html_.open("section", "standing").leaf("h2", "How it stands now");
    html_.open("p").leaf("strong", standing_title(standing_) + ".");
    html_.text(" " + standing_words(of_, standing_)).close().close();
  }

  void still_open() {
    std::vector<std::string> open;
    for (const FaultFound& finding : findings_)
      if (finding.in_force) {
        const Cause& cause = cause_of(base_, finding.cause);
        open.push_back((is_explained(base_, finding.cause) ? "To do: " : "To be repaired: ") +
                       repair(cause.repair).what + ".");
      }
    suspects(open);
    if (!beyond_.empty())
      open.push_back("Measured beyond a limit, and not shown to be the cause: see above.");
    for (const std::size_t i : in_order(of_.file())) {
      const Entry& e = entry(i);
      if (facts_.round_of[i] < 0) continue;
      if (e.kind == Entry::Kind::repair && !e.done)
        open.push_back("Not done: " + repair(base_.repair_index(e.repair)).what + ".");
    }
    for (std::size_t i = 0; i < now().not_possible.size() && i < kMostBesides; ++i)
      open.push_back("Could not be done here: " +
                     base_.checks[static_cast<std::size_t>(now().not_possible[i])].what + ".");
    html_.open("section").leaf("h2", "What is still open");
    if (open.empty()) {
      html_.leaf("p", nothing_open());
    } else {
      html_.open("ul");
      for (const std::string& line : open) html_.leaf("li", line);
      html_.close();
    }
    html_.close();
  }

  std::string nothing_open() const {
    return standing_ == Standing::proved || standing_ == Standing::no_fault
               ? "Nothing that we know of."
               : "What causes it is not known yet.";
  }

  // What may be wrong and is not shown: the likely cause, and what may be there besides.
  void suspects(std::vector<std::string>& open) const {
    const Ranked& leader = of_.diagnosis.ranking.causes.front();
    if (state_of(base_, facts_, leader) == CauseState::likely)
      open.push_back("Likely, not shown yet: " + cause_of(base_, leader.cause).name + ".");
    std::vector<int> besides;
    for (const int verdict : facts_.verdicts)
      for (const StillOpen& one :
           still_open_after(base_, of_.diagnosis.ranking, cause_of(base_, verdict).repair))
        if (!std::binary_search(facts_.verdicts.begin(), facts_.verdicts.end(), one.cause) &&
            std::find(besides.begin(), besides.end(), one.cause) == besides.end() &&
            one.cause != leader.cause && besides.size() < kMostBesides)
          besides.push_back(one.cause);
    for (const int cause : besides)
      open.push_back("May be there besides, not shown: " + cause_of(base_, cause).name + ".");
    if (standing_ == Standing::not_proved) open.push_back("The drive that proves the work.");
    if (standing_ == Standing::not_gone && open.empty()) open.push_back("Why it is not gone.");
  }

  void mind() {
    const std::vector<std::string> cautions = customer_cautions(of_, findings_);
    if (cautions.empty()) return;
    html_.open("section").leaf("h2", "Please mind").open("ul");
    for (const std::string& line : cautions) html_.leaf("li", line);
    html_.close().close();
  }

  void consent() {
    html_.open("section", "consent").leaf("h2", "Estimate and consent");
    html_.open("p").leaf("strong", "Estimate: ");
    if (of_.options.estimate.empty())
      html_.leaf("span", "", "line long");
    else
      html_.text(of_.options.estimate);
    html_.close();
    html_.leaf("p", "I agree that the work named in the estimate is done.");
    html_.open("p", "sign");
    for (const char* what : {"Signature", "Date"}) {
      html_.open("span", "field").leaf("span", what, "name").leaf("span", "", "line").close();
    }
    html_.close().close();
  }

  void foot() {
    html_.leaf("footer",
               "Limits differ from maker to maker; the maker's service information always comes "
               "first. \"Shown\" means that a check showed it; \"likely\" means more probable than "
               "not, and not shown.");
  }

  const ReportedCase& of_;
  const RuleBase& base_;
  const CaseFacts& facts_;
  const std::vector<FaultFound> findings_;
  const std::vector<const Reading*> beyond_;
  const Standing standing_;
  Html html_;
};

}  // namespace

Report customer_report(const ReportedCase& of) { return CustomerPage(of).all(); }

}  // namespace perrev

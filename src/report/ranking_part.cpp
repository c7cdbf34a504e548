#include <algorithm>
#include <cmath>

#include "engine/quantity/text.h"
#include "src/answers/diagnosis_parts.h"
#include "src/answers/words.h"
#include "src/report/report_words.h"
#include "src/report/technician.h"

namespace perrev {

namespace {

constexpr std::size_t kExplained = 3;
constexpr double kLeastListed = 0.001;

class RankingPart {
 public:
  RankingPart(const ReportedCase& of, Html& html)
      : of_(of), base_(of.base()), ranking_(of.diagnosis.ranking), html_(html) {}

  void all() {
    html_.open("section").leaf("h2", "What it can be").open("table", "ranking");
    html_.head_row({"Cause", "Probability", "State"}).open("tbody");
    for (const Ranked& ranked : listed())
      line(cause_of(base_, ranked.cause).name, ranked.probability,
           name_of(state_of(base_, of_.facts(), ranked)));
    if (ranking_.nothing_left > 0.0)
      line("Nothing is wrong any more", ranking_.nothing_left, "after the repair");
    line("Something that is not listed", ranking_.not_listed, "");
    html_.close().close();
    for (const RankedPair& pair : ranking_.pairs)
      if (pair.probability >= 0.05)
        html_.leaf("p", "Two at once: " + cause_of(base_, pair.first).name + ", and " +
                            cause_of(base_, pair.second).name + ": " + percent(pair.probability));
    html_.close();
    html_.open("section").leaf("h2", "Why: every weight of the first causes");
    html_.leaf("p",
               "In decibans against a cause that is not listed: +10 is ten times as likely under "
               "this cause, -10 a tenth. The prior and the weights add up.",
               "quiet");
    std::size_t told = 0;
    for (const Ranked& ranked : listed())
      if (told < kExplained || is_confirmed(ranked)) {
        ++told;
        reasons(ranked);
      }
    html_.close();
  }

 private:
  bool is_confirmed(const Ranked& ranked) const {
    return state_of(base_, of_.facts(), ranked) == CauseState::confirmed;
  }

  std::vector<Ranked> listed() const {
    std::vector<Ranked> out;
    for (const Ranked& ranked : ranking_.causes)
      if (ranked.probability >= kLeastListed || is_confirmed(ranked)) out.push_back(ranked);
    return out;
  }

  void line(const std::string& name, double probability, const std::string& state) {
    html_.open("tr").leaf("th", name, {}, "scope=\"row\"").open("td").bar(probability);
    html_.leaf("span", percent(probability), "number").close().leaf("td", state).close();
  }

  void reasons(const Ranked& ranked) {
    const Reasons of = reasons_for(of_.reasoner(), of_.facts(), ranked.cause);
    double sum = of.prior_decibans;
    html_.leaf("h3", cause_of(base_, ranked.cause).name).open("table", "weights");
    html_.head_row({"Weight", "Because", "Known", "Rules and origins"}).open("tbody");
    weight(of.prior_decibans, {"How common it is, before anything is known", "", ""});
    for (const Reason& reason : of.evidence) {
      sum += reason.weight_decibans;
      one_reason(of, reason);
    }
    weight(sum, {"Together", "", ""});
    html_.close().close();
  }

  void weight(double of, const std::vector<std::string>& cells) {
    html_.open("tr").leaf("th", decibans(of), "number", "scope=\"row\"");
    for (const std::string& cell : cells) html_.leaf("td", cell);
    html_.close();
  }

  void one_reason(const Reasons& of, const Reason& reason) {
    const ReasonWords words = words_of(of_.reasoner(), of_.facts(), of, reason, of_.units());
    std::vector<std::string> known, rules;
    for (std::size_t i = 0; i < words.facts.size(); ++i)
      known.push_back(words.facts[i] + ": " + words.values[i]);
    for (const int rule : words.rules)
      rules.push_back(base_.rules[static_cast<std::size_t>(rule)].id);
    if (reason.provider) rules.push_back("computed: " + std::string(reason.provider->name()));
    std::string from = joined(rules, ", ");
    if (!words.origins.empty()) from += (from.empty() ? "" : "; ") + joined(words.origins, "; ");
    const bool later = of_.facts().rounds.size() > 1;
    weight(reason.weight_decibans,
           {(later ? "Round " + std::to_string(reason.round + 1) + ": " : "") + words.because,
            joined(known, "; "), from});
  }

  const ReportedCase& of_;
  const RuleBase& base_;
  const Ranking& ranking_;
  Html& html_;
};

}  // namespace

void ranking_part(const ReportedCase& of, Html& html) { RankingPart(of, html).all(); }

}  // namespace perrev

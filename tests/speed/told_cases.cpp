// Cases as they were read, for a program that is to weigh the same evidence: made-up ones, or case
// files. One JSON object a line:
//   case     its name
//   facts    of the latest round: fact, place (null: of the case), value (an answer's id, good or
//            bad, a number in SI, or of a fact of kind several true or false by answer)
//   true     rules that are true somewhere
//   sums     by cause: log prior and log ratios of the true rules, added up
//   odds     by cause: Ranking::log_odds and the prior of not_listed; null: impossible
//   apart    by cause: what makes `odds` of `sums`: several kinds, natural logarithms, see add()
//
//     perrev_told_cases 200 | perrev_told_cases FILE...
#include <cmath>
#include <fstream>
#include <iostream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/speed/made_up_cases.h"
#include "tests/speed/shipped.h"

namespace perrev {
namespace {

using Json = nlohmann::ordered_json;

Json value_of(const Fact& fact, const Reading& reading) {
  if (fact.kind == FactKind::number && fact.limit < 0) return reading.number;
  if (fact.kind != FactKind::several)
    return fact.answers[static_cast<std::size_t>(reading.answers[0])].id;
  Json out;
  for (std::size_t i = 0; i < fact.answers.size(); ++i)
    out[fact.answers[i].id] = reading.answers[i] == 1;
  return out;
}

Json facts_of_round(const RoundFacts& round) {
  Json out = Json::array();
  for (const Reading& reading : round.readings) {
    const Fact& fact = shipped().facts[static_cast<std::size_t>(reading.fact)];
    if (reading.unsure || fact.kind == FactKind::text || reading.answers[0] < 0) continue;
    const std::vector<std::string>& places = places_of(fact.per);
    out.push_back(
        {{"fact", fact.id},
         {"place", reading.place < 0 ? Json(nullptr)
                                     : Json(places[static_cast<std::size_t>(reading.place)])},
         {"value", value_of(fact, reading)}});
  }
  return out;
}

// What one group of a cause says, less its rules that are true.
struct Apart {
  double normalised = 0.0;  // a group of one answer of the case: made to sum to one
  double tied = 0.0;        // several variables: what is unknown of them is summed out
  double places = 0.0;      // read at several places: the mean over them
  double computed = 0.0;    // by a provider

  void add(const GroupTable& group, double difference) {
    (group.places > 1 ? places : group.single() ? normalised : tied) += difference;
  }
};

Json told(const std::string& name, const CaseFile& file) {
  const RuleBase& base = shipped();
  const CaseFacts facts = facts_or_die(file);
  const Answers& answers = facts.now().answers;
  const std::size_t causes = base.causes.size();
  const Ranking ranking = rank(reasoner(), facts);
  std::vector<char> is_true;
  Json out = {{"case", name}, {"facts", facts_of_round(facts.now())}, {"true", Json::array()}};
  for (const Rule& rule : base.rules) {
    is_true.push_back(truth_somewhere(base, rule.when, answers) == Truth::yes);
    if (is_true.back()) out["true"].push_back(rule.id);
  }
  std::vector<Apart> apart(causes);
  for (const Provider* provider : reasoner().providers()) {
    const ProviderWeights said = provider->weigh(base, facts, facts.rounds.size() - 1);
    for (std::size_t c = 0; c < said.by_cause.size() && !said.facts.empty(); ++c)
      apart[c].computed += said.by_cause[c];
  }
  for (std::size_t c = 0; c < causes; ++c) {
    double sum = reasoner().log_prior(static_cast<int>(c));
    for (const GroupTable& group : reasoner().answers().groups(static_cast<int>(c))) {
      double by_rules = 0.0;
      for (const GroupRule& rule : group.rules)
        if (is_true[static_cast<std::size_t>(rule.rule)]) by_rules += rule.log_ratio;
      sum += by_rules;
      apart[c].add(group, std::log(reasoner().answers().value(group, answers)) - by_rules);
    }
    const std::string& id = base.causes[c].id;
    out["sums"][id] = sum;
    out["odds"][id] = ranking.log_odds[c] + reasoner().log_prior_not_listed();  // inf: null
    out["apart"][id] = {{"normalised", apart[c].normalised},
                        {"tied", apart[c].tied},
                        {"places", apart[c].places},
                        {"computed", apart[c].computed}};
  }
  out["rounds"] = facts.rounds.size();
  return out;
}

int told_all(int count, char** arguments) {
  const std::string first = count > 1 ? arguments[1] : "";
  if (first.empty()) {
    std::cerr << "how many cases, or which files\n";
    return 2;
  }
  if (first.find_first_not_of("0123456789") == std::string::npos) {
    int number = 0;
    for (const std::string& text : made_up_cases(reasoner(), std::stoi(first))) {
      const std::string name = "made up " + std::to_string(++number);
      std::cout << told(name, case_or_die(name, text)).dump() << "\n";
    }
    return 0;
  }
  for (int i = 1; i < count; ++i) {
    std::stringstream text;
    text << std::ifstream(arguments[i]).rdbuf();
    std::cout << told(arguments[i], case_or_die(arguments[i], text.str())).dump() << "\n";
  }
  return 0;
}

}  // namespace
}  // namespace perrev

int main(int count, char** arguments) { return perrev::told_all(count, arguments); }

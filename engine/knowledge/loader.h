// The inside of load.h: one Loader builds one rule base. Each member function reads one kind of
// file; load.cpp calls them in the order in which names are needed. Not for use outside this room.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "engine/knowledge/record.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

class Loader {
 public:
  RuleBase base;
  Problems problems;

  // A kind of name is complete when every file that defines it parsed; only then is an unknown name
  // an error, so that one broken file does not make errors in all the others.
  bool facts_complete = true;
  bool causes_complete = true;
  bool others_complete = true;

  void strengths(const FileReader& reader, const YamlNode& root);
  void families(const FileReader& reader, const YamlNode& root);
  void limited_facts(const YamlNode& root);  // before facts: which numbers have limits
  void facts(const FileReader& reader, const YamlNode& root);
  void limits(const FileReader& reader, const YamlNode& root);
  void fact_conditions(const FileReader& reader, const YamlNode& root);
  void causes(const FileReader& reader, const YamlNode& root);
  void repairs(const FileReader& reader, const YamlNode& root);
  void cause_links(const FileReader& reader, const YamlNode& root);
  void evidence(const FileReader& reader, const YamlNode& root);
  void shop(const FileReader& reader, const YamlNode& root);
  void checks(const FileReader& reader, const YamlNode& root);
  void path(const FileReader& reader, const YamlNode& root);
  // Bands of numbers from all thresholds in use, then everything that needs the whole.
  void finish();

 private:
  struct Strength {
    std::string word;
    double ratio;
  };

  void fact(const FileReader& reader, const YamlMember& member);
  void fact_answers(const FileReader& reader, const Record& record, Fact& made);
  void fact_number(const FileReader& reader, const Record& record, Fact& made);
  void fact_base(const FileReader& reader, const Record& record, Fact& made);
  void number_base(const FileReader& reader, const Record& record, Fact& made);
  void add_variables(const Fact& made, const std::vector<double>& base_rates);
  AnswerSet answer_set(const FileReader& reader, const std::vector<Word>& words, const Fact& of);
  void fact_stop(const FileReader& reader, const YamlNode& node, Fact& made);

  void cause(const FileReader& reader, const YamlMember& member);
  void cause_shakes(const FileReader& reader, const YamlNode& node, Cause& made);
  void cause_needs(const FileReader& reader, const YamlNode& node, Cause& made);
  void rule(const FileReader& reader, const YamlNode& node);
  void effects(const FileReader& reader, const YamlNode& node, bool in_favour, Rule& made,
               std::map<int, std::pair<Rule::Effect, bool>>& found);
  void check(const FileReader& reader, const YamlMember& member);
  void confirms(const FileReader& reader, const YamlNode& node, Check& made);
  void edge(const FileReader& reader, const YamlNode& node);
  int vertex(const FileReader& reader, const Word& word, bool as_source);

  // load_condition.cpp
  Condition condition(const FileReader& reader, const YamlNode& node);
  Condition fact_is(const FileReader& reader, const YamlMember& member);
  Condition number_is(const FileReader& reader, const Fact& of, const std::vector<Word>& words);

  int known_fact(const FileReader& reader, const Word& word);
  int known_cause(const FileReader& reader, const Word& word);
  int known(const FileReader& reader, const Word& word, std::string_view kind,
            const std::map<std::string, int, std::less<>>& ids, bool complete);
  // Reports an id that is no id or that stands twice; true if it may be used.
  bool fresh(const FileReader& reader, const YamlMember& member, std::string_view kind,
             std::map<std::string, int, std::less<>>& ids, int index);

  void band_numbers();
  void check_rules_per_cause();
  std::vector<Condition*> all_conditions();

  std::set<std::string> limited_;
  std::vector<Strength> strengths_;
  std::map<std::string, double, std::less<>> usual_words_;
  std::map<std::string, int, std::less<>> family_by_id_, setup_by_id_, equipment_by_id_,
      rule_by_id_, gate_by_id_, end_by_id_;
};

}  // namespace perrev

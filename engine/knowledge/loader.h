// The inside of load.h: one Loader builds one rule base. Each member function reads one kind of
// file; load.cpp calls them in the order in which names are needed. Not for use outside this room.
#pragma once

#include <map>
#include <optional>
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

  // Single files, "causes/" and "evidence/" that did not parse or are not what they should be. An
  // unknown name is an error only if every file that may define it is whole, so that one broken
  // file does not make errors in all the others.
  std::set<std::string, std::less<>> broken;
  bool whole(std::string_view file) const { return broken.count(file) == 0; }

  void strengths(const FileReader& reader, const YamlNode& root);
  void families(const FileReader& reader, const YamlNode& root);
  // Before facts: which numbers have limits.
  void limited_facts(const FileReader& reader, const YamlNode& root);
  void facts(const FileReader& reader, const YamlNode& root);
  void limits(const FileReader& reader, const YamlNode& root);
  void fact_conditions(const FileReader& reader, const YamlNode& root);
  void causes(const FileReader& reader, const YamlNode& root);
  void repairs(const FileReader& reader, const YamlNode& root);
  void physics(const FileReader& reader, const YamlNode& root);
  void cause_links(const FileReader& reader, const YamlNode& root);
  void evidence(const FileReader& reader, const YamlNode& root);
  void shop(const FileReader& reader, const YamlNode& root);
  void set_up_after(const FileReader& reader, const Word& word, Setup& made);
  void costs(const FileReader& reader, const Record& record);
  void checks(const FileReader& reader, const YamlNode& root);
  void path(const FileReader& reader, const YamlNode& root);
  void flow_chart(const FileReader& reader, const YamlNode& root);
  void phrases(const FileReader& reader, const YamlNode& root);
  // Bands of numbers from all thresholds in use, then everything that needs the whole.
  void finish();

 private:
  // How a rule named a cause: with which strength, itself or by its family. None when not at all.
  struct Named {
    std::string strength;
    double log_ratio = 0.0;
    bool itself = false;
  };

  // The rule whose effects are read.
  struct Speaking {
    std::string rule;
    const YamlNode* when = nullptr;
    std::vector<int> reads;  // facts
  };

  void fact(const FileReader& reader, const YamlMember& member);
  // False when too little is known of the fact to say anything about what names it.
  bool fact_answers(const FileReader& reader, const Record& record, Fact& made);
  bool fact_number(const FileReader& reader, const Record& record, Fact& made);
  void fact_base(const FileReader& reader, const Record& record, bool answers_sound, Fact& made);
  void answer_rates(const FileReader& reader, const YamlNode& node, bool answers_sound,
                    const Fact& made, std::vector<double>& rates);
  void number_base(const FileReader& reader, const Record& record, Fact& made);
  void add_variables(const Fact& made, const std::vector<double>& base_rates);
  AnswerSet answer_set(const FileReader& reader, const std::vector<Word>& words, const Fact& of);
  void fact_clear(const FileReader& reader, const Record& record, Fact& made);
  void limit_classes(const FileReader& reader, const YamlNode& node, bool side_known,
                     bool classes_known, Limit& made);
  // Reports `fact: []`.
  bool names_answers(const FileReader& reader, const YamlMember& member);
  void fact_stop(const FileReader& reader, const YamlNode& node, Fact& made);

  void cause(const FileReader& reader, const YamlMember& member);
  void cause_shakes(const FileReader& reader, const YamlNode& node, Cause& made);
  void cause_needs(const FileReader& reader, const YamlNode& node, Cause& made);
  void rule(const FileReader& reader, const YamlNode& node);
  void effects(const FileReader& reader, const YamlNode& node, bool in_favour, const Speaking& by,
               std::vector<Named>& found);
  // Of those named, the causes of which such a rule may speak.
  std::vector<int> left_to_rules(const FileReader& reader, const YamlMember& member, bool itself,
                                 const std::vector<int>& meant, const Speaking& by);
  // Of a strength; nothing where it is none.
  std::optional<double> odds_ratio(const FileReader& reader, const YamlNode& node);
  std::vector<int> family_members(const FileReader& reader, const YamlMember& member, int family);
  std::vector<int> named_itself(const FileReader& reader, const YamlMember& member);
  void check(const FileReader& reader, const YamlMember& member);
  void confirms(const FileReader& reader, const YamlNode& node, bool learns_known, Check& made);
  void gates_and_ends(const FileReader& reader, const Record& record);
  void edge(const FileReader& reader, const YamlNode& node);
  int vertex(const FileReader& reader, const Word& word, bool as_source);
  bool fresh_vertex(const FileReader& reader, const YamlMember& member, std::string_view kind,
                    Ids& ids, int index);

  // load_physics.cpp
  void untied();
  void physics_facts();
  void physics_bodies(const FileReader& reader, const YamlNode& node);
  // False where it is not known which places are felt.
  bool physics_senses(const FileReader& reader, const YamlNode& node);
  void physics_paths(const FileReader& reader, const YamlNode& node, bool senses_known);
  void physics_faults(const FileReader& reader, const YamlNode& node);
  bool felt_place(const FileReader& reader, const Word& word);
  // The first of the facts that is computed for the cause; -1 where rules may speak.
  int computed_fact(const std::vector<int>& facts, int cause) const;
  // "'worst_speed' (line 4) is computed for 'bent_rim' (rules/physics.yaml line 31)"; 0: no line.
  std::string told_computed(int fact, int line, int cause) const;

  // load_phrases.cpp
  void phrase_words(const FileReader& reader, const Record& record);
  void phrase(const FileReader& reader, const Record& record, bool keys_known,
              const YamlNode& node);
  bool saying(const FileReader& reader, const Word& word, Saying& made);
  // `said` is null for what is negated: it takes no number out of the words.
  std::vector<Meaning> meanings(const FileReader& reader, const YamlNode& node,
                                const std::vector<Saying>* said);
  bool meaning(const FileReader& reader, const YamlMember& member, const std::vector<Saying>* said,
               Meaning& made);
  bool number_meant(const FileReader& reader, const Word& word, const Fact& of,
                    const std::vector<Saying>* said, Meaning& made);

  // load_condition.cpp
  Condition condition(const FileReader& reader, const YamlNode& node);
  Condition fact_is(const FileReader& reader, const YamlMember& member);
  Condition number_is(const FileReader& reader, const Fact& of, const std::vector<Word>& words);

  int known_fact(const FileReader& reader, const Word& word);
  int known_cause(const FileReader& reader, const Word& word);
  int known(const FileReader& reader, const Word& word, std::string_view kind, const Ids& ids,
            bool complete);
  // Reports an id that is no id; true if it may be used. (Twice in one file is refused before.)
  bool fresh(const FileReader& reader, const YamlMember& member, std::string_view kind, Ids& ids,
             int index);

  void twice(const FileReader& reader, const Word& word, std::string_view kind, const Place& first);

  void band_numbers();
  void check_rules_per_cause();
  std::vector<Condition*> all_conditions();

  std::set<std::string> limited_;
  std::set<int> doubtful_;  // facts refused so far that nothing more is said about them
  bool path_sound_ = true;  // the path was read as it was meant: its proofs say something
  std::map<std::vector<int>, int> said_at_;  // the line of each saying of phrases.yaml
  Ids family_by_id_, setup_by_id_, equipment_by_id_, rule_by_id_, gate_by_id_, end_by_id_;
};

}  // namespace perrev

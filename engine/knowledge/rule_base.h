// The rule base as plain values: what `rules/` says, checked, with names resolved to indices.
//
// Made only by load.h, never changed afterwards. Invariants, all proved by loading:
//   1. ids are unique within their kind; every index is valid;
//   2. base rates of a variable are positive and sum to one;
//   3. an answer set never names an answer that its variable does not have;
//   4. `needs` are tests on single variables of facts with per: case;
//   5. a group of facts (per cause) has at most kLargestGroup answer sheets.
//
// A *variable* is what can be answered once: a fact of kind one, yesno or number, or a single
// answer of a fact of kind several (a yes/no of its own). Answer 0 of a yes/no is no, 1 is yes; of
// a limited number 0 is good, 1 is bad.
#pragma once

#include <array>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "engine/knowledge/condition.h"
#include "engine/knowledge/phrase_book.h"
#include "engine/physics/physics_book.h"
#include "engine/quantity/quantity.h"
#include "engine/result.h"

namespace perrev {

inline constexpr int kLargestGroup = 4096;

// Indices by id, in no order.
struct IdHash {
  using is_transparent = void;
  std::size_t operator()(std::string_view id) const { return std::hash<std::string_view>{}(id); }
};
using Ids = std::unordered_map<std::string, int, IdHash, std::equal_to<>>;
// The ids alone, sorted.
std::vector<std::string> sorted_ids(const Ids& ids);

enum class FactKind { one, several, yesno, number, text };
enum class Per { vehicle_case, wheel, axle, shaft };
enum class Asker { write_up, road, bay };  // in the order of trust

std::string_view name_of(FactKind kind);
std::string_view name_of(Asker asker);
// "left_front", ... ; empty for Per::vehicle_case.
const std::vector<std::string>& places_of(Per per);

struct Answer {
  std::string id;
  std::string label;
};

// A stop: while the fact has one of `answers`, nothing moves. Lifted by a later clear answer of
// `cleared_by`, entered in the bay.
struct StopRule {
  AnswerSet answers = 0;
  std::string reason;
  std::string caution;
  int cleared_by = -1;  // fact
};

// A tolerance: at or beyond `bad` a reading is bad, at or within `good` it is good, between them it
// is unsure. SI.
struct LimitClass {
  std::string id;  // answer of class_by, "other", or "all"
  double good = 0.0;
  double bad = 0.0;
  std::string origin;
};
struct Limit {
  int fact = -1;
  bool lower_is_better = true;
  int class_by = -1;  // fact of kind one, or -1
  std::vector<LimitClass> classes;
};

struct Fact {
  std::string id;
  std::string ask;
  std::string how;
  FactKind kind = FactKind::yesno;
  std::vector<Answer> answers;  // one, several, yesno; {good, bad} for a limited number
  Dimension unit = Dimension::count;
  double low = 0.0, high = 0.0;  // number: allowed values, SI, both included
  std::string own_unit;          // number: asked and shown in, as its range is written: rpm
  std::vector<std::pair<double, double>> cumulative;  // number: (value, P(below)), ends included
  std::vector<Asker> asked_at;
  bool together_any = false;
  Per per = Per::vehicle_case;
  bool lasts_with_vehicle = false;
  bool after_repair = false;  // asked only once a repair was done
  Condition asked_if;         // asked unless this is known to be false
  AnswerSet clear = 0;
  std::optional<StopRule> stop;
  int limit = -1;           // index into limits
  int first_variable = -1;  // -1 for text
  int variable_count = 0;
  Place place;

  bool is_asked_at(Asker asker) const;
  // Of a number: what it is asked in, and a value of it (SI) to three digits: "65 mph", "1800 rpm".
  std::string asked_unit(Units units) const;
  std::string shown(double value, Units units) const;
};

struct Variable {
  int fact = -1;
  int answer = -1;            // of a several: which answer this is; else -1
  std::vector<double> base;   // P(answer) for a complaint whose cause is not listed
  std::vector<double> edges;  // banded number: size + 1 edges, SI
  bool together_any = false;  // only for two answers
  Per per = Per::vehicle_case;
  bool lasts_with_vehicle = false;
  int first_slot = 0;  // its answers in a table of a case's answers: one slot a place
  int slots = 1;

  int size() const { return static_cast<int>(base.size()); }
};

struct Family {
  std::string id;
  std::string name;
  bool needs_caution = false;  // of each of its causes, or of what cures it
};

// A rotating source and how many times a turn it shakes. `firing` orders depend on the engine.
struct Shake {
  enum class Kind { number, firing, half_firing };
  std::string source;
  Kind kind = Kind::number;
  double low_order = 1.0, high_order = 1.0;  // equal for a plain order
  double share = 0.0;                        // part of the probability; entries of a cause sum to 1
};

// Whether a source turns with the engine, and not with the road.
inline bool is_engines(std::string_view source) {
  return source == "engine" || source == "accessory";
}

enum class ShownBy { bay, road, repair };

struct Cause {
  std::string id;
  std::string name;
  std::string proof;
  std::string caution;
  int family = -1;
  double usual = 0.0;  // per thousand complaints
  std::vector<Shake> shakes;
  std::vector<std::pair<int, AnswerSet>> needs;  // variable, answers that allow the cause
  std::vector<int> not_with;                     // sorted, symmetric
  int repair = -1;
  ShownBy shown_by = ShownBy::bay;
  Place place;
};

struct Rule {
  struct Effect {
    int cause = -1;          // index into causes, or RuleBase::nothing_left()
    double log_ratio = 0.0;  // natural logarithm of the odds ratio; below 0 speaks against
    std::string strength;    // the word used, or the number as it is written
  };
  std::string id;
  Condition when;
  std::vector<Effect> effects;  // sorted by cause
  std::string because;
  std::string origin;
  Place place;
};

enum class Moves { no, yes, wheels_spin };

struct Check {
  std::string id;
  std::string what;
  std::string how;
  std::string caution;
  Asker by = Asker::write_up;
  std::vector<int> learns;  // facts, in file order
  double minutes = 0.0;
  int setup = -1;
  std::vector<int> equipment;
  Moves moves = Moves::no;
  std::vector<std::pair<int, Condition>> confirms;  // cause, condition that is its verdict
  Condition asked_if;
  Place place;
};

// The set-up it is built `after` stands before it in RuleBase::setups.
struct Setup {
  std::string id;
  std::string what;
  double minutes = 0.0;  // on top of those of `after`
  int after = -1;
  bool beside = false;  // stays in place while others come and go
};
struct Equipment {
  std::string id;
  std::string what;
  bool have = true;
};

enum class Parts { none, small, medium, large };

struct Repair {
  std::string id;
  std::string what;
  std::string proof;
  std::string caution;
  Parts parts = Parts::none;
  double minutes = 0.0;
  std::vector<int> cures;  // causes, sorted
  Place place;
};

// A point on the path that must be passed before the car moves or a wheel is spun.
struct Gate {
  std::string id;
  std::string what;
  std::vector<int> asks;  // facts, each with a clear answer
  bool guards_driving = false;
  bool guards_spinning = false;
  Place place;
};
struct PathEnd {
  std::string id;
  std::string what;
  Place place;
};
// Vertex numbers: 0 is the start, then checks, gates, ends, each in the order of the rule base.
struct PathEdge {
  int from = 0;
  int to = 0;
  bool passed = false;  // from a gate: only when it is passed
  Condition when;
  Place place;
};

// A step of a shop's own flow chart, to compare with: checks, or a repair.
struct ChartStep {
  std::vector<int> checks;
  int repair = -1;
  Condition when;
  Place place;
};

// A word that rules use for a number: an odds ratio, or causes per thousand complaints.
struct NumberWord {
  std::string word;
  double number = 1.0;
};

struct Shares {
  double not_listed = 0.05;
  double pairs = 0.10;
};

struct RuleBase {
  std::string digest;  // of all names and texts, 16 hex digits
  std::vector<Fact> facts;
  std::vector<Variable> variables;
  std::vector<Limit> limits;
  std::vector<Family> families;
  std::vector<Cause> causes;
  std::vector<Rule> rules;
  std::vector<Check> checks;
  std::vector<Setup> setups;
  std::vector<Equipment> equipment;
  std::vector<Repair> repairs;
  std::vector<Gate> gates;
  std::vector<PathEnd> ends;
  std::vector<PathEdge> edges;
  // Of the path, by vertex and by check (path.h: incoming_edges, guarding_gates).
  std::vector<std::vector<int>> incoming, guards;
  PhysicsBook physics;                             // empty where the rule base has none
  std::vector<ChartStep> flow_chart;               // empty where the rule base has none
  PhraseBook phrases;                              // empty where the rule base has none
  std::vector<NumberWord> strengths, usual_words;  // in file order
  Shares shares;
  double likely_from = 0.5;
  std::array<double, 4> parts_minutes{};  // by Parts: what they cost, in minutes of work
  double handing_on_minutes = 240.0;      // what it costs to hand the vehicle on to a specialist
  int slot_count = 0;                     // of all variables

  // The pseudo-cause that rules may name: after a repair nothing is wrong any more.
  int nothing_left() const { return static_cast<int>(causes.size()); }

  // Until a set-up stands ready from nothing: with those it is built on; 0 for -1.
  double setup_minutes(int setup) const;

  // -1 when there is none.
  int fact_index(std::string_view id) const;
  int cause_index(std::string_view id) const;
  int check_index(std::string_view id) const;
  int repair_index(std::string_view id) const;

  int vertex_of_check(int check) const { return 1 + check; }
  int vertex_of_gate(int gate) const { return 1 + static_cast<int>(checks.size()) + gate; }
  int vertex_of_end(int end) const { return vertex_of_gate(static_cast<int>(gates.size())) + end; }
  int vertex_count() const { return vertex_of_end(static_cast<int>(ends.size())); }
  std::string vertex_name(int vertex) const;

  // "felt in: seat" and the like, for people.
  std::string variable_name(int variable) const;
  std::string answer_name(int variable, int answer, Units units = Units::us) const;
  std::string words(const Condition& condition, Units units = Units::us) const;

  Ids fact_by_id, cause_by_id, check_by_id, repair_by_id;
};

// A strength as people say it: "very strong", "6.3 times".
std::string said_strength(const Rule::Effect& effect);

// The index of an answer, -1 if the fact has none of that id.
int answer_index(const Fact& fact, std::string_view id);

}  // namespace perrev

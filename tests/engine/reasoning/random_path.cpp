// The decision graph of a random base: checks that stand and checks that move behind gates, no
// circles.
#include <set>
#include <utility>

#include "tests/engine/reasoning/random_base.h"

namespace perrev::testing {

namespace {

class PathWriter {
 public:
  PathWriter(Lcg& random, const std::vector<std::string>& facts,
             const std::vector<std::string>& causes, std::string fact,
             std::vector<std::string> answers)
      : random_(random),
        facts_(facts),
        causes_(causes),
        fact_(std::move(fact)),
        answers_(std::move(answers)) {}

  void write(std::vector<SourceFile>& files) {
    shape();
    files.push_back({"checks.yaml", "checks.yaml", checks_});
    files.push_back(
        {"shop.yaml", "shop.yaml",
         "setups: {hoist: {minutes: 4, what: On the hoist}}\n"
         "equipment: {gauge: {what: A gauge, have: yes}, lamp: {what: A lamp, have: no}}\n"});
    files.push_back(
        {"path.yaml", "path.yaml",
         "gates:\n  g0: {guards: [moves, wheels_spin], asks: [loose" +
             std::string(random_.chance(0.5) ? ", sound" : "") + "], what: Safe to drive}\n" +
             (two_gates_ ? "  g1: {guards: [wheels_spin], asks: [sound], what: Safe to spin}\n"
                         : "") +
             "ends: {verdict: {what: Found}, referral: {what: Passed on}}\nedges:\n" + edges_});
  }

 private:
  // First what stands, then the gate, then what may move behind it; a second gate may hang behind
  // the first.
  void shape() {
    two_gates_ = random_.chance(0.4);
    std::vector<std::string> before = {"start"}, behind, behind_second;
    const int standing = random_.between(1, 4), moving = random_.between(1, 4),
              spinning = two_gates_ ? random_.between(1, 2) : 0;
    for (int i = 0; i < standing; ++i) {
      const std::string id = check("no");
      link(before, id);
      before.push_back(id);
    }
    link(before, "g0");
    for (int i = 0; i < moving; ++i) {
      const std::string id =
          check(random_.pick(std::vector<std::string>{"yes", "yes", "wheels_spin", "no"}));
      reach(behind, "g0", id);
      behind.push_back(id);
    }
    if (two_gates_) {
      link(behind, "g1");
      for (int i = 0; i < spinning; ++i) {
        const std::string id = check("wheels_spin");
        reach(behind_second, "g1", id);
        behind_second.push_back(id);
      }
    }
    // What stands may also be done after what moves, and beside the gate.
    const std::string last = check("no");
    link(behind, last);
    if (random_.chance(0.5)) edge("g0", last, "");
    if (two_gates_) edge("g1", "referral", "");
    edge(last, "verdict", "");
    edge(last, "referral", when());
    for (const std::string& id : made_)
      if (id != last) {
        const char* const end = random_.chance(0.5) ? "verdict" : "referral";
        edge(id, end, random_.chance(0.3) ? when() : "");
      }
  }

  std::string check(const std::string& moves) {
    const std::string id = "k" + std::to_string(made_.size());
    made_.push_back(id);
    std::set<std::string> learns = {random_.pick(facts_)};
    if (random_.chance(0.4)) learns.insert(random_.pick(facts_));
    // One draw a statement: compilers take the parts of a sum in orders of their own.
    const std::string by = random_.pick(std::vector<std::string>{"write_up", "road", "bay"});
    const std::string minutes = std::to_string(random_.between(1, 20));
    checks_ += id + ":\n  what: Check " + id + "\n  by: " + by + "\n  learns: [" +
               joined({learns.begin(), learns.end()}) + "]\n  minutes: " + minutes +
               "\n  moves: " + moves + "\n";
    if (random_.chance(0.3)) checks_ += "  setup: hoist\n";
    if (random_.chance(0.3))
      checks_ +=
          "  equipment: [" + std::string(random_.chance(0.3) ? "gauge, lamp" : "gauge") + "]\n";
    if (random_.chance(0.2)) checks_ += "  asked_if: " + when() + "\n";
    if (random_.chance(0.3)) confirms();
    return id;
  }

  void confirms() {
    checks_ += "  confirms: {" + random_.pick(causes_) + ": ";
    checks_ += when() + "}\n";
  }

  std::string when() {
    const std::string inner = "{" + fact_ + ": " + random_.pick(answers_) + "}";
    return random_.chance(0.3) ? "{not: " + inner + "}" : inner;
  }

  void edge(const std::string& from, const std::string& to, const std::string& condition) {
    edges_ += "  - {from: " + from + ", to: " + to +
              (condition.empty() ? "" : ", when: " + condition) + "}\n";
  }

  // At least one edge from what came before; never over a gate's passed side.
  void link(const std::vector<std::string>& from, const std::string& to) {
    const std::string& first = random_.pick(from);
    edge(first, to, random_.chance(0.3) ? when() : "");
    if (!random_.chance(0.4)) return;
    const std::string& second = random_.pick(from);
    edge(second, to, when());
  }

  void reach(const std::vector<std::string>& behind, const std::string& gate,
             const std::string& to) {
    if (behind.empty() || random_.chance(0.6))
      edge(gate, to, "passed");
    else
      link(behind, to);
  }

  Lcg& random_;
  const std::vector<std::string>& facts_;
  const std::vector<std::string>& causes_;
  const std::string fact_;
  const std::vector<std::string> answers_;
  bool two_gates_ = false;
  std::vector<std::string> made_;
  std::string checks_, edges_;
};

}  // namespace

void add_random_path(Lcg& random, const std::vector<std::string>& facts,
                     const std::vector<std::string>& causes, const std::string& condition_fact,
                     const std::vector<std::string>& condition_answers,
                     std::vector<SourceFile>& files) {
  PathWriter(random, facts, causes, condition_fact, condition_answers).write(files);
}

}  // namespace perrev::testing

#include "engine/bench/explain_likeness.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace perrev {

namespace {

// Groups of two causes that share facts can tie very many facts together; beyond so many sheets
// they count as answered alike, which keeps the bound a bound.
constexpr std::size_t kMostSheets = 1u << 16;

// One group of either cause, and where its variables stand in the component.
struct Member {
  const GroupTable* table = nullptr;
  bool first = true;  // of the first cause
};

class Overlap {
 public:
  Overlap(const AnswerModel& model, int first, int second) : base_(model.base()) {
    parent_.resize(base_.variables.size());
    std::iota(parent_.begin(), parent_.end(), 0);
    for (const int cause : {first, second})
      for (const GroupTable& table : model.groups(cause)) {
        members_.push_back({&table, cause == first});
        for (const int v : table.variables) unite(v, table.variables.front());
      }
  }

  double value() {
    std::vector<std::vector<Member>> by_root(parent_.size());
    for (const Member& member : members_)
      by_root[static_cast<std::size_t>(root(member.table->variables.front()))].push_back(member);
    double out = 1.0;
    for (const std::vector<Member>& component : by_root)
      if (!component.empty()) out *= of(component);
    return out;
  }

 private:
  int root(int v) const {
    while (parent_[static_cast<std::size_t>(v)] != v) v = parent_[static_cast<std::size_t>(v)];
    return v;
  }
  void unite(int a, int b) {
    const int x = root(a), y = root(b);
    parent_[static_cast<std::size_t>(std::max(x, y))] = std::min(x, y);
  }

  // The sum over the sheets of a component of sqrt(P(sheet | first) P(sheet | second)).
  double of(const std::vector<Member>& component) const {
    std::vector<int> variables;
    for (const Member& member : component)
      variables.insert(variables.end(), member.table->variables.begin(),
                       member.table->variables.end());
    std::sort(variables.begin(), variables.end());
    variables.erase(std::unique(variables.begin(), variables.end()), variables.end());
    std::size_t sheets = 1;
    for (const int v : variables)
      sheets = std::min(
          kMostSheets + 1,
          sheets * static_cast<std::size_t>(base_.variables[static_cast<std::size_t>(v)].size()));
    return sheets > kMostSheets ? 1.0 : sum(component, variables);
  }

  double sum(const std::vector<Member>& component, const std::vector<int>& variables) const {
    std::vector<std::vector<std::size_t>> at(component.size());  // of each member's variables
    for (std::size_t m = 0; m < component.size(); ++m)
      for (const int v : component[m].table->variables)
        at[m].push_back(static_cast<std::size_t>(
            std::lower_bound(variables.begin(), variables.end(), v) - variables.begin()));
    std::vector<int> sheet(variables.size(), 0);
    double out = 0.0;
    do {
      double base = 1.0, first = 1.0, second = 1.0;
      for (std::size_t i = 0; i < variables.size(); ++i)
        base *= variable(variables[i]).base[static_cast<std::size_t>(sheet[i])];
      for (std::size_t m = 0; m < component.size(); ++m) {
        std::size_t row = 0;
        for (std::size_t k = 0; k < at[m].size(); ++k)
          row += static_cast<std::size_t>(sheet[at[m][k]] * component[m].table->strides[k]);
        (component[m].first ? first : second) *= component[m].table->relative[row];
      }
      out += base * std::sqrt(first * second);
    } while (next(sheet, variables));
    return out;
  }

  const Variable& variable(int v) const { return base_.variables[static_cast<std::size_t>(v)]; }
  bool next(std::vector<int>& sheet, const std::vector<int>& variables) const {
    for (std::size_t i = 0; i < sheet.size(); ++i) {
      if (++sheet[i] < variable(variables[i]).size()) return true;
      sheet[i] = 0;
    }
    return false;
  }

  const RuleBase& base_;
  std::vector<int> parent_;
  std::vector<Member> members_;
};

}  // namespace

std::vector<GivenAnswers> answers_given(const AnswerModel& model, int cause) {
  const RuleBase& base = model.base();
  std::vector<GivenAnswers> out;
  Answers room(static_cast<std::size_t>(base.slot_count), -1);
  const std::vector<GroupTable>& groups = model.groups(cause);
  for (std::size_t g = 0; g < groups.size(); ++g)
    for (const int v : groups[g].variables) {
      const Variable& variable = base.variables[static_cast<std::size_t>(v)];
      GivenAnswers made{v, static_cast<int>(g), groups[g].single(), {}};
      const auto set_all = [&](int answer) {  // the mean over equal places is that of one
        for (int slot = 0; slot < variable.slots; ++slot)
          room[static_cast<std::size_t>(variable.first_slot + slot)] = answer;
      };
      for (int answer = 0; answer < variable.size(); ++answer) {
        set_all(answer);
        made.probability.push_back(variable.base[static_cast<std::size_t>(answer)] *
                                   model.value(groups[g], room));
      }
      set_all(-1);
      out.push_back(std::move(made));
    }
  return out;
}

std::vector<Rival> rivals_of(const AnswerModel& model, int cause) {
  std::vector<Rival> out;
  for (std::size_t c = 0; c < model.base().causes.size(); ++c)
    if (static_cast<int>(c) != cause)
      out.push_back(
          {static_cast<int>(c), 0.5 * Overlap(model, cause, static_cast<int>(c)).value()});
  std::sort(out.begin(), out.end(), [&](const Rival& a, const Rival& b) {
    if (a.mistaken != b.mistaken) return a.mistaken > b.mistaken;
    return model.base().causes[static_cast<std::size_t>(a.cause)].id <
           model.base().causes[static_cast<std::size_t>(b.cause)].id;
  });
  return out;
}

}  // namespace perrev

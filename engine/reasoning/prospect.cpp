#include "engine/reasoning/prospect.h"

#include <algorithm>

namespace perrev {

double value_around(const Reasoner& reasoner, const Hypothesis& hypothesis, int variable,
                    const Answers& answers) {
  if (hypothesis.first < 0) return 1.0;
  if (hypothesis.second >= 0)
    return reasoner.pairs().value_around(hypothesis.first, hypothesis.second, variable, answers);
  const AnswerModel& model = reasoner.answers();
  const int group = model.group_of(hypothesis.first, variable);
  if (group < 0) return 1.0;
  return model.value(model.groups(hypothesis.first)[static_cast<std::size_t>(group)], answers);
}

void prospect(const Reasoner& reasoner, const Hypothesis& hypothesis, int variable,
              std::size_t slot, Answers& answers, double* out) {
  const Variable& v = reasoner.base().variables[static_cast<std::size_t>(variable)];
  const std::size_t size = v.base.size();
  if (hypothesis.first >= 0 && hypothesis.second < 0) {
    const AnswerModel& model = reasoner.answers();
    const int group = model.group_of(hypothesis.first, variable);
    const bool alone =
        group < 0 ||
        (v.slots == 1 && model.groups(hypothesis.first)[static_cast<std::size_t>(group)].single());
    if (alone) {  // what is known of other things says nothing of it
      for (std::size_t a = 0; a < size; ++a)
        out[a] = v.base[a] * model.row(variable, static_cast<int>(a))[hypothesis.first];
      return;
    }
  }
  std::copy(v.base.begin(), v.base.end(), out);
  if (hypothesis.first < 0) return;
  const double before = value_around(reasoner, hypothesis, variable, answers);
  if (before <= 0.0) return;
  const int known = answers[slot];
  for (std::size_t a = 0; a < size; ++a) {
    answers[slot] = static_cast<int>(a);
    out[a] *= value_around(reasoner, hypothesis, variable, answers) / before;
  }
  answers[slot] = known;
}

std::vector<double> prospect(const Reasoner& reasoner, const Hypothesis& hypothesis, int variable,
                             std::size_t slot, const Answers& answers) {
  std::vector<double> out(
      reasoner.base().variables[static_cast<std::size_t>(variable)].base.size());
  Answers room = answers;
  prospect(reasoner, hypothesis, variable, slot, room, out.data());
  return out;
}

}  // namespace perrev

#!/usr/bin/env bash
# Writes docs/trials.md anew: what the planner and others take on simulated complaints.
set -euo pipefail
cd "$(dirname "$0")/.."
build="${PERREV_BUILD:-build}"
complaints="${1:-5000}"
cmake --build "$build" --target perrev perrev_engine_tests perrev_speed >&2
perrev="$build/src/perrev"
chart=tests/engine/planning
trial() { "$perrev" trial --seed 1 "$@" | sed 's/^\(.\)/    \1/'; }
# Complaints a second of one strategy, on all cores.
rate() {
  local begin end
  begin=$(date +%s%N)
  "$perrev" trial --complaints "$2" --strategy "$1" >/dev/null
  end=$(date +%s%N)
  echo "$(($2 * 1000000000 / (end - begin)))"
}
{
  cat <<TEXT
# What simulated complaints say

Made by \`bash tests/trials.sh\`. Causes are drawn from the priors of the rule base (one fault, two, none that is listed), answers
from its answer models; each way of going about it works until the vehicle is right or handed on. Everything is in minutes of
the shop as \`rules/shop.yaml\` counts them: checks with set-ups, repairs with parts, the safety questions, the drives that prove.

These figures say how well a plan uses what the rule base holds. They say nothing about how true the rule base is of vehicles: that
is what reference cases and the road are for.

## $complaints complaints, seed 1

\`times known\` compares with one who knows the fault. The flow chart is \`$chart/shop_chart.yaml\`, written down from trade
knowledge; \`good_shop.yaml\` beside it was improved on simulated complaints.

TEXT
  trial --complaints "$complaints" --flow-chart "$chart/shop_chart.yaml"
  printf '\nWith `good_shop.yaml`:\n\n'
  trial --complaints "$complaints" --strategy flow_chart --flow-chart "$chart/good_shop.yaml"
  printf '\nWith one answer in ten replaced by one drawn at random:\n\n'
  trial --complaints "$complaints" --wrong-answers 0.1 --strategy look_ahead entropy_per_minute
  printf '\n## Calibration: %s complaints\n\n' "$((4 * complaints))"
  trial --complaints "$((4 * complaints))" --strategy look_ahead --picture docs/reliability.svg
  printf '\n![How often the first cause was there, over what was said of it](reliability.svg)\n'
  printf '\n## Beside the exact optimum\n\nSmall models cut from the rule base, one fault and then two; the optimum by exhaustive search.\n\n'
  "$build/tests/perrev_engine_tests" -sf='*optimum_test*' | sed -n 's/^.*MESSAGE: \([0-9]* models, .*\) (model.*/    \1/p'
  printf '\nExpected posterior beside posterior, for everything that can be learned with the shipped rules:\n\n'
  "$build/tests/perrev_engine_tests" -sf='*prospect_test*' | sed -n 's/^.*MESSAGE: \([0-9]* variables learned.*\)/    \1/p'
  printf '\n## Speed\n\nOn %s cores: %s complaints a second with look_ahead, %s with entropy_per_minute. The next step, by what is known already:\n\n' \
    "$(nproc)" "$(rate look_ahead 1000)" "$(rate entropy_per_minute 4000)"
  "$build/tests/speed/perrev_speed" --benchmark_filter='next_step' 2>/dev/null | sed -n 's/^next_step.\([0-9]*\) *\([0-9.]* ms\).*/    \1 facts: \2/p'
} >docs/trials.md.new
mv docs/trials.md.new docs/trials.md

#!/usr/bin/env bash
# Writes docs/trials.md anew: what the planner and others take on simulated complaints.
set -euo pipefail
cd "$(dirname "$0")/.."
build="${PERREV_BUILD:-build}"
complaints="${1:-5000}"
cmake --build "$build" --target perrev >&2
perrev="$build/src/perrev"
chart=tests/engine/planning
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
  sed 's/^/    /' < <("$perrev" trial --complaints "$complaints" --seed 1 --flow-chart "$chart/shop_chart.yaml")
  echo
  echo "With \`good_shop.yaml\`:"
  echo
  sed 's/^/    /' < <("$perrev" trial --complaints "$complaints" --seed 1 --strategy flow_chart --flow-chart "$chart/good_shop.yaml")
  echo
  echo "With one answer in ten replaced by one drawn at random:"
  echo
  sed 's/^/    /' < <("$perrev" trial --complaints "$complaints" --seed 1 --wrong-answers 0.1 --strategy look_ahead entropy_per_minute)
} >docs/trials.md.new
mv docs/trials.md.new docs/trials.md

#!/usr/bin/env bash
# Installs what is missing, builds everything and runs every test. Closes with "N passed, N failed".
# Options for CMake may follow: bash tests/run.sh -DPERREV_SANITIZE=ON. PERREV_BUILD names the build folder.
# The page has its own: tests/page.sh.
set -uo pipefail
cd "$(dirname "$0")/.."
. src/packages.sh
build="${PERREV_BUILD:-build}"
need_packages "${PERREV_BUILD_PACKAGES[@]}" "${PERREV_TEST_PACKAGES[@]}" && need_node || exit 1
case " $* " in *PERREV_WASM=ON*) need_packages "${PERREV_WASM_PACKAGES[@]}" || exit 1 ;; esac
case " $* " in *PERREV_SPEED=ON*) need_packages "${PERREV_SPEED_PACKAGES[@]}" || exit 1 ;; esac
# Options of an earlier run must not stick.
cmake -S . -B "$build" -G Ninja -DPERREV_TESTS=ON -DPERREV_SANITIZE=OFF -DPERREV_SPEED=OFF -DPERREV_WASM=OFF \
  -DPERREV_BATCHED=OFF -DCMAKE_BUILD_TYPE=Release "$@" >/dev/null || exit 1
cmake --build "$build" >&2 || exit 1

# Each program in runs of a few test cases, as many at once as there are cores.
logs="$build/test-logs"
rm -rf "$logs" && mkdir -p "$logs" || exit 1
for tests in "$build"/tests/perrev_*_tests; do
  count=$("$tests" --count --no-colors=true | sed -nE 's/.*filters: ([0-9]+)$/\1/p')
  for ((first = 1; first <= ${count:-1}; first += 12)); do
    last=$((first + 11 < ${count:-1} ? first + 11 : ${count:-1}))
    printf '%s %s %s %s\n' "$tests" "$first" "$last" \
      "$logs/$(basename "$tests")-$(printf %04d "$first")-$last.log"
  done
done | xargs -P "$(nproc)" -L 1 bash -c \
  '"$0" --first="$1" --last="$2" --no-colors=true >"$3" 2>&1; [ $? -le 1 ] || echo "ended early" >>"$3"'

passed=0
failed=0
failures=()
for log in "$logs"/*.log; do
  summary=$(grep -E '^\[doctest\] test cases:' "$log" | tail -n 1)
  if [ -z "$summary" ] || [ "$(tail -n 1 "$log")" = "ended early" ]; then
    echo "$log: ended without a summary" >&2
    failed=$((failed + 1))
    failures+=("$log")
    continue
  fi
  # doctest sums up all test cases of the program, run here or not; those of this run stand in the name.
  range=$(basename "$log" .log | grep -oE '[0-9]+-[0-9]+$')
  wrong=$(sed -E 's/.*\| *([0-9]+) failed.*/\1/' <<<"$summary")
  passed=$((passed + ${range#*-} - 10#${range%-*} + 1 - wrong))
  failed=$((failed + wrong))
  if [ "$wrong" -eq 0 ]; then cat "$log"; else failures+=("$log"); fi
done
# What failed stands last, where it is looked for.
for log in "${failures[@]}"; do
  echo "== failed: $(basename "$log" .log)"
  cat "$log"
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]

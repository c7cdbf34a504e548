#!/usr/bin/env bash
# Installs what is missing, builds everything and runs every test. Closes with "N passed, N failed".
# Options for CMake may follow: bash tests/run.sh -DPERREV_SANITIZE=ON. PERREV_BUILD names the build folder.
set -uo pipefail
cd "$(dirname "$0")/.."
. src/packages.sh
build="${PERREV_BUILD:-build}"
need_packages "${PERREV_BUILD_PACKAGES[@]}" "${PERREV_TEST_PACKAGES[@]}" || exit 1
case " $* " in *PERREV_SPEED=ON*) need_packages "${PERREV_SPEED_PACKAGES[@]}" || exit 1 ;; esac
# Options of an earlier run must not stick.
cmake -S . -B "$build" -G Ninja -DPERREV_TESTS=ON -DPERREV_SANITIZE=OFF -DPERREV_SPEED=OFF \
  -DCMAKE_BUILD_TYPE=Release "$@" >/dev/null || exit 1
cmake --build "$build" >&2 || exit 1

passed=0
failed=0
for tests in "$build"/tests/perrev_*_tests; do
  log="$build/$(basename "$tests").log"
  "$tests" --no-colors=true 2>&1 | tee "$log"
  summary=$(grep -E '^\[doctest\] test cases:' "$log" | tail -n 1)
  if [ -z "$summary" ]; then
    echo "$tests ended without a summary" >&2
    failed=$((failed + 1))
    continue
  fi
  passed=$((passed + $(sed -E 's/.*\| *([0-9]+) passed.*/\1/' <<<"$summary")))
  failed=$((failed + $(sed -E 's/.*\| *([0-9]+) failed.*/\1/' <<<"$summary")))
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]

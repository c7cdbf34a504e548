#!/usr/bin/env bash
# The ranking beside CLIPS and beside a dense matrix, on the same cases; checks first that CLIPS fires the rules
# that perrev finds true, then tells cases a second and ratios. docs/speed.md says what is compared.
#   bash tests/speed/reference.sh [--check] [--rounds 3]
# PERREV_BUILD names the build folder.
set -euo pipefail
cd "$(dirname "$0")/../.."
. src/packages.sh
need_packages "${PERREV_BUILD_PACKAGES[@]}" "${PERREV_TEST_PACKAGES[@]}" "${PERREV_SPEED_PACKAGES[@]}"
build="${PERREV_BUILD:-build}"
cmake -S . -B "$build" -G Ninja -DPERREV_SPEED=ON >/dev/null
cmake --build "$build" --target perrev perrev_speed >&2
exec env PYTHONDONTWRITEBYTECODE=1 /usr/bin/python3 tests/speed/reference.py "$build" "$@"

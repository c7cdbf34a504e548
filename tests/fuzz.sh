#!/usr/bin/env bash
# Feeds the loader of rule bases what nobody would write, for SECONDS (60): bash tests/fuzz.sh [SECONDS]
# What it breaks on is left in build-fuzz/found/; when it is mended, the input goes to tests/fuzz/loader/, and the
# ordinary tests replay it from then on. Inputs that reach further stay in build-fuzz/corpus/ for the next run.
set -euo pipefail
cd "$(dirname "$0")/.."
. src/packages.sh
build="${PERREV_BUILD:-build-fuzz}"
need_packages "${PERREV_BUILD_PACKAGES[@]}" "${PERREV_FUZZ_PACKAGES[@]}"
CXX=clang++-19 cmake -S . -B "$build" -G Ninja -DPERREV_FUZZ=ON -DCMAKE_BUILD_TYPE=RelWithDebInfo >/dev/null
cmake --build "$build" --target perrev_loader_fuzz >&2
mkdir -p "$build/corpus" "$build/found"
"$build/tests/fuzz/perrev_loader_fuzz" -max_total_time="${1:-60}" -max_len=16384 -timeout=10 -rss_limit_mb=2048 \
  -dict=tests/fuzz/yaml.dict -artifact_prefix="$build/found/" -print_final_stats=1 "$build/corpus" tests/fuzz/loader

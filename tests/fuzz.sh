#!/usr/bin/env bash
# Feeds the loader of rule bases and the readers of recordings what nobody would write:
#     bash tests/fuzz.sh [SECONDS] [loader|recording]     each for SECONDS (60), or only the one named
# What one breaks on is left in build-fuzz/found/; when it is mended, the input goes to tests/fuzz/loader/ or
# tests/fuzz/recording/, and the ordinary tests replay it from then on. Inputs that reach further stay in
# build-fuzz/corpus-NAME/ for the next run.
set -euo pipefail
cd "$(dirname "$0")/.."
. src/packages.sh
build="${PERREV_BUILD:-build-fuzz}" seconds=60 targets=(loader recording)
for given in "$@"; do
  case "$given" in
    loader | recording) targets=("$given") ;;
    *[!0-9]* | "") echo "usage: bash tests/fuzz.sh [SECONDS] [loader|recording]" >&2; exit 2 ;;
    *) seconds="$given" ;;
  esac
done
need_packages "${PERREV_BUILD_PACKAGES[@]}" "${PERREV_FUZZ_PACKAGES[@]}"
CXX=clang++-19 cmake -S . -B "$build" -G Ninja -DPERREV_FUZZ=ON -DCMAKE_BUILD_TYPE=RelWithDebInfo >/dev/null
for target in "${targets[@]}"; do
  cmake --build "$build" --target "perrev_${target}_fuzz" >&2
  mkdir -p "$build/corpus-$target" "$build/found"
  "$build/tests/fuzz/perrev_${target}_fuzz" -max_total_time="$seconds" -max_len=16384 -timeout=10 -rss_limit_mb=2048 \
    -dict="tests/fuzz/$target.dict" -artifact_prefix="$build/found/" -print_final_stats=1 \
    "$build/corpus-$target" "tests/fuzz/$target"
done

#!/usr/bin/env bash
# Feeds what reads strangers' bytes with what nobody would write:
#     bash tests/fuzz.sh [SECONDS] [TARGET...]     each target for SECONDS (60), or only those named
# What one breaks on is left in build-fuzz/found/; when it is mended, the input goes to tests/fuzz/TARGET/, and
# the ordinary tests replay it from then on. Inputs that reach further stay in build-fuzz/corpus-TARGET/ for the
# next run.
set -euo pipefail
cd "$(dirname "$0")/.."
. src/packages.sh
all=(loader recording quantity tire case answers http)
build="${PERREV_BUILD:-build-fuzz}" seconds=60 targets=()
for given in "$@"; do
  if [[ "$given" =~ ^[0-9]+$ ]]; then seconds="$given"
  elif [[ " ${all[*]} " == *" $given "* ]]; then targets+=("$given")
  else echo "usage: bash tests/fuzz.sh [SECONDS] [${all[*]}]" >&2; exit 2
  fi
done
[ ${#targets[@]} -gt 0 ] || targets=("${all[@]}")
need_packages "${PERREV_BUILD_PACKAGES[@]}" "${PERREV_FUZZ_PACKAGES[@]}"
need_node
CXX=clang++-19 cmake -S . -B "$build" -G Ninja -DPERREV_FUZZ=ON -DCMAKE_BUILD_TYPE=RelWithDebInfo \
  -DCMAKE_CXX_FLAGS_RELWITHDEBINFO="-O1 -gline-tables-only" >/dev/null
programs=("${targets[@]/%/_fuzz}")
cmake --build "$build" --target "${programs[@]/#/perrev_}" >&2
[ -d /dev/shm ] && export TMPDIR=/dev/shm  # a store for each input of http
for target in "${targets[@]}"; do
  mkdir -p "$build/corpus-$target" "$build/found"
  "$build/tests/fuzz/perrev_${target}_fuzz" -max_total_time="$seconds" -max_len=16384 -timeout=10 -rss_limit_mb=2048 \
    -dict="tests/fuzz/$target.dict" -artifact_prefix="$build/found/" -print_final_stats=1 \
    "$build/corpus-$target" "tests/fuzz/$target"
done

#!/usr/bin/env bash
# Load on the built server: open event streams and a steady rate of entries, each answered with the new ranking.
# Tells errors, what was lost on the way to the store or to a stream, and how long answers took. Then wrk, which
# keeps no rate, adds to the same cases as fast as it is answered.
#   bash tests/load.sh [SECONDS] [ENTRIES_A_SECOND] [STREAMS] [CASES]
set -euo pipefail
cd "$(dirname "$0")/.."
. src/packages.sh
need_node && need_packages wrk
build="${PERREV_BUILD:-build}"
folder=$(mktemp -d)
"$build/src/perrev" serve --store "$folder/shop.db" --port 0 >"$folder/out" 2>"$folder/log" &
server=$!
trap 'kill "$server" 2>/dev/null || true; wait "$server" 2>/dev/null || true; rm -rf "$folder"' EXIT
until grep -qs "ends it" "$folder/out"; do sleep 0.1; done
port=$(sed -nE 's/.*localhost:([0-9]+).*/\1/p' "$folder/out" | head -n 1)
status=0
node tests/load.mjs "$port" "${1:-30}" "${2:-500}" "${3:-200}" "${4:-20}" || status=1
CASES="${4:-20}" wrk -t1 -c20 -d10s --latency -s tests/load.lua "http://localhost:$port" || status=1
grep -E "VmHWM|Threads" "/proc/$server/status"
awk -v a_second="$(getconf CLK_TCK)" '{ print "server: " ($14 + $15) / a_second " s of processor time" }' "/proc/$server/stat"
kill -TERM "$server"
wait "$server" || { echo "the server ended with $?"; status=1; }
"$build/src/perrev" store check --store "$folder/shop.db" || status=1
exit "$status"

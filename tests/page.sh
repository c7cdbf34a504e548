#!/usr/bin/env bash
# Runs the tests of the page on a build with -DPERREV_WASM=ON: its modules and the engine in node, every
# answer of the server against openapi.json, then the whole job in a browser. Closes with "N passed, N failed".
# Screenshots for people to look at come into build/screenshots. PERREV_BUILD names the build folder.
set -uo pipefail
cd "$(dirname "$0")/.."
. src/packages.sh
need_node && need_packages "${PERREV_BROWSER_PACKAGES[@]}" || exit 1
export PERREV_BUILD="${PERREV_BUILD:-build}"
export PERREV_BINARY="$PWD/$PERREV_BUILD/src/perrev"
for folder in tests/page tests/page/browser; do
  npm ci --silent --prefix "$folder" || exit 1
done

shop=$(mktemp -d)
"$PERREV_BINARY" serve --store "$shop/shop.db" --port 0 >"$shop/out" 2>"$shop/log" &
server=$!
trap 'kill "$server" 2>/dev/null; wait "$server" 2>/dev/null; rm -rf "$shop"' EXIT
until grep -q "ends it" "$shop/out"; do
  kill -0 "$server" || exit 1
  sleep 0.1
done
PERREV_URL="http://localhost:$(sed -nE 's/.*localhost:([0-9]+).*/\1/p' "$shop/out" | head -n 1)"
export PERREV_URL

log="$shop/tests"
status=0
node --test --test-reporter=spec tests/page/*.test.mjs 2>&1 | tee "$log" || status=1
# One after the other: each has browsers of its own. Browsers are held to seconds, and a machine that is busy
# with something else for a moment is no fault of theirs: what fails is tried once more, and said.
in_browser() {
  node --test --test-reporter=spec --test-concurrency=1 tests/page/browser/*.test.mjs 2>&1 | tee "$shop/browser"
}
in_browser || { echo "== in the browser once more"; in_browser; } || status=1
cat "$shop/browser" >>"$log"
sum() { sed -nE "s/^ℹ $1 ([0-9]+)$/\1/p" "$log" | awk '{n += $1} END {print n + 0}'; }
echo "$(sum pass) passed, $(($(sum fail) + $(sum cancelled))) failed"
[ "$status" -eq 0 ] && [ "$(sum pass)" -gt 0 ] && [ "$(sum fail)" -eq 0 ] && [ "$(sum cancelled)" -eq 0 ]

#!/usr/bin/env bash
# The same source gives the same package, bit for bit: after tests/package.sh, builds it once more in another folder, at
# another time, for another user's umask, time zone and language, and compares. All is compiled anew unless options for CMake
# say otherwise, which takes as long as a first build. Closes with "N passed, N failed". PERREV_BUILD names the build folder.
#
# What differed once: the engine for the page, where one expression made several strings only on conditions. Its compiler puts
# the clearing up after those in either of two orders, from run to run; statements of their own have one.
set -euo pipefail
cd "$(dirname "$0")/.."
build="${PERREV_BUILD:-build}"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
other="$work/another/place/perrev"

pack() { # build folder, where the package goes
  cmake --build "$1" --target perrev_installable >&2
  (cd "$1" && cpack -G DEB -B "$2" >&2)
  sha256sum "$2"/perrev_*.deb | cut -d ' ' -f 1
}
first=$(pack "$build" "$work/first")

mkdir -p "$other"
git ls-files -z --cached --others --exclude-standard | tar -c --null -T - | tar -x -m -C "$other"
umask 077
export TZ=Pacific/Chatham LC_ALL=C.UTF-8 LANGUAGE=de
options=$(sed -nE 's/^(PERREV_(WASM|BATCHED|WERROR):BOOL=.*)/-D\1/p' "$build/CMakeCache.txt")
# shellcheck disable=SC2086
cmake -S "$other" -B "$other/build-elsewhere" -G Ninja -DPERREV_TESTS=OFF $options -DCMAKE_CXX_COMPILER_LAUNCHER= "$@" >&2
second=$(pack "$other/build-elsewhere" "$work/second")

echo "$first  $build"
echo "$second  another folder, time, umask, time zone and language"
if [ "$first" = "$second" ]; then
  echo "1 passed, 0 failed"
else
  for one in first second; do
    dpkg-deb -R "$work/$one"/perrev_*.deb "$work/$one/files"
  done
  diff -r --no-dereference "$work/first/files" "$work/second/files" || true
  for one in first second; do
    (cd "$work/$one" && ar x perrev_*.deb && sha256sum data.tar* control.tar* && tar -tvf data.tar.xz | sha256sum)
  done
  echo "0 passed, 1 failed"
  exit 1
fi

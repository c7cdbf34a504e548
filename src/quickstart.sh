#!/usr/bin/env bash
# Installs what is missing, builds perrev, and diagnoses a sample complaint. Options for CMake may follow.
set -euo pipefail
cd "$(dirname "$0")/.."
. src/packages.sh
need_packages "${PERREV_BUILD_PACKAGES[@]}"
need_node
case " $* " in *PERREV_WASM=ON*) need_packages "${PERREV_WASM_PACKAGES[@]}" ;; esac
cmake -S . -B build -G Ninja -DPERREV_TESTS=OFF "$@" >/dev/null
cmake --build build --target perrev_installable >&2
echo
echo "\$ build/src/perrev diagnose cases/shakes_after_new_tires.json"
build/src/perrev diagnose cases/shakes_after_new_tires.json

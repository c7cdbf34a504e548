# Sourced by the scripts: installs the Debian packages that are missing. Needs root only when some are.
need_packages() {
  local missing=() package
  for package in "$@"; do
    dpkg-query -W -f='${db:Status-Abbrev}' "$package" 2>/dev/null | grep -q '^ii' || missing+=("$package")
  done
  [ ${#missing[@]} -eq 0 ] && return 0
  echo "installing: ${missing[*]}" >&2
  export DEBIAN_FRONTEND=noninteractive
  apt-get -o DPkg::Lock::Timeout=600 -qq update >&2
  apt-get -o DPkg::Lock::Timeout=600 -qq install -y --no-install-recommends "${missing[@]}" >&2
}

# The page's libraries come by npm; any node from 18 on will do.
need_node() {
  command -v node >/dev/null && command -v npm >/dev/null || need_packages nodejs npm
}

PERREV_BUILD_PACKAGES=(g++ cmake ninja-build nlohmann-json3-dev libyaml-cpp-dev libcli11-dev libboost-graph-dev libeigen3-dev libkissfft-dev libsimdjson-dev
  libsqlite3-dev libssl-dev libqrcodegencpp-dev zlib1g-dev libgraphviz-dev
  libgit2-dev pkg-config)
PERREV_TEST_PACKAGES=(doctest-dev git python3-scipy)
PERREV_WASM_PACKAGES=(emscripten)
PERREV_BROWSER_PACKAGES=(chromium libnss3-tools)
PERREV_SPEED_PACKAGES=(libbenchmark-dev clips python3-yaml)
PERREV_CI_PACKAGES=(clang-19 clang-format-19 clang-tidy-19 libclang-rt-19-dev)
PERREV_FUZZ_PACKAGES=(clang-19 libclang-rt-19-dev)
PERREV_PACKAGE_PACKAGES=(binutils dpkg-dev lintian)
PERREV_BARE_PACKAGES=(debootstrap systemd-container)
PERREV_USER_PACKAGES=(curl man-db mandoc zsh systemd)

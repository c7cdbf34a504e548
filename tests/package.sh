#!/usr/bin/env bash
# Makes the Debian package, installs it into a bare Debian in a folder, and tries what a user would there; the source is
# out of its reach. Closes with "N passed, N failed". Needs root and Debian's archive, as apt here has it.
#     bash tests/package.sh [--plain] [OPTIONS FOR CMAKE...]
# With --plain the package is only unpacked, and tried without a root of its own and without systemd at work: for a
# container that may not mount. PERREV_BUILD names the build folder.
set -uo pipefail
cd "$(dirname "$0")/.." || exit
. src/packages.sh
plain=
if [ "${1:-}" = --plain ]; then
  plain=yes
  shift
fi
build="${PERREV_BUILD:-build}"
if [ "$plain" ]; then more=("${PERREV_USER_PACKAGES[@]}"); else more=("${PERREV_BARE_PACKAGES[@]}"); fi
need_packages "${PERREV_BUILD_PACKAGES[@]}" "${PERREV_PACKAGE_PACKAGES[@]}" "${more[@]}" && need_node || exit 1
work=$(mktemp -d)
root="$work/root"
trap 'umount "$root/proc" 2>/dev/null; rm -rf "$work"' EXIT

# Where the package's files stand, and what goes in there.
if [ "$plain" ]; then
  at="$work/files"
  mkdir "$work/home"
  enter=(/usr/bin/env -i PATH="$at/usr/bin:/usr/bin:/bin" HOME="$work/home")
else
  at=
  enter=(chroot "$root" /usr/bin/env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root)
fi
enter+=(LANG=C.UTF-8 TERM=xterm)

passed=0
failed=0
check() { # what it is, and the command that must succeed
  local what="$1"
  shift
  if "$@" >"$work/log" 2>&1; then
    passed=$((passed + 1))
    echo "passed: $what"
  else
    failed=$((failed + 1))
    echo "FAILED: $what"
    sed 's/^/    /' "$work/log"
  fi
}
inside() { "${enter[@]}" "$@"; }
shell() { inside bash -c "$1"; }
silent() { local said; said=$("$@" 2>&1) && [ -z "$said" ] || { echo "$said"; return 1; }; }
says() { # a pattern, and the command whose output must have it
  local pattern="$1"
  shift
  "$@" >"$work/said" 2>&1
  grep -qE "$pattern" "$work/said" || { cat "$work/said"; return 1; }
}

summary() {
  echo "$passed passed, $failed failed"
  [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
}

echo "== the package"
cmake -S . -B "$build" -G Ninja "$@" >/dev/null && cmake --build "$build" --target perrev_installable >&2 || exit 1
(cd "$build" && cpack -G DEB -B "$work/packed") >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
package=$(echo "$work"/packed/perrev_*.deb)
ls -l "$package" && sha256sum "$package"
# A copy of the licence is due to whoever gets the program; this package has no source package, so nothing closes a bug.
check "lintian has nothing to say" silent lintian --allow-root --fail-on error,warning \
  --suppress-tags extra-license-file,initial-upload-closes-no-bugs "$package"
dpkg-deb -x "$package" "$work/files"
paths() { strings -a "$work/files/usr/bin/perrev" | grep -F "$PWD"; [ $? -eq 1 ]; }
check "the program has no path of the machine that built it" paths
names() { dpkg-deb -c "$package" | awk '$2 != "root/root"' | grep . ; [ $? -eq 1 ]; }
check "all files are root's" names

if [ "$plain" ]; then
  check "apt could install it here" apt-get -qq --simulate install "$package"
else
  echo "== a bare Debian"
  site=$(apt-get indextargets --format '$(SITE) $(CODENAME)' | grep -m 1 ' bookworm$' | cut -d ' ' -f 1)
  debootstrap --variant=minbase bookworm "$root" "$site" >"$work/log" 2>&1 && mount -t proc proc "$root/proc" || {
    tail "$work/log"
    echo "no bare Debian can be made here; --plain does without" >&2
    exit 1
  }
  apt-config dump Acquire >"$root/etc/apt/apt.conf.d/99host"
  cp /etc/resolv.conf /etc/hosts "$root/etc/" 2>/dev/null
  cp "$package" "$root/perrev.deb"
  inside apt-get -qq update >/dev/null 2>&1
  check "apt installs it" inside apt-get -qq -y --no-install-recommends install /perrev.deb
fi

echo "== the program"
share="$at/usr/share/perrev"
check "it tells its version" says "^perrev $(sed -nE 's/^project\(perrev VERSION ([0-9.]+).*/\1/p' CMakeLists.txt)$" inside perrev --version
check "it diagnoses an installed case" says "1\. Wheel sat off centre" inside perrev diagnose "$share/cases/shakes_after_new_tires.json"
check "its rule base is sound" inside perrev rules check
check "it holds every installed reference case" inside perrev rules test
check "it draws a graph" says "<svg" inside perrev rules draw --cause static_imbalance --graph evidence --format svg
check "the user's own rule base stands before the installed one" says "the rule base has no causes" shell \
  "mkdir -p ~/.local/share/perrev/rules && perrev rules check; rm -r ~/.local/share/perrev"
check "moved to another folder, it finds its rule base" says "1\. Wheel sat off centre" shell \
  "mkdir -p ~/moved/bin ~/moved/share && cp $at/usr/bin/perrev ~/moved/bin && mv $share ~/moved/share &&
   ~/moved/bin/perrev diagnose ~/moved/share/perrev/cases/shakes_after_new_tires.json; mv ~/moved/share/perrev $at/usr/share"
check "without a rule base it says where one belongs" says "/usr/share/perrev/rules.*PERREV_RULES" shell \
  "mv $share ~/away; perrev rules check; mv ~/away $share"

echo "== the server"
[ "$plain" ] || inside apt-get -qq -y --no-install-recommends install "${PERREV_USER_PACKAGES[@]}" systemd-sysv dbus \
  >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
serve() { # the path to ask for
  shell "perrev serve --port 0 --store ~/shop.db >~/out 2>/dev/null & server=\$!
    for i in \$(seq 100); do address=\$(sed -n 's/^perrev serves //p' ~/out); [ -n \"\$address\" ] && break; sleep 0.1; done
    curl -sS --fail -m 20 \"\${address%/}$1\"; kill -TERM \$server; wait \$server && echo ended"
}
check "it answers a request" says '"version"' serve /api/about
check "SIGTERM ends it with 0" says "^ended$|}ended$" serve /api/about
check "it serves the page" says "<title>" serve /
if grep -q 'PERREV_WASM:BOOL=ON' "$build/CMakeCache.txt"; then
  check "the page has the engine" says "WebAssembly" serve /engine.mjs
fi

echo "== the manual"
page=$at/usr/share/man/man1/perrev.1.gz
check "man renders it" says "RULE BASE|rule base" inside man -P cat perrev
check "man has no warning" silent shell "man --warnings=w -P cat -l $page >/dev/null"
check "mandoc has no warning" silent inside mandoc -T lint -W warning "$page"

echo "== completion at a terminal"
completes() { # the shell, and what makes completion ready in it; both stand at a terminal, and keys are typed
  local keys="perrev diag\t --un\tmetr\t $share/cases/shakes_after_new\t\n" due="Wheel sat off centre"
  seen() { for i in $(seq 300); do grep -q "$1" "$work/seen" && return; sleep 0.1; done; }
  : >"$work/seen"
  { seen first: && echo "$2; PS1=rea''dy:" && seen ready: && printf '%b' "$keys" && seen "$due"; echo exit; } |
    script -qec "${enter[*]} PS1=first: $1" /dev/null >"$work/seen" 2>&1
  says "$due" cat "$work/seen"
}
check "bash completes a command, an option, a choice and a file" completes "bash --norc --noprofile -i" \
  "source $at/usr/share/bash-completion/completions/perrev"
check "zsh completes a command, an option, a choice and a file" completes "zsh -f -i" \
  "${at:+fpath+=($at/usr/share/zsh/vendor-completions);} autoload -U compinit; compinit -u -D"

echo "== the service"
unit=$at/usr/lib/systemd/system/perrev.service
if [ "$plain" ]; then  # systemd looks for programs where they are installed
  sed "s|^ExecStart=|&$at/usr/bin/|" "$unit" >"$work/perrev.service"
  unit="$work/perrev.service"
fi
check "systemd finds nothing wrong with it" silent inside systemd-analyze verify --man=no "$unit"
# From 0, shut in, to 100; systemd calls up to 19 "safe" and up to 44 "OK".
check "its exposure is at most 1.5 of 10" inside systemd-analyze security --offline=yes --threshold=15 "$unit"

if [ "$plain" ]; then
  summary
  exit
fi

# What the sandbox lets through shows only where it is built up: the folder is booted, without a network but its own.
cat >"$root/trial.sh" <<'TRIAL'
about() { curl -sS --fail -k --retry 20 --retry-delay 1 --retry-all-errors -m 40 "$1"; echo; }
systemctl enable --now perrev
echo "answer: $(about http://localhost:8640/api/about)"
echo "owner: $(stat -L -c '%u %a' /var/lib/perrev/shop.db)"
kill -9 "$(systemctl show -P MainPID perrev)"
echo "again: $(about http://localhost:8640/api/about)"
echo 'PERREV_SERVE=--lan --keep-key' >/etc/default/perrev
systemctl restart perrev
echo "stopped: $(journalctl -u perrev -o cat | grep -c 'Deactivated successfully')"
echo "trust: $(about https://localhost:8640/trust | tr -d '\n')"
echo "key: $(journalctl -u perrev -o cat | grep -c '^Key: ')"
systemctl stop perrev
echo "result: $(systemctl show -P Result perrev) $(systemctl show -P ExecMainStatus perrev)"
systemctl poweroff
TRIAL
cat >"$root/etc/systemd/system/trial.service" <<'TRIAL'
[Unit]
After=multi-user.target
[Service]
Type=simple
ExecStart=/bin/bash /trial.sh
StandardOutput=file:/trial.log
StandardError=inherit
TRIAL
inside systemctl -q add-wants default.target trial.service
umount "$root/proc"
timeout 180 systemd-nspawn -q -D "$root" --register=no --keep-unit --private-network --boot >"$work/boot" 2>&1
mount -t proc proc "$root/proc"
trial() { says "$1" cat "$root/trial.log"; }
check "booted, the service answers" trial '^answer: .*"version"'
check "its store is a user's of its own" trial '^owner: 6[1-5][0-9]{3} 600$'  # systemd's own range
check "killed, it starts again" trial '^again: .*"version"'
check "asked to stop, it ends well" trial '^stopped: [1-9]'
check "for the local network it makes its certificate and key" trial '^trust: .*<title>'
check "and says the key in the journal" trial '^key: [1-9]'
check "at the end its result is success" trial '^result: success 0$'

echo "== removal"
check "apt purges it" inside apt-get -qq -y purge perrev
left() { shell "! find /usr /etc/[!d]* /var/lib/[!p]* -name '*perrev*' | grep ."; }
check "nothing of it stays" left

summary

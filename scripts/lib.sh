# shellcheck shell=bash
# What ./run, ./check and .ci/run share: saying what happens, installing what is missing, building.
# Source it with `root` set to the repository's folder. Everything said goes to standard error.
: "${root:?}"
set -euo pipefail

export HOME="${HOME:-/}"
jobs="${CMAKE_BUILD_PARALLEL_LEVEL:-$(nproc)}"

# step WORDS...: one line saying what is being done, with the seconds since the outermost script began.
export THROUGHCURE_BEGAN="${THROUGHCURE_BEGAN:-$EPOCHSECONDS}"
step() { printf '[%4d s] %s\n' "$((EPOCHSECONDS - THROUGHCURE_BEGAN))" "$*" >&2; }

# die STATUS WORDS...: says why, and ends the script.
die() {
  printf '%s\n' "${*:2}" >&2
  exit "$1"
}

# as_root COMMAND...: runs it as root, by sudo for anybody else.
as_root() {
  if [ "$(id -u)" = 0 ]; then
    "$@"
  elif command -v sudo >/dev/null; then
    sudo "$@"
  else
    die 3 "Not root, and there is no sudo here. As root, run: $*"
  fi
}

# apt COMMAND...: apt-get as root, asking nothing. Waits up to 10 minutes for another installer to finish: apt-get
# itself waits for the package database only, so the other locks are waited for here.
apt() {
  local log end=$((SECONDS + 600)) status
  log="$(mktemp)"
  while true; do
    status=0
    as_root env DEBIAN_FRONTEND=noninteractive LC_ALL=C apt-get -q -o DPkg::Lock::Timeout=600 "$@" \
      >"$log" 2>&1 </dev/null || status=$?
    if [ "$status" = 0 ] || ! grep -q 'Could not get lock' "$log" || ((SECONDS > end)); then break; fi
    step "waiting: another installer is at work"
    sleep 5
  done
  [ "$status" = 0 ] || tail -n 30 "$log" >&2
  rm -f "$log"
  return "$status"
}

# missing_packages LIST...: the packages named in scripts/packages/LIST.txt that are not installed, one a line.
missing_packages() {
  local list
  for list in "$@"; do sed -e 's/#.*//' -e 's/[[:space:]]//g' -e '/^$/d' "$root/scripts/packages/$list.txt"; done |
    sort -u |
    comm -23 - <(dpkg-query -W -f='${Package} ${db:Status-Status}\n' | sed -n 's/ installed$//p' | sort -u)
}

# need_packages LIST...: installs what those lists name and the machine lacks. Touches nothing when nothing is missing,
# so that it works without a network then.
need_packages() {
  command -v dpkg-query >/dev/null ||
    die 3 "This is not Debian: install the packages of scripts/packages/ by hand, then use cmake --preset release."
  local missing
  mapfile -t missing < <(missing_packages "$@")
  ((${#missing[@]})) || return 0
  step "installing ${#missing[@]} packages: ${missing[*]}"
  apt update || step "the package lists could not be renewed; trying with those there are"
  apt install --yes --no-install-recommends --no-remove "${missing[@]}" ||
    die 3 "These packages could not be installed; the reason stands above. By hand, as root: apt-get install ${missing[*]}"
}

# need_node: sees to it that scripts/node.sh can give a good Node. One that is new enough on the PATH is left alone.
need_node() {
  if ! "$root/scripts/node.sh" --is-ready; then
    if ! command -v node >/dev/null || ! command -v npm >/dev/null; then need_packages node; fi
    step "fetching Node for the web build"
  fi
  "$root/scripts/node.sh" node --version >/dev/null
}

# build PRESET [CMAKE OPTION...]: configures and builds. Quiet unless somebody watches.
build() {
  local preset="$1" log quiet=(--quiet)
  shift
  cd "$root"
  step "configuring the $preset preset"
  mkdir -p build
  log="build/configure-$preset.log"
  cmake --preset "$preset" "$@" >"$log" 2>&1 || { cat "$log" >&2; die 3 "Configuring failed; the reason stands above."; }
  step "building the $preset preset, $jobs at a time"
  [ ! -t 2 ] || quiet=()
  cmake --build --preset "$preset" -j "$jobs" -- "${quiet[@]}" >&2 ||
    die 3 "The build failed; the reason stands above."
}

# pass_on BROWSER: passes standard input on, line by line; if BROWSER is yes and there is one to open, opens the first
# address on this machine that it reads.
pass_on() {
  local line browser="$1"
  if [ -z "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ] || ! command -v xdg-open >/dev/null; then browser=no; fi
  while IFS= read -r line; do
    printf '%s\n' "$line"
    if [ "$browser" = yes ] && [[ "$line" =~ http://127\.0\.0\.1[^[:space:]]* ]]; then
      browser=no
      xdg-open "${BASH_REMATCH[0]}" >/dev/null 2>&1 </dev/null &
    fi
  done
}

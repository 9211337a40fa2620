#!/usr/bin/env bash
# The scripts refuse what they should: options they do not know, and imports that point the wrong way.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)"

for script in run check; do
  expect_status 0 "$root/$script" --help
  expect_text "$scratch/out" "./$script"
  expect_status 2 "$root/$script" --no-such-option
  expect_text "$scratch/err" "--no-such-option"
done
expect_status 2 "$root/run" --port
expect_status 2 "$root/check" --fuzz soon

# The first address that the server says is opened, once, and only where there is a display and a browser.
mkdir "$scratch/browser"
printf '#!/bin/sh\necho "$1" >>"%s/opened"\n' "$scratch" >"$scratch/browser/xdg-open"
chmod +x "$scratch/browser/xdg-open"
# say DISPLAY BROWSER: what a server says, through pass_on.
say() {
  rm -f "$scratch/opened"
  printf 'Sign in: http://127.0.0.1:9/in?key=a-b_c\nThen at: http://127.0.0.1:9/\n' >"$scratch/said"
  DISPLAY="$1" WAYLAND_DISPLAY='' PATH="$scratch/browser:$PATH" root="$root" \
    bash -c 'source "$root/scripts/lib.sh"; pass_on "$1"; wait' say "$2" <"$scratch/said" >"$scratch/passed"
  cmp "$scratch/said" "$scratch/passed" || fail "pass_on changed what was said"
}
say :9 yes
[ "$(cat "$scratch/opened")" = "http://127.0.0.1:9/in?key=a-b_c" ] || fail "opened: $(cat "$scratch/opened")"
say '' yes
[ ! -e "$scratch/opened" ] || fail "opened a browser without a display"
say :9 no
[ ! -e "$scratch/opened" ] || fail "opened a browser that was not wanted"

# tree ROOM/FILE TEXT: a tree of one file for the layer check.
tree() {
  rm -rf "$scratch/tree"
  mkdir -p "$(dirname "$scratch/tree/src/throughcure/$1")"
  printf '%s\n' "$2" >"$scratch/tree/src/throughcure/$1"
}
layers="$root/scripts/check_layers.sh"
tree cure/kinetics.cpp '#include "throughcure/transport/field.hpp"'
expect_status 0 "$layers" "$scratch/tree"
tree transport/field.cpp '  #  include "throughcure/cure/kinetics.hpp"'
expect_status 1 "$layers" "$scratch/tree"
expect_text "$scratch/err" "src/throughcure/transport/field.cpp:1: room transport must not include room cure"
tree plan/verdict.cpp '#include "throughcure/store/store.hpp"'
expect_status 1 "$layers" "$scratch/tree"
tree attic/old.cpp ''
expect_status 1 "$layers" "$scratch/tree"
expect_text "$scratch/err" "no such room"
tree exchange/reader.hpp '#include <nlohmann/json.hpp>'
expect_status 1 "$layers" "$scratch/tree"
tree exchange/reader.cpp '#include <nlohmann/json.hpp>'
expect_status 0 "$layers" "$scratch/tree"
tree service/json_value.hpp '#include <nlohmann/json.hpp>'
expect_status 0 "$layers" "$scratch/tree"
tree service/routes.cpp '#include "throughcure/service/json_value.hpp"'
expect_status 0 "$layers" "$scratch/tree"
tree service/routes.hpp '#include "throughcure/service/json_value.hpp"'
expect_status 1 "$layers" "$scratch/tree"

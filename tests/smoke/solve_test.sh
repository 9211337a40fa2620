#!/usr/bin/env bash
# solve: one JSON document with the contract's keys, its files, all that is wrong with a case at once with nothing
# written, and nothing half written when it is interrupted.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
program="$1"
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)"
mkdir "$scratch/folder"
cd "$scratch/folder"

expect_status 0 "$program" solve --help
expect_text "$scratch/out" "throughcure solve "

# Its own copy, so that other cases find the same light and materials.
cp -r "$root/demo" "$scratch/demo"
case="$scratch/demo/class2-poor.toml"

# The whole of standard output is one document; nothing is written.
expect_status 0 "$program" solve "$case" --precision 0.5 --json
[ "$(head -c 1 "$scratch/out")" = "{" ] || fail "solve --json writes something before its document"
[ "$(grep -c '^}' "$scratch/out")" = 1 ] || fail "solve --json writes more than one document"
for key in verdict probability probability_se worst cells why target sentence causes mends total_kept; do
  expect_text "$scratch/out" "\"$key\": "
done
expect_text "$scratch/out" '"verdict": "under-cured"'
expect_text "$scratch/out" '"worst": "gingival floor'
[ -z "$(ls -A)" ] || fail "wrote without --out: $(ls -A)"

# The files, of a small case: one increment in an occlusal cavity (every number invented).
cat >"$scratch/demo/small.toml" <<'TOML'
[case]
name = "one increment"
kind = "invented"
source = ""
[tooth]
number = 36
[cavity.occlusal]
floor_below_cusps_mm = 4
width_mm = 2.5
length_mm = 3
[adhesive]
material = "materials/adhesive.toml"
thickness_mm = 0.05
[paste]
material = "materials/universal-paste-a3.toml"
[[increment]]
layering = "horizontal"
thickness_mm = 2.5
[light]
file = "lights/demo-light.toml"
barrier = "none"
[[exposure]]
state = "increment 1 placed"
aim = "occlusal"
standoff_mm = 6
seconds = 5
TOML
expect_status 0 "$program" solve "$scratch/demo/small.toml" --precision 0.5 --json --out small
[ "$(ls -A)" = small ] || fail "left behind: $(ls -A)"
files="fields.vti resolved.toml section-buccolingual.png section-mesiodistal.png verdict.json"
[ "$(find small -mindepth 1 -printf '%P\n' | LC_ALL=C sort | tr '\n' ' ')" = "$files " ] || fail "the folder holds: $(ls -A small)"
cmp "$scratch/out" small/verdict.json || fail "the file is not the document on standard output"
for picture in small/section-*.png; do
  [ "$(head -c 8 "$picture" | od -An -tx1 | tr -d ' \n')" = 89504e470d0a1a0a ] || fail "$picture is no PNG"
done
expect_text <(head -c 400 small/fields.vti) 'type="ImageData"'
expect_text small/resolved.toml "[tooth]"

# A bad case and a bad option: everything that is wrong at once, and nothing written.
sed -e 's/^number = 36/number = 39/' -e 's/^width_mm = 4/width_mm = -4/' -e 's/^barrier = /barier = /' \
  -e 's/^thickness_mm = 0.05/thickness_mm = nan/' "$case" >"$scratch/demo/bad.toml"
expect_status 2 "$program" solve "$scratch/demo/bad.toml" --precision 3 --out bad --json
for word in number width_mm barier thickness_mm --precision; do expect_text "$scratch/err" "$word"; done
[ ! -s "$scratch/out" ] || fail "a bad case writes to standard output: $(cat "$scratch/out")"
expect_status 2 "$program" solve no-such.toml --out bad
expect_status 2 "$program" solve
[ "$(ls -A)" = small ] || fail "a refused case left behind: $(ls -A)"

# Interrupted: at once, and nothing half written.
began="$EPOCHSECONDS"
expect_status 130 timeout --preserve-status -s INT -k 20 1 "$program" solve "$case" --precision 0.002 --out half --json
((EPOCHSECONDS - began < 10)) || fail "took $((EPOCHSECONDS - began)) s to stop"
[ ! -s "$scratch/out" ] || fail "half a document on standard output: $(head -c 200 "$scratch/out")"
[ "$(ls -A)" = small ] || fail "an interrupted solve left behind: $(ls -A)"

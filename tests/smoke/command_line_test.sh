#!/usr/bin/env bash
# The program's manners: it explains itself, and refuses what it does not know with status 2.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
program="$1"

expect_status 0 "$program" --help
expect_text "$scratch/out" "throughcure"
expect_status 0 "$program" --version
expect_status 2 "$program" no-such-command
[ -s "$scratch/err" ] || fail "an unknown command is refused without a word on standard error"
[ ! -s "$scratch/out" ] || fail "an unknown command writes to standard output: $(cat "$scratch/out")"
expect_status 2 "$program"
expect_status 2 "$program" --no-such-option

# From another folder, and through a link, it is the same program.
ln -s "$program" "$scratch/a link"
(cd / && "$scratch/a link" --version) >/dev/null || fail "does not run through a link from another folder"

# slab: one JSON document, all that is wrong at once, and nothing left behind when it is stopped.
expect_status 0 "$program" slab --layer 1,9,0.75,1,0.2 --photons 2000 --json
for key in Rsp Rd Tt A A_by_layer; do expect_text "$scratch/out" "\"$key\": "; done
[ "$(head -c 1 "$scratch/out")" = "{" ] || fail "slab --json writes something before its document"
expect_status 2 "$program" slab --layer -1,9,0.75,1,0.2 --layer 1,2,3
expect_status 2 "$program" slab
got=0
timeout --preserve-status -s INT 1 "$program" slab --layer 0.01,10,0.9,1.4,inf --photons 100000000000 \
  >"$scratch/out" 2>"$scratch/err" </dev/null || got=$?
[ "$got" = 130 ] || fail "an interrupted slab ends with status $got instead of 130"
[ ! -s "$scratch/out" ] || fail "an interrupted slab writes half an answer"

# scrape: the demo's paste under the demo's light; a material that is not there is refused.
demo="$(dirname "${BASH_SOURCE[0]}")/../../demo"
expect_status 0 "$program" scrape "$demo/materials/universal-paste-a3.toml" "$demo/lights/demo-light.toml" \
  --seconds 20 --photons 1000 --json
for key in depth_mm p10 p50 p90; do expect_text "$scratch/out" "\"$key\": "; done
expect_status 2 "$program" scrape "$demo/materials/none.toml" "$demo/lights/demo-light.toml" --seconds 20
expect_status 2 "$program" scrape "$demo/materials/universal-paste-a3.toml" "$demo/lights/demo-light.toml" --seconds -1

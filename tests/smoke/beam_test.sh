#!/usr/bin/env bash
# beam: one JSON document with the fields that others rely on, a map that is a PNG, and all that is wrong with a light
# at once, with nothing written.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
program="$1"
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)"
light="$root/demo/lights/demo-light.toml"
mkdir "$scratch/folder"
cd "$scratch/folder"

expect_status 0 "$program" beam --help
expect_text "$scratch/out" "throughcure beam "

# In words: the sentence first.
expect_status 0 "$program" beam "$light"
expect_text <(head -n 1 "$scratch/out") "This light gives 1000 (895 to 1106) mW/cm2 over its 8 mm tip."
[ -z "$(ls -A)" ] || fail "wrote without --out: $(ls -A)"

# The whole of standard output is one document.
expect_status 0 "$program" beam "$light" --json --below 900 --out map.png
[ "$(head -c 1 "$scratch/out")" = "{" ] || fail "beam --json writes something before its document"
[ "$(grep -c '^}' "$scratch/out")" = 1 ] || fail "beam --json writes more than one document"
for key in light tip_diameter_mm radiant_power_mw radiant_exitance_mw_cm2 below_385_nm from_385_to_515_nm above_515_nm \
  centroid_x_mm larger_d4sigma_mm smaller_d4sigma_mm clip_level flatness uniformity edge_steepness area_mm2 \
  share_of_area share_of_power hottest coldest aperture_mm sensor_aperture_mm readings; do
  expect_text "$scratch/out" "\"$key\": "
done
expect_text "$scratch/out" '"irradiance_mw_cm2": 900.0'
[ ! -s "$scratch/err" ] || fail "said on standard error: $(cat "$scratch/err")"
[ "$(ls -A)" = map.png ] || fail "left behind: $(ls -A)"
[ "$(head -c 8 map.png | od -An -tx1 | tr -d ' \n')" = 89504e470d0a1a0a ] || fail "the map is no PNG"
[ "$(stat -c %s map.png)" -gt 20000 ] || fail "the map is empty: $(stat -c %s map.png) bytes"

# The same again gives the same bytes.
cp "$scratch/out" "$scratch/first"
expect_status 0 "$program" beam "$light" --json --below 900 --out again.png
cmp "$scratch/first" "$scratch/out" || fail "the document changes from run to run"
cmp map.png again.png || fail "the map changes from run to run"
rm map.png again.png

# A bad light and bad options: everything that is wrong at once.
sed -e 's/^tip_diameter_mm = 8/tip_diameter_mm = -8/' -e 's/^head_size_mm/heads_size_mm/' "$light" >bad.toml
expect_status 2 "$program" beam bad.toml --below -1 --out map.jpeg --json
for word in tip_diameter_mm heads_size_mm spectrum.csv --below --out; do expect_text "$scratch/err" "$word"; done
[ ! -s "$scratch/out" ] || fail "a bad light writes to standard output: $(cat "$scratch/out")"
expect_status 2 "$program" beam bad.toml --out map.png
expect_status 2 "$program" beam missing.toml --out map.png
expect_status 2 "$program" beam
[ "$(ls -A)" = bad.toml ] || fail "a refused light left behind: $(ls -A)"

# A map that cannot be written is a failure, and no answer is given.
expect_status 3 "$program" beam "$light" --out no-such-folder/map.png
[ ! -s "$scratch/out" ] || fail "an answer although the map could not be written"

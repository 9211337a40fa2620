#!/usr/bin/env bash
# chart: the handbook's cumulative sums as one JSON document; sigma and target estimated; all that is wrong at once.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
program="$1"
cd "$scratch"

expect_status 0 "$program" chart --help
expect_text out "throughcure chart "

# NIST/SEMATECH e-Handbook 6.3.2.3: the first signal is at group 14; the step lies before group 13.
printf '%s\n' value 324.925 324.675 324.725 324.350 325.350 325.225 324.125 324.525 325.225 324.600 324.625 325.150 \
  328.325 327.250 327.825 328.500 326.675 327.775 326.875 328.350 >groups.csv
expect_status 0 "$program" chart groups.csv --method cusum --target 325 --sigma 1 --k 0.3175 --h 4.1959 --json
[ ! -s err ] || fail "said on standard error: $(cat err)"
for text in '"method": "cusum"' '"c_plus": ' '"c_minus": ' '"rule": "cusum_high"' '"in_control_arl": ' '"warnings": []'; do
  expect_text out "$text"
done
[ "$(grep -c '"rule"' out)" = 7 ] || fail "7 signals are published, not $(grep -c '"rule"' out)"
[ "$(grep -A 1 '"i": 14,' out | grep -c 'cusum_high')" = 1 ] || fail "no signal at group 14: $(cat out)"
[ "$(grep -c '"change_at": 13' out)" = 7 ] || fail "the change does not begin at group 13"
[ "$(grep -c '^}' out)" = 1 ] || fail "chart --json writes more than one document"
expect_status 0 "$program" chart groups.csv --method cusum --target 325 --sigma 1 --k 0.3175 --h 4.1959
expect_text <(head -n 1 out) "Alarm at reading 14: the sum upwards above its limit. The change began at reading 13"

# e-Handbook 6.3.2.2 in control, with target and sigma estimated; times stay beside their values.
printf 'time;value\n1;49,6\n2;47,6\n3;49,9\n4;51,3\n5;47,8\n6;51,2\n7;52,6\n8;52,4\n9;53,6\n10;52,1\n' >flow.csv
expect_status 0 "$program" chart flow.csv --json
for text in '"method": "individuals"' '"ucl": 55.804' '"lcl": 45.815' '"signals": []' '"time": "10"'; do expect_text out "$text"; done
expect_status 0 "$program" chart flow.csv --method ewma --lambda 0.3 --baseline 5 --json
for text in '"z": ' '"lcl": ' '"ucl": ' '"lambda": 0.3'; do expect_text out "$text"; done
expect_status 0 "$program" chart flow.csv
expect_text <(head -n 1 out) "In control: none of the 10 readings"

# What cannot be used is refused with status 2, and nothing is said on standard output.
refused() {
  expect_status 2 "$program" chart "$@"
  [ ! -s out ] || fail "a refused chart writes to standard output: $(cat out)"
  [ -s err ] || fail "refused without a word: $*"
}
refused groups.csv --sigma 0 --lambda 2 --h -1 --L nan
for word in --sigma --lambda --h --L; do expect_text err "$word"; done
refused groups.csv --method shewhart
refused missing.csv
refused groups.csv --baseline 21
printf 'value\n5\n' >one.csv
refused one.csv
expect_status 0 "$program" chart one.csv --sigma 1 --json
printf 'value\n5\n5\n5\n' >equal.csv
refused equal.csv
expect_text err "all equal"
printf 'reading\n5\n' >unnamed.csv
refused unnamed.csv
refused

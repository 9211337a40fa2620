#!/usr/bin/env bash
# verify: a sentence first, or one JSON document; a group by itself; the exit status says only that it ran.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
program="$1"

expect_status 0 "$program" verify --group beam
head -n 1 "$scratch/out" | grep -q "lie inside our interval" || fail "no sentence first: $(head -n 1 "$scratch/out")"
expect_text "$scratch/out" "beam-width/"
if grep -q "slab-a/" "$scratch/out"; then fail "--group beam shows transport"; fi

expect_status 0 "$program" verify --group beam --json --threads 1
[ "$(head -c 1 "$scratch/out")" = "{" ] || fail "verify --json writes something before its document"
for key in id group source kind published ours low high inside counted conditioned_on; do
  expect_text "$scratch/out" "\"$key\": "
done
cp "$scratch/out" "$scratch/one"
expect_status 0 "$program" verify --group beam --json --threads 2
cmp "$scratch/one" "$scratch/out" || fail "the answer depends on the number of threads"
expect_status 2 "$program" verify --group nothing

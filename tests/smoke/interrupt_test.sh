#!/usr/bin/env bash
# A long command that is interrupted ends at once with status 130, and leaves no half document and no file.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
program="$1"

mkdir "$scratch/folder"
cd "$scratch/folder"
for signal in INT TERM; do
  began="$EPOCHSECONDS"
  expect_status 130 timeout --preserve-status -s "$signal" -k 20 1 \
    "$program" slab --layer 0.1,10,0.8,1.5,10 --photons 1000000000000
  ((EPOCHSECONDS - began < 10)) || fail "took $((EPOCHSECONDS - began)) s to stop at $signal"
  [ ! -s "$scratch/out" ] || fail "half a document on standard output: $(head -c 200 "$scratch/out")"
  [ -z "$(ls -A)" ] || fail "left behind: $(ls -A)"
done

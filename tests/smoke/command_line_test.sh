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

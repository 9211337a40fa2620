#!/usr/bin/env bash
# Runs what the README says can be run: every block fenced as "sh run", line by line as one script, in a folder of its
# own, with the built program as `throughcure` and the demo's files beside it.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)"

mkdir "$scratch/bin" "$scratch/folder"
ln -s "$1" "$scratch/bin/throughcure"
awk '/^```/ { inside = ($0 == "```sh run"); next } inside' "$root/README.md" >"$scratch/blocks.sh"
[ -s "$scratch/blocks.sh" ] || fail "README.md has no block fenced as \"sh run\""

ln -s "$root/demo" "$scratch/folder/demo"
cd "$scratch/folder"
expect_status 0 env PATH="$scratch/bin:$PATH" bash -euo pipefail "$scratch/blocks.sh"

#!/usr/bin/env bash
# Runs what README.md and docs/ say can be run, line by line, in a folder of its own, with the built program as
# `throughcure` and the demo's files beside it. A fenced block says how it is run:
#   sh run            as one script
#   sh slow           the same, but only in the test slow/readme: readme_test.sh PROGRAM slow
#   sh until stopped  commands, each of which goes on until it is stopped by Ctrl-C
#   sh checkout       the scripts of the checkout, which other tests run
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)"
kind="${2:-run}"
pages=("$root/README.md" "$root"/docs/*.md)

# blocks KIND: what stands in the blocks of that kind.
blocks() { awk -v fence="\`\`\`sh $1" '/^```/ { inside = ($0 == fence); next } inside' "${pages[@]}"; }

other="$(grep -hE '^```(sh|bash|console)' "${pages[@]}" | grep -vxE '```sh (run|slow|until stopped|checkout)' || true)"
[ -z "$other" ] || fail "a block that nobody runs: $other"
# A command with its options belongs into a block.
if grep -nE '`throughcure [^`]* --' "${pages[@]}"; then fail "a command line outside the blocks, above"; fi

mkdir "$scratch/bin" "$scratch/folder"
ln -s "$1" "$scratch/bin/throughcure"
ln -s "$root/demo" "$scratch/folder/demo"
cd "$scratch/folder"
export PATH="$scratch/bin:$PATH" HOME="$scratch"

blocks "$kind" >"$scratch/blocks.sh"
[ -s "$scratch/blocks.sh" ] || fail "there is no block fenced as \"sh $kind\""
expect_status 0 bash -euo pipefail "$scratch/blocks.sh"
[ "$kind" = run ] || exit 0

blocks "until stopped" >"$scratch/commands"
[ -s "$scratch/commands" ] || fail "there is no block fenced as \"sh until stopped\""
address='https?://[a-z0-9.-]+:[0-9]+/'
while IFS= read -r command; do
  # On any port that is free: a test has none of its own.
  sed -E 's/--port [0-9]+/--port 0/; s/^/exec /' <<<"$command" >"$scratch/blocks.sh"
  # What the last one said must not be taken for this one's.
  : >"$scratch/out"
  : >"$scratch/err"
  bash "$scratch/blocks.sh" >"$scratch/out" 2>"$scratch/err" </dev/null &
  server=$!
  for ((tenths = 0; tenths < 300; tenths++)); do
    if grep -qsE "$address" "$scratch/out" "$scratch/err" || ! kill -0 "$server" 2>/dev/null; then break; fi
    sleep 0.1
  done
  # A shell starts what is in the background deaf to Ctrl-C.
  kill -TERM "$server" || fail "$command: stopped by itself: $(tail -n 5 "$scratch/err")"
  status=0
  wait "$server" || status=$?
  [ "$status" = 0 ] || [ "$status" = 130 ] ||
    fail "$command: exit status $status when stopped: $(tail -n 5 "$scratch/err")"
  cat "$scratch/out" "$scratch/err" | grep -qE "$address" || fail "$command: said no address: $(tail -n 5 "$scratch/err")"
done <"$scratch/commands"

# shellcheck shell=bash
# For the smoke tests: a scratch folder of their own, and checks that say what they saw.
set -euo pipefail
scratch="$(mktemp -d)"
trap 'rm -rf "$scratch"' EXIT

fail() {
  printf 'FAILED: %s\n' "$*" >&2
  exit 1
}

# expect_status STATUS COMMAND...: runs it (output in $scratch/out and $scratch/err) and compares its exit status.
expect_status() {
  local want="$1" got=0
  shift
  "$@" >"$scratch/out" 2>"$scratch/err" </dev/null || got=$?
  [ "$got" = "$want" ] || fail "exit status $got instead of $want from: $* -- $(tail -n 5 "$scratch/err")"
}

# expect_text FILE TEXT: the text stands in the file.
expect_text() {
  grep -qF -- "$2" "$1" || fail "no \"$2\" in: $(cat "$1")"
}

#!/usr/bin/env bash
# Brings the page's copy of the API's description up to the program; `npm run check` makes its TypeScript types from it:
#   scripts/describe_api.sh [PROGRAM]          writes web/src/api/openapi.json
#   scripts/describe_api.sh --check [PROGRAM]  writes nothing; exit 1 where it is stale
# PROGRAM is the built throughcure; left out, that of the development build.
set -euo pipefail
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)"
check=no
if [ "${1:-}" = --check ]; then
  check=yes
  shift
fi
program="${1:-$root/build/dev/apps/throughcure/throughcure}"
kept="$root/web/src/api/openapi.json"

fresh="$(mktemp)"
trap 'rm -f "$fresh"' EXIT
"$program" api >"$fresh"
if [ "$check" = no ]; then
  cat "$fresh" >"$kept"
elif ! diff -u "$kept" "$fresh" | head -n 40; then
  echo "web/src/api is not what the program says of its API. Build it, then run: scripts/describe_api.sh" >&2
  exit 1
fi

#!/usr/bin/env bash
# Brings the page's copy of the API's description, and the TypeScript types made from it, up to the program:
#   scripts/describe_api.sh [PROGRAM]          writes web/src/api/openapi.json and web/src/api/schema.d.ts
#   scripts/describe_api.sh --check [PROGRAM]  writes nothing; exit 1 where one of them is stale
# PROGRAM is the built throughcure; left out, that of the development build.
set -euo pipefail
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)"
check=no
if [ "${1:-}" = --check ]; then
  check=yes
  shift
fi
program="${1:-$root/build/dev/apps/throughcure/throughcure}"
kept="$root/web/src/api"

fresh="$(mktemp -d)"
trap 'rm -rf "$fresh"' EXIT
"$program" api >"$fresh/openapi.json"
(cd "$root/web" &&
  ../scripts/node.sh npx openapi-typescript "$fresh/openapi.json" --immutable --output "$fresh/schema.d.ts" \
    >"$fresh/said" 2>&1) || {
  cat "$fresh/said" >&2
  exit 3
}

status=0
for file in openapi.json schema.d.ts; do
  if [ "$check" = no ]; then
    mkdir -p "$kept"
    cp "$fresh/$file" "$kept/$file"
  elif ! diff -u "$kept/$file" "$fresh/$file" | head -n 40; then
    status=1
  fi
done
[ "$status" = 0 ] || {
  echo "web/src/api is not what the program says of its API. Build it, then run: scripts/describe_api.sh" >&2
}
exit "$status"

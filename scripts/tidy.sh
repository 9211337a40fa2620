#!/usr/bin/env bash
# Runs clang-tidy with the repository's .clang-tidy over the dev build's sources; any finding is a failure.
# scripts/tidy.sh                 all of them
# scripts/tidy.sh --changed [REF] those that differ from REF, and one source that includes each header that does
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)"
source "$root/scripts/lib.sh"
cd "$root"

# Every source that the dev build compiles, as a path from the root.
compiled() {
  sed -n 's/^ *"file": "\(.*\)",\{0,1\}$/\1/p' build/dev/compile_commands.json |
    grep -E '\.cpp$' | sed "s|^$root/||" | grep -v '^build/' | sort -u
}

# Where to compare from: the point at which this branch left origin/main; standing on it, the last commit that is a day
# older than the newest, so that all of a long submission is seen.
base_commit() {
  local base
  if base="$(git merge-base HEAD origin/main 2>/dev/null)" && [ "$base" != "$(git rev-parse HEAD)" ]; then
    echo "$base"
    return
  fi
  base="$(git rev-list -1 --before=$(($(git log -1 --format=%ct) - 86400)) HEAD)"
  echo "${base:-$(git hash-object -t tree /dev/null)}"
}

if [ "${1:-}" = --changed ]; then
  git() { command git -c safe.directory="$root" "$@"; }
  base="${2:-"$(base_commit)"}"
  mapfile -t changed < <(git diff --name-only --diff-filter=d "$base" -- '*.cpp' '*.hpp' .clang-tidy)
  if printf '%s\n' "${changed[@]}" | grep -qx .clang-tidy; then
    mapfile -t files < <(compiled)
  else
    mapfile -t files < <(
      for file in "${changed[@]}"; do
        case "$file" in
          *.cpp) echo "$file" ;;
          # The source of the same name, else the first that includes the header.
          *.hpp) if [ -e "${file%.hpp}.cpp" ]; then echo "${file%.hpp}.cpp"; else
            compiled | xargs -r -d '\n' grep -lF "${file#src/}" | head -n 1 || true
          fi ;;
        esac
      done | sort -u | comm -12 - <(compiled)
    )
  fi
else
  mapfile -t files < <(compiled)
fi

((${#files[@]})) || { step "clang-tidy: nothing to read"; exit 0; }
step "clang-tidy over ${#files[@]} sources, $jobs at a time"
# The compilers' counts of what they did not show are left out; findings are on standard output.
printf '%s\0' "${files[@]}" |
  xargs -0 -n 1 -P "$jobs" clang-tidy-19 --quiet -p build/dev 2>/dev/null ||
  die 3 "clang-tidy found faults; they stand above."
step "clang-tidy: clean"

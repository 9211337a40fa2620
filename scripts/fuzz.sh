#!/usr/bin/env bash
# Runs every libFuzzer target of the fuzz build for so many seconds: scripts/fuzz.sh SECONDS
# A target is a program build/fuzz/tests/fuzz/fuzz_NAME; its seeds are tests/fuzz/corpus/NAME/, where there are any.
# What it finds on the way is kept in build/fuzz/corpus/NAME; an input that breaks it, in build/fuzz/faults/NAME-*.
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)"
source "$root/scripts/lib.sh"
cd "$root"

ran=0
for target in build/fuzz/tests/fuzz/fuzz_*; do
  if [ ! -f "$target" ] || [ ! -x "$target" ]; then continue; fi
  name="${target##*/fuzz_}"
  corpus=("build/fuzz/corpus/$name")
  mkdir -p "${corpus[0]}" build/fuzz/faults
  [ ! -d "tests/fuzz/corpus/$name" ] || corpus+=("tests/fuzz/corpus/$name")
  step "fuzzing $name for $1 s"
  "$target" -max_total_time="$1" -timeout=10 -rss_limit_mb=2048 -print_final_stats=1 -verbosity=0 \
    -artifact_prefix="build/fuzz/faults/$name-" "${corpus[@]}" >"build/fuzz/$name.log" 2>&1 ||
    { tail -n 40 "build/fuzz/$name.log" >&2; die 3 "$name broke; the input is kept in build/fuzz/faults."; }
  sed -n 's/^stat::number_of_executed_units: */  inputs tried: /p' "build/fuzz/$name.log" >&2
  ran=$((ran + 1))
done
((ran)) || die 3 "No fuzz target was built."

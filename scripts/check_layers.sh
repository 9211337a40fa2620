#!/usr/bin/env bash
# Imports between the rooms of src/throughcure point one way (docs/decisions/0001): refuses an include that does not,
# and a header of a room that shows a library which no header may show.
# scripts/check_layers.sh [ROOT]: exit 0, or 1 with one line a fault.
set -euo pipefail
cd "${1:-"$(dirname "${BASH_SOURCE[0]}")/.."}"

# room: what it may include, besides itself. A room stands below the line that it is named on.
picture='
base:
optics: base
anatomy: base
transport: base optics anatomy
cure: base optics anatomy transport
heat: base optics anatomy transport
plan: base optics anatomy transport cure heat
fleet: base
practice: base
store: base fleet practice
desk: base optics anatomy transport cure heat plan fleet practice store exchange
draw: base optics anatomy cure heat plan fleet practice
exchange: base optics anatomy cure heat plan fleet practice
service: base optics anatomy transport cure heat plan fleet practice store desk draw exchange
campaign: base optics anatomy transport cure heat plan exchange draw
'
hidden='nlohmann|toml\+\+|boost|soci|openssl|CLI'
# A library that several sources of a reader, or of one room, share comes in by one header, which only they may include.
doorway='exchange/toml_library\.hpp|service/json_value\.hpp'
behind='^src/throughcure/exchange/toml_([a-z]+\.cpp|(state|values|plain)\.hpp):'

faults=0
fault() {
  echo "$*" >&2
  faults=$((faults + 1))
}

while IFS= read -r room; do
  grep -q "^$room:" <<<"$picture" || fault "src/throughcure/$room: no such room in the picture of scripts/check_layers.sh"
done < <(find src/throughcure -mindepth 1 -maxdepth 1 -type d -printf '%f\n' | sort)

while IFS=: read -r file line text; do
  from="${file#src/throughcure/}"
  from="${from%%/*}"
  to="$(sed -E 's|.*"throughcure/([^/"]+)/.*|\1|' <<<"$text")"
  [ "$from" = "$to" ] && continue
  [ "$to" = embedded ] && continue # files that the build puts into the binary: no room
  allowed="$(sed -n "s/^$from://p" <<<"$picture")"
  [[ " $allowed " == *" $to "* ]] ||
    fault "$file:$line: room $from must not include room $to (it may include:${allowed:- none})"
done < <(grep -rnE '^[[:space:]]*#[[:space:]]*include[[:space:]]*"throughcure/[^/"]+/' src/throughcure || true)

while IFS=: read -r file line text; do
  fault "$file:$line: a room's header must not show this library, include it in the source: ${text}"
done < <(grep -rnE --include='*.hpp' "^[[:space:]]*#[[:space:]]*include[[:space:]]*[<\"]($hidden)/" src/throughcure |
  grep -vE "^src/throughcure/($doorway):" || true)

while IFS=: read -r file line text; do
  fault "$file:$line: only the sources of exchange/toml_* may see toml++: ${text}"
done < <(grep -rnE '"throughcure/exchange/toml_(library|state|values|plain)\.hpp"' src apps tests | grep -vE "$behind" || true)

while IFS=: read -r file line text; do
  fault "$file:$line: only the sources of service may see it: ${text}"
done < <(grep -rnF --include='*.?pp' '"throughcure/service/json_value.hpp"' src apps tests | grep -vE '^src/throughcure/service/[a-z_]+\.cpp:' || true)

[ "$faults" = 0 ] || { echo "$faults imports are not allowed" >&2; exit 1; }

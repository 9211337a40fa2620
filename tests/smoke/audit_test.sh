#!/usr/bin/env bash
# audit verify: intact 0, altered 1, unreadable 2; what it says of key and paper; the demo's log.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
program="$1"
root="$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)"
log="$root/demo/audit-log.jsonl"
# The demo's public key, and its roots after 5 and all 7 changes: computed with Python's hashlib and OpenSSL.
key=ea4a6c63e29c520abef5507b132ec5f9954776aebebe7b92421eea691446d22c
root_5=c56c3ad89faabc2fddc7bd558012532ea54396a132b58856cd95c66ae3fbe102
root_7=5be93a0e4779e5f07b9abcdab47f2a51bfb1887db9d2bdf5efc495b45dca7aba
other=0000000000000000000000000000000000000000000000000000000000000000
cd "$scratch"
verify() { expect_status "$1" "$program" audit verify "${@:2}"; }

verify 0 --help
expect_text out "What protects against what"

# The file alone is never called intact.
verify 0 "$log"
expect_text <(head -n 1 out) "Consistent with itself, 7 changes, and no more is known"
if grep -qi '^intact' out; then fail "called intact, though nobody said whose key it is: $(cat out)"; fi
expect_text out "$root_7"
verify 0 "$log" --key "$key"
expect_text <(head -n 1 out) "Intact: 7 changes, as the key that you gave signed them at 2026-01-05T09:00:00.000000Z."
verify 0 "$log" --root "$root_5" --size 5
expect_text <(head -n 1 out) "Intact up to change 5, as on paper."
verify 0 "$log" --root "$root_7" --size 7
expect_text <(head -n 1 out) "Intact: 7 changes, all as on paper."
# In groups and in capitals, as somebody types it from paper.
verify 0 "$log" --key "$key" --size 5 --root "$(sed -E 's/.{8}/& /g' <<<"${root_5^^}")"
expect_text <(head -n 1 out) "and the first 5 as on paper."

# The whole of standard output is one document.
verify 0 "$log" --key "$key" --json
[ "$(head -c 1 out)" = "{" ] || fail "audit verify --json writes something before its document"
[ "$(grep -c '^}' out)" = 1 ] || fail "audit verify --json writes more than one document"
for text in '"answer": "intact"' '"changes": 7' '"vouched_changes": 7' '"faults": 0' "\"root\": \"$root_7\""; do
  expect_text out "$text"
done

# Altered: which line, and why.
sed 's/"seconds":"20"/"seconds":"40"/' "$log" >altered.jsonl
verify 1 altered.jsonl
expect_text <(head -n 1 out) "Altered: this is not the log as it was written. 2 faults."
expect_text out "altered.jsonl:5: change 5 does not have the hash that stands at the end of its line"
verify 1 altered.jsonl --json
expect_text out '"answer": "altered"'
expect_text out '"line": 5'
head -n 7 "$log" >cut.jsonl
verify 1 cut.jsonl
expect_text out "cut.jsonl:7: the signed head is missing"
head -c 1000 "$log" >cut.jsonl
verify 1 cut.jsonl
sed 's/$/\r/' "$log" >mailed.jsonl
verify 1 mailed.jsonl
verify 1 "$log" --key "$other"
expect_text out "another key than the one you gave"
verify 1 "$log" --root "$other" --size 5
expect_text out "audit-log.jsonl:5: changes 1 to 5 are not those whose root is on paper"
verify 1 "$log" --root "$root_7" --size 8
expect_text out "the paper speaks of 8 changes, this file has only 7"

# What cannot be read: all that is wrong at once, and no answer.
verify 2 missing.jsonl
verify 2 "$scratch"
verify 2 /dev/null
verify 2 "$root/README.md"
verify 2 "$log" --key 12 --root xyz --size 5
expect_text err "--key: '12' is not 64 hexadecimal digits"
expect_text err "--root: 'xyz' is not"
verify 2 "$log" --root "$root_7"
expect_text err "--size: it is missing"
verify 2 "$log" --size 5
expect_text err "--root: it is missing"
verify 2 "$log" --root "$root_7" --size -5
[ ! -s out ] || fail "refused input writes to standard output: $(cat out)"
verify 2
expect_status 2 "$program" audit

# A redacted field and what opens it, checked with a tool of the system alone.
digest=$({
  printf 'throughcure private 1\n'
  printf '%b' "$(printf '\\x%02x' {5..36})"
  printf '004711'
} | sha256sum | cut -d ' ' -f 1)
expect_text "$log" "\"chart\":{\"private\":\"$digest\"}"

# The log of records in use is exported, and is intact; asking for records that are not there makes none.
expect_status 2 "$program" audit export
expect_status 2 "$program" audit export none.jsonl
expect_text err "it is not said where the records lie"
mkdir empty
expect_status 2 "$program" audit export --data empty none.jsonl
expect_text err "there are no records here"
[ -z "$(ls -A empty)" ] || fail "records were made: $(ls -A empty)"
touch serving
"$program" serve --demo --port 0 --data practice >serving 2>&1 </dev/null &
server=$!
for _ in $(seq 600); do
  if grep -q "Then at" serving || ! kill -0 "$server" 2>/dev/null; then break; fi
  sleep 0.1
done
expect_text serving "Then at"
expect_status 0 "$program" audit export --data practice exported.jsonl
expect_text out "Exported "
[ "$(stat -c %a exported.jsonl)" = 600 ] || fail "others may read the log: $(stat -c %a exported.jsonl)"
exported_key="$(tail -n 1 out)"
exported_root="$(sed -n 3p out)"
changes="$(sed -E 's/^Exported ([0-9]+) changes.*/\1/;q' out)"
kill -INT "$server"
wait "$server" || fail "the server ended with $?"
verify 0 exported.jsonl --key "$exported_key" --root "$exported_root" --size "$changes"
expect_text <(head -n 1 out) "Intact: $changes changes"
verify 1 exported.jsonl --key "$other"
expect_status 2 "$program" audit export --data practice exported.jsonl
expect_text err "it is there already"

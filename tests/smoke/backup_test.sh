#!/usr/bin/env bash
# backup and restore on the command line: what they refuse, and that nothing is left over then.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"
program="$1"
cd "$scratch"
expect_status 0 "$program" backup --help
expect_text out "Example:"
expect_status 0 "$program" restore --help
expect_text out "Examples:"

mkdir practice
expect_status 2 "$program" backup one.backup
expect_text err "--data, --server"
expect_status 2 "$program" backup one.backup --data nowhere
expect_text err "there is no such folder"
expect_status 2 "$program" backup one.backup --data practice
expect_text err "records.db"
expect_status 2 "$program" audit export one.backup --data practice --server dbname=none
expect_text err "both are named"
expect_status 3 "$program" backup one.backup --data practice --server "host=$scratch dbname=none"
expect_text err "Start the database server"
expect_status 2 "$program" backup one.backup --data nowhere --server "host=$scratch dbname=none"
expect_text err "there is no such folder"
expect_status 3 "$program" backup one.backup --server "host=$scratch dbname=none"
expect_text err "Start the database server"
expect_status 2 "$program" restore one.backup --data practice
expect_text err "one.backup"
[ -z "$(ls -A practice)" ] || fail "something was made of a backup that is not there"
echo "no database" >text.backup
expect_status 2 "$program" restore text.backup --look
expect_text err "text.backup"
[ -z "$(find . -name 'one.backup*')" ] || fail "something was left over: $(find . -name 'one.backup*')"

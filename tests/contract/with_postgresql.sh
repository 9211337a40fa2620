#!/usr/bin/env bash
# Runs a command with a PostgreSQL server of its own: tests/contract/with_postgresql.sh COMMAND [ARG...]
# The command finds it by THROUGHCURE_TEST_SERVER, a connection string. The server speaks through a socket in a folder of
# its own and through nothing else; both are gone afterwards. Exit: the command's, or 3 where no server can be had.
set -euo pipefail

bin="$(find /usr/lib/postgresql -mindepth 2 -maxdepth 2 -name bin 2>/dev/null | sort -V | tail -n 1)"
if [ -z "$bin" ]; then
  echo "No PostgreSQL here: install Debian's package (scripts/packages/check.txt)." >&2
  exit 3
fi
folder="$(mktemp -d)"
# A server refuses to run as root: the package's own user takes it there.
as_owner=()
if [ "$(id -u)" = 0 ]; then
  as_owner=(setpriv --reuid=postgres --regid=postgres --clear-groups)
  chown postgres: "$folder"
fi
# Ends when this script does, however it does: to whoever kills it outright, the server is not its child.
setsid --fork bash -c '
  while kill -0 "$1" 2>/dev/null; do sleep 0.2; done
  "${@:4}" "$2/pg_ctl" -D "$3/data" -m immediate -w stop
  rm -rf "$3"
' watch "$$" "$bin" "$folder" "${as_owner[@]}" >/dev/null 2>&1 </dev/null
# Whoever waits for this script finds both gone.
end() {
  "${as_owner[@]}" "$bin/pg_ctl" -D "$folder/data" -m immediate -w stop >/dev/null 2>&1 || true
  rm -rf "$folder"
}
trap end EXIT

cd "$folder"
"${as_owner[@]}" "$bin/initdb" -D "$folder/data" -A trust -U throughcure -E UTF8 --locale=C --no-sync >"$folder/log" 2>&1 ||
  { cat "$folder/log" >&2 && exit 3; }
"${as_owner[@]}" "$bin/pg_ctl" -D "$folder/data" -l "$folder/server.log" -w -o \
  "-c listen_addresses='' -c unix_socket_directories='$folder' -c max_connections=50" start >/dev/null ||
  { cat "$folder/server.log" >&2 && exit 3; }
cd - >/dev/null
export THROUGHCURE_TEST_SERVER="host=$folder user=throughcure dbname=postgres"
"$@"

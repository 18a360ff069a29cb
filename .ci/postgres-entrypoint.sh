#!/bin/sh
# Entrypoint of the test image: makes the cluster on the first start, with a
# temporary server as the official image has one, then runs PostgreSQL.
set -eu
if [ "${1:-postgres}" != postgres ]; then exec "$@"; fi
[ $# -gt 0 ] && shift
: "${PGDATA:=/var/lib/postgresql/data}" "${POSTGRES_USER:=postgres}" "${POSTGRES_PASSWORD:=postgres}"
: "${POSTGRES_DB:=$POSTGRES_USER}"
export PGDATA
if [ "$(id -u)" = 0 ]; then
  mkdir -p "$PGDATA" /var/run/postgresql
  chown -R postgres:postgres "$PGDATA" /var/run/postgresql
  chmod 700 "$PGDATA"
  exec setpriv --reuid=postgres --regid=postgres --init-groups "$0" postgres "$@"
fi
if [ ! -s "$PGDATA/PG_VERSION" ]; then
  pw=$(mktemp)
  printf '%s\n' "$POSTGRES_PASSWORD" >"$pw"
  initdb --no-sync -U "$POSTGRES_USER" --pwfile="$pw" -A scram-sha-256 --auth-local=trust -E UTF8 --locale=C.UTF-8 >/dev/null
  rm -f "$pw"
  echo "host all all all scram-sha-256" >>"$PGDATA/pg_hba.conf"
  pg_ctl -w -s -o "-c listen_addresses='' -c fsync=off" start
  [ "$POSTGRES_DB" = postgres ] || createdb -U "$POSTGRES_USER" "$POSTGRES_DB"
  pg_ctl -w -s -m fast stop
fi
exec postgres -c listen_addresses='*' "$@"

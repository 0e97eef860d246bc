#!/bin/sh
# A backup into a new database. Never into one that has something in it: put the new one in the service's settings once it is seen to be good.
#
#   LONGSPELL_RESTORE_DATABASE=postgres://longspell_owner@HOST/NEWDATABASE deploy/restore.sh FILE
#   LONGSPELL_RESTORE_DATABASE=sqlite:NEWFILE deploy/restore.sh FILE
#
# All or nothing. PostgreSQL: the database must exist, be empty and belong to the role (runbook.md says how it is made).
set -eu
umask 077

fail() { echo "restore: $*" >&2; exit 1; }

[ $# -eq 1 ] || fail "usage: restore.sh FILE"
backup=$1
database=${LONGSPELL_RESTORE_DATABASE:-}
[ -n "$database" ] || fail "LONGSPELL_RESTORE_DATABASE is not set"
[ -f "$backup" ] || fail "$backup is no file"
[ -f "$backup.sha256" ] || fail "$backup.sha256 is missing: the backup cannot be checked"
(cd "$(dirname "$backup")" && sha256sum --check --quiet "$(basename "$backup").sha256") || fail "$backup is not what was backed up"

case $database in
postgres://* | postgresql://*)
  ask() { psql --no-psqlrc --no-password --quiet --tuples-only --no-align --set=ON_ERROR_STOP=1 --dbname="$database" --command="$1"; }
  tables="SELECT count(*) FROM pg_tables WHERE schemaname NOT IN ('pg_catalog', 'information_schema')"
  there=$(ask "$tables")
  [ "$there" -eq 0 ] || fail "the database is not empty: it has $there tables"
  pg_restore --exit-on-error --single-transaction --no-owner --no-password --dbname="$database" "$backup"
  ask "ANALYZE" 2>/dev/null
  echo "restored $(ask "$tables") tables"
  ;;
sqlite:*)
  file=${database#sqlite:}
  for f in "$file" "$file-wal" "$file-shm"; do
    [ ! -e "$f" ] || fail "$f is already there"
  done
  part=$file.part
  trap 'rm -f "$part"' EXIT
  cp "$backup" "$part"
  [ "$(sqlite3 -readonly "$part" 'PRAGMA integrity_check')" = ok ] || fail "the backup is damaged"
  sync "$part" 2>/dev/null || sync
  mv "$part" "$file"
  echo "restored $(sqlite3 -readonly "$file" "SELECT count(*) FROM sqlite_schema WHERE type = 'table'") tables"
  ;;
*) fail "LONGSPELL_RESTORE_DATABASE is neither postgres://... nor sqlite:FILE" ;;
esac

#!/bin/sh
# One consistent backup of the whole database, while the service runs.
#
#   LONGSPELL_BACKUP_DATABASE=postgres://longspell_backup@HOST/longspell deploy/backup.sh FOLDER
#   LONGSPELL_BACKUP_DATABASE=sqlite:FILE deploy/backup.sh FOLDER
#
# Prints the path of the backup, beside which its SHA-256 sum is put. Needs pg_dump and pg_restore not older than the server, or
# sqlite3. It holds children's data of every region: keep it encrypted, and no longer than the data themselves may be kept.
#
# PostgreSQL: pg_dump sets row_security=off and fails, rather than leave rows out, when its role is held by row-level
# security. So it must be longspell_backup (BYPASSRLS), never the role of the service.
set -eu
umask 077

fail() { echo "backup: $*" >&2; exit 1; }

[ $# -eq 1 ] || fail "usage: backup.sh FOLDER"
folder=$1
database=${LONGSPELL_BACKUP_DATABASE:-}
[ -n "$database" ] || fail "LONGSPELL_BACKUP_DATABASE is not set"
mkdir -p "$folder"
[ -w "$folder" ] || fail "cannot write to $folder"
stamp=$(date -u +%Y%m%dT%H%M%SZ)

case $database in
postgres://* | postgresql://*)
  target=$folder/longspell-$stamp.dump
  part=$target.part
  trap 'rm -f "$part"' EXIT
  pg_dump --format=custom --no-password --lock-wait-timeout=60s --file="$part" --dbname="$database"
  pg_restore --list "$part" >/dev/null || fail "the dump cannot be read"
  ;;
sqlite:*)
  file=${database#sqlite:}
  [ -f "$file" ] || fail "$file is no file"
  target=$folder/longspell-$stamp.db
  part=$target.part
  trap 'rm -f "$part"' EXIT
  [ ! -e "$part" ] || fail "$part is already there"
  quoted=$(printf '%s' "$part" | sed "s/'/''/g")
  sqlite3 -bail -readonly "$file" ".timeout 60000" "VACUUM INTO '$quoted'"
  [ "$(sqlite3 -readonly "$part" 'PRAGMA integrity_check')" = ok ] || fail "the copy is damaged"
  [ -z "$(sqlite3 -readonly "$part" 'PRAGMA foreign_key_check')" ] || fail "the copy has rows that point nowhere"
  ;;
*) fail "LONGSPELL_BACKUP_DATABASE is neither postgres://... nor sqlite:FILE" ;;
esac

[ ! -e "$target" ] || fail "$target is already there"
mv "$part" "$target"
(cd "$folder" && sha256sum "$(basename "$target")" >"$(basename "$target").sha256")
sync "$target" "$target.sha256" 2>/dev/null || sync
echo "$target"

-- The database and its roles. Run once by a superuser, with psql 15 or later; running it again changes nothing but the
-- passwords. They are read from the environment, so that they stand in no command line:
--
--   LONGSPELL_OWNER_PASSWORD  LONGSPELL_APP_PASSWORD  LONGSPELL_BACKUP_PASSWORD
--
--   psql --no-psqlrc --file deploy/postgres-roles.sql postgres
--
-- With --set database=NAME it makes another database beside longspell, for a restore.
--
-- longspell_owner   owns the schema; `longspell migrate` uses it, nothing else does
-- longspell_app     what the service uses: reads and writes rows, owns nothing, is held by row-level security
-- longspell_backup  reads every row of every region; only backups use it
\set ON_ERROR_STOP on
\if :{?database}
\else
  \set database longspell
\endif
\getenv owner_password LONGSPELL_OWNER_PASSWORD
\getenv app_password LONGSPELL_APP_PASSWORD
\getenv backup_password LONGSPELL_BACKUP_PASSWORD
\if :{?owner_password}
\else
  DO $$ BEGIN RAISE EXCEPTION 'LONGSPELL_OWNER_PASSWORD is not set'; END $$;
\endif
\if :{?app_password}
\else
  DO $$ BEGIN RAISE EXCEPTION 'LONGSPELL_APP_PASSWORD is not set'; END $$;
\endif
\if :{?backup_password}
\else
  DO $$ BEGIN RAISE EXCEPTION 'LONGSPELL_BACKUP_PASSWORD is not set'; END $$;
\endif

-- The statements below hold passwords: keep them out of the server's log.
SET log_statement = 'none';
SET log_min_duration_statement = -1;
SET log_min_error_statement = 'panic';

SELECT format('CREATE ROLE %I', name)
FROM unnest(ARRAY['longspell_owner', 'longspell_app', 'longspell_backup']) AS name
WHERE NOT EXISTS (SELECT FROM pg_roles WHERE rolname = name)
\gexec

ALTER ROLE longspell_owner LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS PASSWORD :'owner_password';
ALTER ROLE longspell_app LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS PASSWORD :'app_password';
-- pg_dump turns row security off and stops where it cannot: whoever backs up must be allowed to see all rows.
ALTER ROLE longspell_backup LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION BYPASSRLS PASSWORD :'backup_password';
ALTER ROLE longspell_backup SET default_transaction_read_only = on;

SELECT format('CREATE DATABASE %I OWNER longspell_owner ENCODING ''UTF8'' TEMPLATE template0', :'database')
WHERE NOT EXISTS (SELECT FROM pg_database WHERE datname = :'database')
\gexec

REVOKE ALL ON DATABASE :"database" FROM PUBLIC;
GRANT CONNECT ON DATABASE :"database" TO longspell_app, longspell_backup;

\connect :"database"
REVOKE ALL ON SCHEMA public FROM PUBLIC;
GRANT USAGE ON SCHEMA public TO longspell_app, longspell_backup;

-- What the service may do with each table is given by `longspell migrate`, table by table. Backups read whatever is made.
ALTER DEFAULT PRIVILEGES FOR ROLE longspell_owner IN SCHEMA public
    GRANT SELECT ON TABLES TO longspell_backup;
ALTER DEFAULT PRIVILEGES FOR ROLE longspell_owner IN SCHEMA public
    GRANT SELECT ON SEQUENCES TO longspell_backup;

"""Triggers that keep the record of changes append-only.

An entry can neither be changed nor deleted; it goes only with its whole claim, when
that is already gone.  Alembic re-creates a table to alter it on SQLite and drops its
triggers without a word, so they are looked for at every start.
"""

from __future__ import annotations

from sqlalchemy import Connection, text

_SQLITE = {
    "journal_entry_stays_as_it_is": (
        "CREATE TRIGGER journal_entry_stays_as_it_is BEFORE UPDATE ON journal_entry "
        "BEGIN SELECT RAISE(ABORT, 'entries of the record are never changed'); END"
    ),
    "journal_entry_stays": (
        "CREATE TRIGGER journal_entry_stays BEFORE DELETE ON journal_entry "
        "WHEN EXISTS (SELECT 1 FROM claim WHERE claim.key = OLD.claim) "
        "BEGIN SELECT RAISE(ABORT, 'entries of the record are never deleted'); END"
    ),
}

_SERVER_FUNCTION = """
CREATE OR REPLACE FUNCTION journal_entry_append_only() RETURNS trigger AS $$
BEGIN
  IF TG_OP = 'UPDATE' THEN
    RAISE EXCEPTION 'entries of the record are never changed';
  END IF;
  IF EXISTS (SELECT 1 FROM claim WHERE claim.key = OLD.claim) THEN
    RAISE EXCEPTION 'entries of the record are never deleted';
  END IF;
  RETURN OLD;
END $$ LANGUAGE plpgsql
"""
_SERVER = {
    "journal_entry_append_only": (
        "CREATE TRIGGER journal_entry_append_only BEFORE UPDATE OR DELETE ON journal_entry "
        "FOR EACH ROW EXECUTE FUNCTION journal_entry_append_only()"
    )
}


def missing_protection(connection: Connection) -> tuple[str, ...]:
    """Return the names of the triggers that are not there."""
    if connection.dialect.name == "sqlite":
        found = text("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        wanted = _SQLITE
    else:
        found = text("SELECT tgname FROM pg_trigger WHERE NOT tgisinternal")
        wanted = _SERVER
    present = set(connection.execute(found).scalars())
    return tuple(name for name in wanted if name not in present)


def unprotect(connection: Connection) -> None:
    """Take the triggers away for a migration, which could not re-create the claims' table."""
    if connection.dialect.name == "sqlite":
        for name in _SQLITE:
            connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name}")


def protect(connection: Connection) -> None:
    """Create the triggers that are not there."""
    missing = missing_protection(connection)
    if not missing:
        return
    if connection.dialect.name == "sqlite":
        for name in missing:
            connection.exec_driver_sql(_SQLITE[name])
        return
    connection.exec_driver_sql(_SERVER_FUNCTION)
    for name in missing:
        connection.exec_driver_sql(_SERVER[name])

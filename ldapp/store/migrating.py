"""Bringing a database to the shape that this program knows, never back.

A database file is copied before it is changed; everything then happens in one
transaction, so that a program killed in the middle leaves the old shape behind.
"""

from __future__ import annotations

import contextlib
import logging
import sqlite3
from pathlib import Path

from sqlalchemy import Connection, func, inspect, select, table, text

from ldapp.errors import MachineError
from ldapp.language import said
from ldapp.store.database import Database, open_engine
from ldapp.store.faults import as_sentences, damaged, from_system
from ldapp.store.protection import missing_protection, protect, unprotect
from ldapp.store.shape import REVISIONS

SCRIPTS = "ldapp:store/migrations"

_log = logging.getLogger(__name__)


def bring_up_to_date(database: Database, file: Path | None, patience_s: float) -> None:
    """Migrate the database where it is older; ``file`` is where a SQLite database lies.

    Raises:
        MachineError: it is newer than this program, no library, damaged or locked.
    """
    with database.reading() as connection:
        present = present_shape(connection, database.place)
        protected = present != REVISIONS[-1] or not missing_protection(connection)
    if present == REVISIONS[-1]:
        if not protected:
            _log.warning("%s: the triggers of the journal were missing", database.place)
            with database.writing() as connection:
                protect(connection)
        return
    if file is not None and present is not None:
        _back_up(file, REVISIONS[REVISIONS.index(present) + 1])
    _migrate(database, patience_s)


def present_shape(connection: Connection, place: str) -> str | None:
    """Return the shape of the database; None where it is still empty."""
    tables = set(inspect(connection).get_table_names())
    if not tables:
        return None
    stamp = None
    if "alembic_version" in tables:
        stamp = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    if stamp is None:
        raise MachineError(
            said(
                "{place} is a database, but no library of this program. Choose another "
                "folder with --library or LDAPP_LIBRARY.",
                place=place,
            )
        )
    if stamp not in REVISIONS:
        raise MachineError(
            said(
                "{place} was written by a newer version of this program (its shape is "
                "{shape}, this version knows {known}). Nothing was changed; install the newer "
                "version.",
                place=place,
                shape=stamp,
                known=REVISIONS[-1],
            )
        )
    return str(stamp)


def backup_name(file: Path, revision: str) -> Path:
    """Return where the copy goes that is made before a migration to ``revision``."""
    return file.with_name(f"{file.stem}.before-{revision}{file.suffix}")


def _back_up(file: Path, revision: str) -> None:
    # Copying the file alone would lose what still stands in the write-ahead log.
    target = backup_name(file, revision)
    unfinished = target.with_name(target.name + ".part")
    try:
        unfinished.unlink(missing_ok=True)
        with (
            contextlib.closing(sqlite3.connect(file)) as source,
            contextlib.closing(sqlite3.connect(unfinished)) as copy,
        ):
            source.backup(copy)
        unfinished.replace(target)
    except OSError as error:
        raise from_system(error, target) from error
    except sqlite3.Error as error:
        raise MachineError(
            said(
                "A backup of {file} could not be written ({reason}), so it was not "
                "changed. Free some space on its disk and start again.",
                file=file,
                reason=error,
            )
        ) from error


def _migrate(database: Database, patience_s: float) -> None:
    engine = open_engine(database.engine.url, patience_s=patience_s, foreign_keys=False)
    try:
        with as_sentences(database.place), engine.begin() as connection:
            if connection.dialect.name != "sqlite":
                # One migration at a time, whoever starts first; any constant will do.
                connection.exec_driver_sql("SELECT pg_advisory_xact_lock(727274)")
            # Another program may have been quicker.
            if present_shape(connection, database.place) != REVISIONS[-1]:
                _upgrade(connection, database.place)
    finally:
        engine.dispose()


def _upgrade(connection: Connection, place: str) -> None:
    from alembic import command  # noqa: PLC0415 - needed once in a library's life
    from alembic.config import Config  # noqa: PLC0415

    config = Config()
    config.set_main_option("script_location", SCRIPTS)
    config.attributes["connection"] = connection
    before = _row_counts(connection)
    unprotect(connection)
    command.upgrade(config, REVISIONS[-1])
    protect(connection)
    after = _row_counts(connection)
    lost = [name for name, rows in before.items() if after.get(name, rows) != rows]
    if lost:
        raise damaged(
            place,
            said("bringing it up to date would have lost rows of {tables}", tables=", ".join(lost)),
        )
    if connection.dialect.name == "sqlite":
        dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
        if dangling is not None:
            raise damaged(place, said("a row of {table} belongs to nothing", table=dangling[0]))


def _row_counts(connection: Connection) -> dict[str, int]:
    names = inspect(connection).get_table_names()
    return {
        name: connection.execute(select(func.count()).select_from(table(name))).scalar_one()
        for name in names
        if name != "alembic_version"
    }

"""Connections: one writer at a time, readers that see one moment and hold up nobody."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url

from ldapp.errors import LdappError, MachineError
from ldapp.language import said
from ldapp.store.faults import as_sentences

READ_ONLY = "ldapp_read_only"
CONNECT_S = 8
"""How long to wait for an office's server to answer at all, in seconds."""


def sqlite_url(file: Path) -> URL:
    """Return the address of a database file."""
    return URL.create("sqlite", database=str(file))


def office_url(text: str) -> URL:
    """Return the address of an office's database.

    Raises:
        LdappError: it is none, or of another database than PostgreSQL.
    """
    try:
        url = make_url(text)
    except Exception as error:
        raise LdappError(
            said(
                "LDAPP_DATABASE is no database address. Expected: "
                "postgresql+psycopg://name@server/database."
            )
        ) from error
    if url.get_backend_name() != "postgresql":
        raise LdappError(
            said(
                "LDAPP_DATABASE names a {kind} database. Expected: "
                "postgresql+psycopg://name@server/database.",
                kind=url.get_backend_name(),
            )
        )
    return url


def open_engine(url: URL, *, patience_s: float, foreign_keys: bool = True) -> Engine:
    """Return an engine; ``patience_s`` is how long to wait for another program's writing.

    ``foreign_keys`` is off only while migrating: dropping a table would delete the rows
    that hang on it, and inside a transaction the switch does nothing.
    """
    try:
        # A server may have been restarted: a connection that is gone is replaced unnoticed.
        if url.get_backend_name() == "sqlite":
            engine = create_engine(url)
        else:
            engine = create_engine(
                url, pool_pre_ping=True, connect_args={"connect_timeout": CONNECT_S}
            )
    except ModuleNotFoundError as error:
        raise MachineError(
            said(
                "The office's database needs the package {package}. Install ldapp with its "
                "extra 'office'.",
                package=error.name,
            )
        ) from error
    if engine.dialect.name == "sqlite":
        _prepare_sqlite(engine, patience_s, foreign_keys)
    else:
        _prepare_server(engine)
    return engine


def _prepare_sqlite(engine: Engine, patience_s: float, foreign_keys: bool) -> None:
    @event.listens_for(engine, "connect")
    def on_connect(connection: sqlite3.Connection, _: Any) -> None:
        # We say BEGIN ourselves: Python would not for SELECT and DDL.
        connection.isolation_level = None
        connection.execute(f"PRAGMA busy_timeout={round(patience_s * 1000)}")
        (mode,) = connection.execute("PRAGMA journal_mode=WAL").fetchone()
        if mode != "wal":
            raise MachineError(
                said(
                    "The library's folder is on a drive that cannot share a database safely "
                    "(a network drive, perhaps). Choose a folder on this computer's own disk."
                )
            )
        # FULL: what was reported as saved survives a power cut.
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute(f"PRAGMA foreign_keys={'ON' if foreign_keys else 'OFF'}")

    @event.listens_for(engine, "begin")
    def on_begin(connection: Connection) -> None:
        # A deferred transaction that reads first and then writes fails at once when
        # another one wrote in between, however long the patience; so writers say so first.
        read_only = connection.get_execution_options().get(READ_ONLY)
        connection.exec_driver_sql("BEGIN" if read_only else "BEGIN IMMEDIATE")


def _prepare_server(engine: Engine) -> None:
    @event.listens_for(engine, "begin")
    def on_begin(connection: Connection) -> None:
        # A claim is read by several statements that must see the same moment.
        if connection.get_execution_options().get(READ_ONLY):
            connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")


class Database:
    """A library's database; any thread may use it, each call takes its own connection."""

    def __init__(self, engine: Engine, place: str) -> None:
        """``place`` names the database in sentences."""
        self.engine = engine
        self.place = place
        self._writer = threading.Lock()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one moment and takes no lock from a writer."""
        with (
            as_sentences(self.place),
            self.engine.connect().execution_options(**{READ_ONLY: True}) as connection,
            connection.begin(),
        ):
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give the one connection that writes; kept if the block ends well, else undone."""
        with self._writer, as_sentences(self.place), self.engine.begin() as connection:
            yield connection

    def close(self) -> None:
        """Close every connection."""
        self.engine.dispose()

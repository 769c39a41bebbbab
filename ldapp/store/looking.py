"""A look at a library from outside: whether it is there and how many claims it holds."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import func, select

from ldapp.language import said
from ldapp.store.database import Database, office_url, open_engine, sqlite_url
from ldapp.store.kinds import HEAD
from ldapp.store.migrating import present_shape
from ldapp.store.shape import DATABASE

_PATIENCE_S = 2.0


def look_at(folder: Path, database_url: str | None) -> int | None:
    """Return how many claims the library holds; None where it is not made yet.

    Nothing is made, migrated or changed.

    Raises:
        MachineError: it cannot be reached, is newer than this program or no library.
        LdappError: ``database_url`` is no address of a database.
    """
    file = folder / DATABASE
    if database_url is None and not file.is_file():
        return None
    url = office_url(database_url) if database_url else sqlite_url(file)
    place = said("The office's database") if database_url else str(file)
    database = Database(open_engine(url, patience_s=_PATIENCE_S), place)
    try:
        with database.reading() as connection:
            if present_shape(connection, place) is None:
                return None
            count = connection.execute(select(func.count()).select_from(HEAD.table)).scalar_one()
            return int(count)
    finally:
        database.close()

"""Records that several claims use: kept once, changed under a version, never silently."""

from __future__ import annotations

import datetime as dt
from typing import cast

from sqlalchemy import Connection, Table, delete, insert, select, update

from ldapp.claim.shared import SharedRecord
from ldapp.errors import ConflictError, LdappError
from ldapp.language import said
from ldapp.store.bookkeeping import SharedRow

_TABLE = cast("Table", SharedRow.__table__)
_COLUMNS = tuple(_TABLE.c[name] for name in SharedRecord._fields)


def read_shared(connection: Connection, kind: str) -> tuple[SharedRecord, ...]:
    """Return the records of a kind by their names."""
    rows = connection.execute(
        select(*_COLUMNS).where(_TABLE.c.kind == kind).order_by(_TABLE.c.name, _TABLE.c.id)
    ).all()
    return tuple(SharedRecord(*row) for row in rows)


def put_shared(
    connection: Connection, one: SharedRecord, now: dt.datetime, who: str
) -> SharedRecord:
    """Write a record over the version that it names (0: a new one); return it as it stands.

    Raises:
        ConflictError: somebody has changed or removed it since.
    """
    written = one._replace(version=one.version + 1, changed=now, who=who)
    values = written._asdict()
    if one.version == 0:
        found = connection.execute(
            select(_TABLE.c.who).where(_TABLE.c.kind == one.kind, _TABLE.c.id == one.id)
        ).first()
        if found is not None:
            raise ConflictError(
                said("{name} is kept already. Look at it and change it there.", name=one.name)
            )
        connection.execute(insert(_TABLE).values(**values))
        return written
    done = connection.execute(
        update(_TABLE)
        .where(_TABLE.c.kind == one.kind, _TABLE.c.id == one.id, _TABLE.c.version == one.version)
        .values(**values)
    )
    if done.rowcount == 0:
        raise ConflictError(
            said(
                "Somebody changed {name} since you opened it, or removed it. Look at it "
                "again; nothing was overwritten.",
                name=one.name,
            )
        )
    return written


def remove_shared(connection: Connection, kind: str, key: str) -> None:
    """Remove a record; claims keep what they took from it.

    Raises:
        LdappError: it is gone already.
    """
    done = connection.execute(delete(_TABLE).where(_TABLE.c.kind == kind, _TABLE.c.id == key))
    if done.rowcount == 0:
        raise LdappError(said("It is gone already: somebody else removed it."))

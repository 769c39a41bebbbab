"""Small choices that outlive a claim, kept as JSON text under a name."""

from __future__ import annotations

from sqlalchemy import Connection, select

from ldapp.store.bookkeeping import RememberedRow
from ldapp.store.writing import insert_in


def put_remembered(connection: Connection, key: str, value_json: str) -> None:
    """Keep a choice under a name, in place of the one before."""
    statement = insert_in(connection, RememberedRow).values(key=key, value=value_json)
    connection.execute(
        statement.on_conflict_do_update(
            index_elements=[RememberedRow.key], set_={"value": value_json}
        )
    )


def read_remembered(connection: Connection, key: str) -> str | None:
    """Return what is kept under a name, or None."""
    statement = select(RememberedRow.value).where(RememberedRow.key == key)
    return connection.execute(statement).scalar()


def read_everything_remembered(connection: Connection) -> dict[str, str]:
    """Return every choice that is kept by its name."""
    rows = connection.execute(select(RememberedRow.key, RememberedRow.value)).all()
    return {row.key: row.value for row in rows}

"""The register's rows and what claims add to reports: written with every change, read in one go."""

from __future__ import annotations

import datetime as dt
from functools import cache
from typing import Any, cast

from pydantic import TypeAdapter, ValidationError
from sqlalchemy import Connection, Select, Table, delete, insert, select, update

from ldapp.claim.figures import ClaimFigures
from ldapp.claim.summary import ClaimSummary
from ldapp.language import said
from ldapp.store.bookkeeping import FiguresRow
from ldapp.store.faults import damaged
from ldapp.store.kinds import HEAD, SUMMARY
from ldapp.store.mapping import checked_currency

_FIGURES = cast("Table", FiguresRow.__table__)


@cache
def _adapter() -> TypeAdapter[ClaimFigures]:
    return TypeAdapter(ClaimFigures)


def _rows() -> Select[Any]:
    return (
        select(*SUMMARY.selected, HEAD.table.c.id)
        .join_from(SUMMARY.table, HEAD.table, SUMMARY.table.c.claim == HEAD.table.c.key)
        .order_by(SUMMARY.table.c.changed.desc(), SUMMARY.table.c.claim.desc())
    )


def read_summaries(connection: Connection) -> tuple[ClaimSummary, ...]:
    """Return every row without its figures, the latest change first."""
    rows = connection.execute(_rows()).all()
    return tuple(SUMMARY.from_row(row, claim=row[-1]) for row in rows)


def read_summaries_with_figures(connection: Connection) -> tuple[ClaimSummary, ...]:
    """Return every row with its figures; None in a row that is not reckoned yet."""
    statement = (
        _rows()
        .outerjoin(_FIGURES, _FIGURES.c.claim == SUMMARY.table.c.claim)
        .add_columns(_FIGURES.c.figures)
    )
    rows = connection.execute(statement).all()
    return tuple(SUMMARY.from_row(row, claim=row[-2], figures=_figures(row[-1])) for row in rows)


def read_figures_due_before(connection: Connection, day: dt.date) -> dict[str, ClaimFigures]:
    """Return by claim the figures of the rows whose next deadline is before a day."""
    statement = (
        select(HEAD.table.c.id, _FIGURES.c.figures)
        .join_from(SUMMARY.table, HEAD.table, SUMMARY.table.c.claim == HEAD.table.c.key)
        .join(_FIGURES, _FIGURES.c.claim == SUMMARY.table.c.claim)
        .where(SUMMARY.table.c.next_deadline < day)
    )
    found = {claim: _figures(text) for claim, text in connection.execute(statement).all()}
    return {claim: one for claim, one in found.items() if one is not None}


def read_summary(connection: Connection, key: int) -> ClaimSummary | None:
    """Return the row of one claim with its figures, or None."""
    statement = (
        _rows()
        .outerjoin(_FIGURES, _FIGURES.c.claim == SUMMARY.table.c.claim)
        .add_columns(_FIGURES.c.figures)
        .where(SUMMARY.table.c.claim == key)
    )
    row = connection.execute(statement).first()
    if row is None:
        return None
    one: ClaimSummary = SUMMARY.from_row(row, claim=row[-2], figures=_figures(row[-1]))
    return one


def figures_text(figures: ClaimFigures) -> str:
    """Return figures as they are kept."""
    return _adapter().dump_json(figures).decode()


def _figures(text: str | None) -> ClaimFigures | None:
    if text is None:
        return None
    try:
        return _adapter().validate_json(text)
    except ValidationError as error:
        raise damaged(
            said("The library's database"),
            said("the figures of a claim are not as this program writes them"),
        ) from error


def put_summary(connection: Connection, key: int, summary: ClaimSummary) -> None:
    """Write the row of the claim with this key; figures that it does not bring stay."""
    table = SUMMARY.table
    checked_currency(summary.currency)
    row = SUMMARY.to_row(summary, summary.currency)
    if summary.changed is None:
        del row["changed"], row["changed_offset"]
    done = connection.execute(update(table).where(table.c.claim == key).values(**row))
    if done.rowcount == 0:
        connection.execute(insert(table).values(**row, claim=key))
    if summary.figures is not None:
        connection.execute(delete(_FIGURES).where(_FIGURES.c.claim == key))
        connection.execute(
            insert(_FIGURES).values(claim=key, figures=figures_text(summary.figures))
        )

"""The register's rows before the library is open: read from its file with nothing loaded for it.

A person waits for the list of claims at every start; loading what maps records to tables
takes longer than reading it.  This reads the same rows in the plainest way and gives
nothing where anything is not as this program writes it: opening the library, which
follows, says why.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import json
import sqlite3
from decimal import Decimal
from pathlib import Path
from typing import Any, get_args

from ldapp.claim.stages import ClaimStage
from ldapp.claim.summary import ClaimSummary
from ldapp.reckoning.money import minor_digits
from ldapp.store.shape import DATABASE, REVISIONS

_AMOUNTS = ("asked", "owed", "disputed", "paid_by_others", "settled")
_LISTS = ("rental_companies", "people")
_PLAIN = (
    "reference",
    "title",
    "currency",
    "stage",
    "next_deadline_title",
    "open_points",
    "policy",
    "papers_missing",
    "reckoning_version",
)
_STAGES = frozenset(get_args(ClaimStage))
_COLUMNS = ("next_deadline", "invented", "changed", "changed_offset", *_AMOUNTS, *_LISTS, *_PLAIN)
_STATEMENT = (
    f"SELECT claim.id, {', '.join(f'claim_summary.{one}' for one in _COLUMNS)} "
    "FROM claim_summary JOIN claim ON claim.key = claim_summary.claim "
    "ORDER BY claim_summary.changed DESC, claim_summary.claim DESC"
)


def first_rows(folder: Path) -> tuple[ClaimSummary, ...] | None:
    """Return the rows of the library in ``folder``, the latest change first.

    None where the library is not there yet, of another shape, locked or damaged.
    """
    file = folder / DATABASE
    if not file.is_file():
        return None
    try:
        with contextlib.closing(
            sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True, timeout=0.2)
        ) as connection:
            connection.execute("BEGIN")
            (shape,) = connection.execute("SELECT version_num FROM alembic_version").fetchone()
            if shape != REVISIONS[-1]:
                return None
            return tuple(_row(one) for one in connection.execute(_STATEMENT))
    except (sqlite3.Error, ValueError, TypeError, KeyError):
        return None


def _row(values: tuple[Any, ...]) -> ClaimSummary:
    row = dict(zip(_COLUMNS, values[1:], strict=True))
    if row["stage"] not in _STAGES:
        raise ValueError(row["stage"])
    digits = minor_digits(row["currency"])
    for name in _AMOUNTS:
        units = row[name]
        row[name] = None if units is None else Decimal(units).scaleb(-digits)
    for name in _LISTS:
        row[name] = tuple(json.loads(row[name]))
    row["invented"] = bool(row["invented"])
    if row["next_deadline"] is not None:
        row["next_deadline"] = dt.date.fromisoformat(row["next_deadline"])
    offset = row.pop("changed_offset")
    if row["changed"] is not None:
        instant = dt.datetime.fromisoformat(row["changed"]).replace(tzinfo=dt.UTC)
        row["changed"] = (
            instant.astimezone(dt.timezone(dt.timedelta(seconds=offset))) if offset else instant
        )
    return ClaimSummary(claim=values[0], **row)

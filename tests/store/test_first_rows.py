"""The register's rows before the library is open are those of the open library."""

import dataclasses
import datetime as dt
import sqlite3
from contextlib import closing
from decimal import Decimal

import pytest

from ldapp.store.first_rows import first_rows
from ldapp.store.shape import DATABASE
from tests.store.made_claims import made_claim, summary_of


def _fill(library):
    for seed in range(6):
        claim = dataclasses.replace(made_claim(seed), id=f"claim {seed}")
        summary = dataclasses.replace(
            summary_of(claim),
            next_deadline=dt.date(2026, 3, seed + 1) if seed % 2 else None,
            asked=Decimal(seed) if seed % 2 else None,
            invented=bool(seed % 2),
        )
        library.create(claim, who="Ada", label="Create", summary=summary)


def test_they_are_the_same_rows_in_the_same_order(library, folder):
    _fill(library)
    assert first_rows(folder) == library.summaries()
    library.close()
    assert first_rows(folder) == library.summaries()


def test_currencies_without_or_with_three_decimals_keep_their_amounts(library, folder):
    for currency, amount in (("JPY", "1250"), ("KWD", "1.234")):
        claim = dataclasses.replace(made_claim(1), id=currency)
        summary = dataclasses.replace(
            summary_of(claim), currency=currency, asked=Decimal(amount), owed=None,
            disputed=None, paid_by_others=None, settled=None,
        )  # fmt: skip
        library.create(claim, who="Ada", label="Create", summary=summary)
    assert {row.currency: row.asked for row in first_rows(folder)} == {
        "JPY": Decimal("1250"),
        "KWD": Decimal("1.234"),
    }


def test_where_there_is_no_library_there_are_none(folder):
    assert first_rows(folder) is None
    folder.mkdir()
    (folder / DATABASE).write_bytes(b"no database at all")
    assert first_rows(folder) is None


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE alembic_version SET version_num = '9999'",
        "UPDATE claim_summary SET stage = 'lost'",
        "UPDATE claim_summary SET rental_companies = '[' WHERE claim = 1",
        "DROP TABLE claim_summary",
    ],
)
def test_what_is_not_as_we_write_it_is_left_to_the_library(library, folder, statement):
    _fill(library)
    library.close()
    with closing(sqlite3.connect(folder / DATABASE)) as connection:
        connection.execute(statement)
        connection.commit()
    assert first_rows(folder) is None


def test_a_writer_holds_nobody_up(library, folder):
    _fill(library)
    with library._database.writing() as connection:
        connection.exec_driver_sql("UPDATE claim_summary SET title = 'half done'")
        assert len(first_rows(folder)) == 6
        assert "half done" not in {row.title for row in first_rows(folder)}

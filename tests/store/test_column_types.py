"""The column types refuse what a database would quietly bend."""

import datetime as dt
from decimal import Decimal

import pytest
from sqlalchemy import Column, Integer, MetaData, Table, create_engine, func, insert, select
from sqlalchemy.exc import StatementError

from ldapp.store.column_types import MinorUnits, UtcDateTime


@pytest.fixture
def table():
    return Table(
        "t", MetaData(), Column("key", Integer, primary_key=True),
        Column("amount", MinorUnits), Column("at", UtcDateTime),
    )  # fmt: skip


@pytest.fixture
def connection(table):
    engine = create_engine("sqlite://")
    with engine.connect() as connection:
        table.create(connection)
        yield connection
    engine.dispose()


def test_an_instant_is_converted_and_not_cut_off(connection, table):
    noon = dt.datetime(2026, 3, 2, 12, tzinfo=dt.timezone(dt.timedelta(hours=5)))
    connection.execute(insert(table).values(at=noon))
    assert connection.execute(select(table.c.at)).scalar() == noon
    assert connection.exec_driver_sql("SELECT at FROM t").scalar() == "2026-03-02 07:00:00.000000"


def test_a_time_without_a_zone_is_refused(connection, table):
    with pytest.raises(StatementError, match="no instant"):
        connection.execute(insert(table).values(at=dt.datetime(2026, 3, 2)))  # noqa: DTZ001


@pytest.mark.parametrize("amount", [Decimal("1.00"), 1.0, True, "1"])
def test_money_is_a_whole_number_or_refused(connection, table, amount):
    with pytest.raises(StatementError, match="whole minor units"):
        connection.execute(insert(table).values(amount=amount))


def test_sums_in_the_database_are_exact(connection, table):
    connection.execute(insert(table), [{"amount": 10}] * 3 + [{"amount": 2**60}])
    assert connection.execute(select(func.sum(table.c.amount))).scalar() == 2**60 + 30

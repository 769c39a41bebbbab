"""What the library keeps across claims, on a file and on an office's database."""

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.figures import (
    ClaimFigures,
    DeadlineFigure,
    LossFigure,
    PolicyUse,
    ShareFigure,
    StudentFigure,
)
from ldapp.claim.shared import SharedRecord
from ldapp.errors import ConflictError, LdappError
from tests.store.made_claims import summary_of

FIGURES = ClaimFigures(
    policy="p",
    aggregate=Decimal("50000.00"),
    uses=(
        PolicyUse(
            occurrence="o",
            at=dt.datetime(2026, 3, 1, 12, tzinfo=dt.UTC),
            loss=Decimal("900.10"),
            deductible=Decimal("250.00"),
            policy=Decimal("650.10"),
            aggregate_used=Decimal("650.10"),
        ),
    ),
    losses=(LossFigure(cause="theft", kind="grip", found="return", units=2, amount=None),),
    students=(StudentFigure(name="Invented Student", reference="S-1"),),
    lost=dt.date(2026, 3, 1),
    shares=(ShareFigure(name="Invented Student", amount=Decimal("9.10"), paid=Decimal("0.05")),),
    deadlines=(DeadlineFigure(due=dt.date(2026, 4, 1), title="Notice"),),
)


def _claim(key="c", **more):
    return Claim(id=key, reference=f"R-{key}", currency="USD", zone="UTC", **more)


def _create(library, claim, **more):
    library.create(claim, who="Ada", label="Create", summary=summary_of(claim, **more))


def test_figures_are_kept_with_the_row_and_stay_where_a_change_brings_none(either):
    _create(either, _claim(), figures=FIGURES, policy="P-1", people=("School",), papers_missing=3)
    (row,) = either.summaries()
    assert (row.figures, row.policy, row.people, row.papers_missing) == (
        None, "P-1", ("School",), 3,
    )  # fmt: skip
    assert either.summary("c").figures == FIGURES
    either.write_summary(dataclasses.replace(row, papers_missing=2, changed=None))
    (row,) = either.summaries_with_figures()
    assert (row.figures, row.papers_missing) == (FIGURES, 2)
    newer = dataclasses.replace(FIGURES, policy="q")
    either.write_summary(dataclasses.replace(row, figures=newer))
    assert either.summaries_with_figures()[0].figures == newer
    either.remove("c")
    assert either.summaries_with_figures() == ()


def test_figures_are_read_alone_where_a_deadline_is_before_a_day(either):
    day = dt.date(2026, 5, 1)
    before, on_it = day - dt.timedelta(days=1), day
    _create(either, _claim("a"), figures=FIGURES, next_deadline=before)
    _create(either, _claim("b"), figures=FIGURES, next_deadline=on_it)
    _create(either, _claim("c"), figures=FIGURES)
    _create(either, _claim("d"), next_deadline=before)
    assert either.figures_due_before(day) == {"a": FIGURES}


def test_a_claim_without_figures_is_in_the_report_rows_too(either):
    _create(either, _claim("a"))
    _create(either, _claim("b"), figures=FIGURES)
    rows = {one.claim: one.figures for one in either.summaries_with_figures()}
    assert rows == {"a": None, "b": FIGURES}


def _record(key="p1", version=0, name="Policy", data="{}"):
    return SharedRecord("policy", key, version, name, data)


def test_shared_records_are_kept_changed_and_removed(either):
    kept = either.put_shared(_record(data='{"number":"1"}'), who="Ada")
    assert (kept.version, kept.who) == (1, "Ada")
    either.put_shared(_record("p0", name="A policy"), who="Ada")
    assert [one.id for one in either.shared("policy")] == ["p0", "p1"]
    assert either.shared("policy")[1] == kept
    again = either.put_shared(kept._replace(data='{"number":"2"}'), who="Ben")
    assert (again.version, either.shared("policy")[1]) == (2, again)
    assert either.shared("party") == ()
    either.remove_shared("policy", "p1")
    assert [one.id for one in either.shared("policy")] == ["p0"]
    with pytest.raises(LdappError, match="gone already"):
        either.remove_shared("policy", "p1")


def test_a_shared_record_is_never_overwritten_unseen(either):
    kept = either.put_shared(_record(), who="Ada")
    either.put_shared(kept._replace(data='{"by":"Ben"}'), who="Ben")
    with pytest.raises(ConflictError, match="nothing was overwritten"):
        either.put_shared(kept._replace(data='{"by":"Ada"}'), who="Ada")
    with pytest.raises(ConflictError, match="kept already"):
        either.put_shared(_record(), who="Ada")
    assert either.shared("policy")[0].data == '{"by":"Ben"}'


def test_ten_thousand_rows_are_read_with_and_without_their_figures(either):
    from tests.store.many_claims import put_many

    put_many(either, 300)
    assert len(either.summaries()) == 300
    rows = either.summaries_with_figures()
    assert len({row.claim for row in rows}) == 300
    assert all(row.figures is not None for row in rows)

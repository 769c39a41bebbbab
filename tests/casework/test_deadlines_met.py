"""An answer that was sent meets the deadline to object; an answer that did not come is overdue."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest

from ldapp.casework import after_sending as work
from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.summary import summary_of
from ldapp.casework.weak_points import find_weak_points
from ldapp.claim.claim import Claim
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.documents import Correspondence
from ldapp.desktop.pages.after_sending import next_deadline_text
from tests.desktop.pages.conftest import WEST, page_claim

OBJECT = DeadlineRule(
    code="objection", title="Object to the invoice in writing", starts="invoice_date", length=30
)
PAY = DeadlineRule(code="payment", title="Pay or object", starts="invoice_date", length=45)
TODAY = dt.date(2026, 3, 25)
DUE = dt.date(2026, 4, 15)


def with_rules(*rules: DeadlineRule) -> Claim:
    claim = page_claim()
    agreement = claim.agreements[0]
    terms = dataclasses.replace(agreement.terms, deadlines=rules)
    return dataclasses.replace(claim, agreements=(dataclasses.replace(agreement, terms=terms),))


def sent(claim: Claim, day: dt.date, **more: object) -> Claim:
    values: dict[str, object] = {"step": "answer_to_charges", "direction": "sent"}
    entry = Correspondence(
        id="sent",
        at=dt.datetime.combine(day, dt.time(9), tzinfo=WEST),
        channel="email",
        subject="LD-0932",
        **(values | more),  # type: ignore[arg-type]
    )
    return dataclasses.replace(claim, correspondence=(*claim.correspondence, entry))


def days(claim: Claim, today: dt.date = TODAY) -> list[tuple[dt.date, str]]:
    return [(one.day, one.says) for one in work.coming_deadlines(claim, reckon_claim(claim), today)]


def test_the_answer_meets_the_deadline_to_object_and_nothing_else() -> None:
    claim = with_rules(OBJECT, PAY)
    wanted = [(DUE, OBJECT.title), (dt.date(2026, 4, 30), PAY.title)]
    assert days(claim) == wanted
    answered = sent(claim, dt.date(2026, 3, 20))
    assert days(answered) == wanted[1:]
    # On the very day of the invoice is not too early; a payment stays due.
    assert days(sent(claim, dt.date(2026, 3, 16))) == wanted[1:]
    for told, met in ((claim, False), (answered, True)):
        points = find_weak_points(told, reckon_claim(told), {}, DUE)
        says = [one.says for one in points if one.code == "deadline"]
        assert any(OBJECT.title in one for one in says) is not met
    figures = summary_of(answered, reckon_claim(answered), 0).figures
    assert figures is not None
    assert OBJECT.title not in [one.title for one in figures.deadlines]


@pytest.mark.parametrize(
    "more",
    [
        {"day": dt.date(2026, 3, 10)},
        {"step": "request"},
        {"direction": "received"},
        {"agreement": "another"},
    ],
)
def test_what_is_no_answer_to_this_invoice_leaves_it_due(more: dict[str, object]) -> None:
    day = more.pop("day", dt.date(2026, 3, 20))
    assert isinstance(day, dt.date)
    assert days(sent(with_rules(OBJECT), day, **more)) == [(DUE, OBJECT.title)]


def test_an_answer_that_did_not_come_is_overdue_until_it_comes() -> None:
    claim = sent(with_rules(OBJECT), dt.date(2026, 3, 20), reply_by=dt.date(2026, 4, 3))
    reckoning = reckon_claim(claim)
    late = dt.date(2026, 4, 10)
    assert not work.overdue_deadlines(claim, reckoning, dt.date(2026, 4, 3))
    said = next_deadline_text(claim, reckoning, late)
    assert said.splitlines() == [
        "⚠ Overdue since 2026-04-03, 7 days ago: They are asked to answer: LD-0932",
        "No deadline is running.",
    ]
    reply = sent(claim, dt.date(2026, 4, 9), direction="received", step="reply")
    assert not work.overdue_deadlines(reply, reckon_claim(reply), late)
    settled = dataclasses.replace(claim, stage="settled")
    assert not work.overdue_deadlines(settled, reckoning, late)


def test_an_objection_that_was_not_sent_is_overdue() -> None:
    claim = with_rules(OBJECT, PAY)
    found = work.overdue_deadlines(claim, reckon_claim(claim), dt.date(2026, 5, 20))
    assert [(one.day, one.says, one.ours) for one in found] == [(DUE, OBJECT.title, True)]

"""After sending: logged with its hash, offers line by line, settled, found again, refunded."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
from decimal import Decimal
from pathlib import Path

import pytest

from ldapp.casework import after_sending as work
from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.register import Register
from ldapp.casework.summary import empty_summary, summary_of
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.documents import Correspondence, RecoveredItem
from ldapp.claim.terms import RecoveryTerm
from ldapp.errors import LdappError
from ldapp.store.claim_library import Library
from tests.desktop.pages.conftest import WEST, page_claim

PAID = dt.datetime(2026, 4, 1, 10, 0, tzinfo=WEST)


def paid_claim(term: RecoveryTerm | None, settled: str = "555.00") -> Claim:
    """Return a claim whose first charge (4 units, line 1) was settled and paid."""
    claim = page_claim()
    agreement = dataclasses.replace(
        claim.agreements[0],
        terms=dataclasses.replace(claim.agreements[0].terms, recovery=term),
    )
    invoice = claim.invoices[0]
    charge = dataclasses.replace(invoice.charges[0], settled=Decimal(settled))
    kit = dataclasses.replace(claim.kit[0], day_rate=Decimal("2.50"))
    return dataclasses.replace(
        claim,
        agreements=(agreement,),
        kit=(kit, *claim.kit[1:]),
        invoices=(dataclasses.replace(invoice, charges=(charge, *invoice.charges[1:])),),
        correspondence=(
            Correspondence(
                id="pay",
                at=PAID,
                direction="sent",
                channel="email",
                step="payment",
                subject="Paid",
                paid=Decimal("555.00"),
            ),
        ),
    )


def found(day: dt.date, **more: object) -> RecoveredItem:
    return RecoveredItem(id="r1", line="line-1", found=day, **more)  # type: ignore[arg-type]


def test_a_found_unit_earns_its_share_of_what_was_paid() -> None:
    claim = paid_claim(RecoveryTerm(refund="full", within_days=7, clause=Clause(reference="12")))
    step = work.refund_earned(claim, found(dt.date(2026, 4, 8)))
    assert step.amount == Decimal("138.75")
    assert step.clause is not None
    late = work.refund_earned(claim, found(dt.date(2026, 4, 8), returned=dt.date(2026, 4, 9)))
    assert late.amount == Decimal("0.00")
    assert "after the agreed days" in late.rule


def test_rent_to_the_day_it_was_found_is_taken_off_and_never_more_than_the_refund() -> None:
    claim = paid_claim(RecoveryTerm(refund="less_rent"))
    # The rental ended on 9 March: 23 days to 1 April, at 2.50 a day.
    assert work.refund_earned(claim, found(dt.date(2026, 4, 1))).amount == Decimal("81.25")
    assert work.refund_earned(claim, found(dt.date(2027, 4, 1))).amount == Decimal("0.00")


def test_where_the_agreement_is_silent_no_refund_is_made_up() -> None:
    assert work.refund_earned(paid_claim(None), found(dt.date(2026, 4, 2))).amount is None
    none = paid_claim(RecoveryTerm(refund="none"))
    assert work.refund_earned(none, found(dt.date(2026, 4, 2))).amount == Decimal("0.00")


@pytest.fixture
def register(tmp_path: Path) -> Register:
    return Register(Library.open(tmp_path / "library"), "Ada")


def test_sent_offered_settled_each_dated_and_undone(register: Register, tmp_path: Path) -> None:
    claim = page_claim()
    register._library.create(claim, who="Ada", label="New claim", summary=empty_summary(claim))
    desk = register.open(claim.id)
    dossier = tmp_path / "answer.pdf"
    dossier.write_bytes(b"as it was sent")
    sent = work.log_dossier_sent(
        desk,
        dossier,
        "answer_to_charges",
        agreement="a1",
        reply_by=dt.date(2026, 4, 20),
        at=dt.datetime(2026, 4, 1, 9, 0, tzinfo=WEST),
    )
    assert sent.sha256 == hashlib.sha256(b"as it was sent").hexdigest()
    assert (sent.party, desk.claim.stage) == ("p1", "sent")
    due = work.coming_deadlines(desk.claim, None, dt.date(2026, 4, 2))
    assert (due[0].day, due[0].ours) == (dt.date(2026, 4, 20), False)
    reply = dataclasses.replace(
        work.new_entry(desk.claim, "reply", "a1"), at=dt.datetime(2026, 4, 9, 9, tzinfo=WEST)
    )
    work.put_entry(desk, reply)
    assert not work.coming_deadlines(desk.claim, None, dt.date(2026, 4, 2))
    assert desk.claim.stage == "answered"
    asked = {("i1", "ch1"): Decimal("600.00")}
    assert work.offer_for_charges(desk, "received", asked, reply.id).id == reply.id
    standing = work.charge_standings(desk.claim, None)[0]
    assert (standing.theirs, standing.ours, desk.claim.stage) == (Decimal(600), None, "offered")
    work.settle_charges(desk, {"ch1": Decimal("580.00")})
    charge = desk.claim.invoices[0].charges[0]
    assert (charge.settled, charge.settled_on is None) == (Decimal("580.00"), False)
    assert summary_of(desk.claim, reckon_claim(desk.claim), 0).settled == Decimal("580.00")
    desk.undo()
    desk.undo()
    assert desk.claim.invoices[0].charges[0].settled is None
    assert work.charge_standings(desk.claim, None)[0].theirs is None
    with pytest.raises(LdappError, match="matches no kit line"):
        work.new_recovered(desk.claim, "i1", "ch2")
    register.close()


def test_the_register_shows_by_when_we_are_asked_to_answer() -> None:
    claim = page_claim()
    soon = dt.date(2100, 1, 2)
    asked = Correspondence(
        id="e1",
        at=PAID,
        direction="received",
        channel="email",
        step="reply",
        subject="Please answer",
        reply_by=soon,
    )
    claim = dataclasses.replace(claim, correspondence=(asked,))
    told = summary_of(claim, reckon_claim(claim), 0)
    assert (told.next_deadline, told.next_deadline_title) == (soon, "Answer: Please answer")
    answered = dataclasses.replace(
        asked, id="e2", direction="sent", at=PAID + dt.timedelta(days=1), reply_by=None
    )
    claim = dataclasses.replace(claim, correspondence=(asked, answered))
    assert summary_of(claim, reckon_claim(claim), 0).next_deadline is None

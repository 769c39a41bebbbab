"""The second letter refers to the first; what it says follows what was logged."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from decimal import Decimal
from typing import Any

from ldapp.casework.ground_answers import likely_answers
from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.documents import ChargeOffer, Correspondence, RecoveredItem
from ldapp.claim.grounds import GROUND_CODES
from ldapp.dossier.wording import wording
from tests.dossier.conftest import Write, words_of
from tests.dossier.test_who_may_read_what import everything_in

DATE = dt.date(2026, 6, 15)


def entry(key: str, day: int, direction: Any, step: Any, **more: Any) -> Correspondence:
    return Correspondence(
        id=key,
        at=dt.datetime(2026, 6, day, 12, tzinfo=dt.UTC),
        direction=direction,
        channel="email",
        step=step,
        subject="private-subject",
        text="private-words",
        **more,
    )


FIRST = entry("e1", 1, "sent", "answer_to_charges")


def logged(claim: Claim, *entries: Correspondence) -> Claim:
    return dataclasses.replace(claim, correspondence=entries)


def test_without_a_first_letter_it_is_the_first(write: Write, claim: Claim) -> None:
    for told in ((), (entry("e1", 15, "sent", "answer_to_charges"),)):
        result, _ = write(logged(claim, *told), "dispute", date=DATE)
        assert "We refer to our letter" not in words_of(result.path)
    result, _ = write(logged(claim, FIRST), "insurer", date=DATE)
    assert "We refer to our letter" not in words_of(result.path)


def test_an_unanswered_first_letter_is_named(write: Write, claim: Claim) -> None:
    result, _ = write(logged(claim, FIRST), "dispute", date=DATE)
    words = words_of(result.path)
    assert "We refer to our letter of 1 June 2026" in words
    assert "No answer to that letter is among our records" in words
    assert "You offer" not in words
    assert "So that the rest can be settled" not in words


def test_what_was_answered_offered_settled_paid_and_found(write: Write, claim: Claim) -> None:
    invoice = claim.invoices[0]
    first, second, third = invoice.charges[:3]
    charges = (dataclasses.replace(third, settled=Decimal("120.00")), *invoice.charges[3:])
    claim = dataclasses.replace(
        claim,
        invoices=(dataclasses.replace(invoice, charges=(first, second, *charges)),),
        recovered=(RecoveredItem(id="r", line="l1", quantity=1, found=DATE),),
    )
    offers = (
        ChargeOffer(invoice=invoice.id, charge=first.id, amount=Decimal("200.00")),
        ChargeOffer(invoice=invoice.id, charge=third.id, amount=Decimal("111.00")),
    )
    result, wanted = write(
        logged(
            claim,
            FIRST,
            entry("e2", 9, "received", "offer", offers=offers),
            entry("e3", 12, "sent", "payment", paid=Decimal("120.00")),
        ),
        "dispute",
        date=DATE,
    )
    words = words_of(result.path)
    assert "Your answer of 9 June 2026 has reached us" in words
    # The settled line is not offered any more.
    number = first.number
    assert f"You offer to settle line {number}, billed at USD 265.00, for USD 200.00." in words
    ours = next(one for one in wanted.reckoning.charges if one.charge == first.id)
    apart = max(Decimal("200.00") - ours.owed, Decimal(0))
    assert f"so that USD {apart:,.2f} remains between us" in words
    assert f"Settled between us so far: line {third.number}, for USD 120.00 in all" in words
    disputes = {one.charge: one.disputed for one in wanted.reckoning.charges}
    assert disputes[third.id]  # and yet it is not in dispute any more
    left = [one for one in (first, second, *charges[1:]) if disputes[one.id]]
    found = re.search(r"after what has been settled: (.*?), with USD ([\d,.]+)\.", words)
    assert found is not None
    told, amount = found.groups()
    assert re.findall(r"\d+", told) == [one.number for one in left]
    assert Decimal(amount.replace(",", "")) == sum(disputes[one.id] for one in left)
    assert "USD 120.00 has been paid to you" in words
    assert "Of what you charged, this has been found since: 1 unit." in words
    # The same by line, in the answer to each charge.
    assert "Your offer USD 200.00" in words
    assert "Your offer USD 111.00" not in words
    assert "Settled USD 120.00" in words
    everything = everything_in(result.path)
    assert "private-subject" not in everything
    assert "private-words" not in everything


def test_what_the_desk_noted_of_a_letter_reaches_nobody(write: Write, claim: Claim) -> None:
    for version in ("insurer", "dispute"):
        result, _ = write(logged(claim, FIRST), version, date=DATE)
        assert "private-words" not in everything_in(result.path)


def test_likely_answers_never_reach_the_rental_company(write: Write, claim: Claim) -> None:

    invoice = claim.invoices[0]
    charge = dataclasses.replace(
        invoice.charges[0], grounds=tuple(GroundChoice(code=code) for code in GROUND_CODES)
    )
    claim = dataclasses.replace(
        claim,
        invoices=(dataclasses.replace(invoice, charges=(charge, *invoice.charges[1:])),),
    )
    result, _ = write(logged(claim, FIRST), "dispute", date=DATE)
    everything = " ".join(everything_in(result.path).split())
    for code, answer in likely_answers().items():
        assert answer.theirs not in everything, code
        assert answer.ours not in everything, code


def test_the_words_threaten_nobody_and_admit_nothing() -> None:
    text = " ".join(one["text"] for one in wording()["dispute_again"]["paragraphs"]).casefold()
    for word in ("court", "lawyer", "sue", "accept", "admitted", "must"):
        assert f" {word} " not in text
    assert "no admission of liability" in text


def test_every_ground_has_its_sentence_for_the_rental_company() -> None:
    assert set(wording()["dispute"]["grounds"]) == set(GROUND_CODES)

"""The covering e-mail: addressed, without admissions, and safe against braces in names."""

from __future__ import annotations

import dataclasses
import datetime as dt
from typing import Any, Literal

from ldapp.casework.covering_email import covering_email
from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.documents import Correspondence
from ldapp.claim.parties import Party

DAY = dt.date(2026, 3, 20)


def _claim(title: str = "Lanterns") -> Claim:
    return Claim(
        id="c",
        reference="2026-004",
        title=title,
        currency="USD",
        zone="UTC",
        parties=(
            Party(id="p", role="production", name="Invented Pictures", contact="Ada Example"),
            Party(
                id="r", role="rental_company", name="Invented Rentals", email="desk@rentals.example"
            ),
            Party(id="i", role="insurer", name="Invented Mutual", email="claims@mutual.example"),
        ),
        agreements=(Agreement(id="a", lessor="r"),),
        policy=Policy(id="q", insurer="i", claim_number="M-77"),
        invoices=(Invoice(id="v", agreement="a", number="LD-19", dated=DAY),),
    )


def test_the_answer_goes_to_the_rental_company_and_admits_nothing() -> None:
    mail = covering_email(_claim(), "dispute", DAY)
    assert mail.to == "desk@rentals.example"
    assert mail.subject == "2026-004: answer to your invoice LD-19"
    assert "no admission of liability" in mail.text
    assert "accept" not in mail.text
    assert mail.text.endswith("Ada Example")
    assert "{" not in mail.as_text()


def test_the_insurer_gets_its_own_reference_and_the_other_side_does_not() -> None:
    assert "M-77" in covering_email(_claim(), "insurer", DAY).text
    assert covering_email(_claim(), "insurer", DAY).to == "claims@mutual.example"
    assert "M-77" not in covering_email(_claim(), "dispute", DAY).as_text()


def test_braces_in_a_title_are_only_text() -> None:
    mail = covering_email(_claim("{sender} and {0} {unknown}"), "photos", DAY)
    assert "({sender} and {0} {unknown})" in mail.text


def _entry(day: int, direction: Literal["sent", "received"], step: Any, **more: Any) -> Any:
    return Correspondence(
        id=f"e{day}",
        at=dt.datetime(2026, 3, day, 10, tzinfo=dt.UTC),
        direction=direction,
        channel="email",
        step=step,
        subject="x",
        agreement="a",
        **more,
    )


def test_a_second_answer_refers_to_the_first_and_to_the_last_reply() -> None:
    entries = (
        _entry(2, "sent", "answer_to_charges"),
        _entry(9, "received", "reply"),
        _entry(11, "received", "offer"),
        _entry(12, "received", "payment"),
    )
    claim = dataclasses.replace(_claim(), correspondence=entries)
    mail = covering_email(claim, "dispute", DAY)
    assert mail.subject == "2026-004: second answer to your invoice LD-19"
    assert "our answer of 2026-03-02 and to your reply of 2026-03-11" in mail.text
    assert "no admission of liability" in mail.text
    assert "{" not in mail.as_text()
    silent = dataclasses.replace(claim, correspondence=entries[:1])
    assert "our answer of 2026-03-02, and says" in covering_email(silent, "dispute", DAY).text


def test_an_answer_of_the_same_day_or_to_another_company_makes_no_second_one() -> None:
    claim = _claim()
    today = dataclasses.replace(claim, correspondence=(_entry(20, "sent", "answer_to_charges"),))
    assert "second" not in covering_email(today, "dispute", DAY).subject
    other = dataclasses.replace(_entry(2, "sent", "answer_to_charges"), agreement="b")
    elsewhere = dataclasses.replace(claim, correspondence=(other,))
    assert "second" not in covering_email(elsewhere, "dispute", DAY).subject
    assert "second" not in covering_email(elsewhere, "insurer", DAY).subject


def test_volumes_are_named_so_that_a_missing_one_is_missed() -> None:
    names = ("R-1.pdf", "R-1 volume 2.pdf", "R-1 {volume} 3.pdf")
    text = covering_email(_claim(), "dispute", DAY, files=names).text
    assert "It comes in 3 volumes" in text
    assert "\n– R-1 volume 2.pdf\n– R-1 {volume} 3.pdf\n\nYours faithfully," in text
    for version in ("insurer", "dispute", "photos", "counts"):
        assert "volume" not in covering_email(_claim(), version, DAY, files=names[:1]).text

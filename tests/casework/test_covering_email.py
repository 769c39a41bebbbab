"""The covering e-mail: addressed, without admissions, and safe against braces in names."""

from __future__ import annotations

import datetime as dt

from ldapp.casework.covering_email import covering_email
from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Invoice
from ldapp.claim.claim import Claim
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

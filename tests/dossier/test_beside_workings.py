"""What stands beside the workings, and who may read it: read back from the pages."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule, Holiday, HolidayCalendar
from ldapp.claim.policy import OtherInsurance
from ldapp.claim.terms import OpeningCondition
from ldapp.dossier.formats import amount_text, date_text
from ldapp.reckoning.defaults import TERM_WORDS
from tests.dossier.conftest import Write, text_of, words_of
from tests.dossier.test_who_may_read_what import everything_in

HOLIDAY = Holiday(day=dt.date(2026, 3, 18), name="Founders' day")


def with_terms(claim: Claim, **terms: object) -> Claim:
    (paper,) = claim.agreements
    changed = dataclasses.replace(paper.terms, **terms)  # type: ignore[arg-type]
    return dataclasses.replace(claim, agreements=(dataclasses.replace(paper, terms=changed),))


def with_policy_terms(claim: Claim, **terms: object) -> Claim:
    assert claim.policy is not None
    changed = dataclasses.replace(claim.policy.terms, **terms)  # type: ignore[arg-type]
    return dataclasses.replace(claim, policy=dataclasses.replace(claim.policy, terms=changed))


def rule(code: str, binds: str, title: str, **more: object) -> DeadlineRule:
    return DeadlineRule(
        code=code,
        title=title,
        starts="invoice_received",
        length=5,
        unit="business_days",
        binds=binds,  # type: ignore[arg-type]
        clause=Clause(reference="11.3"),
        **more,  # type: ignore[arg-type]
    )


def with_periods(claim: Claim) -> Claim:
    claim = with_terms(
        claim,
        deadlines=(
            rule("objection", "us", "Object to the invoice in writing"),
            rule("evidence", "lessor", "Hand over the repair papers", needs="estimate and photos"),
        ),
        holidays=HolidayCalendar(place="Denver", days=(HOLIDAY,)),
    )
    return with_policy_terms(
        claim, deadlines=(rule("proof", "us", "Send the sworn proof", from_memory=True),)
    )


def test_the_insurer_reads_how_each_period_is_counted(write: Write, claim: Claim) -> None:
    result, request = write(with_periods(claim), "insurer")
    text = words_of(result.path)
    assert len(request.reckoning.deadlines) == 3
    for one in request.reckoning.deadlines:
        assert one.due is not None
        assert one.title in text
        assert date_text(one.due).replace("\u00a0", " ") in text
    assert "left out: 2026-03-18 Founders' day" in text
    assert "5 business days (Monday to Friday) from the receipt of the invoice" in text
    assert "needs: estimate and photos" in text
    assert "from memory: to be checked in the paper itself" in text


def test_the_rental_company_reads_only_the_periods_that_bind_it(write: Write, claim: Claim) -> None:
    result, _ = write(with_periods(claim), "dispute")
    text = words_of(result.path)
    assert "Hand over the repair papers" in text
    assert "left out: 2026-03-18 Founders' day" in text
    assert "Object to the invoice in writing" not in text
    assert "Send the sworn proof" not in everything_in(result.path)


def test_a_period_that_has_not_begun_says_so(write: Write, claim: Claim) -> None:
    (invoice,) = claim.invoices
    waiting = dataclasses.replace(claim, invoices=(dataclasses.replace(invoice, received=None),))
    result, _ = write(with_periods(waiting), "insurer")
    assert "has not begun" in words_of(result.path)


def test_without_periods_there_is_no_heading_for_them(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "insurer")
    assert "Period, and how it is counted" not in words_of(result.path)


def test_what_papers_leave_open_is_for_the_insurer(write: Write, claim: Claim) -> None:
    result, request = write(claim, "insurer")
    text = words_of(result.path)
    assert len(request.reckoning.not_stated) > 10
    for one in request.reckoning.not_stated:
        assert TERM_WORDS[one.term] in text
        assert one.taken[1:] in text
    told, _ = write(claim, "dispute")
    assert "What the papers do not state" not in words_of(told.path)


def as_is(claim: Claim) -> Claim:
    opening = OpeningCondition(rule="good_unless_noted_at_delivery", clause=Clause(reference="3.9"))
    claim = with_terms(claim, opening_condition=opening)
    return dataclasses.replace(
        claim,
        counts=tuple(
            dataclasses.replace(one, acknowledgement="one_side", document=None)
            if one.stage == "pickup"
            else one
            for one in claim.counts
        ),
    )


@pytest.mark.parametrize("version", ["dispute", "insurer"])
def test_what_the_agreement_says_against_a_ground_is_never_told_to_the_rental_company(
    write: Write, claim: Claim, version: str
) -> None:
    result, request = write(as_is(claim), version)
    against = {ground.against for one in request.reckoning.charges for ground in one.grounds}
    (says,) = against - {""}
    told = version == "insurer"
    text = everything_in(result.path)
    assert (says in text) is told
    assert ("against it" in text) is told


@pytest.mark.parametrize("version", ["dispute", "insurer"])
def test_an_invoice_is_added_up_beside_what_it_prints(
    write: Write, claim: Claim, version: str
) -> None:
    (invoice,) = claim.invoices
    taxed = dataclasses.replace(
        invoice, net=Decimal("1570.00"), tax=Decimal("125.60"), gross=Decimal("1695.60")
    )
    result, request = write(dataclasses.replace(claim, invoices=(taxed,)), version)
    (found,) = request.reckoning.invoices
    assert found.difference == Decimal("3.60")
    text = text_of(result.path, "-layout")
    (row,) = [line for line in text.splitlines() if f"Invoice {invoice.number} added up" in line]
    shown = (found.working.amount, found.printed, found.difference)
    assert row.split()[-3:] == [amount_text(amount, "USD") for amount in shown]
    assert "USD 125.60 of tax stands below the lines and on none of them" in words_of(result.path)


def test_the_insurer_reads_what_each_other_insurer_pays(write: Write, claim: Claim) -> None:
    others = (OtherInsurance(insurer="Invented Second Mutual", limit=Decimal(5000)),)
    result, request = write(with_policy_terms(claim, other_insurance=others), "insurer")
    shares = [share for one in request.reckoning.occurrences for share in one.other_by_insurer]
    assert shares
    text = words_of(result.path)
    for name, amount in shares:
        assert f"of this {name} USD {amount_text(amount, 'USD')}" in text

"""What the agreement says against a ground takes its strength, and stands beside it."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.documents import Document
from ldapp.claim.findings import Repair
from ldapp.claim.terms import (
    BurnOutTerm,
    ClosingCount,
    Liability,
    OpeningCondition,
    Provision,
    Terms,
)
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import GroundFall
from tests.reckoning.claims import (
    CLAUSE,
    REPLACEMENT,
    at,
    charge,
    claim,
    count,
    damaged,
    event,
    invoice,
    line,
    missing,
    steps_of,
)

NOON = at(1)
SIGNED = Document(id="d", title="Letter", signed_by_other_side=True)


def billed(code: Any, terms: Terms, *, signed: bool = False, **more: Any) -> Claim:
    """A charge with one ground that a clause of 4.1 supports."""
    choice = GroundChoice(code=code, clause="4.1", documents=("d",) if signed else ())
    given: dict[str, Any] = {
        "kit": [line(price="100")],
        "occurrences": [event()],
        "findings": [damaged(repair=Repair(parts=Decimal(40)))],
        "invoices": [invoice(charge("h1", "60", [choice], kind="repair", finding="f1"))],
        "documents": (SIGNED,),
        **more,
    }
    return claim(terms=terms, **given)


def fall(of: Claim) -> GroundFall:
    (result,) = reckon(of).charges
    return result.grounds[0]


@pytest.mark.parametrize(
    ("code", "terms", "says"),
    [
        (
            "repair_undocumented",
            Terms(invoice_conclusive=Provision(applies=True, clause=CLAUSE)),
            "the invoice is conclusive",
        ),
        (
            "ordinary_wear",
            Terms(wear_excepted=Provision(applies=False, clause=CLAUSE)),
            "ordinary wear is not left out",
        ),
        (
            "not_liable",
            Terms(liability=Liability(rule="any_cause", clause=CLAUSE)),
            "the renter answers for any cause",
        ),
        (
            "used_up",
            Terms(burn_outs=BurnOutTerm(rule="renter", clause=CLAUSE)),
            "burned-out lamps are the renter's",
        ),
    ],
)
def test_a_clause_against_a_ground_takes_its_strength(code: Any, terms: Terms, says: str) -> None:
    of = billed(code, dataclasses.replace(terms, valuation=REPLACEMENT))
    found = fall(of)
    assert (found.amount, found.strong) == (Decimal(60), False)
    assert (found.against, found.against_clause) == (says, CLAUSE)
    signed = fall(billed(code, dataclasses.replace(terms, valuation=REPLACEMENT), signed=True))
    assert (signed.strong, signed.against) == (True, says)
    inputs = [given for step in steps_of(reckon(of).charges[0].working) for given in step.inputs]
    assert ("against it", f"{says} (clause 7.2)") in [(one.name, one.value) for one in inputs]
    observed = [seen.says for seen in reckon(of).observations if seen.code == "clause_against"]
    assert len(observed) == 1
    assert observed[0].endswith(f"the agreement says: {says}")


@pytest.mark.parametrize(
    ("code", "terms"),
    [
        ("repair_undocumented", Terms()),
        ("repair_undocumented", Terms(invoice_conclusive=Provision(applies=False))),
        ("ordinary_wear", Terms(wear_excepted=Provision(applies=True))),
        ("ordinary_wear", Terms()),
        ("not_liable", Terms(liability=Liability(rule="fault_only"))),
        ("not_liable", Terms()),
        ("used_up", Terms(burn_outs=BurnOutTerm(rule="free_if_returned"))),
        ("used_up", Terms()),
        ("betterment", Terms(invoice_conclusive=Provision(applies=True))),
    ],
)
def test_where_the_agreement_says_nothing_against_it(code: Any, terms: Terms) -> None:
    found = fall(billed(code, dataclasses.replace(terms, valuation=REPLACEMENT)))
    assert (found.against, found.against_clause) == ("", None)


def test_a_clause_without_a_reference_is_named_by_its_words() -> None:
    of = billed(
        "repair_undocumented",
        Terms(valuation=REPLACEMENT, invoice_conclusive=Provision(applies=True)),
    )
    inputs = [given for step in steps_of(reckon(of).charges[0].working) for given in step.inputs]
    assert ("against it", "the invoice is conclusive") in [(one.name, one.value) for one in inputs]
    assert fall(of).strong is False


def test_a_ground_that_takes_nothing_has_nothing_against_it_to_look_at() -> None:
    terms = Terms(
        valuation=REPLACEMENT,
        closing_count=ClosingCount(rule="lessor_controls", clause=CLAUSE),
    )
    counts = [
        count("r", "return", at(9), {"k1": 1}, "one_side"),
        count("i", "check_in", at(10), {"k1": 0}, "signed_by_both"),
    ]
    of = billed(
        "returned",
        terms,
        counts=counts,
        findings=[missing()],
        invoices=[invoice(charge("h1", "100", ["returned"], finding="f1"))],
    )
    found = fall(of)
    assert (found.amount, found.strong) == (Decimal(0), False)
    assert found.against == "the rental company's own count decides"
    assert not [seen for seen in reckon(of).observations if seen.code == "clause_against"]
    # One that the company signed decides beside its own.
    both = [dataclasses.replace(counts[0], acknowledgement="signed_by_both"), counts[1]]
    signed = fall(dataclasses.replace(of, counts=tuple(both)))
    assert (signed.amount, signed.strong, signed.against) == (Decimal(100), True, "")


def test_a_quantity_rests_on_the_count_that_decides() -> None:
    terms = Terms(valuation=REPLACEMENT, closing_count=ClosingCount(rule="lessor_controls"))
    counts = [
        count("r", "return", at(9), {"k1": 1}, "one_side"),
        count("i", "check_in", at(10), {"k1": 0}, "signed_by_both"),
    ]
    of = billed(
        "quantity",
        terms,
        counts=counts,
        findings=[missing()],
        invoices=[
            invoice(charge("h1", "200", ["quantity"], quantity=Decimal(2), finding="f1"))
        ],
    )  # fmt: skip
    found = fall(of)
    assert (found.amount, found.strong) == (Decimal(100), True)
    assert found.rests_on == ("check-in count of 2026-03-10 12:00+00:00, signed by both",)


# --- the condition at pickup --------------------------------------------------------------


def opened(
    code: Any,
    rule: Any,
    acknowledgement: Any = "signed_by_both",
    *,
    noted: bool = True,
    when: dt.datetime | None = NOON,
    hours: int | None = 24,
    begins: dict[str, Any] | None = None,
) -> GroundFall:
    """One of two was short, or its damage noted, at a pickup count; a charge answers with it."""
    entry = CountEntry(
        line="k1",
        quantity=1 if noted and code == "never_received" else 2,
        condition="damaged_before" if noted and code == "prior_damage" else "as_sent_out",
    )
    pickup = Count(
        id="p", stage="pickup", at=when, acknowledgement=acknowledgement,
        acknowledged_by="A. Clerk", entries=(entry,),
    )  # fmt: skip
    repair = code == "prior_damage"
    found = damaged(repair=Repair(parts=Decimal(40))) if repair else missing(units=1)
    term = None
    if rule is not None:
        term = OpeningCondition(
            rule=rule, hours=hours if rule == "noted_within_hours" else None, clause=CLAUSE
        )
    kind = "repair" if repair else "missing"
    return fall(
        claim(
            kit=[line(price="100", quantity=2)],
            counts=[pickup],
            occurrences=[event()],
            findings=[found],
            invoices=[
                invoice(
                    charge("h1", "200", [code], kind=kind, finding="f1", quantity=Decimal(2))
                )
            ],
            terms=Terms(valuation=REPLACEMENT, opening_condition=term),
            agreement=begins if begins is not None else {"custody_began": at(1, 8)},
        )
    )  # fmt: skip


@pytest.mark.parametrize("code", ["never_received", "prior_damage"])
@pytest.mark.parametrize(
    ("rule", "more", "strong", "against"),
    [
        (None, {}, True, ""),
        ("good_unless_noted_at_delivery", {}, True, ""),
        ("good_unless_noted_at_delivery", {"acknowledgement": "on_company_ticket"}, True, ""),
        # It was said to nobody on the other side.
        ("good_unless_noted_at_delivery", {"acknowledgement": "one_side"}, False, "counts as good"),
        ("good_unless_noted_at_delivery", {"noted": False}, False, "unless noted at delivery"),
        ("noted_within_hours", {}, True, ""),
        ("noted_within_hours", {"hours": 4}, True, ""),
        ("noted_within_hours", {"hours": 3}, False, "within 3 hours counts"),
        ("noted_within_hours", {"hours": None}, False, "within 0 hours counts"),
        ("noted_within_hours", {"when": None}, False, "within 24 hours counts"),
        ("noted_within_hours", {"begins": {"starts": at(1, 11)}, "hours": 1}, True, ""),
        ("noted_within_hours", {"begins": {}}, False, "within 24 hours counts"),
        ("noted_within_hours", {"noted": False}, False, "within 24 hours counts"),
        ("as_is", {}, True, "taken as it is"),
        ("as_is", {"noted": False}, False, "taken as it is"),
    ],
)
def test_what_was_there_at_pickup_must_have_been_raised(
    code: Any, rule: Any, more: dict[str, Any], strong: bool, against: str
) -> None:
    found = opened(code, rule, **more)
    assert found.strong is strong
    assert against in found.against
    assert bool(found.against) is bool(against)
    assert found.against_clause == (CLAUSE if against else None)


def test_a_shortage_on_a_line_without_counts_was_not_raised() -> None:
    of = billed(
        "never_received",
        Terms(
            valuation=REPLACEMENT,
            opening_condition=OpeningCondition(rule="good_unless_noted_at_delivery"),
        ),
        kit=[],
        findings=[],
        invoices=[invoice(charge("h1", "60", ["never_received"]))],
    )
    assert fall(of).against.startswith("the equipment counts as good")


def test_damage_that_was_noted_at_pickup_is_asked_about() -> None:
    entry = CountEntry(line="k1", quantity=1, condition="damaged_before")
    noted = Count(id="p", stage="pickup", at=at(1), entries=(entry,))
    of = billed("betterment", Terms(valuation=REPLACEMENT), counts=[noted])
    says = [s.says for s in reckon(of).observations if s.code == "noted_at_pickup"]
    assert says == ["damage was noted on this line at pickup: is it the same?"]
    gone = dataclasses.replace(of, findings=(missing(),))
    assert not [s for s in reckon(gone).observations if s.code == "noted_at_pickup"]

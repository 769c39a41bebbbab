"""Findings and grounds that the counts and terms suggest."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction
from typing import Any

from ldapp.claim.charges import Charge
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.findings import Finding, Repair
from ldapp.claim.kit import Part
from ldapp.claim.terms import (
    FeeRule,
    LessorsDiscount,
    LossOfUse,
    Provision,
    TaxRule,
    Terms,
    ValuationRule,
    ValueCeiling,
)
from ldapp.reckoning.proposals import (
    ProposedFinding,
    ProposedGround,
    propose_findings,
    propose_grounds,
)
from tests.reckoning.claims import (
    CASH_VALUE,
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
    straight_line,
)

COUNTS = (
    count("c1", "pickup", at(1), {"k1": 8, "k2": 4}),
    count("c2", "during", at(4), {"k1": 7}),
    count("c3", "return", at(9), {"k1": 5, "k2": 5}),
)


def found(findings: tuple[Finding, ...] = (), **more: Any) -> tuple[ProposedFinding, ...]:
    given: dict[str, Any] = {
        "kit": [line("k1", quantity=10), line("k2", quantity=4)],
        "counts": COUNTS,
        **more,
    }
    return propose_findings(claim(findings=findings, **given))


def summary(proposals: tuple[ProposedFinding, ...]) -> list[tuple[str, str, int]]:
    return [(p.finding.line, p.finding.kind, p.finding.quantity) for p in proposals]


def test_what_the_counts_show_is_proposed_once_for_each_bracket() -> None:
    assert summary(found()) == [
        ("k1", "short_at_pickup", 2),
        ("k1", "missing", 1),
        ("k1", "missing", 2),
        ("k2", "over", 1),
    ]
    reasons = [p.reason for p in found()]
    assert reasons[0] == "10 on the list, 8 at the pickup count"
    assert "last seen 2026-03-01 12:00+00:00, gone 2026-03-04 12:00+00:00" in reasons[1]


def test_what_a_finding_says_already_is_not_proposed_again() -> None:
    known = (
        missing("f1", units=1, occurrence=None),
        Finding(id="f2", line="k1", kind="short_at_pickup", quantity=2),
        Finding(id="f3", line="k2", kind="over", quantity=1),
    )
    assert summary(found(known)) == [("k1", "missing", 2)]
    everything = (*known, missing("f4", units=2, occurrence=None))
    assert found(everything) == ()


def test_a_unit_that_no_count_ever_saw() -> None:
    (proposal,) = found(
        kit=[line("k1", quantity=2)], counts=(count("c3", "return", at(9), {"k1": 1}),)
    )
    assert "seen at none before" in proposal.reason


def test_serial_numbers_and_exchanges() -> None:
    def entry(*serials: str) -> tuple[CountEntry, ...]:
        return (CountEntry(line="k1", quantity=len(serials), serials_seen=serials),)

    proposals = found(
        kit=[line("k1", quantity=2, serials=("A", "B"))],
        counts=(
            Count(id="c1", stage="pickup", at=at(1), entries=entry("A", "B")),
            Count(id="c3", stage="return", at=at(9), entries=entry("X")),
        ),
    )
    assert summary(proposals) == [("k1", "missing", 1), ("k1", "exchanged", 1)]
    assert proposals[0].finding.serials == ("A",)
    assert proposals[1].finding.serials == ("X",)


def test_parts_are_findings_of_the_part() -> None:
    from ldapp.claim.counts import PartCount

    arm = Part(id="arm", description="arm")
    entries = (CountEntry(line="k1", quantity=2, parts=(PartCount(part="arm", quantity=1),)),)
    (proposal,) = found(
        kit=[line("k1", quantity=2, parts=(arm,))],
        counts=(Count(id="c3", stage="return", at=at(9), entries=entries),),
    )
    assert (proposal.finding.part, proposal.finding.kind) == ("arm", "missing")
    assert proposal.finding.id == "k1-arm-missing-1"


def test_damage_that_a_closing_count_notes() -> None:
    def entry(condition: Any, identity: str = "k1") -> tuple[CountEntry, ...]:
        return (CountEntry(line=identity, quantity=1, condition=condition),)

    def proposed(before: Any, after: Any, findings: tuple[Finding, ...] = ()) -> list[str]:
        counts = (
            Count(id="c1", stage="pickup", at=at(1), entries=entry(before)),
            Count(id="c2", stage="during", at=at(2), entries=entry("damaged")),
            Count(id="c3", stage="return", at=at(9), entries=entry(after)),
        )
        kit = [line("k1", parts=(Part(id="arm", description="Arm"),))]
        return [
            p.reason for p in found(findings, kit=kit, counts=counts) if p.finding.kind == "damaged"
        ]

    assert proposed("as_sent_out", "not_working") == [
        "noted as not working at the return count; say how many units"
    ]
    assert proposed("damaged_before", "damaged") == []
    assert proposed("as_sent_out", "as_sent_out") == []
    known = damaged("f1", occurrence=None)
    assert proposed("as_sent_out", "damaged", (known,)) == []
    on_part = damaged("f1", occurrence=None, part="arm")
    assert proposed("as_sent_out", "damaged", (on_part,)) == []
    gone_part = missing("f1", occurrence=None, part="arm")
    assert proposed("as_sent_out", "damaged", (gone_part,)) == []
    gone_unit = missing("f1", occurrence=None)
    assert len(proposed("as_sent_out", "damaged", (gone_unit,))) == 1


def grounds(*charges: Charge, **more: Any) -> list[ProposedGround]:
    given: dict[str, Any] = {
        "kit": [line("k1", "100", quantity=10, age_months=30, kind="grip")],
        "findings": [missing(units=2)],
        "occurrences": [event()],
        "counts": [
            count("c1", "pickup", at(1), {"k1": 9}),
            count("c3", "return", at(9), {"k1": 7}),
        ],
        **more,
    }
    return list(propose_grounds(claim(invoices=[invoice(*charges)], **given)))


def codes(*charges: Charge, **more: Any) -> dict[str, Decimal]:
    return {g.choice.code: g.amount for g in grounds(*charges, **more)}


def billed(amount: str, units: int, *chosen: Any, **more: Any) -> Charge:
    return charge("h1", amount, chosen, **{"quantity": Decimal(units), "finding": "f1", **more})


def test_grounds_on_units_and_price() -> None:
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60),
        lessors_discount=LessorsDiscount(rate=Fraction(1, 10)),
        ceiling=ValueCeiling(amount=Decimal(40)),
    )
    assert codes(billed("480", 4), terms=terms) == {
        "never_received": Decimal(120),
        "quantity": Decimal(120),
        "valuation_date": Decimal(40),
        "depreciation": Decimal(100),
        "schedule_exceeded": Decimal(20),
    }


def test_a_ground_that_was_weighed_already_is_not_proposed() -> None:
    from ldapp.claim.charges import GroundChoice

    off = GroundChoice(code="never_received", on=False)
    assert codes(billed("400", 4, off)) == {"quantity": Decimal(100)}


def test_a_proposal_says_what_it_rests_on() -> None:
    (first, _) = grounds(billed("400", 4))
    assert first.strong
    assert first.rests_on == ("pickup count of 2026-03-01 12:00+00:00, signed by both",)
    assert "never received" in first.reason
    assert (first.invoice, first.charge) == ("i1", "h1")


def test_another_basis_a_schedule_and_arithmetic() -> None:
    market = Terms(valuation=ValuationRule(bases=("scheduled_value",), clause=CLAUSE))
    kit = [line("k1", "100", quantity=10, scheduled_value=Decimal(60))]
    assert codes(billed("200", 2), terms=market, kit=kit) == {"value_basis": Decimal(80)}
    wrong_sum = billed("230", 2, unit_price=Decimal(100))
    unpriced = [line("k1", quantity=10)]
    assert codes(wrong_sum, terms=Terms(), kit=unpriced) == {"arithmetic": Decimal(30)}


def test_a_wrong_product_is_proposed_whatever_else_would_take_it() -> None:
    wrong_sum = billed("230", 2, unit_price=Decimal(100))
    proposed = grounds(wrong_sum)
    assert {one.choice.code: one.amount for one in proposed} == {
        "arithmetic": Decimal(30),
        "valuation_date": Decimal(30),
    }
    assert proposed[0].choice.code == "arithmetic"
    assert proposed[0].strong
    assert "arithmetic" not in codes(billed("200", 2, unit_price=Decimal(100)))
    assert "arithmetic" not in codes(billed("190", 2, unit_price=Decimal(100)))


def test_a_repair_that_does_not_add_up() -> None:
    documented = damaged(repair=Repair(parts=Decimal(50), document="d"))
    sums = billed("50", 1, kind="repair", unit_price=Decimal(45))
    assert codes(sums, findings=[documented]) == {"arithmetic": Decimal(5)}


def test_no_discount_and_no_ceiling_is_no_ground() -> None:
    terms = Terms(valuation=REPLACEMENT, lessors_discount=LessorsDiscount(rate=Fraction(1, 10)))
    assert codes(billed("200", 2), terms=terms) == {"lessors_discount": Decimal(20)}
    assert codes(billed("200", 2)) == {}


def test_a_charge_that_matches_nothing() -> None:
    assert codes(charge("h1", "70")) == {"unexplained_charge": Decimal(70)}


def test_grounds_on_damage() -> None:
    hurt = damaged(repair=Repair(parts=Decimal(30), labour=Decimal(20)))
    assert codes(billed("100", 1, kind="replacement"), findings=[hurt]) == {
        "repair_cheaper": Decimal(50)
    }
    wreck = damaged(beyond_repair=True, salvage=Decimal(15))
    assert codes(billed("100", 1, kind="replacement"), findings=[wreck]) == {
        "salvage_credit": Decimal(15)
    }
    assert codes(billed("80", 1, kind="repair"), findings=[hurt]) == {
        "repair_cheaper": Decimal(30),
        "repair_undocumented": Decimal(50),
    }
    terms = Terms(
        valuation=REPLACEMENT, betterment=Provision(applies=True), depreciation=straight_line(60)
    )
    documented = damaged(repair=Repair(parts=Decimal(30), labour=Decimal(20), document="d"))
    sums = billed("50", 1, kind="repair", unit_price=Decimal(45))
    assert codes(sums, findings=[documented], terms=terms) == {
        "arithmetic": Decimal(5),
        "betterment": Decimal(15),
    }


def test_wear_breakdown_and_damage_before_pickup() -> None:
    repair = Repair(parts=Decimal(30), document="d")
    worn = damaged(cause="wear", repair=repair)
    assert codes(billed("30", 1, kind="repair"), findings=[worn]) == {"ordinary_wear": Decimal(30)}
    broke = damaged(cause="breakdown", repair=repair)
    assert codes(billed("30", 1, kind="repair"), findings=[broke]) == {"breakdown": Decimal(30)}
    entry = CountEntry(line="k1", quantity=1, condition="damaged_before")
    seen = [
        Count(id="c0", stage="during", at=at(2)),
        Count(id="c1", stage="pickup", at=at(1), entries=(entry,)),
    ]
    hurt = damaged(repair=repair)
    assert codes(billed("30", 1, kind="repair"), findings=[hurt], counts=seen) == {
        "prior_damage": Decimal(30)
    }


def test_grounds_beside_the_thing_itself() -> None:
    term = LossOfUse(days_from="stated", stated_days=Fraction(2), clause=CLAUSE)
    use = billed("300", 1, kind="loss_of_use", days=Decimal(3))
    kit = [line("k1", "100", quantity=10, day_rate=Decimal(20))]
    assert codes(use, terms=Terms(valuation=REPLACEMENT, loss_of_use=term), kit=kit) == {
        "loss_of_use_days": Decimal(100),
        "loss_of_use_rate": Decimal(160),
    }
    assert codes(use) == {"fee_not_agreed": Decimal(300)}
    fee = charge("h2", "40", kind="cleaning")
    assert codes(fee) == {}
    other_fee = FeeRule(kind="late", form="flat", amount=Decimal(1))
    assert codes(fee, terms=Terms(fees=(other_fee,))) == {"fee_not_agreed": Decimal(40)}
    tax = charge("h3", "8", kind="tax")
    assert codes(tax) == {}
    assert codes(tax, terms=Terms(tax=TaxRule(rates=()))) == {"tax_not_due": Decimal(8)}
    difference = charge("h4", "9", kind="difference_in_addition")
    assert codes(difference) == {"arithmetic": Decimal(9)}
    interest = charge("h5", "9", kind="interest")
    assert codes(interest) == {}


def test_credits_get_no_ground() -> None:
    assert grounds(charge("h1", "-70")) == []
    assert dt.date(2026, 3, 20) == invoice().dated


def test_a_claim_that_cannot_be_reckoned_gets_no_proposal() -> None:
    dangling = claim(kit=[line("k1", quantity=10, agreement="z")], counts=COUNTS[:1])
    assert propose_findings(dangling) == ()
    no_life = Terms(valuation=CASH_VALUE, depreciation=straight_line(0))
    assert codes(billed("400", 4), terms=no_life) == {}
    # A term that cannot be does not stand in the way of what the counts show.
    assert summary(found(terms=no_life)) == summary(found())

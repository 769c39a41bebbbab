"""Credits, offsets and totals of invoices, and how strongly a ground is supported."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from ldapp.claim.charges import Charge
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count
from ldapp.claim.documents import Document
from ldapp.claim.findings import Finding
from ldapp.claim.terms import (
    DepositTerm,
    PairOrSet,
    Provision,
    RentCredit,
    RepairDecision,
    Terms,
)
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import Reckoning
from tests.reckoning.answers import (
    PICKUP,
    RETURN,
    falls,
    ground,
    one,
    units,
)
from tests.reckoning.claims import (
    CASH_VALUE,
    CLAUSE,
    REPLACEMENT,
    at,
    charge,
    claim,
    count,
    event,
    invoice,
    line,
    missing,
    photo,
    straight_line,
)


def whole(*charges: Charge, **more: Any) -> Reckoning:
    of: Claim = claim(
        kit=[line(price="100", quantity=10)],
        findings=[missing(units=2)],
        occurrences=[event()],
        invoices=[invoice(*charges, **more)],
    )
    return reckon(of)


def test_credits_are_offsets_and_no_charges() -> None:
    found = whole(
        units(2, "200"),
        charge("h2", "-30", kind="other"),
        charge("h3", "5", kind="credit"),
        gross=Decimal(175),
    )
    assert [c.charge for c in found.charges] == ["h1"]
    assert found.totals.offsets == Decimal(25)
    assert found.totals.owed == Decimal(200)
    assert found.totals.to_pay_to_lessors == Decimal(175)


def paid_after(terms: Terms) -> tuple[Decimal, Decimal]:
    of = claim(
        kit=[line(price="100", quantity=10)],
        findings=[missing(units=2)],
        occurrences=[event()],
        invoices=[invoice(units(2, "200"))],
        terms=terms,
    )
    totals = reckon(of).totals
    assert totals.owed == Decimal(200)
    return totals.offsets, totals.to_pay_to_lessors


def test_deposit_and_rent_that_counts_are_offsets() -> None:
    def rent(rule: Any, amount: str | None) -> Terms:
        paid = None if amount is None else Decimal(amount)
        return Terms(valuation=REPLACEMENT, rent_credit=RentCredit(rule=rule, amount=paid))

    assert paid_after(rent("deducted", "30")) == (Decimal(30), Decimal(170))
    assert paid_after(rent("deducted", "300")) == (Decimal(200), Decimal(0))
    assert paid_after(rent("deducted", None)) == (Decimal(0), Decimal(200))
    assert paid_after(rent("not_deducted", "30")) == (Decimal(0), Decimal(200))
    held = DepositTerm(form="held", amount=Decimal(250))
    assert paid_after(Terms(valuation=REPLACEMENT, deposit=held)) == (Decimal(250), Decimal(-50))
    rent_first = DepositTerm(form="held", amount=Decimal(250), set_off="rent_first")
    assert paid_after(Terms(valuation=REPLACEMENT, deposit=rent_first))[0] == Decimal(0)
    unknown = DepositTerm(form="held")
    assert paid_after(Terms(valuation=REPLACEMENT, deposit=unknown))[0] == Decimal(0)


def test_never_more_than_the_printed_total() -> None:
    found = whole(units(2, "200"), gross=Decimal(180))
    assert found.totals.to_pay_to_lessors == Decimal(180)
    (result,) = found.invoices
    assert result.difference == Decimal(-20)
    assert any(o.code == "printed_total_differs" for o in found.observations)


def test_tax_in_the_footer_that_no_line_carries_is_said() -> None:
    found = whole(units(2, "200"), net=Decimal(200), tax=Decimal(16), gross=Decimal(216))
    assert found.invoices[0].difference == Decimal(0)
    (says,) = [o.says for o in found.observations if o.code == "tax_without_charge"]
    assert says.startswith("the invoice prints 16.00 of tax that no charge carries")
    (result,) = found.invoices
    assert result.tax_without_charge == Decimal(16)
    assert not found.totals.complete
    assert result.working is not None
    assert [(one.name, one.value) for one in result.working.inputs] == [
        ("printed net", "200"),
        ("printed tax", "16"),
        ("tax that no line carries", "16.00"),
        ("printed total", "216"),
        ("compared with", "200.00"),
    ]
    assert result.working.amount == Decimal(200)
    assert whole(units(2, "200")).totals.complete


def test_tax_that_a_line_carries_is_answered_there() -> None:
    bill = charge("h2", "16", kind="tax")
    found = whole(units(2, "200"), bill, net=Decimal(200), tax=Decimal(16), gross=Decimal(216))
    (result,) = found.invoices
    assert (result.tax_without_charge, result.difference) == (None, Decimal(0))
    assert found.totals.complete
    free = whole(units(2, "200"), net=Decimal(200), tax=Decimal(0), gross=Decimal(200))
    assert (free.invoices[0].tax_without_charge, free.totals.complete) == (None, True)


def test_tax_in_the_footer_of_an_invoice_that_was_replaced_is_passed_over() -> None:
    first = invoice(units(2, "200"), tax=Decimal(16), gross=Decimal(216))
    second = invoice(charge("h9", "200", finding="f1"), id="i2", number="2", revises="i1")
    found = reckon(
        claim(
            kit=[line(price="100", quantity=10)], findings=[missing(units=2)],
            occurrences=[event()], invoices=[first, second],
        )
    )  # fmt: skip
    assert not [o for o in found.observations if o.code == "tax_without_charge"]
    assert found.totals.complete


def test_a_revised_invoice_is_answered_by_its_revision() -> None:
    old = invoice(units(3, "300"), id="i1")
    new = invoice(
        charge("h9", "200", finding="f1", quantity=Decimal(2)),
        id="i2",
        number="1b",
        revises="i1",
        dated=dt.date(2026, 4, 1),
    )
    of = claim(
        kit=[line(price="100", quantity=10)],
        findings=[missing(units=2)],
        occurrences=[event()],
        invoices=[old, new],
    )
    found = reckon(of)
    assert [c.charge for c in found.charges] == ["h9"]
    assert found.invoices[0].replaced_by == "i2"
    assert found.totals.to_pay_to_lessors == Decimal(200)


def test_open_until_documented() -> None:
    assert one(units(2, "200", open_until_documented=True)).answer == "open_until_documented"


def strong(*grounds: Any, papers: tuple[Document, ...] = (), **more: Any) -> bool:
    standings = more.pop("standings", {})
    pictures = tuple(more.pop("pictures", ()))
    given: dict[str, Any] = {
        "kit": [line(price="100", quantity=10)],
        "findings": [missing(units=2)],
        "occurrences": [event()],
        **more,
    }
    of = claim(
        invoices=[invoice(units(5, "500", *grounds))], documents=papers, photos=pictures, **given
    )
    result = reckon(of, standings).charges[0]
    fall = result.grounds[0]
    assert (result.strong.owed < result.billed) is (fall.strong and fall.amount > 0)
    return fall.strong


def pickup(acknowledgement: str, **more: Any) -> list[Count]:
    return [count("c1", "pickup", at(1), {"k1": 8}, acknowledgement, **more), RETURN]


def test_a_ground_rests_on_the_count_behind_it() -> None:
    assert strong("never_received", counts=pickup("signed_by_both"))
    assert not strong("never_received", counts=pickup("one_side"))
    assert not strong("never_received", counts=pickup("on_company_ticket"))
    assert strong(
        "never_received", counts=pickup("on_company_ticket", acknowledged_by="the counter")
    )
    # Quantity rests on both counts where the pickup count was short.
    assert strong("quantity", counts=pickup("signed_by_both"))
    assert not strong("quantity", counts=pickup("none"))


def test_a_signed_document_a_backed_photo_or_a_named_count_is_strong() -> None:
    signed = Document(id="d1", title="ticket 7", signed_by_other_side=True)
    plain = Document(id="d2", title="our note")
    other = ground("other_owner", documents=("d1",))
    assert strong(other, papers=(signed,))
    assert not strong(ground("other_owner", documents=("d2",)), papers=(plain,))
    assert not strong(ground("other_owner", documents=("d9",)))
    shown = ground("other_owner", photos=("p1",))
    assert strong(shown, pictures=[photo("p1")], standings={"p1": "corrected"})
    assert not strong(shown, pictures=[photo("p1")], standings={"p1": "camera_only"})
    assert not strong(shown, pictures=[photo("p1")])
    # A photo that is not in the claim supports nothing, whatever is said of it.
    assert not strong(shown, standings={"p1": "corrected"})
    assert strong(ground("other_owner", counts=("c2",)), counts=[RETURN])
    assert not strong(ground("other_owner", counts=("c9",)), counts=[RETURN])


def test_a_ground_that_needs_a_clause_and_a_fact_needs_both() -> None:
    terms = Terms(valuation=REPLACEMENT, wear_excepted=Provision(applies=True, clause=CLAUSE))
    assert not strong("ordinary_wear", terms=terms)
    assert not strong(ground("ordinary_wear", counts=("c2",)), counts=[RETURN])
    assert strong(ground("ordinary_wear", counts=("c2",)), counts=[RETURN], terms=terms)
    assert strong(ground("ordinary_wear", counts=("c2",), clause="4"), counts=[RETURN])


def test_a_term_that_is_not_stated_is_weak_and_says_so() -> None:
    found = one(units(2, "200", ground("valuation_date", amount=Decimal(50))), terms=Terms())
    (fall,) = found.grounds
    assert not fall.strong
    assert fall.not_stated
    assert found.strong.owed == Decimal(200)
    cited = one(
        units(2, "200", ground("valuation_date", amount=Decimal(50), clause="5.1")), terms=Terms()
    )
    assert cited.grounds[0].strong
    assert cited.grounds[0].rests_on == ("clause 5.1",)
    assert cited.strong.disputed == Decimal(100)
    named = ground("valuation_date", amount=Decimal(50), clause="Clause 5.1")
    said = one(units(2, "200", named), terms=Terms()).grounds[0]
    assert said.rests_on == ("Clause 5.1",)


def test_the_strong_run_is_no_sum_of_listed_falls() -> None:
    terms = Terms(
        valuation=CASH_VALUE,
        depreciation=straight_line(60),
        repair_decision=RepairDecision(rule="lesser"),
        pair_or_set=PairOrSet(rule="part_only", clause=CLAUSE),
    )
    weak = ground("valuation_date", amount=Decimal(60))
    found = one(
        units(2, "200", weak, "depreciation"),
        terms=terms,
        kit=[line(price="100", quantity=10, age_months=30)],
    )
    assert falls(found) == {"valuation_date": Decimal(80), "depreciation": Decimal(20)}
    # Alone, depreciation takes more than its fall behind the weak ground.
    assert found.strong.disputed == Decimal(100)


def test_a_short_finding_is_not_owed_even_if_it_is_charged() -> None:
    short = Finding(id="f1", line="k1", kind="short_at_pickup", quantity=2)
    found = one(units(2, "200", "never_received"), findings=[short], counts=[PICKUP])
    assert (found.owed, found.our_reading) == (Decimal(0), Decimal(0))

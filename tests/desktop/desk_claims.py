"""Claims for the window's tests: a small one with everything, and a big one.

Invented: nobody and nothing in them exists.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.counts import Condition, Count, CountEntry
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.kit import EquipmentKind, KitLine
from ldapp.claim.parties import Party
from ldapp.claim.policy import Deductible, PolicyLimit, PolicyTerms
from ldapp.claim.terms import (
    FeeRule,
    RepairDecision,
    StraightLine,
    Terms,
    ValuationRule,
    WaiverTerm,
)

ZONE = dt.timezone(-dt.timedelta(hours=7))
PICKUP = dt.datetime(2026, 3, 2, 7, 40, tzinfo=ZONE)
RETURN = dt.datetime(2026, 3, 9, 19, 5, tzinfo=ZONE)

_GEAR: tuple[tuple[str, int, EquipmentKind, str, str], ...] = (
    ("C-stand 40 in with grip head and arm", 24, "grip", "Truck, cart A", "185.00"),
    ("Combo stand, wheeled", 6, "grip", "Truck, cart A", "310.00"),
    ("Sandbag 25 lb", 40, "grip", "Truck, cart A", "38.00"),
    ("Flag 24 x 36 in", 12, "grip", "Truck, cart B", "72.00"),
    ("Net single 24 x 36 in", 8, "grip", "Truck, cart B", "84.00"),
    ("Safety cable 30 in", 30, "rigging", "Truck, cart B", "14.50"),
    ("Pipe clamp with pin", 18, "rigging", "Truck, cart B", "46.00"),
    ("LED panel 2x1", 4, "lighting", "Case 4", "4250.00"),
    ("LED tube kit, 8 pieces", 2, "lighting", "Case 5", "3890.00"),
    ("Discharge head 1.8 kW with ballast", 2, "discharge_lighting", "Truck, floor", "7600.00"),
    ("Stinger 50 ft", 30, "electrical_distribution", "Truck, crate 2", "64.00"),
    ("Distribution box 100 A", 3, "electrical_distribution", "Truck, crate 2", "890.00"),
    ("Battery 98 Wh, V-lock", 12, "battery", "Case 9", "365.00"),
    ("Prime lens 35 mm T1.5", 1, "lens", "Case 1", "9800.00"),
    ("Camera body, large format", 1, "camera", "Case 1", "38500.00"),
)


def kit_lines(number: int, agreement: str = "a1") -> tuple[KitLine, ...]:
    """Return so many lines; every fourteenth on has serial numbers."""
    lines = []
    for index in range(number):
        name, quantity, kind, place, price = _GEAR[index % len(_GEAR)]
        round_ = index // len(_GEAR)
        serials = (
            tuple(f"PX-{index:04d}-{unit + 1}" for unit in range(quantity))
            if kind in ("lighting", "camera", "lens")
            else ()
        )
        lines.append(
            KitLine(
                id=f"line-{index + 1}",
                number=str(index + 1),
                agreement=agreement,
                description=name if not round_ else f"{name} ({round_ + 1})",
                quantity=quantity,
                kind=kind,
                serials=serials,
                location=place if not round_ else f"{place}, {round_ + 1}",
                category="Lighting" if "light" in kind else "Grip and other",
                day_rate=Decimal("4.00"),
                replacement_cost=Decimal(price),
                acquired=dt.date(2023, 5, 1),
            )
        )
    return tuple(lines)


def _entries(
    lines: tuple[KitLine, ...], short: dict[int, int], damaged: dict[int, Condition] | None = None
) -> tuple[CountEntry, ...]:
    return tuple(
        CountEntry(
            line=line.id,
            quantity=max(line.quantity - short.get(index, 0), 0),
            condition=(damaged or {}).get(index, "as_sent_out"),
            note="Corner of the frame bent, two rows dark" if (damaged or {}).get(index) else "",
        )
        for index, line in enumerate(lines)
    )


def desk_claim(number: int = 15, claim_id: str = "desk-claim") -> Claim:
    """Return a claim with so many lines, three counts, two findings and an invoice."""
    lines = kit_lines(number)
    parties = (
        Party(
            id="p1", role="rental_company", name="Invented Grip & Light", email="desk@example.org"
        ),
        Party(id="p2", role="production", name="Harbour Lights Production"),
        Party(id="p3", role="insurer", name="Invented Mutual"),
        Party(id="p4", role="broker", name="Broker of Nowhere"),
    )
    terms = Terms(
        valuation=ValuationRule(
            bases=("actual_cash_value",), clause=Clause(reference="9.2", text="")
        ),
        depreciation=StraightLine(life_months=60, residual_share=Fraction(20, 100)),
        repair_decision=RepairDecision(rule="lesser"),
        fees=(FeeRule(kind="administration", form="percentage", rate=Fraction(10, 100)),),
        waiver=WaiverTerm(taken=False),
    )
    agreement = Agreement(
        id="a1",
        lessor="p1",
        reference="HL-2026-17",
        signed=dt.date(2026, 2, 27),
        starts=PICKUP,
        ends=RETURN,
        terms=terms,
    )
    policy = Policy(
        id="pol",
        insurer="p3",
        number="INV-5521",
        broker="p4",
        terms=PolicyTerms(
            limit=PolicyLimit(amount=Decimal("250000.00")),
            deductibles=(Deductible(form="flat", amount=Decimal("1500.00")),),
        ),
    )
    counts = (
        Count(
            id="c1",
            stage="pickup",
            at=PICKUP,
            place="Rental house, dock 2",
            counted_by="Ada",
            witness="Counter person",
            acknowledgement="signed_by_both",
            entries=_entries(lines, {4: 1}),
        ),
        Count(
            id="c2",
            stage="return",
            at=RETURN,
            place="Rental house, dock 2",
            counted_by="Ada",
            acknowledgement="one_side",
            entries=_entries(lines, {0: 3, 4: 1, 10: 4}, {7: "damaged"}),
        ),
        Count(
            id="c3",
            stage="check_in",
            at=RETURN + dt.timedelta(days=2),
            counted_by="Invented Grip & Light",
            entries=_entries(lines, {0: 4, 10: 4, 5: 6}),
        ),
    )
    occurrence = Occurrence(
        id="o1",
        title="Truck door forced at unit base",
        cause="theft_from_vehicle",
        day=dt.date(2026, 3, 6),
        place="Unit base",
    )
    findings = (
        Finding(id="f1", line="line-1", kind="missing", quantity=3, occurrence="o1"),
        Finding(id="f2", line="line-8", kind="damaged", quantity=1, cause="drop_or_impact"),
    )
    invoice = Invoice(
        id="i1",
        agreement="a1",
        number="LD-0932",
        dated=dt.date(2026, 3, 16),
        charges=(
            Charge(
                id="ch1",
                number="1",
                description="C-stand, lost",
                kind="missing",
                quantity=Decimal(4),
                unit_price=Decimal("185.00"),
                amount=Decimal("740.00"),
                line="line-1",
                finding="f1",
            ),
        ),
    )
    return Claim(
        id=claim_id,
        reference="2026-017",
        title="Harbour Lights",
        currency="USD",
        zone="America/Denver",
        place="Denver",
        opened=dt.date(2026, 3, 2),
        invented=True,
        parties=parties,
        agreements=(agreement,),
        policy=policy,
        kit=lines,
        counts=counts if number else (),
        occurrences=(occurrence,),
        findings=findings if number >= 8 else (),
        invoices=(invoice,) if number >= 8 else (),
    )

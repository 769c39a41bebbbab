"""Charges in an invoice's words find the kit lines in the list's words, or none."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest

from ldapp.casework.charge_matching import Match, propose_matches
from ldapp.claim.charges import Charge, ChargeKind, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.findings import Finding
from ldapp.claim.kit import KitLine
from tests.casework.conftest import OpenClaim

KIT = (
    "C-stand 40 in, with head and arm", "C-stand 20 in, with head and arm", "Flag 24x36 solid",
    "Flag 18x24 solid", "Silk 24x36", "Stinger 50 ft", "Stinger 25 ft", "Sandbag 25 lb",
    "Sandbag 15 lb", "LED panel 2x1", "LED panel 1x1", "Barn doors for 1 kW Fresnel",
    "Fresnel head 1 kW", "Fresnel head 2 kW", "Ballast 1.2 kW discharge", "Prime lens 35 mm T1.5",
    "Prime lens 50 mm T1.5", "Camera battery 98 Wh", "Battery charger, dual", "Apple box, full",
    "Apple box, half", "Walkie-talkie with headset", "Monitor 7 in", "Monitor 17 in",
    "Frame 8x8 with corners", "Solid rag 8x8", "Grip head 2 1/2 in",
)  # fmt: skip


def with_charges(
    claim: Claim,
    charges: list[Charge],
    kit: tuple[KitLine, ...],
    findings: tuple[Finding, ...] = (),
) -> Claim:
    invoice = Invoice(
        id="invoice",
        agreement=claim.agreements[0].id,
        number="LD-1",
        dated=dt.date(2026, 3, 9),
        charges=tuple(charges),
    )
    return dataclasses.replace(claim, kit=kit, findings=findings, invoices=(invoice,))


def listed(claim: Claim, descriptions: tuple[str, ...] = KIT) -> tuple[KitLine, ...]:
    agreement = claim.agreements[0].id
    return tuple(
        KitLine(id=f"k{n}", number=str(n), agreement=agreement, description=text, quantity=2)
        for n, text in enumerate(descriptions, 1)
    )


def charge(description: str, kind: ChargeKind = "missing", price: str | None = None) -> Charge:
    return Charge(
        id="charge",
        number="1",
        description=description,
        kind=kind,
        amount=Decimal(50),
        unit_price=Decimal(price) if price else None,
    )


def matched(claim: Claim) -> Match | None:
    found = propose_matches(claim)
    return found[0] if found else None


@pytest.mark.parametrize(
    ("charged", "wanted"),
    [
        ('MISSING: CENTURY STAND 40" W/ ARM', "C-stand 40 in, with head and arm"),
        ("Extension cord 50'", "Stinger 50 ft"),
        ("50ft stinger, not returned", "Stinger 50 ft"),
        ("Solid flag 24 x 36 torn", "Flag 24x36 solid"),
        ("Sand bag 25lbs", "Sandbag 25 lb"),
        ("LED 2x1 panel repair of yoke", "LED panel 2x1"),
        ("Loss of use LED panel 2x1, 5 days", "LED panel 2x1"),
        ("1K fresnel barndoors", "Barn doors for 1 kW Fresnel"),
        ("Fresnel 1K, lamp house dented", "Fresnel head 1 kW"),
        ("1200W ballast", "Ballast 1.2 kW discharge"),
        ("35mm prime T1.5 scratched front element", "Prime lens 35 mm T1.5"),
        ("Half apple box", "Apple box, half"),
        ('Field monitor 7" cracked screen', "Monitor 7 in"),
        ('Gobo head 2-1/2"', "Grip head 2 1/2 in"),
        ("Cleaning of silks 24x36", "Silk 24x36"),
        ("Lost sandbags", None),  # which of the two is not said
        ("C-Stand", None),
        ("Repair labour", None),
        ("Lens cap", None),
        ("Generator 6 kW", None),
    ],
)
def test_words_of_an_invoice_find_the_line_of_the_list(
    stocked: OpenClaim, charged: str, wanted: str | None
) -> None:
    kit = listed(stocked.claim)
    match = matched(with_charges(stocked.claim, [charge(charged)], kit))
    found = next((line.description for line in kit if match and line.id == match.line), None)
    assert found == wanted
    if match is not None and found is not None:
        assert f"“{found}” ({match.likeness} % alike)" in match.reason


def test_a_finding_tells_lines_apart_that_are_worded_alike(stocked: OpenClaim) -> None:
    kit = listed(stocked.claim, ("Sandbag 25 lb", "Sandbag 15 lb"))
    finding = Finding(id="f", line="k2", kind="missing", quantity=1)
    match = matched(with_charges(stocked.claim, [charge("Lost sandbag")], kit, (finding,)))
    assert match is not None
    assert (match.line, match.finding) == ("k2", "f")
    assert "only this one has a finding" in match.reason


def test_a_price_tells_lines_apart_that_are_worded_alike(stocked: OpenClaim) -> None:
    kit = tuple(
        dataclasses.replace(line, replacement_cost=cost)
        for line, cost in zip(
            listed(stocked.claim, ("Sandbag 25 lb", "Sandbag 15 lb")),
            (Decimal(30), Decimal(22)),
            strict=True,
        )
    )
    match = matched(with_charges(stocked.claim, [charge("Lost sandbag", price="22.00")], kit))
    assert match is not None
    assert match.line == "k2"
    assert "only this one has its price" in match.reason


def test_a_number_within_a_longer_one_is_no_serial_number(stocked: OpenClaim) -> None:
    kit = (dataclasses.replace(listed(stocked.claim, ("Monitor 7 in",))[0], serials=("1001",)),)
    assert matched(with_charges(stocked.claim, [charge("Cable, item 31001")], kit)) is None
    match = matched(with_charges(stocked.claim, [charge("Cable, s/n 1001")], kit))
    assert match is not None
    assert match.reason == "names 1001, a number of line 1"

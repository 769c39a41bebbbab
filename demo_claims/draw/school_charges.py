"""Demo claim 3: what was found, what was billed, and the ground against it."""

from __future__ import annotations

import datetime as dt

from demo_claims.draw import school_words as words
from demo_claims.draw.records import D
from demo_claims.draw.school_kit import _SERIALS, STOLEN
from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.findings import Finding, Repair


def findings() -> tuple[Finding, ...]:
    serials = {f"k{int(number):02d}": names for number, names in _SERIALS.items()}
    stolen = tuple(
        Finding(
            id=f"f-{line}",
            line=line,
            kind="missing",
            quantity=count,
            serials=serials.get(line, ()),
            occurrence="o-theft",
            cause="theft_from_vehicle",
            documents=("d-police",),
        )
        for line, count in STOLEN.items()
    )
    return (
        *stolen,
        Finding(
            id="f-fresnel",
            line="k19",
            kind="damaged",
            quantity=1,
            serials=("F-113",),
            occurrence="o-drop",
            cause="drop_or_impact",
            repair=Repair(
                parts=D("410.00"),
                labour=D("210.00"),
                labour_hours=D("3"),
                other=D("20.00"),
                document="d-estimate",
                out_of_service_from=dt.date(2026, 10, 21),
            ),
            documents=("d-incident", "d-estimate"),
        ),
        Finding(
            id="f-stinger",
            line="k29",
            kind="missing",
            quantity=1,
            cause="unexplained",
            narrative="Found short at the return; nobody knows when.",
        ),
    )


def charges() -> tuple[Charge, ...]:
    grounds = {
        "17": (
            GroundChoice(
                code="loss_of_use_unproved",
                clause="clause 6",
                documents=("d-agreement",),
                words="No rental of this camera has been shown for these days.",
            ),
        ),
    }
    return tuple(
        Charge(
            id=f"ch{int(b.number):02d}",
            number=b.number,
            description=b.description,
            kind=b.kind,
            quantity=b.quantity,
            unit_price=b.unit_price,
            amount=b.amount,
            days=b.days,
            line=b.line,
            finding=b.finding,
            match_reason="set by hand" if b.line else "",
            grounds=grounds.get(b.number, ()),
        )
        for b in words.INVOICE_LINES
    )

"""How long a reckoning takes: 2,000 lines, 6 counts, 300 charges, and whether it is linear."""

from __future__ import annotations

import datetime as dt
import random
import time
from decimal import Decimal

from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.policy import Deductible, PolicyLimit, PolicyTerms
from ldapp.claim.terms import Terms
from ldapp.reckoning.engine import reckon
from tests.benchmarks.table import Row
from tests.reckoning.claims import (
    CASH_VALUE,
    at,
    charge,
    claim,
    count,
    event,
    invoice,
    line,
    missing,
    straight_line,
)


def large_claim(lines: int, charges: int = 300) -> Claim:
    """A claim of ``lines`` kit lines with six full counts and a charge on the first of them."""
    rnd = random.Random(1)
    charges = min(charges, lines)
    kit = [
        line(
            f"k{n}",
            str(rnd.randint(10, 5000)),
            quantity=rnd.randint(4, 20),
            acquired=dt.date(2020 + n % 5, 1 + n % 12, 1),
        )
        for n in range(lines)
    ]
    stages = ("pickup", "during", "during", "during", "return", "check_in")
    counts = [
        count(
            f"c{position}",
            stage,  # type: ignore[arg-type]
            at(1 + 3 * position),
            {
                one.id: one.quantity - (min(position, 2) if n < charges else 0)
                for n, one in enumerate(kit)
            },
        )
        for position, stage in enumerate(stages)
    ]
    grounds = (GroundChoice(code="quantity"), GroundChoice(code="depreciation"))
    return claim(
        kit=kit,
        counts=counts,
        occurrences=[event()],
        findings=[
            missing(f"f{n}", f"k{n}", units=2, occurrence="o1" if n % 2 else None)
            for n in range(charges)
        ],
        invoices=[
            invoice(
                *(
                    charge(
                        f"h{n}",
                        "3000",
                        grounds,
                        number=str(n + 1),
                        quantity=Decimal(3),
                        unit_price=Decimal(1000),
                        finding=f"f{n}",
                    )
                    for n in range(charges)
                )
            )
        ],
        terms=Terms(valuation=CASH_VALUE, depreciation=straight_line(60)),
        policy=PolicyTerms(
            deductibles=(Deductible(form="flat", amount=Decimal(250)),),
            limit=PolicyLimit(amount=Decimal(1_000_000)),
        ),
    )


def seconds(lines: int) -> float:
    """The best processor time of five reckonings, so that other processes do not count."""
    of = large_claim(lines)
    best = float("inf")
    for _ in range(5):
        began = time.process_time()
        reckon(of)
        best = min(best, time.process_time() - began)
    return best


def measure(_files: int) -> list[Row]:
    """Compare with a tenth of a second, and with as many times fewer lines."""
    few, many, most = (seconds(lines) for lines in (200, 2000, 20000))
    return [
        Row("reckon 2,000 lines, 6 counts, 300 charges", many, "a tenth of a second", 0.1, 1.0),
        Row("reckon 2,000 lines", many, "ten times 200 lines", 10 * few, 1.1),
        Row("reckon 20,000 lines", most, "ten times 2,000 lines", 10 * many, 1.1),
    ]

"""What the papers of demo claim 3 say: the clauses, the policy and the lines billed."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from demo_claims.draw.paper import House
from demo_claims.draw.records import D
from ldapp.claim.charges import ChargeKind

LCR = House(
    "Lornlake Camera Rental (invented)",
    ("1140 Breakwater Avenue, Fennick (invented)", "counter@lornlake.invalid"),
    "#234a7a",
)


SCHOOL = House(
    "Fennick Vale School of Film (invented)",
    ("Production office, Hall C, Fennick (invented)",),
    "#6b1f2e",
    "Times-Roman",
)


POLICE = House(
    "Fennick Police Department (invented)",
    ("Records, 9 Court Square, Fennick (invented)",),
    "#22262e",
    "Courier",
)


PERRINSHIELD = House(
    "Perrinshield Mutual (invented)",
    ("Inland marine, 77 Elevator Street, Fennick (invented)",),
    "#1d5a3c",
    "Times-Roman",
)


BROKER = House(
    "Oxberrow Brokers (invented)", ("12 Ferry Road, Fennick (invented)",), "#5a4a1d", "Times-Roman"
)


SHOP = House(
    "Lornlake Workshop (invented)",
    ("1140 Breakwater Avenue, Fennick (invented)",),
    "#4d4d55",
    "Courier",
)


CLAUSES = (
    (
        "1",
        "Rental",
        "Lornlake Camera Rental (the Lessor) rents the equipment of order LCR-3390 to Fennick Vale School of Film (the Renter) from 15 October 2026, 10:00, to 20 October 2026, 17:00, at a four-day week.",
    ),
    (
        "2",
        "Risk",
        "The Renter bears the risk from delivery at the counter until the itemised check-in is complete.",
    ),
    (
        "3",
        "Counts",
        "Pickup and return are counted by both. Equipment is in good order unless noted at delivery.",
    ),
    (
        "4",
        "Liability",
        "The Renter answers for loss and damage from any cause, ordinary wear excepted.",
    ),
    (
        "5",
        "Value",
        "Lost equipment is charged at replacement cost on the day of the loss; damaged equipment at the lesser of the documented repair and that cost.",
    ),
    (
        "6",
        "Loss of use",
        "Loss of use is charged at the contract rate only for days on which the Lessor shows that the item would have been rented.",
    ),
    ("7", "Fee", "A handling fee of 75.00 is charged for each loss-and-damage invoice."),
    (
        "8",
        "Insurance",
        "The Renter keeps the equipment insured and names the Lessor as loss payee.",
    ),
    (
        "9",
        "Notice",
        "Loss is reported to the Lessor at once, theft also to the police. The Renter objects to an invoice within 30 days of receiving it.",
    ),
)


CLAUSE_TEXT = {number: words for number, _, words in CLAUSES}


POLICY_TEXT = {
    "A.1": "Period: 1 July 2026, 12:01 a.m., to 1 July 2027, 12:01 a.m., standard time at the school.",
    "B.1": "Rented equipment: 75,000 any one occurrence.",
    "B.2": "The most we pay for all occurrences in the policy period is 40,000.",
    "B.3": "Theft from a vehicle: 50,000 any one occurrence.",
    "C.1": "Deductible: 2,500 each occurrence.",
    "D.1": "Valuation: actual cash value, that is replacement cost less depreciation in a straight line over 60 months, not less than 25 per cent.",
    "E.1": "We do not cover unexplained loss or shortage found on taking inventory.",
    "E.2": "We do not cover loss of use, fees or delay.",
    "E.3": "Theft from an unattended vehicle is covered if all openings were locked and there are visible marks of forced entry.",
    "F.1": "Notice as soon as practicable; proof of loss within 60 days of our request.",
    "G.1": "Loss is adjusted with the insured and paid to the insured and the loss payee as their interests appear.",
}


@dataclass(frozen=True)
class Billed:
    number: str
    description: str
    kind: ChargeKind
    quantity: Decimal
    unit_price: Decimal
    amount: Decimal
    line: str | None
    finding: str | None
    days: Decimal | None = None


def _lost(number: int, what: str, count: int, price: str, line: str, finding: str) -> Billed:
    return Billed(
        str(number),
        f"Lost: {what}",
        "missing",
        D(count),
        D(price),
        D(count) * D(price),
        line,
        finding,
    )


INVOICE_LINES = (
    _lost(1, "cinema camera body A, DCX-448120", 1, "12800.00", "k01", "f-k01"),
    _lost(2, "cine prime 25 mm", 1, "1950.00", "k02", "f-k02"),
    _lost(3, "cine prime 35 mm", 1, "1950.00", "k03", "f-k03"),
    _lost(4, "cine prime 50 mm", 1, "1950.00", "k04", "f-k04"),
    _lost(5, "cine prime 85 mm", 1, "1950.00", "k05", "f-k05"),
    _lost(6, "matte box", 1, "890.00", "k06", "f-k06"),
    _lost(7, "monitor 7 in", 2, "680.00", "k08", "f-k08"),
    _lost(8, "battery 98 Wh", 6, "215.00", "k11", "f-k11"),
    _lost(9, "media card 512 GB", 2, "310.00", "k13", "f-k13"),
    _lost(10, "wireless follow focus", 1, "2150.00", "k14", "f-k14"),
    _lost(11, "case for camera", 1, "240.00", "k37", "f-k37"),
    _lost(12, "case for primes", 1, "190.00", "k38", "f-k38"),
    _lost(13, "case for monitors", 1, "120.00", "k39", "f-k39"),
    _lost(14, "case for batteries", 1, "110.00", "k40", "f-k40"),
    Billed(
        "15",
        "Repair: LED fresnel LCR-F-113",
        "repair",
        D(1),
        D("640.00"),
        D("640.00"),
        "k19",
        "f-fresnel",
    ),
    _lost(16, "stinger 25 ft", 1, "58.00", "k29", "f-stinger"),
    Billed(
        "17",
        "Loss of use: camera body A, 21 days",
        "loss_of_use",
        D(1),
        D("240.00"),
        D("5040.00"),
        "k01",
        "f-k01",
        D(21),
    ),
    Billed("18", "Handling fee", "administration", D(1), D("75.00"), D("75.00"), None, None),
)


NET = sum((b.amount for b in INVOICE_LINES), D(0))

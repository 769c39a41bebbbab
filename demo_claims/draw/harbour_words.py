"""What the papers of demo claim 1 say: the clauses agreed and the lines billed."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from demo_claims.draw.paper import House
from demo_claims.draw.records import D
from ldapp.claim.charges import ChargeKind

TGE = House(
    "Tarrowmere Grip & Electric (invented)",
    ("Dock 4, Port Ardley (invented)", "rentals@tarrowmere.invalid"),
    "#1f5c63",
)


HLP = House(
    "Harbour Lights Productions (invented)",
    ("Studio 2, 18 Ropewalk Lane, Port Ardley (invented)",),
    "#7a3b1d",
    "Times-Roman",
)


SHOP = House(
    "Quillsail Canvas & Frame (invented)",
    ("3 Sailmaker Yard, Port Ardley (invented)",),
    "#4d4d55",
    "Courier",
)


MARROWGATE = House(
    "Marrowgate Mutual (invented)",
    ("Certificate office, 200 Long Street, Port Ardley (invented)",),
    "#2c2f6b",
    "Times-Roman",
)


CLAUSES = (
    (
        "1.1",
        "Parties and order",
        "Tarrowmere Grip & Electric (the Lessor) rents the equipment of order TGE-20418 to Harbour Lights Productions (the Renter) from 12 October 2026, 7:00, to 30 October 2026, 17:00.",
    ),
    (
        "2.1",
        "Rate",
        "Rent is charged at three days a week. A discount of 15 per cent is granted on all day rates.",
    ),
    (
        "4.1",
        "Custody",
        "The Renter bears the risk from the joint count at pickup, when the equipment is accepted at the Lessor's dock.",
    ),
    (
        "4.2",
        "",
        "The Renter's risk ends when the equipment is handed over at the Lessor's dock and counted by both.",
    ),
    (
        "5.1",
        "Counts and condition",
        "Equipment is taken to be complete and in good order unless the pickup sheet says otherwise.",
    ),
    (
        "5.2",
        "",
        "Pickup and return are counted jointly. A count signed by both parties is the count.",
    ),
    ("5.3", "", "Damage found after return is notified within five business days."),
    (
        "6.1",
        "Liability",
        "The Renter answers for loss and damage from any cause while the equipment is at the Renter's risk.",
    ),
    ("6.2", "", "Reasonable wear and tear is excepted."),
    ("6.3", "", "No damage waiver is taken."),
    (
        "7.1",
        "Value",
        "Lost equipment is charged at the replacement cost of the same or the nearest comparable item on the day of delivery.",
    ),
    (
        "7.2",
        "",
        "Damaged equipment is charged at the lesser of the documented cost of repair and the replacement cost.",
    ),
    ("7.3", "", "Where a part of a kit or set is lost, the part is charged and not the set."),
    ("7.4", "", "Lamps that burn out in use are free of charge if the dead lamp is returned."),
    (
        "8.1",
        "Loss of use",
        "For damaged equipment rent continues at the rate of clause 2.1, discount included, from the day after the due date until the day the item is repaired, that day included, for at most 21 days.",
    ),
    (
        "9.1",
        "Fees",
        "An administrative fee of 5 per cent of the loss, at least 25.00 and at most 150.00, is charged.",
    ),
    ("9.2", "", "Cleaning beyond ordinary soiling is charged as documented."),
    (
        "10.1",
        "Tax",
        "Sales tax at 8.875 per cent is added to replacements and parts. Labour, continuing rent and fees are not taxed.",
    ),
    (
        "11.1",
        "Objections",
        "The Renter objects to a loss-and-damage invoice in writing, line by line, within 30 days of receiving it.",
    ),
)


CLAUSE_TEXT = {number: words for number, _, words in CLAUSES}


CLAUSE_PAGES = dict.fromkeys(CLAUSE_TEXT, 1)


@dataclass(frozen=True)
class Billed:
    number: str
    description: str
    kind: ChargeKind
    quantity: Decimal
    unit_price: Decimal
    amount: Decimal
    taxable: bool = True
    days: Decimal | None = None


INVOICE_LINES = (
    Billed(
        "1", "Missing: C-stand 40 in with head and arm", "missing", D(2), D("285.00"), D("570.00")
    ),
    Billed("2", "Missing: stinger 50 ft", "missing", D(3), D("104.00"), D("312.00")),
    Billed("3", "Missing: sandbag 25 lb", "missing", D(2), D("48.00"), D("96.00")),
    Billed(
        "4",
        "Incomplete: overhead frame 12x12, replace kit",
        "replacement",
        D(1),
        D("1150.00"),
        D("1150.00"),
    ),
    Billed(
        "5",
        "Doorway dolly TGE-D 014: re-carpet deck",
        "repair",
        D(1),
        D("310.00"),
        D("310.00"),
        taxable=False,
    ),
    Billed("6", "Torn: flag 24x36 solid, replace", "replacement", D(1), D("96.00"), D("96.00")),
    Billed(
        "7",
        "Tungsten head 2K-0117: barn doors, repair",
        "repair",
        D(1),
        D("155.00"),
        D("155.00"),
        taxable=False,
    ),
    Billed(
        "8",
        "Loss of use: tungsten head 2K-0117, 14 days",
        "loss_of_use",
        D(1),
        D("45.00"),
        D("630.00"),
        taxable=False,
        days=D(14),
    ),
    Billed(
        "9",
        "Cleaning: rag 12x12 unbleached muslin",
        "cleaning",
        D(1),
        D("120.00"),
        D("120.00"),
        taxable=False,
    ),
    Billed("10", "Refinish: apple box, full", "other", D(4), D("15.00"), D("60.00"), taxable=False),
    Billed("11", "Lamp 2K, burn-out", "lamp", D(1), D("68.00"), D("68.00")),
    Billed("12", "Missing: C-clamp with baby pin", "missing", D(4), D("24.00"), D("106.00")),
    Billed("13", "Missing: rolling ladder 8 ft", "missing", D(1), D("189.00"), D("189.00")),
    Billed(
        "14",
        "Combo stand: bent leg, repair",
        "repair",
        D(1),
        D("120.00"),
        D("120.00"),
        taxable=False,
    ),
    Billed(
        "15",
        "Administration, 10 %",
        "administration",
        D(1),
        D("398.20"),
        D("398.20"),
        taxable=False,
    ),
    Billed(
        "16", "Sales tax on lines marked T", "tax", D(1), D("229.60"), D("229.60"), taxable=False
    ),
)


NET, TAX, GROSS = D("4380.20"), D("229.60"), D("4609.80")

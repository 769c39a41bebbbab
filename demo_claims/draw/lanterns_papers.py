"""The papers of demo claim 2."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from reportlab.lib.pagesizes import A4

from demo_claims.draw.paper import House, Paper
from ldapp.claim.counts import CountEntry
from ldapp.claim.kit import KitLine

BCL = House(
    "Brellwater Camera & Light (invented)",
    ("Unit 7, Lantern Yard (invented)", "returns@brellwater.invalid"),
    "#8a4a12",
    page=A4,
)
FILM = House(
    "Paper Lanterns Film (invented)",
    ("Production office, 5 Kiln Row (invented)",),
    "#4a2f63",
    "Times-Roman",
    A4,
)

CLAUSES = (
    (
        "1.1",
        "Hire",
        "Brellwater Camera & Light (the Owner) hires the equipment of list BCL-5127 to Paper Lanterns Film (the Hirer) from 16 November 2026, 8:30, to 20 November 2026, 17:00.",
    ),
    (
        "3.1",
        "Risk, counts, condition",
        "Risk passes to the Hirer with the count at pickup, when the equipment is tested and accepted at the Owner's counter.",
    ),
    ("3.2", "", "Risk ends when the Owner has checked each item in."),
    ("3.3", "", "Faults that were there at pickup are notified within 24 hours."),
    ("3.4", "", "Pickup and return are counted by both at the counter."),
    (
        "4.1",
        "Liability",
        "The Hirer answers for loss and damage from any cause while the risk is the Hirer's.",
    ),
    ("4.2", "", "Fair wear and tear is excepted."),
    (
        "5.1",
        "Value",
        "Lost equipment, or equipment beyond repair, is charged at its value at the time of the loss.",
    ),
    (
        "5.2",
        "",
        "That value is today's cost new less depreciation in a straight line over 84 months, and never less than 20 per cent of the cost new. Labour is not depreciated.",
    ),
    (
        "5.3",
        "",
        "Damaged equipment is charged at the lesser of the documented repair and its value.",
    ),
    ("5.4", "", "A lost or broken part is charged as the part."),
    (
        "6.1",
        "Damage waiver",
        "A waiver is taken. It bears damage above 250.00 for each incident. It does not cover theft, unexplained loss, misuse or water.",
    ),
    (
        "7.1",
        "After return",
        "Missing pieces brought back within 48 hours of the return are not charged.",
    ),
    ("7.2", "", "The Owner notifies damage within two business days of the return."),
)
CLAUSE_TEXT = {number: words for number, _, words in CLAUSES}
_WIDTHS = (10, 68, 26, 14, 14, 36)


def agreement() -> bytes:
    paper = Paper(BCL, "HIRE AGREEMENT", "BCL-5127")
    paper.facts(
        [
            ("Owner", BCL.name),
            ("Hirer", FILM.name),
            ("From", "16 November 2026, 8:30"),
            ("To", "20 November 2026, 17:00"),
            ("Purchase order", "PL-PO-11"),
            ("Currency", "GBP"),
        ]
    )
    paper.clauses(CLAUSES)
    paper.signatures(
        [
            ("Joss Marsden (invented)", "for the Owner, 13 November 2026", 72),
            ("Sable Whitcombe (invented)", "for the Hirer, 13 November 2026", 74),
        ]
    )
    return paper.made()


def pickup_sheet(kit: Sequence[KitLine]) -> bytes:
    paper = Paper(BCL, "PICKUP SHEET", "BCL-5127")
    paper.facts(
        [
            ("Counted and tested", "16 November 2026, 8:35 to 9:20"),
            ("By", "Rui Castellan (invented) with Joss Marsden (invented)"),
        ]
    )
    rows = [
        [
            line.number,
            line.description,
            line.location,
            str(line.quantity),
            str(line.quantity),
            ", ".join(line.serials),
        ]
        for line in kit
    ]
    paper.table(
        ("No.", "Equipment", "Packed in", "Listed", "Seen", "Serial no."),
        rows,
        _WIDTHS,
        (0, 3, 4),
        (4,),
    )
    paper.signatures(
        [
            ("Rui Castellan (invented)", "for the Hirer", 71),
            ("Joss Marsden (invented)", "for the Owner", 72),
        ]
    )
    return paper.made()


def return_ticket(kit: Sequence[KitLine], differs: Mapping[str, CountEntry]) -> bytes:
    paper = Paper(BCL, "RETURN TICKET", "BCL-5127-R")
    paper.facts([("Counted", "20 November 2026, from 16:00"), ("By", "Rui Castellan (invented)")])
    rows = []
    for line in kit:
        entry = differs.get(line.id)
        back = (
            ""
            if entry and entry.quantity is None
            else str(entry.quantity if entry else line.quantity)
        )
        rows.append(
            [
                line.number,
                line.description,
                line.location,
                str(line.quantity),
                back,
                entry.note if entry else "",
            ]
        )
    paper.table(
        ("No.", "Equipment", "Packed in", "Listed", "Back", "Remark"),
        rows,
        _WIDTHS,
        (0, 3, 4),
        (4, 5),
    )
    paper.signatures(
        [("Rui Castellan (invented)", "for the Hirer, 16:23", 73), ("", "for the Owner", 0)]
    )
    return paper.made()


def ticket() -> bytes:
    paper = Paper(BCL, "RETURNED EARLY", "BCL-T-0931")
    paper.facts([("List", "BCL-5127"), ("Date and time", "18 November 2026, 18:10")])
    paper.table(
        ("No.", "Equipment", "Quantity"),
        [["19", "LED tube 2 ft", "1"]],
        (14, 110, 26),
        (0, 2),
        (2,),
    )
    paper.signatures(
        [
            ("Anwen Pryce-Holt (invented)", "for the Hirer", 75),
            ("Joss Marsden (invented)", "for the Owner", 76),
        ]
    )
    return paper.made()


def incident() -> bytes:
    paper = Paper(FILM, "INCIDENT REPORT", "PL-IR-02")
    paper.facts(
        [
            ("When", "18 November 2026, 14:05"),
            ("Where", "Warehouse set, Lantern Yard (invented)"),
            ("Items", "Cine prime 50 mm P50-208; matte box"),
            ("Reported by", "Rui Castellan (invented), second assistant camera"),
        ]
    )
    paper.text(
        "A wheel of the camera cart caught a cable ramp. The 50 mm and the matte box fell about 90 cm onto concrete. The front ring of the lens is dented, "
        "the front glass scratched; the top flag of the matte box broke off at a corner. Nobody was hurt."
    )
    paper.signatures(
        [
            ("Rui Castellan (invented)", "second assistant camera", 71),
            ("Sable Whitcombe (invented)", "production manager", 74),
        ]
    )
    return paper.made()


def estimate() -> bytes:
    paper = Paper(BCL, "COUNTER ESTIMATE", "BCL-E-2210")
    paper.facts(
        [
            ("List", "BCL-5127"),
            ("Date", "20 November 2026"),
            ("Written by", "Joss Marsden (invented)"),
            ("Currency", "GBP"),
        ]
    )
    paper.table(
        ("Item and work", "Parts", "Labour", "Other", "Total"),
        [
            [
                "Cine prime 50 mm P50-208: front ring, polish, check on the projector; carriage 28.00",
                "145.00",
                "190.00",
                "28.00",
                "363.00",
            ],
            ["Monitor 7 in M7-031: new screen", "210.00", "85.00", "", "295.00"],
            ["LED panel 2x1 L21-077", "to follow", "", "", ""],
        ],
        (90, 20, 20, 20, 20),
        (1, 2, 3, 4),
        (1, 2, 3, 4),
    )
    paper.text("Subject to inspection in the workshop.")
    return paper.made()

"""The papers of demo claim 1."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from demo_claims.draw.harbour_words import (
    CLAUSES,
    GROSS,
    HLP,
    INVOICE_LINES,
    MARROWGATE,
    NET,
    SHOP,
    TAX,
    TGE,
)
from demo_claims.draw.paper import Paper
from demo_claims.draw.records import money
from ldapp.claim.counts import CountEntry
from ldapp.claim.kit import KitLine


def agreement() -> bytes:
    paper = Paper(TGE, "RENTAL AGREEMENT", "TGE-20418")
    paper.facts(
        [
            ("Lessor", TGE.name),
            ("Renter", HLP.name),
            ("Production", "Harbour Lights (invented)"),
            ("Purchase order", "HL-PO-0093"),
            ("Rental begins", "12 October 2026, 7:00"),
            ("Due back", "30 October 2026, 17:00"),
        ]
    )
    paper.clauses(CLAUSES)
    paper.signatures(
        [
            ("Owen Brask (invented)", "for the Lessor, 8 October 2026", 42),
            ("Mara Ellison-Voss (invented)", "for the Renter, 8 October 2026", 51),
        ]
    )
    return paper.made()


def _count_rows(
    kit: Sequence[KitLine], differs: Mapping[str, CountEntry], expected: Mapping[str, int]
) -> list[list[str]]:
    rows = []
    for line in kit:
        entry = differs.get(line.id)
        seen = entry.quantity if entry else expected.get(line.id, line.quantity)
        rows.append(
            [
                line.number,
                line.description,
                line.location,
                str(line.quantity),
                str(seen),
                entry.note if entry else "",
            ]
        )
    return rows


_WIDTHS = (12, 66, 30, 14, 16, 38)


def pickup_sheet(kit: Sequence[KitLine], differs: Mapping[str, CountEntry]) -> bytes:
    paper = Paper(TGE, "PICKUP SHEET", "TGE-20418")
    paper.facts(
        [
            ("Counted", "12 October 2026, 7:15 to 8:10 (UTC-4)"),
            ("Place", "Dock 4"),
            ("Counted by", "Ines Calloway (invented), best boy grip"),
            ("With", "Owen Brask (invented), rentals"),
        ]
    )
    paper.table(
        ("Line", "Item", "Place on truck", "Listed", "Seen", "Remark"),
        _count_rows(kit, differs, {}),
        _WIDTHS,
        (0, 3, 4),
        (4, 5),
    )
    paper.signatures(
        [
            ("Ines Calloway (invented)", "for the Renter", 41),
            ("Owen Brask (invented)", "for the Lessor", 42),
        ]
    )
    return paper.made()


def return_sheet(
    kit: Sequence[KitLine], differs: Mapping[str, CountEntry], expected: Mapping[str, int]
) -> bytes:
    paper = Paper(TGE, "RETURN SHEET", "TGE-20418-R")
    paper.facts(
        [
            ("Counted", "30 October 2026, 15:20 to 16:50 (UTC-4)"),
            ("Place", "Dock 4"),
            ("Counted by", "Ines Calloway (invented), best boy grip"),
            ("With", "Owen Brask (invented), rentals"),
        ]
    )
    paper.table(
        ("Line", "Item", "Place on truck", "Listed", "Back", "Remark"),
        _count_rows(kit, differs, expected),
        _WIDTHS,
        (0, 3, 4),
        (4, 5),
    )
    paper.text(
        "Tickets TGE-A-870 (4 stingers 25 ft added) and TGE-R-881 (2 heads 1K returned early) are taken into account."
    )
    paper.signatures(
        [
            ("Ines Calloway (invented)", "for the Renter", 43),
            ("Owen Brask (invented)", "for the Lessor", 44),
        ]
    )
    return paper.made()


def check_in(
    kit: Sequence[KitLine], differs: Mapping[str, CountEntry], expected: Mapping[str, int]
) -> bytes:
    paper = Paper(TGE, "CHECK-IN", "TGE-20418-C")
    paper.facts(
        [
            ("Counted", "2 November 2026, 10:15 (UTC-5)"),
            ("Counted by", "Check-in desk, renter not present"),
        ]
    )
    paper.table(
        ("Line", "Item", "Place on truck", "Listed", "In", "Remark"),
        _count_rows(kit, differs, expected),
        _WIDTHS,
        (0, 3, 4),
    )
    return paper.made()


def _ticket(
    number: str, title: str, when: str, rows: Sequence[Sequence[str]], seeds: tuple[int, int]
) -> bytes:
    paper = Paper(TGE, title, number)
    paper.facts([("Order", "TGE-20418"), ("Date and time", when)])
    paper.table(
        ("Line", "Item", "Quantity", "Serial numbers"), rows, (14, 90, 22, 50), (0, 2), (2, 3)
    )
    paper.signatures(
        [
            ("Teo Marsh (invented)", "for the Renter", seeds[0]),
            ("Owen Brask (invented)", "for the Lessor", seeds[1]),
        ]
    )
    return paper.made()


def ticket_added() -> bytes:
    return _ticket(
        "TGE-A-870",
        "ADDED",
        "16 October 2026, 11:30 (UTC-4)",
        [["46", "Stinger 25 ft, 12/3", "4", ""]],
        (45, 46),
    )


def ticket_early() -> bytes:
    return _ticket(
        "TGE-R-881",
        "RETURNED EARLY",
        "23 October 2026, 9:40 (UTC-4)",
        [["37", "Tungsten head 1K, complete", "2", "1K-0225, 1K-0226"]],
        (47, 48),
    )


def incident() -> bytes:
    paper = Paper(HLP, "INCIDENT REPORT", "HL-IR-07")
    paper.facts(
        [
            ("When", "22 October 2026, 21:40 (UTC-4)"),
            ("Where", "Stage 3, Port Ardley (invented)"),
            ("Item", "Tungsten head 2K, serial 2K-0117"),
            ("Reported by", "Teo Marsh (invented), best boy electric"),
        ]
    )
    paper.text(
        "While the head was carried out on its stand, its left barn door caught the frame of the stage door and folded back. "
        "The head was switched off and cold. It was taken out of service, tagged, and not plugged in again. Nobody was hurt."
    )
    paper.signatures(
        [
            ("Teo Marsh (invented)", "best boy electric", 45),
            ("Mara Ellison-Voss (invented)", "production manager", 51),
        ]
    )
    return paper.made()


def repair_invoice() -> bytes:
    paper = Paper(TGE, "WORKSHOP BILL", "TGE-W-3312")
    paper.facts(
        [
            ("Item", "Tungsten head 2K, serial 2K-0117"),
            ("Finished", "5 November 2026, back in stock the same day"),
        ]
    )
    paper.table(
        ("Work", "Quantity", "Each", "Amount"),
        [
            ["One barn door leaf with hinge", "1", "85.00", "85.00"],
            ["Labour, hour", "1.0", "70.00", "70.00"],
            ["Total", "", "", "155.00"],
        ],
        (100, 24, 26, 26),
        (1, 2, 3),
        foot=1,
    )
    return paper.made()


def flag_estimate() -> bytes:
    paper = Paper(SHOP, "ESTIMATE", "QCF-118")
    paper.facts([("For", HLP.name), ("Date", "9 November 2026")])
    paper.table(
        ("Work", "Amount"),
        [
            ["Duvetyne for one flag 24x36", "18.00"],
            ["Re-cover and sew, half an hour", "24.00"],
            ["Total", "42.00"],
        ],
        (130, 30),
        (1,),
        foot=1,
    )
    paper.text("The steel frame is straight and can be used again.")
    return paper.made()


def invoice() -> bytes:
    paper = Paper(TGE, "L&D INVOICE", "LD-20418")
    paper.facts(
        [
            ("Bill to", HLP.name),
            ("Order / purchase order", "TGE-20418 / HL-PO-0093"),
            ("Invoice date", "6 November 2026"),
            ("Terms", "30 days"),
            ("Returned", "30 October 2026"),
            ("Checked in", "2 November 2026"),
        ]
    )
    rows = [
        [
            b.number,
            b.description,
            str(b.days or b.quantity),
            money(b.unit_price),
            money(b.amount),
            "T" if b.taxable else "",
        ]
        for b in INVOICE_LINES[:-1]
    ]
    rows += [
        ["", "Net", "", "", money(NET), ""],
        ["16", "Sales tax on lines marked T", "", "", money(TAX), ""],
        ["", "Total USD", "", "", money(GROSS), ""],
    ]
    paper.table(
        ("Line", "Charge", "Qty", "Each", "Amount", "Tax"),
        rows,
        (12, 90, 14, 24, 26, 10),
        (0, 2, 3, 4),
        foot=3,
        size=8.5,
    )
    paper.text("Sales tax is 8.875 % of 2,587.00, the sum of the lines marked T.")
    paper.text("Please remit to the address above. Questions: Owen Brask (invented).")
    return paper.made()


def certificate() -> bytes:
    paper = Paper(MARROWGATE, "CERTIFICATE OF INSURANCE", "MM-55120-26")
    paper.facts(
        [
            ("Insured", HLP.name),
            ("Certificate holder and loss payee", TGE.name),
            ("Policy period", "1 September 2026, 12:01 a.m. to 31 December 2026, 12:01 a.m."),
            ("Rented equipment, limit", "250,000.00 any one occurrence"),
            ("Deductible", "1,500.00 each occurrence"),
            ("Valuation", "replacement cost"),
        ]
    )
    paper.text(
        "This certificate is issued for information. It does not change the policy, whose terms, conditions and exclusions decide."
    )
    paper.signatures([("Lena Orsk (invented)", "authorised representative, 28 September 2026", 61)])
    return paper.made()

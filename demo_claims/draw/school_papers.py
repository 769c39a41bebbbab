"""The papers of demo claim 3."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from demo_claims.draw.paper import Paper
from demo_claims.draw.records import money
from demo_claims.draw.school_words import (
    BROKER,
    CLAUSES,
    INVOICE_LINES,
    LCR,
    NET,
    PERRINSHIELD,
    POLICE,
    POLICY_TEXT,
    SCHOOL,
    SHOP,
)
from ldapp.claim.counts import CountEntry
from ldapp.claim.kit import KitLine

_WIDTHS = (10, 68, 26, 14, 14, 36)


def agreement() -> bytes:
    paper = Paper(LCR, "RENTAL AGREEMENT", "LCR-3390")
    paper.facts(
        [
            ("Lessor", LCR.name),
            ("Renter", SCHOOL.name),
            ("Student production", "The Long Ferry (invented)"),
            ("Purchase order", "FVS-26-0418"),
            ("From", "15 October 2026, 10:00"),
            ("To", "20 October 2026, 17:00"),
        ]
    )
    paper.clauses(CLAUSES)
    paper.signatures(
        [
            ("S. Varga-Lind (invented)", "for the Lessor, 12 October 2026", 81),
            ("Ottoline Braithe (invented)", "for the Renter, 12 October 2026", 82),
        ]
    )
    return paper.made()


def _sheet(
    title: str,
    number: str,
    kit: Sequence[KitLine],
    differs: Mapping[str, CountEntry],
    when: str,
    names: Sequence[tuple[str, str, int]],
    third: str = "Seen",
) -> bytes:
    paper = Paper(LCR, title, number)
    paper.facts(
        [("Counted", when), ("Place", "Counter, 1140 Breakwater Avenue, Fennick (invented)")]
    )
    rows = []
    for line in kit:
        entry = differs.get(line.id)
        seen = str(entry.quantity if entry else line.quantity)
        remark = (entry.note if entry else "") or (
            ", ".join(line.serials) if title.startswith("PICKUP") else ""
        )
        rows.append(
            [line.number, line.description, line.location, str(line.quantity), seen, remark]
        )
    paper.table(
        ("No.", "Item", "Packed in", "Listed", third, "Serial no. / remark"),
        rows,
        _WIDTHS,
        (0, 3, 4),
        (4, 5) if names else (),
    )
    if names:
        paper.signatures(names)
    return paper.made()


def pickup_sheet(kit: Sequence[KitLine]) -> bytes:
    return _sheet(
        "PICKUP SHEET",
        "LCR-3390",
        kit,
        {},
        "15 October 2026, 10:00 to 10:35 (UTC-5)",
        [
            ("J. Okonedo-Pell (invented)", "for the Renter", 83),
            ("S. Varga-Lind (invented)", "for the Lessor", 81),
        ],
    )


def return_sheet(kit: Sequence[KitLine], differs: Mapping[str, CountEntry]) -> bytes:
    return _sheet(
        "RETURN SHEET",
        "LCR-3390-R",
        kit,
        differs,
        "20 October 2026, 15:40 to 16:20 (UTC-5)",
        [
            ("J. Okonedo-Pell (invented)", "for the Renter", 83),
            ("S. Varga-Lind (invented)", "for the Lessor", 81),
        ],
        "Back",
    )


def incident() -> bytes:
    paper = Paper(SCHOOL, "INCIDENT REPORT", "FVS-IR-26-31")
    paper.facts(
        [
            ("When", "16 October 2026, 14:20 (UTC-5)"),
            ("Where", "Sound stage, Hall C"),
            ("Item", "LED fresnel LCR-F-113"),
            ("Reported by", "J. Okonedo-Pell (invented), student"),
        ]
    )
    paper.text(
        "The stand with the LED fresnel was pulled over by its cable while the floor was cleared. The front lens broke and the rim is dented. "
        "It was unplugged, tagged and not switched on again; the glass was swept up with gloves. Nobody was hurt."
    )
    paper.signatures(
        [
            ("J. Okonedo-Pell (invented)", "student", 83),
            ("Ottoline Braithe (invented)", "production office", 82),
        ]
    )
    return paper.made()


def police_report() -> bytes:
    paper = Paper(POLICE, "REPORT OF THEFT", "FPD-26-104417")
    paper.facts(
        [
            ("Reported", "18 October 2026, 07:25"),
            ("Officer", "Ofc. T. Hallam (invented)"),
            ("Between", "17 October 2026, 22:40"),
            ("and", "18 October 2026, 06:50"),
            ("Place", "Car park behind Hall C, Fennick (invented)"),
            ("Reported by", "J. Okonedo-Pell (invented)"),
        ]
    )
    paper.text(
        "Panel van, locked, parked overnight between two shooting days. Left side window broken from outside; glass inside and outside. "
        "Rear doors unlocked from inside. No other vehicle was touched. Complainant photographed the load at 22:36 the evening before. A neighbour heard glass break at about 02:15."
        ""
    )
    paper.table(
        ("Item taken", "Number", "Serial no."),
        [
            ["Cinema camera body", "1", "DCX-448120"],
            ["Cine primes 25, 35, 50, 85 mm", "4", "P25-021, P35-022, P50-023, P85-024"],
            ["Matte box; wireless follow focus", "1 each", "FF-0919"],
            ["Monitor 7 in", "2", "M7-034, M7-035"],
            ["Batteries 98 Wh", "6", ""],
            ["Media cards 512 GB", "2", ""],
            ["Transport cases", "4", ""],
        ],
        (80, 24, 70),
        (1,),
    )
    paper.text("Entry forced. Items entered as stolen.")
    paper.signatures([("T. Hallam (invented)", "officer", 84)])
    return paper.made()


def policy() -> bytes:
    paper = Paper(PERRINSHIELD, "POLICY, RENTED EQUIPMENT", "PSM-IM-77310")
    paper.facts([("Insured", SCHOOL.name), ("Broker", BROKER.name)])
    paper.clauses([(number, "", words) for number, words in POLICY_TEXT.items()])
    return paper.made()


def certificate() -> bytes:
    paper = Paper(BROKER, "CERTIFICATE OF INSURANCE", "OXB-2026-118")
    paper.facts(
        [
            ("Insurer", PERRINSHIELD.name),
            ("Policy", "PSM-IM-77310"),
            ("Insured", SCHOOL.name),
            ("Certificate holder and loss payee", LCR.name),
            ("Rented equipment", "75,000 any one occurrence; deductible 2,500"),
            ("Period", "1 July 2026 to 1 July 2027"),
        ]
    )
    paper.text("Issued for information; the policy decides.")
    paper.signatures([("P. Anselm-Rook (invented)", "broker, 13 October 2026", 85)])
    return paper.made()


def repair_estimate() -> bytes:
    paper = Paper(SHOP, "REPAIR ESTIMATE", "LW-1904")
    paper.facts([("Item", "LED fresnel LCR-F-113"), ("Date", "22 October 2026")])
    paper.table(
        ("Work", "Quantity", "Each", "Amount"),
        [
            ["Front lens with ring", "1", "350.00", "350.00"],
            ["Rim", "1", "60.00", "60.00"],
            ["Labour, hour", "3.0", "70.00", "210.00"],
            ["Freight of parts", "1", "20.00", "20.00"],
            ["Total", "", "", "640.00"],
        ],
        (96, 24, 28, 28),
        (1, 2, 3),
        foot=1,
    )
    paper.text("The lamp was not switched on; a technician tested it with the cover off.")
    return paper.made()


def invoice() -> bytes:
    paper = Paper(LCR, "L&D INVOICE", "LCR-L-0772")
    paper.facts(
        [
            ("Bill to", SCHOOL.name),
            ("Order / purchase order", "LCR-3390 / FVS-26-0418"),
            ("Invoice date", "29 October 2026"),
            ("Terms", "30 days; tax exempt"),
        ]
    )
    rows = [
        [b.number, b.description, str(b.days or b.quantity), money(b.unit_price), money(b.amount)]
        for b in INVOICE_LINES
    ]
    rows.append(["", "Total USD", "", "", money(NET)])
    paper.table(
        ("Line", "Charge", "Qty", "Each", "Amount"),
        rows,
        (12, 92, 14, 28, 30),
        (0, 2, 3, 4),
        foot=1,
        size=8.5,
    )
    return paper.made()


def student_agreement() -> bytes:
    paper = Paper(SCHOOL, "STUDENT PRODUCTION FORM", "FVS-SP-26-12")
    paper.facts(
        [("Production", "The Long Ferry (invented)"), ("Producer", "J. Okonedo-Pell (invented)")]
    )
    paper.clauses(
        [
            (
                "1",
                "",
                "Loss and damage that neither a waiver nor the policy pays is borne half by the producing student, at most 750.00 for each occurrence, and otherwise by the department.",
            )
        ]
    )
    paper.signatures(
        [
            ("J. Okonedo-Pell (invented)", "student", 83),
            ("Ottoline Braithe (invented)", "production office", 82),
        ]
    )
    return paper.made()

"""Demo claim 1: a production manager answers a loss-and-damage invoice."""

from __future__ import annotations

import datetime as dt

from demo_claims.draw import harbour_papers as papers
from demo_claims.draw import harbour_words as words
from demo_claims.draw.harbour_charges import charges, findings
from demo_claims.draw.harbour_counts import CHECK_IN, EXPECTED, PICKUP, RETURN, counted
from demo_claims.draw.harbour_kit import kit_lines
from demo_claims.draw.harbour_photos import DOCK, SHOTS, STAGE, at, taken_in
from demo_claims.draw.harbour_terms import terms
from demo_claims.draw.paper import strokes
from demo_claims.draw.records import D, PaperSpec, Story, entries
from demo_claims.draw.spreadsheets import xlsx
from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, Movement, Signature
from ldapp.claim.documents import Correspondence, Document
from ldapp.claim.findings import Occurrence
from ldapp.claim.parties import Party
from ldapp.claim.photos import Photo
from ldapp.claim.policy import Deductible, LossPayee, PolicyLimit, PolicyPeriod, PolicyTerms
from ldapp.claim.terms import (
    ValuationRule,
)


def _signed(names: tuple[tuple[str, str, int], ...], when: dt.datetime) -> tuple[Signature, ...]:
    return tuple(
        Signature(name=name, side=side, at=when, strokes=(tuple(strokes(seed)),))
        for name, side, seed in names
    )


def claim(photos: tuple[Photo, ...], documents: tuple[Document, ...]) -> Claim:
    kit = kit_lines()
    during = {
        "k47": counted("k47", 19, note="1 not found"),
        "k10": counted("k10", 12),
        "k46": counted("k46", 14),
        "k21": counted("k21", 12),
        "k01": counted("k01", 24),
    }
    return Claim(
        id="demo-harbour-lights",
        reference="HL-LD-01",
        title="Harbour Lights (invented)",
        currency="USD",
        zone="America/New_York",
        place="Dock 4, Port Ardley (invented)",
        position=DOCK,
        opened=dt.date(2026, 10, 12),
        invented=True,
        note="Ask the swing crew for the apple-box photo as it came out of the phone.",
        parties=(
            Party(
                id="p-production",
                role="production",
                name="Harbour Lights Productions (invented)",
                contact="Mara Ellison-Voss, production manager (invented)",
                address="Studio 2, 18 Ropewalk Lane, Port Ardley (invented)",
                email="production@harbourlights.invalid",
            ),
            Party(
                id="p-tge",
                role="rental_company",
                name="Tarrowmere Grip & Electric (invented)",
                contact="Owen Brask, rentals (invented)",
                address="Dock 4, Port Ardley (invented)",
                email="rentals@tarrowmere.invalid",
                reference="TGE-20418",
            ),
            Party(
                id="p-insurer",
                role="insurer",
                name="Marrowgate Mutual (invented)",
                email="claims@marrowgate.invalid",
            ),
            Party(
                id="p-best-boy",
                role="crew",
                name="Ines Calloway (invented)",
                contact="best boy grip",
            ),
            Party(
                id="p-electric",
                role="crew",
                name="Teo Marsh (invented)",
                contact="best boy electric",
            ),
        ),
        agreements=(
            Agreement(
                id="a-tge",
                lessor="p-tge",
                reference="TGE-20418",
                signed=dt.date(2026, 10, 8),
                starts=at(10, 12, 7),
                ends=at(10, 30, 17),
                custody_began=at(10, 12, 7, 15),
                custody_ended=at(10, 30, 16, 50),
                notified=dt.date(2026, 10, 30),
                purchase_order="HL-PO-0093",
                document="d-agreement",
                terms=terms(),
            ),
        ),
        policy=Policy(
            id="policy",
            insurer="p-insurer",
            number="MM-55120-26",
            insured="p-production",
            loss_payee="p-tge",
            document="d-certificate",
            terms=PolicyTerms(
                currency="USD",
                period=PolicyPeriod(begins=at(9, 1, 0, 1), ends=at(12, 31, 0, 1)),
                limit=PolicyLimit(amount=D("250000.00")),
                deductibles=(Deductible(form="flat", amount=D("1500.00")),),
                valuation=ValuationRule(bases=("replacement_cost",)),
                loss_payees=(LossPayee(name="Tarrowmere Grip & Electric (invented)"),),
                not_worth_claiming_below=D("500.00"),
            ),
        ),
        kit=kit,
        counts=(
            Count(
                id="c-pickup",
                stage="pickup",
                at=at(10, 12, 7, 15),
                until=at(10, 12, 8, 10),
                place="Dock 4, Port Ardley (invented)",
                position=DOCK,
                counted_by="Ines Calloway (invented)",
                witness="Owen Brask (invented)",
                acknowledgement="signed_by_both",
                acknowledged_by="Owen Brask (invented)",
                document="d-pickup",
                entries=entries(kit, PICKUP, at=at(10, 12, 7, 16)),
                signatures=_signed(
                    (
                        ("Ines Calloway (invented)", "ours", 41),
                        ("Owen Brask (invented)", "theirs", 42),
                    ),
                    at(10, 12, 8, 5),
                ),
            ),
            Count(
                id="c-during",
                stage="during",
                at=at(10, 20, 20, 20),
                until=at(10, 20, 20, 50),
                place="Stage 3, Port Ardley (invented)",
                position=STAGE,
                counted_by="Teo Marsh (invented)",
                acknowledgement="one_side_with_photos",
                blind=True,
                note="Only the usual losers.",
                entries=entries(kit, during, only=set(during)),
            ),
            Count(
                id="c-return",
                stage="return",
                at=at(10, 30, 15, 20),
                until=at(10, 30, 16, 50),
                place="Dock 4, Port Ardley (invented)",
                position=DOCK,
                counted_by="Ines Calloway (invented)",
                witness="Owen Brask (invented)",
                acknowledgement="signed_by_both",
                acknowledged_by="Owen Brask (invented)",
                document="d-return",
                entries=entries(kit, RETURN, EXPECTED, at=at(10, 30, 15, 22)),
                signatures=_signed(
                    (
                        ("Ines Calloway (invented)", "ours", 43),
                        ("Owen Brask (invented)", "theirs", 44),
                    ),
                    at(10, 30, 16, 48),
                ),
            ),
            Count(
                id="c-check-in",
                stage="check_in",
                at=at(11, 2, 10, 15),
                place="Dock 4, Port Ardley (invented)",
                counted_by="Tarrowmere check-in desk (invented)",
                acknowledgement="one_side",
                document="d-check-in",
                entries=entries(kit, CHECK_IN, EXPECTED),
            ),
        ),
        movements=(
            Movement(
                id="m-added",
                kind="added",
                line="k46",
                quantity=4,
                at=at(10, 16, 11, 30),
                ticket="TGE-A-870",
                document="d-ticket-870",
            ),
            Movement(
                id="m-early",
                kind="returned_early",
                line="k37",
                quantity=2,
                at=at(10, 23, 9, 40),
                ticket="TGE-R-881",
                serials_out=("1K-0225", "1K-0226"),
                document="d-ticket-881",
            ),
        ),
        occurrences=(
            Occurrence(
                id="o-doorway",
                title="Barn door struck in a doorway",
                cause="drop_or_impact",
                at=at(10, 22, 21, 40),
                place="Stage 3, Port Ardley (invented)",
                narrative="While the 2K was carried out on its stand, its left door caught the frame of the stage door.",
                report_number="HL-IR-07",
                persons=("Teo Marsh (invented)",),
                documents=("d-incident",),
            ),
            Occurrence(
                id="o-gust",
                title="Flag torn in a gust",
                cause="weather",
                at=at(10, 24, 16, 15),
                place="Pier 2, Port Ardley (invented)",
                narrative="A gust blew a stand with a 24x36 solid against a railing.",
                report_number="HL-IR-08",
                persons=("Ines Calloway (invented)",),
            ),
        ),
        findings=findings(),
        invoices=(
            Invoice(
                id="inv-1",
                agreement="a-tge",
                number="LD-20418",
                dated=dt.date(2026, 11, 6),
                received=dt.date(2026, 11, 6),
                net=words.NET,
                tax=words.TAX,
                gross=words.GROSS,
                document="d-invoice",
                charges=charges(),
            ),
        ),
        photos=photos,
        documents=documents,
        correspondence=(
            Correspondence(
                id="x-1",
                at=at(11, 6, 17, 5),
                direction="received",
                channel="email",
                party="p-tge",
                subject="L&D invoice LD-20418",
                document="d-invoice",
            ),
            Correspondence(
                id="x-2",
                at=at(11, 9, 9, 20),
                direction="sent",
                channel="email",
                party="p-tge",
                subject="LD-20418: please send repair bill and photos for line 14, and keep the items",
                text="We are checking each line and will answer in writing. Please keep the items for inspection.",
            ),
        ),
    )


_PLAIN = (
    ("number", 7),
    ("description", 46),
    ("quantity", 9),
    ("category", 20),
    ("location", 20),
    ("serial numbers", 34),
    ("day rate", 10),
    ("replacement value", 17),
    ("bought", 12),
)


def kit_xlsx() -> bytes:
    rows = [
        (
            line.number,
            line.description,
            line.quantity,
            line.category,
            line.location,
            ", ".join(line.serials) or None,
            float(line.day_rate or 0),
            float(line.replacement_cost or 0),
            line.acquired,
        )
        for line in kit_lines()
    ]
    return xlsx(
        "Equipment list",
        ("Tarrowmere Grip & Electric (invented) - order TGE-20418 - Harbour Lights (invented)",),
        [name.capitalize() for name, _ in _PLAIN],
        rows,
        [width for _, width in _PLAIN],
    )


def _paper(
    key: str,
    file: str,
    title: str,
    kind: str,
    build,
    dated: dt.date,
    signed: bool = False,
    party: str | None = "p-tge",
    private: bool = False,
) -> PaperSpec:
    return PaperSpec(key, file, title, kind, build, dated, signed, party, private)


STORY = Story(
    folder="harbour_lights",
    shots=SHOTS,
    papers=(
        _paper(
            "d-agreement",
            "agreement.pdf",
            "Rental agreement TGE-20418",
            "agreement",
            papers.agreement,
            dt.date(2026, 10, 8),
            True,
        ),
        _paper(
            "d-pickup",
            "pickup-sheet.pdf",
            "Pickup sheet, signed by both",
            "pickup_sheet",
            lambda: papers.pickup_sheet(kit_lines(), PICKUP),
            dt.date(2026, 10, 12),
            True,
        ),
        _paper(
            "d-ticket-870",
            "ticket-a-870.pdf",
            "Added: four stingers 25 ft",
            "movement_ticket",
            papers.ticket_added,
            dt.date(2026, 10, 16),
            True,
        ),
        _paper(
            "d-ticket-881",
            "ticket-r-881.pdf",
            "Returned early: two 1K heads",
            "movement_ticket",
            papers.ticket_early,
            dt.date(2026, 10, 23),
            True,
        ),
        _paper(
            "d-incident",
            "incident-report-07.pdf",
            "Incident report HL-IR-07",
            "incident_report",
            papers.incident,
            dt.date(2026, 10, 22),
            party="p-production",
        ),
        _paper(
            "d-return",
            "return-sheet.pdf",
            "Return sheet, signed by both",
            "return_sheet",
            lambda: papers.return_sheet(kit_lines(), RETURN, EXPECTED),
            dt.date(2026, 10, 30),
            True,
        ),
        _paper(
            "d-check-in",
            "check-in.pdf",
            "Check-in list of the rental company",
            "check_in_sheet",
            lambda: papers.check_in(kit_lines(), CHECK_IN, EXPECTED),
            dt.date(2026, 11, 2),
        ),
        _paper(
            "d-repair",
            "repair-invoice.pdf",
            "Repair of barn doors, 2K-0117",
            "repair_invoice",
            papers.repair_invoice,
            dt.date(2026, 11, 5),
        ),
        _paper(
            "d-invoice",
            "invoice-ld-20418.pdf",
            "L&D invoice LD-20418",
            "invoice",
            papers.invoice,
            dt.date(2026, 11, 6),
        ),
        _paper(
            "d-flag-estimate",
            "flag-estimate.pdf",
            "Estimate: re-covering a 24x36 flag",
            "repair_estimate",
            papers.flag_estimate,
            dt.date(2026, 11, 9),
            party=None,
        ),
        _paper(
            "d-certificate",
            "certificate-of-insurance.pdf",
            "Certificate of insurance MM-55120-26",
            "certificate_of_insurance",
            papers.certificate,
            dt.date(2026, 9, 28),
            party="p-insurer",
            private=True,
        ),
    ),
    sheets={"kit-list.xlsx": kit_xlsx},
    claim=claim,
    taken_in=taken_in,
)

"""One invented claim with a loss, a damage, a theft and an invoice, and its photos and papers."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import io
from decimal import Decimal
from pathlib import Path

from PIL import Image, ImageDraw
from reportlab.pdfgen.canvas import Canvas

from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Charge, GroundChoice, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.counts import Count, CountEntry, Movement, Signature
from ldapp.claim.documents import Document, Split
from ldapp.claim.findings import Finding, Occurrence, Repair
from ldapp.claim.kit import KitLine, Part
from ldapp.claim.parties import Party
from ldapp.claim.photo_facts import PhotoFacts, PhotoVerdict, Reason
from ldapp.claim.photos import Marking, Pairing, Photo
from ldapp.claim.policy import Deductible, PolicyLimit, PolicyPeriod, PolicyTerms
from ldapp.claim.terms import (
    DepreciationOverride,
    RepairDecision,
    StraightLine,
    Terms,
    ValuationRule,
)
from ldapp.dossier.request import CompletenessLine, DossierRequest, JournalLine, WeakPoint
from ldapp.errors import MachineError
from ldapp.reckoning.engine import reckon

ZONE = dt.timezone(dt.timedelta(hours=-7))


class FolderOfOriginals:
    """Originals by hash, kept in a folder for the length of a test."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)

    def put(self, data: bytes) -> str:
        name = hashlib.sha256(data).hexdigest()
        (self.folder / name).write_bytes(data)
        return name

    def path_of(self, sha256: str) -> Path:
        path = self.folder / sha256
        if not path.is_file():
            raise MachineError(f"The original {sha256} is missing.")
        return path


def at(day: int, hour: int, minute: int = 0) -> dt.datetime:
    return dt.datetime(2026, 3, day, hour, minute, tzinfo=ZONE)


def picture_bytes(
    number: int,
    size: tuple[int, int] = (1200, 900),
    *,
    form: str = "JPEG",
    orientation: int = 1,
    mode: str = "RGB",
) -> bytes:
    """Return a drawn photo: a stand on a floor, different for each number."""
    image = Image.new("RGB", size, (122 + number * 7 % 60, 118, 110))
    draw = ImageDraw.Draw(image)
    w, h = size
    for row in range(0, h, 6):
        shade = 90 + (row * 80 // h)
        draw.line((0, row, w, row), fill=(shade, shade - 6, shade - 12), width=6)
    x = w * (2 + number % 5) // 8
    draw.line((x, h // 6, x, h * 3 // 4), fill=(30, 30, 34), width=w // 60)
    for way in (-1, 0, 1):
        draw.line((x, h * 3 // 4, x + way * w // 8, h * 7 // 8), fill=(40, 40, 44), width=w // 70)
    draw.rectangle((x - w // 12, h // 8, x + w // 12, h // 4), fill=(200, 180, 60))
    draw.rectangle((0, 0, w // 10, h // 10), fill=(200, 30, 30))
    image = image.convert(mode)
    out = io.BytesIO()
    if form == "JPEG":
        exif = Image.Exif()
        exif[0x010F] = "Invented"
        exif[0x0112] = orientation
        exif.get_ifd(0x8825)[1] = "N"
        exif.get_ifd(0x8825)[2] = (39.0, 44.0, 24.0)
        image.save(out, form, quality=80, exif=exif.tobytes())
    else:
        image.save(out, form)
    return out.getvalue()


def paper_bytes(title: str, pages: int = 1, *, size: tuple[float, float] = (595, 842)) -> bytes:
    """Return an invented paper as a PDF, the same bytes each time."""
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=size, invariant=1)
    for page in range(1, pages + 1):
        canvas.setFont("Helvetica-Bold", 16)
        canvas.drawString(60, size[1] - 80, title)
        canvas.setFont("Helvetica", 10)
        for row in range(20):
            canvas.drawString(60, size[1] - 120 - row * 18, f"Page {page}, row {row}: as written.")
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _photo(
    originals: FolderOfOriginals, number: int, count: str, line: str, **more: object
) -> Photo:
    data = picture_bytes(number)
    sha = originals.put(data)
    return Photo(
        id=f"photo-{number}",
        name=f"IMG_{4100 + number}.JPG",
        facts=PhotoFacts(
            file_name=f"IMG_{4100 + number}.JPG",
            sha256=sha,
            bytes=len(data),
            kind="image/jpeg",
            width=1200,
            height=900,
            make="Invented",
            model="Pocket 9",
            serial="CAM-SERIAL-77",
        ),
        taken_in=at(13, 9),
        count=count,
        pairings=(Pairing(line=line, count=count),) if line else (),
        **more,  # type: ignore[arg-type]
    )


def _verdict(number: int, moment: dt.datetime, standing: str = "backed") -> PhotoVerdict:
    local = moment.replace(tzinfo=None) + dt.timedelta(seconds=number)
    return PhotoVerdict(
        standing=standing,  # type: ignore[arg-type]
        reasons=(
            Reason(code="G1", weight="supports", says="Satellite time agrees within 2 seconds."),
        ),
        summary="A second source agrees.",
        taken_local=local.isoformat(),
        taken_from="original",
        offset="-07:00",
        offset_source="tag",
        taken_utc=moment + dt.timedelta(seconds=number),
    )


def _document(
    originals: FolderOfOriginals,
    key: str,
    title: str,
    kind: str,
    pages: int = 1,
    **more: object,
) -> Document:
    data = paper_bytes(title, pages)
    return Document(
        id=key,
        title=title,
        kind=kind,  # type: ignore[arg-type]
        name=f"{key}.pdf",
        sha256=originals.put(data),
        bytes=len(data),
        media_type="application/pdf",
        dated=dt.date(2026, 3, 2),
        **more,  # type: ignore[arg-type]
    )


def _parties() -> tuple[Party, ...]:
    return (
        Party(
            id="we",
            role="production",
            name="Lantern Lane Pictures",
            contact="Robin Example",
            address="4 Invented Street\nExampletown 00000",
            email="office@lantern-lane.example",
            phone="+1 555 0100",
        ),
        Party(
            id="house",
            role="rental_company",
            name="North Yard Rentals",
            contact="Returns desk",
            address="77 Sample Road\nExampletown 00000",
            email="returns@north-yard.example",
            reference="Customer 4471",
        ),
        Party(
            id="insurer",
            role="insurer",
            name="Harbour Mutual",
            address="1 Pier Plaza\nExampletown 00000",
        ),
        Party(id="student", role="student", name="Sam Pupilworth", reference="STUD-90331"),
    )


def _kit() -> tuple[KitLine, ...]:
    return (
        KitLine(
            id="l1",
            number="10",
            agreement="a1",
            description="C-stand 40 in, with head and arm",
            quantity=12,
            parts=(Part(id="arm", description="arm"), Part(id="head", description="grip head")),
            kind="grip",
            location="Truck, left rack",
            replacement_cost=Decimal("265.00"),
            acquired=dt.date(2023, 3, 1),
            day_rate=Decimal("4.00"),
        ),
        KitLine(
            id="l2",
            number="20",
            agreement="a1",
            description="Fresnel head 1 kW",
            quantity=2,
            serials=("FH-2201", "FH-2202"),
            kind="lighting",
            location="Cart 2",
            replacement_cost=Decimal("4829.10"),
            acquired=dt.date(2025, 4, 12),
            day_rate=Decimal("38.00"),
        ),
        KitLine(
            id="l3",
            number="30",
            agreement="a1",
            description="Stinger 50 ft",
            quantity=20,
            kind="electrical_distribution",
            location="Truck, belly box",
            replacement_cost=Decimal("58.40"),
            acquired=dt.date(2024, 1, 15),
            day_rate=Decimal("1.50"),
        ),
        KitLine(
            id="l4",
            number="40",
            agreement="a1",
            description="Apple box, full",
            quantity=8,
            kind="grip",
            location="",
            replacement_cost=Decimal("44.00"),
        ),
    )


def _counts() -> tuple[Count, ...]:
    def entries(*numbers: int | None, **notes: str) -> tuple[CountEntry, ...]:
        return tuple(
            CountEntry(
                line=f"l{index}",
                quantity=number,
                condition="as_sent_out",
                note=notes.get(f"l{index}", ""),
            )
            for index, number in enumerate(numbers, 1)
        )

    damaged = tuple(
        dataclasses.replace(one, condition="damaged", note="lens broken")
        if one.line == "l2"
        else one
        for one in entries(11, 2, 17, 8)
    )
    return (
        Count(
            id="c1",
            stage="pickup",
            at=at(2, 7, 40),
            until=at(2, 8, 30),
            place="North Yard, dock 3",
            counted_by="Robin Example",
            witness="Lee Sample",
            acknowledgement="signed_by_both",
            acknowledged_by="Lee Sample",
            signatures=(
                Signature(
                    name="Robin Example",
                    side="ours",
                    at=at(2, 8, 31),
                    strokes=(((0.05, 0.7), (0.2, 0.2), (0.35, 0.8), (0.6, 0.3), (0.95, 0.6)),),
                ),
                Signature(
                    name="Lee Sample",
                    side="theirs",
                    at=at(2, 8, 32),
                    strokes=(((0.1, 0.4), (0.3, 0.6), (0.5, 0.3), (0.9, 0.5)),),
                ),
            ),
            document="pickup-sheet",
            entries=entries(12, 2, 19, 8, l3="one short, noted on the ticket"),
        ),
        Count(
            id="c2",
            stage="during",
            at=at(7, 19, 0),
            place="Stage B",
            counted_by="Robin Example",
            acknowledgement="one_side",
            entries=entries(12, 2, None, 8),
        ),
        Count(
            id="c3",
            stage="return",
            at=at(12, 16, 0),
            place="North Yard, dock 3",
            counted_by="Robin Example",
            witness="Lee Sample",
            acknowledgement="signed_by_both",
            acknowledged_by="Lee Sample",
            entries=damaged,
        ),
        Count(
            id="c4",
            stage="check_in",
            at=at(14, 10, 0),
            place="North Yard",
            counted_by="Lee Sample",
            acknowledgement="one_side",
            entries=entries(11, 2, 15, 8),
        ),
    )


def _terms() -> Terms:
    clause = Clause(
        reference="7.2",
        document="agreement",
        page=2,
        text="Lost equipment is charged at replacement cost less depreciation over ten years.",
    )
    return Terms(
        valuation=ValuationRule(bases=("actual_cash_value",), clause=clause),
        depreciation=StraightLine(life_months=120, clause=clause),
        depreciation_overrides=(
            DepreciationOverride(rule=StraightLine(life_months=60, clause=clause), line="l2"),
        ),
        repair_decision=RepairDecision(rule="lesser", clause=Clause(reference="7.4")),
    )


def _invoice() -> Invoice:
    return Invoice(
        id="i1",
        agreement="a1",
        number="LD-2207",
        dated=dt.date(2026, 3, 16),
        received=dt.date(2026, 3, 17),
        net=Decimal("1566.40"),
        tax=Decimal("0.00"),
        gross=Decimal("1566.40"),
        document="invoice",
        charges=(
            Charge(
                id="g1",
                number="1",
                description="C-stand complete",
                kind="missing",
                quantity=Decimal(1),
                unit_price=Decimal("265.00"),
                amount=Decimal("265.00"),
                line="l1",
                finding="f1",
                grounds=(
                    GroundChoice(
                        code="depreciation",
                        clause="7.2",
                        documents=("agreement",),
                        words="As agreed.",
                    ),
                ),
            ),
            Charge(
                id="g2",
                number="2",
                description="Fresnel head, repair",
                kind="repair",
                quantity=Decimal(1),
                unit_price=Decimal("1009.40"),
                amount=Decimal("1009.40"),
                line="l2",
                finding="f2",
                grounds=(
                    GroundChoice(
                        code="repair_cheaper", documents=("estimate",), photos=("photo-3",)
                    ),
                ),
            ),
            Charge(
                id="g3",
                number="3",
                description="Stinger 50 ft, missing",
                kind="missing",
                quantity=Decimal(5),
                unit_price=Decimal("58.40"),
                amount=Decimal("292.00"),
                line="l3",
                finding="f3",
                grounds=(
                    GroundChoice(code="never_received", quantity=1, counts=("c1",)),
                    GroundChoice(code="quantity", counts=("c3",)),
                    GroundChoice(code="depreciation", clause="7.2"),
                ),
            ),
        ),
    )


def small_claim(originals: FolderOfOriginals) -> Claim:
    """Return the claim; its photos and papers are put into ``originals``."""
    documents = (
        _document(originals, "agreement", "Rental agreement R-771", "agreement", 3),
        _document(originals, "pickup-sheet", "Pickup sheet", "pickup_sheet"),
        _document(originals, "invoice", "Loss and damage invoice LD-2207", "invoice"),
        _document(originals, "estimate", "Repair estimate", "repair_estimate"),
        _document(originals, "policy-paper", "Policy HM-5520-9", "policy", 2, private=True),
    )
    return Claim(
        id="claim-1",
        reference="2026-014",
        title="The Quiet Harbour",
        currency="USD",
        zone="America/Denver",
        place="Exampletown",
        invented=True,
        note="private-note-of-the-claim",
        parties=_parties(),
        agreements=(
            Agreement(
                id="a1",
                lessor="house",
                reference="R-771",
                signed=dt.date(2026, 2, 27),
                starts=at(2, 8),
                ends=at(12, 17),
                document="agreement",
                terms=_terms(),
                note="private-note-of-the-agreement",
            ),
        ),
        policy=Policy(
            id="p1",
            insurer="insurer",
            number="HM-5520-9",
            insured="we",
            claim_number="CLM-88123",
            document="policy-paper",
            terms=PolicyTerms(
                period=PolicyPeriod(begins=at(1, 0, 1), ends=at(31, 0, 1)),
                limit=PolicyLimit(amount=Decimal("250000.00")),
                deductibles=(Deductible(form="flat", amount=Decimal("500.00")),),
            ),
        ),
        kit=_kit(),
        counts=_counts(),
        movements=(
            Movement(id="m1", kind="added", line="l4", quantity=0, at=at(5, 11), ticket="T-1182"),
        ),
        occurrences=(
            Occurrence(
                id="o1",
                title="Head fell from a stand in a gust of wind",
                cause="drop_or_impact",
                at=at(9, 15, 20),
                place="Stage B, backlot",
                narrative=(
                    "A gust took the overhead frame; the head fell about two metres onto concrete. "
                    "The lens broke and the yoke is bent. Sam Pupilworth saw it happen."
                ),
                report_number="IR-7",
                persons=("Robin Example", "Sam Pupilworth"),
            ),
        ),
        findings=(
            Finding(id="f1", line="l1", kind="missing", quantity=1),
            Finding(
                id="f2",
                line="l2",
                kind="damaged",
                quantity=1,
                serials=("FH-2202",),
                occurrence="o1",
                narrative="Lens broken, yoke bent, lamp holder cracked.",
                repair=Repair(
                    parts=Decimal("412.00"),
                    labour=Decimal("180.00"),
                    labour_hours=Decimal("3"),
                    document="estimate",
                ),
            ),
            Finding(id="f3", line="l3", kind="missing", quantity=2),
            Finding(id="f4", line="l3", kind="short_at_pickup", quantity=1),
        ),
        invoices=(_invoice(),),
        photos=(
            _photo(originals, 1, "c1", "l1"),
            _photo(originals, 2, "c1", "l2"),
            _photo(
                originals,
                3,
                "c3",
                "l2",
                markings=(
                    Marking(kind="ring", points=((0.3, 0.1), (0.62, 0.32)), text="lens broken"),
                    Marking(kind="arrow", points=((0.8, 0.9), (0.6, 0.5)), text="yoke bent"),
                ),
            ),
            _photo(originals, 4, "c3", "l2"),
            _photo(originals, 5, "c3", "l1"),
            _photo(originals, 6, "c1", ""),
        ),
        documents=documents,
        splits=(
            Split(id="s1", party="student", share_percent=Decimal(25)),
            Split(id="s2", party="we"),
        ),
    )


def verdicts() -> dict[str, PhotoVerdict]:
    return {
        "photo-1": _verdict(1, at(2, 7, 50)),
        "photo-2": _verdict(2, at(2, 7, 55), "camera_only"),
        "photo-3": _verdict(3, at(12, 16, 10), "corrected"),
        "photo-4": _verdict(4, at(12, 16, 12)),
        "photo-5": _verdict(5, at(12, 16, 20)),
    }


def request(
    claim: Claim, originals: FolderOfOriginals, version: str, **more: object
) -> DossierRequest:
    """Return a request for one version of the small claim, everything filled in."""
    values: dict[str, object] = {
        "claim": claim,
        "reckoning": reckon(claim),
        "version": version,
        "date": dt.date(2026, 3, 20),
        "originals": originals,
        "verdicts": verdicts(),
        "weak_points": (WeakPoint(about="Photo 6", says="weakpoint-says: it has no time."),),
        "completeness": (
            CompletenessLine(asks_for="Policy and certificate", present="present"),
            CompletenessLine(
                asks_for="Police report", present="missing", says="likely-answer-text"
            ),
        ),
        "journal": (
            JournalLine(
                number=1, at=at(1, 9), who="Robin Example", label="Claim opened", hash="ab" * 32
            ),
        ),
        "journal_head": "cd" * 32,
        **more,
    }
    return DossierRequest(**values)  # type: ignore[arg-type]

"""Demo claim 3: a film school's office files an insurance claim."""

from __future__ import annotations

import datetime as dt

from demo_claims.draw import school_papers as papers
from demo_claims.draw import school_words as words
from demo_claims.draw.exif import local_time
from demo_claims.draw.paper import strokes
from demo_claims.draw.records import D, PaperSpec, Story, entries
from demo_claims.draw.school_charges import charges, findings
from demo_claims.draw.school_kit import STOLEN, kit_lines
from demo_claims.draw.school_photos import CAMERA, COUNTER, SCHOOL, SHOTS, at, taken_in
from demo_claims.draw.school_terms import policy, terms
from demo_claims.draw.spreadsheets import xlsx
from ldapp.claim.agreement import Agreement
from ldapp.claim.charges import Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Signature
from ldapp.claim.documents import Correspondence, Document, Split
from ldapp.claim.findings import Occurrence
from ldapp.claim.kit import KitLine
from ldapp.claim.parties import Party
from ldapp.claim.photos import ClockCorrection, Photo


def counted(line: str, quantity: int, condition: str = "as_sent_out", note: str = "") -> CountEntry:
    return CountEntry(line=line, quantity=quantity, condition=condition, note=note)


def _after(kit: tuple[KitLine, ...]) -> dict[str, CountEntry]:
    listed = {line.id: line.quantity for line in kit}
    return {key: counted(key, listed[key] - gone, note="stolen") for key, gone in STOLEN.items()}


def _returned(kit: tuple[KitLine, ...]) -> dict[str, CountEntry]:
    return {
        **_after(kit),
        "k19": counted("k19", 3, "damaged", "F-113: lens broken, rim dented"),
        "k29": counted("k29", 5, note="1 short"),
    }


def claim(photos: tuple[Photo, ...], documents: tuple[Document, ...]) -> Claim:
    kit = kit_lines()
    reference = SHOTS[0].stamp
    assert reference is not None
    in_van = {
        "k01",
        "k02",
        "k03",
        "k04",
        "k05",
        "k06",
        "k08",
        "k11",
        "k13",
        "k14",
        "k19",
        "k25",
        "k37",
        "k38",
        "k39",
        "k40",
    }
    names = (("J. Okonedo-Pell (invented)", "ours", 83), ("S. Varga-Lind (invented)", "theirs", 81))

    def signed(when: dt.datetime) -> tuple[Signature, ...]:
        return tuple(
            Signature(name=n, side=s, at=when, strokes=(tuple(strokes(k)),)) for n, s, k in names
        )

    return Claim(
        id="demo-the-long-ferry",
        reference="FVS-2026-07",
        title="The Long Ferry (invented)",
        currency="USD",
        zone="America/Chicago",
        place="Fennick (invented)",
        position=SCHOOL,
        opened=dt.date(2026, 10, 18),
        invented=True,
        note="The monitors' serial numbers are on the pickup sheet only; the messenger photo proves little.",
        parties=(
            Party(
                id="p-school",
                role="school",
                name="Fennick Vale School of Film (invented)",
                contact="Ottoline Braithe, production office (invented)",
                address="Hall C, Fennick (invented)",
                email="office@fennickvale.invalid",
            ),
            Party(id="p-department", role="department", name="Department of Production (invented)"),
            Party(
                id="p-student",
                role="student",
                name="J. Okonedo-Pell (invented)",
                reference="student 26-0412",
            ),
            Party(
                id="p-lcr",
                role="rental_company",
                name="Lornlake Camera Rental (invented)",
                contact="S. Varga-Lind (invented)",
                address="1140 Breakwater Avenue, Fennick (invented)",
                email="counter@lornlake.invalid",
                reference="LCR-3390",
            ),
            Party(
                id="p-insurer",
                role="insurer",
                name="Perrinshield Mutual (invented)",
                email="claims@perrinshield.invalid",
            ),
            Party(
                id="p-broker",
                role="broker",
                name="Oxberrow Brokers (invented)",
                email="claims@oxberrow.invalid",
            ),
        ),
        agreements=(
            Agreement(
                id="a-lcr",
                lessor="p-lcr",
                reference="LCR-3390",
                signed=dt.date(2026, 10, 12),
                starts=at(10, 15, 10),
                ends=at(10, 20, 17),
                custody_began=at(10, 15, 10),
                custody_ended=at(10, 20, 16, 20),
                notified=dt.date(2026, 10, 18),
                purchase_order="FVS-26-0418",
                document="d-agreement",
                terms=terms(),
            ),
        ),
        policy=policy(),
        kit=kit,
        counts=(
            Count(
                id="c-pickup",
                stage="pickup",
                at=at(10, 15, 10),
                until=at(10, 15, 10, 40),
                place="Lornlake counter (invented)",
                position=COUNTER,
                counted_by="J. Okonedo-Pell (invented)",
                witness="S. Varga-Lind (invented)",
                acknowledgement="signed_by_both",
                acknowledged_by="S. Varga-Lind (invented)",
                document="d-pickup",
                entries=entries(kit, {}, at=at(10, 15, 10, 1)),
                signatures=signed(at(10, 15, 10, 36)),
            ),
            Count(
                id="c-van",
                stage="during",
                at=at(10, 17, 22, 20),
                until=at(10, 17, 22, 40),
                place="Car park behind Hall C (invented)",
                position=SCHOOL,
                counted_by="J. Okonedo-Pell (invented)",
                acknowledgement="one_side_with_photos",
                note="What was loaded for the night.",
                entries=entries(
                    kit,
                    {"k19": counted("k19", 3, "damaged", "F-113 dropped on the 16th")},
                    only=in_van,
                ),
            ),
            Count(
                id="c-after",
                stage="during",
                at=at(10, 18, 6, 55),
                until=at(10, 18, 8, 15),
                place="Car park behind Hall C (invented)",
                position=SCHOOL,
                counted_by="J. Okonedo-Pell (invented)",
                witness="Ofc. T. Hallam (invented)",
                acknowledgement="one_side_with_photos",
                entries=entries(
                    kit, {**_after(kit), "k19": counted("k19", 3, "damaged")}, only=in_van
                ),
            ),
            Count(
                id="c-return",
                stage="return",
                at=at(10, 20, 15, 40),
                until=at(10, 20, 16, 20),
                place="Lornlake counter (invented)",
                position=COUNTER,
                counted_by="J. Okonedo-Pell (invented)",
                witness="S. Varga-Lind (invented)",
                acknowledgement="signed_by_both",
                acknowledged_by="S. Varga-Lind (invented)",
                document="d-return",
                entries=entries(kit, _returned(kit), at=at(10, 20, 15, 41)),
                signatures=signed(at(10, 20, 16, 18)),
            ),
        ),
        occurrences=(
            Occurrence(
                id="o-drop",
                title="LED fresnel pulled over",
                cause="drop_or_impact",
                at=at(10, 16, 14, 20),
                place="Sound stage, Hall C (invented)",
                narrative="The stand was pulled over by its cable while the floor was cleared; lens broken, rim dented.",
                report_number="FVS-IR-26-31",
                persons=("J. Okonedo-Pell (invented)",),
                documents=("d-incident",),
            ),
            Occurrence(
                id="o-theft",
                title="Van broken into overnight",
                cause="theft_from_vehicle",
                at=at(10, 18, 2, 15),
                place="Car park behind Hall C, Fennick (invented)",
                narrative="Between 22:40 on 17 October and 6:50 on 18 October the left side window of the locked van was broken and four cases were taken. "
                "The load had been photographed at 22:36; a neighbour heard glass break at about 2:15.",
                police_report="FPD-26-104417",
                forced_entry=True,
                persons=("J. Okonedo-Pell (invented)",),
                documents=("d-police",),
            ),
        ),
        findings=findings(),
        invoices=(
            Invoice(
                id="inv-1",
                agreement="a-lcr",
                number="LCR-L-0772",
                dated=dt.date(2026, 10, 29),
                received=dt.date(2026, 10, 30),
                net=words.NET,
                gross=words.NET,
                document="d-invoice",
                charges=charges(),
            ),
        ),
        photos=photos,
        clock_corrections=(
            ClockCorrection(
                id="clock-1",
                make=CAMERA.make,
                model=CAMERA.model,
                serial=CAMERA.serial,
                photo="p01",
                camera_time=local_time(reference),
                reference_time=reference.true_time,
                reading_accuracy_s=1,
                reference="the office's radio clock",
            ),
        ),
        documents=documents,
        correspondence=(
            Correspondence(
                id="x-1",
                at=at(10, 18, 9, 55),
                direction="sent",
                channel="email",
                party="p-broker",
                subject="Notice of loss: theft from van, FPD-26-104417",
                text="A van was broken into last night; list and photos follow. Please notify the insurer.",
            ),
            Correspondence(
                id="x-2",
                at=at(10, 18, 10, 10),
                direction="sent",
                channel="email",
                party="p-lcr",
                subject="Theft of LCR-3390, part",
            ),
            Correspondence(
                id="x-3",
                at=at(10, 30, 8, 45),
                direction="received",
                channel="post",
                party="p-lcr",
                subject="L&D invoice LCR-L-0772",
                document="d-invoice",
            ),
        ),
        splits=(
            Split(
                id="s-1",
                party="p-student",
                share_percent=D("50"),
                at_most=D("750.00"),
                note="student production form, 1",
            ),
            Split(id="s-2", party="p-department"),
        ),
    )


_HEAD = (
    "Item",
    "Description",
    "Quantity",
    "Group",
    "Container",
    "Serial",
    "Daily rate",
    "Replacement cost",
    "Purchased",
)


def kit_xlsx() -> bytes:
    rows = [
        (
            line.number,
            line.description,
            line.quantity,
            line.category,
            line.location,
            "; ".join(line.serials) or None,
            float(line.day_rate or 0),
            float(line.replacement_cost or 0),
            line.acquired,
        )
        for line in kit_lines()
    ]
    return xlsx(
        "Order",
        ("Lornlake Camera Rental (invented) - LCR-3390 - The Long Ferry (invented)",),
        _HEAD,
        rows,
        (6, 38, 9, 12, 16, 26, 11, 16, 12),
    )


def _paper(
    key: str,
    file: str,
    title: str,
    kind: str,
    build,
    dated: dt.date,
    signed: bool = False,
    party: str | None = "p-lcr",
    private: bool = False,
) -> PaperSpec:
    return PaperSpec(key, file, title, kind, build, dated, signed, party, private)


STORY = Story(
    folder="the_long_ferry",
    shots=SHOTS,
    papers=(
        _paper(
            "d-agreement",
            "agreement.pdf",
            "Rental agreement LCR-3390",
            "agreement",
            papers.agreement,
            dt.date(2026, 10, 12),
            True,
        ),
        _paper(
            "d-policy",
            "policy.pdf",
            "Policy PSM-IM-77310, rented equipment",
            "policy",
            papers.policy,
            dt.date(2026, 7, 1),
            party="p-insurer",
            private=True,
        ),
        _paper(
            "d-certificate",
            "certificate-of-insurance.pdf",
            "Certificate of insurance OXB-2026-118",
            "certificate_of_insurance",
            papers.certificate,
            dt.date(2026, 10, 13),
            party="p-broker",
            private=True,
        ),
        _paper(
            "d-student",
            "student-production-form.pdf",
            "Student production form FVS-SP-26-12",
            "other",
            papers.student_agreement,
            dt.date(2026, 10, 9),
            party="p-student",
            private=True,
        ),
        _paper(
            "d-pickup",
            "pickup-sheet.pdf",
            "Pickup sheet, signed by both",
            "pickup_sheet",
            lambda: papers.pickup_sheet(kit_lines()),
            dt.date(2026, 10, 15),
            True,
        ),
        _paper(
            "d-incident",
            "incident-report-31.pdf",
            "Incident report FVS-IR-26-31",
            "incident_report",
            papers.incident,
            dt.date(2026, 10, 16),
            party="p-school",
        ),
        _paper(
            "d-police",
            "police-report.pdf",
            "Police report FPD-26-104417",
            "police_report",
            papers.police_report,
            dt.date(2026, 10, 18),
            party=None,
        ),
        _paper(
            "d-return",
            "return-sheet.pdf",
            "Return sheet, signed by both",
            "return_sheet",
            lambda: papers.return_sheet(kit_lines(), _returned(kit_lines())),
            dt.date(2026, 10, 20),
            True,
        ),
        _paper(
            "d-estimate",
            "repair-estimate.pdf",
            "Repair estimate LW-1904, LED fresnel",
            "repair_estimate",
            papers.repair_estimate,
            dt.date(2026, 10, 22),
        ),
        _paper(
            "d-invoice",
            "invoice-lcr-l-0772.pdf",
            "L&D invoice LCR-L-0772",
            "invoice",
            papers.invoice,
            dt.date(2026, 10, 29),
        ),
    ),
    sheets={"kit-list.xlsx": kit_xlsx},
    claim=claim,
    taken_in=taken_in,
)

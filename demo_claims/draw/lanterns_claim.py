"""Demo claim 2: a camera assistant at the rental counter, on the day of the return."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction

from demo_claims.draw import lanterns_papers as papers
from demo_claims.draw.lanterns_kit import kit_lines
from demo_claims.draw.lanterns_photos import COUNTER, SHOTS, at, taken_in
from demo_claims.draw.lanterns_sheets import kit_csv, kit_xlsx
from demo_claims.draw.paper import strokes
from demo_claims.draw.records import D, PaperSpec, Story, entries
from ldapp.claim.agreement import Agreement
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.counts import Count, CountEntry, Movement, Signature
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.documents import Document
from ldapp.claim.findings import Finding, Occurrence, Repair
from ldapp.claim.parties import Party
from ldapp.claim.photos import Photo
from ldapp.claim.terms import (
    ClosingCount,
    CustodyEnd,
    CustodyStart,
    Liability,
    OpeningCondition,
    PairOrSet,
    Provision,
    RepairDecision,
    StraightLine,
    Terms,
    ValuationDate,
    ValuationRule,
    WaiverTerm,
)


def clause(number: str) -> Clause:
    return Clause(
        reference=f"clause {number}",
        document="d-agreement",
        page=1,
        text=papers.CLAUSE_TEXT[number],
    )


def counted(
    line: str,
    quantity: int | None,
    condition: str = "as_sent_out",
    note: str = "",
    seen: tuple[str, ...] | None = None,
) -> CountEntry:
    return CountEntry(
        line=line, quantity=quantity, condition=condition, note=note, serials_seen=seen
    )


RETURN = {
    "k03": counted("k03", 1, "damaged", "front ring dented, glass scratched", ("P50-208",)),
    "k06": counted("k06", 1, "worn", "top flag broken off, see the part"),
    "k09": counted("k09", 2, "damaged", "M7-031: screen cracked", ("M7-031", "M7-032")),
    "k12": counted("k12", 8, "damaged", "1 swollen, kept apart"),
    "k14": counted("k14", 3, note="1 short, looking for it"),
    "k18": counted(
        "k18", 3, "damaged", "L21-077: cracked, dark block", ("L21-076", "L21-077", "L21-078")
    ),
    "k28": counted("k28", 1, "damaged", "one latch broken"),
    "k19": counted("k19", 3, note="1 returned early"),
    "k21": counted("k21", None, "not_looked_at"),
    "k22": counted("k22", None, "not_looked_at"),
    "k23": counted("k23", None, "not_looked_at"),
    "k27": counted("k27", None, "not_looked_at"),
}


def claim(photos: tuple[Photo, ...], documents: tuple[Document, ...]) -> Claim:
    kit = kit_lines()
    terms = Terms(
        currency="GBP",
        custody_start=CustodyStart(event="accepted_after_testing", clause=clause("3.1")),
        custody_end=CustodyEnd(event="check_in_complete", clause=clause("3.2")),
        opening_condition=OpeningCondition(
            rule="noted_within_hours", hours=24, clause=clause("3.3")
        ),
        closing_count=ClosingCount(rule="joint", clause=clause("3.4")),
        wear_excepted=Provision(applies=True, clause=clause("4.2")),
        liability=Liability(rule="any_cause", clause=clause("4.1")),
        valuation=ValuationRule(bases=("actual_cash_value",), clause=clause("5.1")),
        valuation_date=ValuationDate(event="loss", clause=clause("5.1")),
        depreciation=StraightLine(
            life_months=84, residual_share=Fraction("0.20"), clause=clause("5.2")
        ),
        labour_depreciated=Provision(applies=False, clause=clause("5.2")),
        pair_or_set=PairOrSet(rule="part_only", clause=clause("5.4")),
        repair_decision=RepairDecision(rule="lesser", clause=clause("5.3")),
        waiver=WaiverTerm(
            taken=True,
            share_form="flat",
            share_amount=D("250.00"),
            per="incident",
            excluded_causes=("theft", "unexplained", "misuse", "water"),
            clause=clause("6.1"),
        ),
        deadlines=(
            DeadlineRule(
                code="search",
                title="Bring missing pieces back before they are charged",
                starts="return",
                length=48,
                unit="hours",
                clause=clause("7.1"),
                source="Agreement BCL-5127",
                agreement="a-bcl",
            ),
            DeadlineRule(
                code="damage_notice",
                title="Rental company notifies damage",
                starts="return",
                length=2,
                unit="business_days",
                binds="lessor",
                clause=clause("7.2"),
                source="Agreement BCL-5127",
                agreement="a-bcl",
            ),
        ),
    )
    return Claim(
        id="demo-paper-lanterns",
        reference="PL-RET-01",
        title="Paper Lanterns (invented)",
        currency="GBP",
        zone="Europe/London",
        place="Brellwater counter, Unit 7, Lantern Yard (invented)",
        position=COUNTER,
        opened=dt.date(2026, 11, 16),
        invented=True,
        note="Still to do at the counter: four lines to count, a close picture of the latch, the matte box again, Marsden's signature.",
        parties=(
            Party(
                id="p-production",
                role="production",
                name="Paper Lanterns Film (invented)",
                contact="Sable Whitcombe, production manager (invented)",
                email="office@paperlanterns.invalid",
            ),
            Party(
                id="p-bcl",
                role="rental_company",
                name="Brellwater Camera & Light (invented)",
                contact="Joss Marsden, returns (invented)",
                address="Unit 7, Lantern Yard (invented)",
                email="returns@brellwater.invalid",
                reference="BCL-5127",
            ),
            Party(
                id="p-second",
                role="crew",
                name="Rui Castellan (invented)",
                contact="second assistant camera",
            ),
            Party(id="p-gaffer", role="crew", name="Anwen Pryce-Holt (invented)", contact="gaffer"),
        ),
        agreements=(
            Agreement(
                id="a-bcl",
                lessor="p-bcl",
                reference="BCL-5127",
                signed=dt.date(2026, 11, 13),
                starts=at(11, 16, 8, 30),
                ends=at(11, 20, 17),
                custody_began=at(11, 16, 8, 35),
                notified=dt.date(2026, 11, 20),
                purchase_order="PL-PO-11",
                document="d-agreement",
                terms=terms,
            ),
        ),
        kit=kit,
        counts=(
            Count(
                id="c-pickup",
                stage="pickup",
                at=at(11, 16, 8, 35),
                until=at(11, 16, 9, 20),
                place="Brellwater counter (invented)",
                position=COUNTER,
                counted_by="Rui Castellan (invented)",
                witness="Joss Marsden (invented)",
                acknowledgement="signed_by_both",
                acknowledged_by="Joss Marsden (invented)",
                document="d-pickup",
                entries=entries(kit, {}, at=at(11, 16, 8, 36)),
                signatures=tuple(
                    Signature(name=n, side=s, at=at(11, 16, 9, 19), strokes=(tuple(strokes(k)),))
                    for n, s, k in (
                        ("Rui Castellan (invented)", "ours", 71),
                        ("Joss Marsden (invented)", "theirs", 72),
                    )
                ),
            ),
            Count(
                id="c-return",
                stage="return",
                at=at(11, 20, 16),
                until=at(11, 20, 16, 30),
                place="Brellwater counter (invented)",
                position=COUNTER,
                counted_by="Rui Castellan (invented)",
                witness="Anwen Pryce-Holt (invented)",
                acknowledgement="one_side_with_photos",
                blind=True,
                document="d-return",
                entries=entries(kit, RETURN, at=at(11, 20, 16, 1)),
                note="Counting still under way.",
                signatures=(
                    Signature(
                        name="Rui Castellan (invented)",
                        side="ours",
                        at=at(11, 20, 16, 23),
                        strokes=(tuple(strokes(73)),),
                    ),
                ),
            ),
        ),
        movements=(
            Movement(
                id="m-early",
                kind="returned_early",
                line="k19",
                quantity=1,
                at=at(11, 18, 18, 10),
                ticket="BCL-T-0931",
                document="d-ticket",
            ),
        ),
        occurrences=(
            Occurrence(
                id="o-cart",
                title="Lens and matte box knocked off the cart",
                cause="drop_or_impact",
                at=at(11, 18, 14, 5),
                place="Warehouse set, Lantern Yard (invented)",
                narrative="A wheel of the camera cart caught a cable ramp; the 50 mm and the matte box fell about 90 cm onto concrete.",
                report_number="PL-IR-02",
                persons=("Rui Castellan (invented)",),
                documents=("d-incident",),
            ),
            Occurrence(
                id="o-van",
                title="Panel slid against the monitor in the van",
                cause="transit",
                at=at(11, 19, 23, 15),
                place="On the road, A-road to the unit base (invented)",
                narrative="An LED panel was loaded without its case and slid into the monitor case in a bend.",
                persons=("Anwen Pryce-Holt (invented)",),
            ),
        ),
        findings=(
            Finding(
                id="f-prime",
                line="k03",
                kind="damaged",
                quantity=1,
                serials=("P50-208",),
                occurrence="o-cart",
                cause="drop_or_impact",
                repair=Repair(
                    parts=D("145.00"),
                    labour=D("190.00"),
                    labour_hours=D("2.5"),
                    other=D("28.00"),
                    document="d-estimate",
                ),
                documents=("d-estimate",),
            ),
            Finding(
                id="f-matte-box",
                line="k06",
                kind="damaged",
                quantity=1,
                part="k06-flag",
                occurrence="o-cart",
                cause="drop_or_impact",
                beyond_repair=True,
            ),
            Finding(
                id="f-monitor",
                line="k09",
                kind="damaged",
                quantity=1,
                serials=("M7-031",),
                occurrence="o-van",
                cause="transit",
                repair=Repair(
                    parts=D("210.00"), labour=D("85.00"), labour_hours=D("1"), document="d-estimate"
                ),
                documents=("d-estimate",),
            ),
            Finding(
                id="f-panel",
                line="k18",
                kind="damaged",
                quantity=1,
                serials=("L21-077",),
                occurrence="o-van",
                cause="transit",
                narrative="Front cracked, a block of diodes dark. No estimate yet.",
                repair=Repair(parts=D("380.00"), labour=D("120.00")),
            ),
            Finding(
                id="f-battery",
                line="k12",
                kind="damaged",
                quantity=1,
                cause="breakdown",
                beyond_repair=True,
                narrative="Swollen; not dropped, as far as anybody saw. Kept apart, not charged.",
            ),
            Finding(
                id="f-card",
                line="k14",
                kind="missing",
                quantity=1,
                cause="unexplained",
                narrative="Last seen at pickup; the editor is looking.",
            ),
        ),
        photos=photos,
        documents=documents,
    )


def _paper(
    key: str,
    file: str,
    title: str,
    kind: str,
    build,
    dated: dt.date,
    signed: bool = False,
    party: str | None = "p-bcl",
) -> PaperSpec:
    return PaperSpec(key, file, title, kind, build, dated, signed, party)


STORY = Story(
    folder="paper_lanterns",
    shots=SHOTS,
    papers=(
        _paper(
            "d-agreement",
            "agreement.pdf",
            "Hire agreement BCL-5127",
            "agreement",
            papers.agreement,
            dt.date(2026, 11, 13),
            True,
        ),
        _paper(
            "d-pickup",
            "pickup-sheet.pdf",
            "Pickup sheet, signed by both",
            "pickup_sheet",
            lambda: papers.pickup_sheet(kit_lines()),
            dt.date(2026, 11, 16),
            True,
        ),
        _paper(
            "d-ticket",
            "ticket-0931.pdf",
            "Returned early: one LED tube",
            "movement_ticket",
            papers.ticket,
            dt.date(2026, 11, 18),
            True,
        ),
        _paper(
            "d-incident",
            "incident-report-02.pdf",
            "Incident report PL-IR-02",
            "incident_report",
            papers.incident,
            dt.date(2026, 11, 18),
            party="p-production",
        ),
        _paper(
            "d-return",
            "return-ticket.pdf",
            "Return ticket, signed by us",
            "return_sheet",
            lambda: papers.return_ticket(kit_lines(), RETURN),
            dt.date(2026, 11, 20),
        ),
        _paper(
            "d-estimate",
            "counter-estimate.pdf",
            "Estimate written at the counter",
            "repair_estimate",
            papers.estimate,
            dt.date(2026, 11, 20),
        ),
    ),
    sheets={"kit-list.xlsx": kit_xlsx, "kit-list.csv": kit_csv},
    claim=claim,
    taken_in=taken_in,
)

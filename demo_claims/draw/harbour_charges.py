"""Demo claim 1: what was found, what was billed, and the grounds against it."""

from __future__ import annotations

import datetime as dt

from demo_claims.draw import harbour_words as words
from demo_claims.draw.records import D
from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.findings import Finding, Repair


def _ground(code: str, **more) -> GroundChoice:
    return GroundChoice(code=code, **more)


def charges() -> tuple[Charge, ...]:
    grounds: dict[str, tuple[GroundChoice, ...]] = {
        "1": (
            _ground(
                "returned",
                quantity=2,
                counts=("c-return",),
                photos=("p09",),
                documents=("d-return",),
                words="All 24 were counted back and signed for by both sides.",
            ),
        ),
        "2": (
            _ground(
                "valuation_date",
                clause="clause 7.1",
                documents=("d-agreement",),
                words="The price of the day of delivery is agreed: 92.00, not 104.00.",
            ),
        ),
        "3": (
            _ground(
                "never_received",
                quantity=2,
                counts=("c-pickup",),
                photos=("p02", "p07"),
                documents=("d-pickup",),
                words="Two bags were never on the truck; both sides initialled it.",
            ),
        ),
        "4": (
            _ground(
                "set_billed_for_part",
                clause="clause 7.3",
                counts=("c-return",),
                photos=("p11",),
                words="One corner is missing; tubes, three corners and bag came back.",
            ),
        ),
        "5": (
            _ground(
                "prior_damage",
                counts=("c-pickup",),
                photos=("p05", "p12"),
                documents=("d-pickup",),
                words="The worn corner was noted at pickup and looks the same at return.",
            ),
        ),
        "6": (
            _ground(
                "repair_cheaper",
                clause="clause 7.2",
                photos=("p10",),
                documents=("d-flag-estimate",),
                words="Re-covering costs 42.00; the frame is sound.",
            ),
        ),
        "8": (
            _ground(
                "loss_of_use_days",
                clause="clause 8.1",
                documents=("d-repair",),
                words="The head was back in stock on 5 November.",
            ),
            _ground(
                "loss_of_use_rate",
                clause="clause 8.1",
                documents=("d-agreement",),
                words="Three days a week less the agreed 15 %.",
            ),
        ),
        "9": (
            _ground(
                "ordinary_wear",
                clause="clause 6.2",
                counts=("c-return",),
                words="Ordinary soiling of an unbleached rag in 19 days of work.",
            ),
        ),
        "10": (
            _ground(
                "ordinary_wear",
                clause="clause 6.2",
                photos=("p16",),
                words="Scuffs on boxes that are stood upon.",
            ),
        ),
        "11": (
            _ground(
                "breakdown",
                clause="clause 7.4",
                counts=("c-return",),
                photos=("p14",),
                documents=("d-return",),
                words="The dead lamp was handed back; burn-outs are free then.",
            ),
        ),
        "12": (_ground("arithmetic", documents=("d-invoice",), words="Four at 24.00 are 96.00."),),
        "13": (
            _ground(
                "unexplained_charge",
                counts=("c-pickup", "c-return"),
                documents=("d-pickup", "d-return"),
                words="No such ladder is on the list, the pickup sheet or the return sheet.",
            ),
        ),
        "14": (
            _ground(
                "repair_undocumented",
                words="No estimate, no bill, no photo of the repair has been sent.",
            ),
        ),
        "15": (
            _ground(
                "fee_not_agreed",
                clause="clause 9.1",
                documents=("d-agreement",),
                words="Five per cent of what is owed, at most 150.00.",
            ),
        ),
        "16": (
            _ground(
                "tax_not_due", clause="clause 10.1", words="Tax follows the amounts that are owed."
            ),
        ),
    }
    matched = {
        "1": ("k01", None),
        "2": ("k47", "f-stingers"),
        "3": ("k14", "f-sandbags"),
        "4": ("k27", "f-corner"),
        "5": ("k31", None),
        "6": ("k21", "f-flag"),
        "7": ("k38", "f-doors"),
        "8": ("k38", "f-doors"),
        "9": ("k29", None),
        "10": ("k16", None),
        "11": ("k44", None),
        "12": ("k10", "f-clamps"),
        "14": ("k02", "f-combo"),
    }
    out = []
    for row in words.INVOICE_LINES:
        line, finding = matched.get(row.number, (None, None))
        out.append(
            Charge(
                id=f"ch{int(row.number):02d}",
                number=row.number,
                description=row.description,
                kind=row.kind,
                quantity=row.quantity,
                unit_price=row.unit_price,
                amount=row.amount,
                days=row.days,
                taxable=row.taxable,
                line=line,
                finding=finding,
                match_reason="set by hand" if line else "",
                grounds=grounds.get(row.number, ()),
                open_until_documented=row.number == "14",
            )
        )
    return tuple(out)


def findings() -> tuple[Finding, ...]:
    return (
        Finding(
            id="f-stingers",
            line="k47",
            kind="missing",
            quantity=3,
            cause="unexplained",
            narrative="One gone by 20 October, two more by the return.",
        ),
        Finding(
            id="f-corner",
            line="k27",
            kind="missing",
            quantity=1,
            part="k27-corner",
            cause="unexplained",
            narrative="One corner of the 12x12 frame did not come back.",
        ),
        Finding(id="f-clamps", line="k10", kind="missing", quantity=4, cause="unexplained"),
        Finding(
            id="f-sandbags",
            line="k14",
            kind="short_at_pickup",
            quantity=2,
            narrative="Thirty listed, twenty-eight on the dock.",
        ),
        Finding(
            id="f-over",
            line="k46",
            kind="over",
            quantity=1,
            note="A 25 ft stinger too many: perhaps one of the three short 50 ft was swapped.",
        ),
        Finding(
            id="f-flag",
            line="k21",
            kind="damaged",
            quantity=1,
            occurrence="o-gust",
            cause="weather",
            repair=Repair(
                parts=D("18.00"),
                labour=D("24.00"),
                labour_hours=D("0.5"),
                document="d-flag-estimate",
            ),
            documents=("d-flag-estimate",),
        ),
        Finding(
            id="f-doors",
            line="k38",
            kind="damaged",
            quantity=1,
            serials=("2K-0117",),
            occurrence="o-doorway",
            cause="drop_or_impact",
            repair=Repair(
                parts=D("85.00"),
                labour=D("70.00"),
                labour_hours=D("1"),
                document="d-repair",
                carried_out=True,
                out_of_service_from=dt.date(2026, 10, 31),
                out_of_service_until=dt.date(2026, 11, 5),
            ),
            documents=("d-repair", "d-incident"),
        ),
        Finding(
            id="f-combo",
            line="k02",
            kind="damaged",
            quantity=1,
            cause="other",
            narrative="One leg bent when the truck was unloaded.",
            repair=Repair(parts=D("80.00"), labour=D("40.00")),
        ),
    )

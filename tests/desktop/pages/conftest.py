"""A claim with drawn photos in a library of its own, open for one page at a time.

Invented: nobody and nothing in it exists.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeVar

import pytest
from PIL import Image, ImageDraw
from PySide6.QtCore import QSettings
from pytestqt.qtbot import QtBot

from ldapp.casework.photo_intake import take_in_photos
from ldapp.casework.register import Register
from ldapp.casework.summary import empty_summary
from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.kit import EquipmentKind, KitLine
from ldapp.claim.parties import Party
from ldapp.claim.policy import Deductible, PolicyLimit, PolicyTerms
from ldapp.claim.terms import StraightLine, Terms, ValuationRule
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.theme import apply_theme
from ldapp.store.claim_library import Library

WEST = dt.timezone(dt.timedelta(hours=-7))
PICKUP = dt.datetime(2026, 3, 2, 7, 40, tzinfo=WEST)
RETURN = dt.datetime(2026, 3, 9, 19, 5, tzinfo=WEST)

_GEAR: tuple[tuple[str, int, EquipmentKind, str], ...] = (
    ("Combo stand with head", 24, "grip", "185.00"),
    ("Sandbag, heavy", 40, "grip", "38.00"),
    ("Flag, black, large", 12, "grip", "72.00"),
    ("LED panel, wide", 4, "lighting", "4250.00"),
    ("Discharge head with ballast", 2, "discharge_lighting", "7600.00"),
    ("Battery, brick", 12, "battery", "365.00"),
)


def line(number: int) -> KitLine:
    name, quantity, kind, price = _GEAR[(number - 1) % len(_GEAR)]
    return KitLine(
        id=f"line-{number}",
        number=str(number),
        agreement="a1",
        description=name,
        quantity=quantity,
        kind=kind,
        location=f"Cart {number % 3}",
        replacement_cost=Decimal(price),
        acquired=dt.date(2023, 5, 1),
    )


def count(key: str, stage: Any, at: dt.datetime, short: dict[int, int], lines: int) -> Count:
    return Count(
        id=key,
        stage=stage,
        at=at,
        acknowledgement="signed_by_both",
        entries=tuple(
            CountEntry(line=f"line-{n}", quantity=line(n).quantity - short.get(n, 0))
            for n in range(1, lines + 1)
        ),
    )


def page_claim(lines: int = 6) -> Claim:
    """Three C-stand-like things missing, one panel damaged, one invoice with three charges."""
    return Claim(
        id="page-claim",
        reference="2026-017",
        title="Harbour Lights",
        currency="USD",
        zone="America/Denver",
        invented=True,
        parties=(
            Party(
                id="p1", role="rental_company", name="Invented Grip & Light", email="d@example.org"
            ),
            Party(id="p2", role="production", name="Harbour Lights Production"),
            Party(id="p3", role="insurer", name="Invented Mutual"),
        ),
        agreements=(
            Agreement(
                id="a1",
                lessor="p1",
                reference="HL-17",
                starts=PICKUP,
                ends=RETURN,
                custody_began=PICKUP,
                custody_ended=RETURN,
                terms=Terms(
                    valuation=ValuationRule(
                        bases=("actual_cash_value",), clause=Clause(reference="9.2")
                    ),
                    depreciation=StraightLine(
                        life_months=60,
                        residual_share=Fraction(1, 5),
                        clause=Clause(reference="9.3"),
                    ),
                ),
            ),
        ),
        policy=Policy(
            id="pol",
            insurer="p3",
            terms=PolicyTerms(
                limit=PolicyLimit(amount=Decimal("250000.00")),
                deductibles=(Deductible(form="flat", amount=Decimal("250.00")),),
            ),
        ),
        kit=tuple(line(n) for n in range(1, lines + 1)),
        counts=(
            count("c1", "pickup", PICKUP, {}, min(lines, 6)),
            count("c2", "return", RETURN, {1: 3, 3: 2}, min(lines, 6)),
        ),
        occurrences=(
            Occurrence(
                id="o1",
                title="Truck door forced",
                cause="theft_from_vehicle",
                day=dt.date(2026, 3, 6),
                place="Unit base",
                forced_entry=True,
            ),
        ),
        findings=(
            Finding(id="f1", line="line-1", kind="missing", quantity=3, occurrence="o1"),
            Finding(id="f2", line="line-4", kind="damaged", quantity=1, cause="drop_or_impact"),
        ),
        invoices=(
            Invoice(
                id="i1",
                agreement="a1",
                number="LD-0932",
                dated=dt.date(2026, 3, 16),
                net=Decimal("1055.00"),
                charges=(
                    Charge(
                        id="ch1",
                        number="1",
                        description="Combo stand, lost",
                        kind="missing",
                        quantity=Decimal(4),
                        unit_price=Decimal("185.00"),
                        amount=Decimal("740.00"),
                        line="line-1",
                        finding="f1",
                    ),
                    Charge(
                        id="ch2",
                        number="2",
                        description="Flag black large",
                        kind="missing",
                        quantity=Decimal(2),
                        unit_price=Decimal("72.00"),
                        amount=Decimal("150.00"),
                    ),
                    Charge(
                        id="ch3",
                        number="3",
                        description="Administration",
                        kind="administration",
                        amount=Decimal("165.00"),
                    ),
                ),
            ),
        ),
    )


def draw_photo(
    path: Path, taken: dt.datetime | None, text: str, *, model: str = "Demo One"
) -> Path:
    """Write a small JPEG with a camera's data."""
    image = Image.new("RGB", (640, 480), (90 + hash(text) % 80, 110, 120))
    drawing = ImageDraw.Draw(image)
    drawing.rectangle((200, 120, 440, 400), fill=(40, 44, 48))
    drawing.text((20, 20), text, fill="white")
    exif = Image.Exif()
    if taken is not None:
        exif[0x010F] = "Invented"
        exif[0x0110] = model
        stamp = taken.strftime("%Y:%m:%d %H:%M:%S")
        exif[0x0132] = stamp
        exif.get_ifd(0x8769)[0x9003] = stamp
        exif.get_ifd(0x8769)[0x9004] = stamp
        if taken.tzinfo is not None:
            offset = taken.strftime("%z")
            exif.get_ifd(0x8769)[0x9011] = f"{offset[:3]}:{offset[3:]}"
    image.save(path, "JPEG", exif=exif, quality=80)
    return path


def draw_photos(folder: Path, number: int = 8) -> list[Path]:
    """Photos at pickup and at return, the last one without a time of its own."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for index in range(number):
        base = PICKUP if index % 2 == 0 else RETURN
        taken = base + dt.timedelta(minutes=index) if index < number - 1 else None
        paths.append(draw_photo(folder / f"IMG_{index + 1:04d}.JPG", taken, f"photo {index + 1}"))
    return paths


@pytest.fixture
def register(tmp_path: Path) -> Iterator[Register]:
    register = Register(Library.open(tmp_path / "library"), "Ada")
    yield register
    register.close()


@pytest.fixture
def open_context(
    qtbot: QtBot, qapp: Any, register: Register, tmp_path: Path
) -> Iterator[Callable[[Claim], ClaimContext]]:
    """Put a claim into the library and open it; everything is shut down after the test."""
    apply_theme(qapp)
    runners: list[JobRunner] = []
    contexts: list[ClaimContext] = []

    def make(claim: Claim) -> ClaimContext:
        library = register._library
        library.create(claim, who="Ada", label="New claim", summary=empty_summary(claim))
        runner = JobRunner()
        settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
        context = ClaimContext(
            register.open(claim.id), runner, register=register, settings=settings
        )
        runners.append(runner)
        contexts.append(context)
        return context

    yield make
    for context in contexts:
        context.close()
    for runner in runners:
        assert runner.shut_down()


Shown = TypeVar("Shown", bound=ClaimPage)


@pytest.fixture
def show_page(
    qtbot: QtBot, open_context: Callable[[Claim], ClaimContext]
) -> Iterator[Callable[..., Any]]:
    """Show one page on a claim and wait until everything about it is computed."""
    pages: list[Any] = []

    def show(kind: type[Shown], claim: Claim, prepare: Any = None) -> Shown:
        context = open_context(claim)
        if prepare is not None:
            prepare(context)
        page = kind(context)
        qtbot.addWidget(page)
        page.resize(1100, 720)
        pages.append(page)
        page.show()
        qtbot.waitUntil(lambda: context.up_to_date and context.reckoning is not None, timeout=10000)
        return page

    yield show
    for page in pages:
        page.shut_down()


@pytest.fixture
def with_photos(tmp_path: Path) -> Callable[[ClaimContext], None]:
    """Take eight drawn photos into a claim."""

    def prepare(context: ClaimContext) -> None:
        assert context.register is not None
        intake = take_in_photos(
            context.desk, context.register.originals, draw_photos(tmp_path / "card")
        )
        assert len(intake.taken) == 8

    return prepare


def renamed(claim: Claim, **values: Any) -> Claim:
    return dataclasses.replace(claim, **values)

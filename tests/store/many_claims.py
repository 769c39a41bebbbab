"""Thousands of small claims of an invented film school, written in few statements.

Only what the register and the reports read is there: a claim's own fields, its row and
its figures.  The claims are made from a fixed seed.
"""

import datetime as dt
import random
from decimal import Decimal

from sqlalchemy import insert, select

from ldapp.casework.summary import ROW_VERSION
from ldapp.claim.causes import CAUSES
from ldapp.claim.claim import Claim
from ldapp.claim.figures import ClaimFigures, LossFigure, PolicyUse, ShareFigure, StudentFigure
from ldapp.claim.journal import JournalEntry
from ldapp.claim.summary import ClaimSummary
from ldapp.store.chain import chained, changes_text, first_changes
from ldapp.store.claim_library import Library
from ldapp.store.journal_rows import insert_entries
from ldapp.store.kinds import HEAD, SUMMARY
from ldapp.store.register_rows import figures_text

STAGES = ("preparing", "sent", "answered", "offered", "settled", "paid", "closed")
KINDS = ("lighting", "grip", "camera", "lens", "electrical_distribution", "sound", "battery")
HOUSES = tuple(f"Invented House {letter}" for letter in "ABCDEFGHIJKLMNOPQRST")
WORDS = ("Ferry", "Lantern", "Harbour", "Orchard", "Signal", "Winter", "Paper", "Night", "River")
FIRST_DAY = dt.date(2021, 9, 1)


def many_summaries(number: int, *, today: dt.date | None = None) -> list[ClaimSummary]:
    """Return rows with figures, their deadlines counted from ``today``."""
    chance = random.Random(7)
    today = today or dt.datetime.now(dt.UTC).date()
    return [_summary(chance, index, today) for index in range(number)]


def _summary(chance: random.Random, index: int, today: dt.date) -> ClaimSummary:
    lost = FIRST_DAY + dt.timedelta(days=chance.randrange(1800))
    stage = chance.choice(STAGES)
    asked = Decimal(chance.randrange(1_000, 900_000)).scaleb(-2)
    disputed = (asked * chance.randrange(0, 90) / 100).quantize(Decimal("0.01"))
    owed = asked - disputed
    deductible = min(owed, Decimal("500.00"))
    student = f"Invented Student {chance.randrange(400):03d}"
    year = lost.year if lost.month >= 9 else lost.year - 1
    begins = dt.datetime(year, 9, 1, tzinfo=dt.UTC)
    losses = tuple(
        LossFigure(
            cause=chance.choice(CAUSES),
            kind=chance.choice(KINDS),
            found=chance.choice(("return", "check_in", "during", "pickup")),
            units=chance.randrange(1, 5),
            amount=part,
        )
        for part in _parts(chance, owed)
    )
    figures = ClaimFigures(
        policy=f"policy-{year}",
        insurer="Invented Mutual",
        policy_number=f"FS-{year}",
        begins=begins,
        ends=begins.replace(year=year + 1),
        aggregate=Decimal("2000000.00"),
        uses=(
            PolicyUse(
                occurrence="o",
                at=dt.datetime.combine(lost, dt.time(12), dt.UTC),
                loss=owed,
                deductible=deductible,
                policy=owed - deductible,
                aggregate_used=owed - deductible,
            ),
        ),
        losses=losses,
        students=(StudentFigure(name=student),),
        shares=(
            ShareFigure(
                name=student,
                amount=deductible,
                paid=deductible if stage in ("paid", "closed") else Decimal(0),
            ),
        )
        if deductible
        else (),
        department=chance.choice(("Camera", "Directing", "Production")),
        opened=lost,
        lost=lost,
        sent=lost + dt.timedelta(days=chance.randrange(5, 40)),
        settled=lost + dt.timedelta(days=chance.randrange(40, 200))
        if stage in ("settled", "paid", "closed")
        else None,
    )
    return ClaimSummary(
        claim=f"made-{index}",
        reference=f"{lost.year}-{index:05d}",
        title=f"The {chance.choice(WORDS)} {chance.choice(WORDS)} {index % 800}",
        currency="USD",
        stage=stage,  # type: ignore[arg-type]
        rental_companies=(chance.choice(HOUSES),),
        next_deadline=today + dt.timedelta(days=chance.randrange(0, 120))
        if chance.random() < 0.4
        else None,
        next_deadline_title="Notice to the insurer" if chance.random() < 0.5 else "Answer",
        asked=asked,
        owed=owed,
        disputed=disputed,
        paid_by_others=owed - deductible,
        settled=owed if figures.settled else None,
        open_points=chance.randrange(0, 12),
        invented=True,
        changed=dt.datetime.combine(lost, dt.time(9), dt.UTC) + dt.timedelta(seconds=index),
        reckoning_version=ROW_VERSION,
        policy=f"FS-{year}, Invented Mutual",
        people=("Invented School", student),
        papers_missing=chance.randrange(0, 4),
        figures=figures,
    )


def _parts(chance: random.Random, whole: Decimal) -> list[Decimal]:
    first = (whole * chance.randrange(10, 90) / 100).quantize(Decimal("0.01"))
    return [first, whole - first]


def put_many(library: Library, number: int) -> list[ClaimSummary]:
    """Write ``number`` claims with rows and figures into a library; return the rows."""
    rows = many_summaries(number)
    with library._database.writing() as connection:
        for start in range(0, number, 500):
            _put(connection, rows[start : start + 500])
    return rows


def _put(connection, rows) -> None:
    from ldapp.store.bookkeeping import FiguresRow

    claims = [
        Claim(
            id=row.claim, reference=row.reference, title=row.title, currency=row.currency,
            zone="UTC", stage=row.stage, invented=True,
        )
        for row in rows
    ]  # fmt: skip
    heads = [{**HEAD.to_row(one, one.currency), "version": 1} for one in claims]
    connection.execute(insert(HEAD.table), heads)
    head = HEAD.table.c
    keys = dict(connection.execute(select(head.id, head.key)).all())
    connection.execute(
        insert(SUMMARY.table),
        [{**SUMMARY.to_row(row, row.currency), "claim": keys[row.claim]} for row in rows],
    )
    connection.execute(
        insert(FiguresRow.__table__),
        [{"claim": keys[row.claim], "figures": figures_text(row.figures)} for row in rows],
    )
    for claim, row in zip(claims, rows, strict=True):
        changes = first_changes(claim)
        text = changes_text(changes)
        entry = JournalEntry(
            number=1, at=row.changed, who="Ada", label="New claim", changes=changes
        )  # fmt: skip
        insert_entries(connection, keys[claim.id], [(chained(entry, text), text)])

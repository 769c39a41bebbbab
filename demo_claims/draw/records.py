"""What the three stories share: times, kit tables, photos and documents as claim records."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from zoneinfo import ZoneInfo

from demo_claims.draw.develop import Look
from demo_claims.draw.exif import Stamp
from demo_claims.draw.raster import View
from demo_claims.draw.shade import Scene
from ldapp.claim.claim import Claim
from ldapp.claim.counts import CountEntry
from ldapp.claim.documents import Document, DocumentKind
from ldapp.claim.kit import KitLine
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import Pairing, Photo

D = Decimal


@dataclass(frozen=True)
class Shot:
    """One photo to draw, and what the claim says of it."""

    id: str
    file: str
    scene: Callable[[], tuple[Scene, View]]
    seed: int
    stamp: Stamp | None  # None: a copy that lost its camera data
    look: Look = field(default_factory=Look)
    orientation: int = 1
    crop: tuple[float, float, float, float] | None = None  # left, top, right, bottom in fractions
    taken_by: str = ""
    count: str | None = None
    pairings: tuple[Pairing, ...] = ()
    note: str = ""
    statement: str = ""
    confirmed_by: str = ""
    confirmed_on: dt.date | None = None
    left_out: bool = False


@dataclass(frozen=True)
class PaperSpec:
    """One document to draw, and what the claim says of it."""

    id: str
    file: str
    title: str
    kind: DocumentKind
    build: Callable[[], bytes]
    dated: dt.date | None = None
    signed_by_other_side: bool = False
    party: str | None = None
    private: bool = False


@dataclass(frozen=True)
class Story:
    """One demo claim: its folder, its files, and the claim over them."""

    folder: str
    shots: tuple[Shot, ...]
    papers: tuple[PaperSpec, ...]
    sheets: dict[str, Callable[[], bytes]]
    claim: Callable[[tuple[Photo, ...], tuple[Document, ...]], Claim]
    taken_in: Callable[[Shot], dt.datetime]  # when the photo came into the library, UTC


def clock(zone: str) -> Callable[..., dt.datetime]:
    """A maker of aware times in one zone, written with their fixed offset."""
    place = ZoneInfo(zone)

    def at(month: int, day: int, hour: int, minute: int = 0, second: int = 0) -> dt.datetime:
        local = dt.datetime(2026, month, day, hour, minute, second, tzinfo=place)
        offset = local.utcoffset()
        assert offset is not None
        return local.replace(tzinfo=dt.timezone(offset))

    return at


def photo_record(shot: Shot, facts: PhotoFacts, taken_in: dt.datetime) -> Photo:
    return Photo(
        id=shot.id,
        name=shot.file,
        path=f"photos/{shot.file}",
        facts=facts,
        source="claim_file",
        taken_in=taken_in,
        taken_by=shot.taken_by,
        count=shot.count,
        pairings=shot.pairings,
        confirmed_by=shot.confirmed_by,
        confirmed_on=shot.confirmed_on,
        statement=shot.statement,
        left_out=shot.left_out,
        note=shot.note,
    )


def document_record(spec: PaperSpec, data: bytes, pages: int) -> Document:
    return Document(
        id=spec.id,
        title=spec.title,
        kind=spec.kind,
        name=spec.file,
        path=f"documents/{spec.file}",
        sha256=hashlib.sha256(data).hexdigest(),
        bytes=len(data),
        media_type="application/pdf",
        pages=pages,
        dated=spec.dated,
        signed_by_other_side=spec.signed_by_other_side,
        party=spec.party,
        private=spec.private,
    )


def entries(
    kit: tuple[KitLine, ...],
    differs: dict[str, CountEntry],
    expected: dict[str, int] | None = None,
    only: set[str] | None = None,
    at: dt.datetime | None = None,
) -> tuple[CountEntry, ...]:
    """An entry for each line: as listed (or expected) and as sent out, but for those that differ."""
    out = []
    for number, line in enumerate(kit):
        if only is not None and line.id not in only:
            continue
        if line.id in differs:
            entry = differs[line.id]
        else:
            entry = CountEntry(
                line=line.id,
                quantity=(expected or {}).get(line.id, line.quantity),
                condition="as_sent_out",
                at=at + dt.timedelta(seconds=40 * number) if at else None,
            )
        out.append(entry)
    return tuple(out)


def money(amount: Decimal | str, sign: str = "") -> str:
    return f"{sign}{Decimal(amount):,.2f}"

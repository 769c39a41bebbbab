"""How amounts, moments and records are said on the pages: one wording, everywhere the same."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from ldapp.casework.counter_codes import camera_name
from ldapp.casework.counts import STAGE_NAMES
from ldapp.casework.edit import find
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count
from ldapp.claim.findings import Finding
from ldapp.claim.kit import KitLine
from ldapp.claim.photo_facts import PhotoFacts, PhotoVerdict
from ldapp.desktop.widgets.values import amount_text, date_text, instant_text

MINUS = "\N{MINUS SIGN}"
NOT_YET = "cannot be said yet"


def money_or_not_yet(amount: Decimal | None, currency: str) -> str:
    """Return ``1,234.50``; an amount that cannot be computed says so instead of being nought."""
    return NOT_YET if amount is None else amount_text(amount, currency)


def day_text(day: dt.date | None) -> str:
    """Return ``2026-03-02``; nothing for None."""
    return "" if day is None else date_text(day)


def moment_text(at: dt.datetime | None) -> str:
    """Return ``2026-03-02 07:41 −07:00``: local time with its offset; nothing for None."""
    return "" if at is None else instant_text(at).replace(" -", f" {MINUS}")


def taken_text(verdict: PhotoVerdict | None) -> str:
    """Return a photo's own time with its offset, or that there is none."""
    if verdict is None:
        return "being read"
    if verdict.taken_local is None:
        return "no time"
    local = dt.datetime.fromisoformat(verdict.taken_local[:19])
    offset = (verdict.offset or "zone not known").replace("-", MINUS)
    return f"{local:%Y-%m-%d %H:%M:%S} {offset}"


def line_text(line: KitLine | None) -> str:
    """Return ``12 · Stand, 40 inch``."""
    if line is None:
        return "a line that is gone"
    return f"{line.number} · {line.description}" if line.number else line.description


def count_text(count: Count | None) -> str:
    """Return ``Pickup, 2 Mar 2026, 07:30 −07:00``."""
    if count is None:
        return "no count"
    return ", ".join(part for part in (STAGE_NAMES[count.stage], moment_text(count.at)) if part)


def device_text(facts: PhotoFacts) -> str:
    """Return the camera as the file names it."""
    return camera_name(facts) or "device not named"


def finding_text(claim: Claim, finding: Finding | None) -> str:
    """Return ``line 12: 2 missing``, or an empty text."""
    if finding is None:
        return ""
    line = find(claim.kit, finding.line)
    number = line.number if line else "?"
    return f"line {number}: {finding.quantity} {finding.kind.replace('_', ' ')}"


def size_text(size: int) -> str:
    """Return a file's size in kB or MB (powers of ten)."""
    return f"{size / 1e6:.1f} MB" if size >= 1_000_000 else f"{max(size / 1e3, 0.1):.1f} kB"


def party_of_agreement(claim: Claim, agreement: str) -> str:
    """Return the rental company of an agreement, with the agreement's reference."""
    one = find(claim.agreements, agreement)
    if one is None:
        return "an agreement that is gone"
    party = find(claim.parties, one.lessor)
    name = party.name if party and party.name else "rental company not named"
    return f"{name}, {one.reference}" if one.reference else name

"""How amounts, moments and records are said on the pages: one wording, everywhere the same."""

from __future__ import annotations

import datetime as dt
import re
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
from ldapp.language import marked, said, said_of
from ldapp.local_forms import day_in_digits, local_number

MINUS = "\N{MINUS SIGN}"
NOT_YET = marked("cannot be said yet")
_DAY = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
_NUMBER = re.compile(r"-?\d+\.\d+(?= %|$)")


def money_or_not_yet(amount: Decimal | None, currency: str) -> str:
    """Return ``1,234.50``; an amount that cannot be computed says so instead of being nought."""
    return said(NOT_YET) if amount is None else amount_text(amount, currency)


def day_text(day: dt.date | None) -> str:
    """Return ``2026-03-02``; nothing for None."""
    return "" if day is None else date_text(day)


def moment_text(at: dt.datetime | None) -> str:
    """Return ``2026-03-02 07:41 −07:00``: local time with its offset; nothing for None."""
    return "" if at is None else instant_text(at).replace(" -", f" {MINUS}")


def taken_text(verdict: PhotoVerdict | None) -> str:
    """Return a photo's own time with its offset, or that there is none."""
    if verdict is None:
        return said("being read")
    if verdict.taken_local is None:
        return said("no time")
    local = dt.datetime.fromisoformat(verdict.taken_local[:19])
    offset = (verdict.offset or said("zone not known")).replace("-", MINUS)
    return f"{date_text(local.date())} {local:%H:%M:%S} {offset}"


def line_text(line: KitLine | None) -> str:
    """Return ``12 · Stand, 40 inch``."""
    if line is None:
        return said("a line that is gone")
    return f"{line.number} · {line.description}" if line.number else line.description


def count_text(count: Count | None) -> str:
    """Return ``Pickup, 2 Mar 2026, 07:30 −07:00``."""
    if count is None:
        return said("no count")
    stage = said(STAGE_NAMES[count.stage])
    return ", ".join(part for part in (stage, moment_text(count.at)) if part)


def device_text(facts: PhotoFacts) -> str:
    """Return the camera as the file names it."""
    return camera_name(facts) or said("device not named")


def finding_text(claim: Claim, finding: Finding | None) -> str:
    """Return ``line 12: 2 missing``, or an empty text."""
    if finding is None:
        return ""
    line = find(claim.kit, finding.line)
    return said(
        "line {number}: {found}", number=line.number if line else "?", found=found_text(finding)
    )


def found_text(finding: Finding) -> str:
    """Return ``2 missing``."""
    number = finding.quantity
    match finding.kind:
        case "missing":
            return said_of(number, "{count} missing", "{count} missing")
        case "damaged":
            return said_of(number, "{count} damaged", "{count} damaged")
        case "short_at_pickup":
            return said_of(number, "{count} short at pickup", "{count} short at pickup")
        case "exchanged":
            return said_of(number, "{count} exchanged", "{count} exchanged")
        case "over":
            return said_of(number, "{count} over", "{count} over")


def given_text(value: str) -> str:
    """Return what went into a step or came out of it, its numbers and days in their local form.

    The reckoning writes both as a program reads them: ``1234.50``, ``2026-03-02``.
    """
    numbers = _NUMBER.fullmatch if " " not in value else _NUMBER.match
    found = numbers(value)
    if found:
        value = local_number(found[0]) + value[found.end() :]
    return _DAY.sub(lambda day: _local_day(day[0]), value)


def _local_day(text: str) -> str:
    try:
        return day_in_digits(dt.date.fromisoformat(text))
    except ValueError:
        return text


def first_upper(words: str) -> str:
    """Return words as the beginning of a sentence or a row."""
    return words[:1].upper() + words[1:]


def size_text(size: int) -> str:
    """Return a file's size in kB or MB (powers of ten)."""
    if size >= 1_000_000:
        return f"{local_number(f'{size / 1e6:.1f}')} MB"
    return f"{local_number(f'{max(size / 1e3, 0.1):.1f}')} kB"


def party_of_agreement(claim: Claim, agreement: str) -> str:
    """Return the rental company of an agreement, with the agreement's reference."""
    one = find(claim.agreements, agreement)
    if one is None:
        return said("an agreement that is gone")
    party = find(claim.parties, one.lessor)
    name = party.name if party and party.name else said("rental company not named")
    return f"{name}, {one.reference}" if one.reference else name

"""How amounts, quantities, dates and times are written in the dossier.

Nothing here asks the machine for its locale, zone or clock: the language spoken, which is
the dossier's own, and the claim decide, so that the same claim prints the same everywhere.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from zoneinfo import ZoneInfo

from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.language import marked, said
from ldapp.local_forms import day_in_digits, grouped, local_number, long_day
from ldapp.reckoning.money import minor_digits, round_half_up

NOT_COMPUTED = marked("cannot be computed yet")
NONE = "–"
MINUS = "\u2212"


def amount_text(amount: Decimal | None, currency: str) -> str:
    """Write an amount with the decimals of its currency and grouped thousands."""
    if amount is None:
        return said(NOT_COMPUTED)
    digits = minor_digits(currency)
    text = local_number(f"{abs(round_half_up(amount, digits)):,.{digits}f}")
    return f"{MINUS}{text}" if amount < 0 else text


def money_text(amount: Decimal | None, currency: str) -> str:
    """Write an amount with its currency code in front, for running text."""
    if amount is None:
        return said(NOT_COMPUTED)
    return f"{currency}\u00a0{amount_text(amount, currency)}"


def quantity_text(quantity: int | Decimal | None) -> str:
    """Write a number of units; None is "not counted", never nought."""
    if quantity is None:
        return NONE
    if isinstance(quantity, Decimal):
        quantity = quantity.normalize()
        return local_number(f"{quantity:f}")
    return str(quantity)


def date_text(day: dt.date | None) -> str:
    """Write a day as ``2 March 2026``."""
    return NONE if day is None else long_day(day)


def offset_text(moment: dt.datetime) -> str:
    """Write the offset from UTC of an aware time as ``UTC−07:00``."""
    offset = moment.utcoffset()
    assert offset is not None
    minutes = int(offset.total_seconds() // 60)
    sign = MINUS if minutes < 0 else "+"
    return f"UTC{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def time_text(moment: dt.datetime | None, zone: ZoneInfo) -> str:
    """Write an instant as local time of ``zone`` with its offset, to the minute."""
    if moment is None:
        return NONE
    local = moment.astimezone(zone)
    return f"{date_text(local.date())}, {local:%H:%M} {offset_text(local)}"


def exact_time_text(moment: dt.datetime, zone: ZoneInfo) -> str:
    """Write an instant as local time of ``zone`` with its offset, to the second."""
    local = moment.astimezone(zone)
    return f"{date_text(local.date())}, {local:%H:%M:%S} {offset_text(local)}"


def utc_text(moment: dt.datetime | None) -> str:
    """Write an instant in UTC to the second, for records."""
    if moment is None:
        return NONE
    there = moment.astimezone(dt.UTC)
    return f"{day_in_digits(there.date())} {there:%H:%M:%S} UTC"


def photo_time_text(verdict: PhotoVerdict | None) -> str:
    """Write when a photo was taken: as the camera wrote it, with the offset where known."""
    if verdict is None or verdict.taken_local is None:
        return said("no time of its own")
    local = dt.datetime.fromisoformat(verdict.taken_local)
    text = f"{date_text(local.date())}, {local:%H:%M:%S}"
    if verdict.offset is None:
        return said("{time}, offset not known", time=text)
    return f"{text} UTC{verdict.offset.replace('-', MINUS)}"


def photo_instant(verdict: PhotoVerdict | None) -> dt.datetime | None:
    """Return the instant that a photo stands for on a time axis, corrected where it was."""
    if verdict is None:
        return None
    return verdict.corrected_utc or verdict.taken_utc or verdict.earliest


def size_text(size: int) -> str:
    """Write a number of bytes with grouped thousands."""
    return said("{number} bytes", number=grouped(size))


def shortened(text: str, longest: int = 110) -> str:
    """Return a text for a heading or a column: one line's worth, cut at a word with ``…``."""
    flat = " ".join(text.split())
    if len(flat) <= longest:
        return flat
    cut = flat[: longest - 1]
    space = cut.rfind(" ", longest // 2)
    return f"{cut[:space] if space > 0 else cut}…"


def joined(parts: list[str]) -> str:
    """Write a list in words: ``A, B and C``; ``A, large; B; and C`` where commas are inside."""
    if len(parts) <= 1:
        return "".join(parts)
    if any("," in part for part in parts):
        return said("{first}; and {last}", first="; ".join(parts[:-1]), last=parts[-1])
    return said("{first} and {last}", first=", ".join(parts[:-1]), last=parts[-1])


def named(names: list[str], most: int) -> str:
    """Write names in words, each once, and how many more there are."""
    once = list(dict.fromkeys(names))
    if len(once) <= most:
        return joined(once)
    return joined([*once[:most], said("{number} more", number=grouped(len(once) - most))])


def capitalized(text: str) -> str:
    """Return a text with a capital first letter; its other letters stay as they are."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """Return a text with a capital first letter and a stop at its end."""
    text = capitalized(text.strip())
    if not text:
        return text
    return text if text[-1] in ".!?…" else text + "."

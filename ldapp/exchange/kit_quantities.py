"""How many units a line of a kit list is for: in its column, or within its description."""

from __future__ import annotations

import re
from decimal import Decimal

from ldapp.exchange.columns import FoundColumns
from ldapp.exchange.number_text import NumberStyle, read_number
from ldapp.exchange.serial_text import is_no_mark
from ldapp.exchange.table import Cell, Table

MOST_UNITS = 1_000_000

_BOX = r"(?:\[[ xX✓✔]?\]|[☐☑☒□■▢✓✔_]+)\s*"
"""A box to tick, as packing lists have them before each line."""
_PIECES = re.compile(
    rf"(?:{_BOX})?"
    r"(?P<before>x\s*)?(?P<number>[-–−+(]?\s*\d[\d.,'’ \u00a0\u202f]*\)?)\s*"
    r"(?P<unit>x|×|ea|each|pcs?|pieces?|units?|nos?|off|sets?|prs?|pairs?|kits?|lots?|rolls?|"
    r"stk|stück|st|satz|paar|rollen?|pi[eè]ces?|pces?|jeux?|paires?|uds?|unidad(?:es)?|"
    r"piezas?|juegos?|pares?)?\.?",
    re.IGNORECASE,
)
_COUNTED_SINGLY = re.compile(
    r"(x|×|ea|each|pcs?|pieces?|units?|nos?|off|stk|stück|st|pi[eè]ces?|pces?|uds?|"
    r"unidad(es)?|piezas?)$",
    re.IGNORECASE,
)
_OUT_AND_IN = re.compile(r"(?P<out>\d{1,4})\s?/\s?(?P<back>\d{1,4})")
_STATED_BEFORE = re.compile(r"(?P<number>\d{1,4})\s*(?:x|×)\s+(?P<rest>\S.*)", re.IGNORECASE)
_STATED_BEHIND = re.compile(
    r"(?P<rest>.*\S)\s*(?:[(\[]\s*(?:x|×|qty:?)?\s*(?P<number>\d{1,4})\s*(?:x|×|ea|pcs|off)?\s*[)\]]|"
    r"\s(?:x|×)\s?(?P<plain>\d{1,4}))",
    re.IGNORECASE,
)
_PLAIN_BEFORE = re.compile(r"(?P<number>\d{1,4})\s+(?P<rest>[^\W\d].*)")


def without_box(text: str) -> str:
    """Return a text without the box to tick before it."""
    return re.sub(rf"^{_BOX}", "", text)


def pieces_in(cell: Cell | None, numbers: NumberStyle | None) -> tuple[int, str] | None:
    """Return a quantity with the unit written behind it; None where it is not whole."""
    if cell is None or not cell.text.strip():
        return None
    text = cell.text.strip()
    pair = out_and_in(text)
    if pair is not None:
        return pair[0], ""
    unit = ""
    number: Decimal | None
    if cell.kind == "number":
        number = Decimal(text)
    else:
        found = _PIECES.fullmatch(text)
        if found is None:
            return None
        unit = found["unit"] or ""
        number = read_number(found["number"], numbers)
    if number is None or number != int(number) or abs(number) > MOST_UNITS:
        return None
    return int(number), unit


def out_and_in(text: str) -> tuple[int, int] | None:
    """Return what went out and what came back of ``4/3``; None where a text says no such thing.

    No more can come back than went out.
    """
    found = _OUT_AND_IN.fullmatch(text)
    if found is None or int(found["back"]) > int(found["out"]):
        return None
    return int(found["out"]), int(found["back"])


def is_counted_singly(unit: str) -> bool:
    """Return whether a unit means single pieces, unlike pairs, rolls or sets."""
    return not unit or _COUNTED_SINGLY.match(unit) is not None


def stated_quantity(text: str, *, plainly: bool) -> tuple[int, str] | None:
    """Return the number in a description such as ``2x C-stand`` and the rest of it.

    ``plainly`` takes a number that stands before the words without a sign.
    """
    for pattern in (_STATED_BEFORE, _STATED_BEHIND, *([_PLAIN_BEFORE] * plainly)):
        found = pattern.fullmatch(text)
        if found is not None:
            stated = found.groupdict()
            return int(stated["number"] or stated.get("plain") or 1), stated["rest"].strip()
    return None


def states_number(text: str, *, plainly: bool = True) -> bool:
    """Return whether a description has a number of pieces in it."""
    return stated_quantity(text, plainly=plainly) is not None


def states_units(table: Table, found: FoundColumns) -> bool:
    """Return whether a list without a column of quantities says them all the same.

    Each line is one unit with a serial number or tag, or its description has the number.
    """
    fields = found.fields
    rows = [row for row in table.rows[found.first_row :] if any(row.texts())]
    marked = [*fields.get("serials", ()), *fields.get("asset_tags", ())]
    if marked and found.header:
        held = sum(any(not is_no_mark(row.cell(column).text) for column in marked) for row in rows)
        return held > 0.6 * len(rows) > 0
    described = fields.get("description", ())
    cells = (row.cell(column).text.strip() for row in rows for column in described)
    texts = [text for text in cells if text]
    stated = sum(states_number(text) for text in texts)
    return stated >= 0.5 * len(texts) > 0

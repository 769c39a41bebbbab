"""The count sheet: for every line and count what should have been there and what was."""

from __future__ import annotations

from typing import NamedTuple

from ldapp.casework.counts import in_counting_order
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Condition, Count, CountEntry, Movement
from ldapp.claim.kit import KitLine
from ldapp.claim.photos import Photo
from ldapp.language import marked, said
from ldapp.reckoning.counts import movement_change
from ldapp.reckoning.index import order_counts

CONDITION_LABELS: dict[Condition, str] = {
    "as_sent_out": marked("as sent out"),
    "worn": marked("worn"),
    "damaged_before": marked("damaged before"),
    "damaged": marked("damaged"),
    "not_working": marked("not working"),
    "not_looked_at": marked("not looked at"),
}
CONDITIONS_OF_DAMAGE: tuple[Condition, ...] = ("damaged", "not_working", "damaged_before")


class Cell(NamedTuple):
    """What one count says of one line, in units."""

    expected: int
    quantity: int | None
    condition: Condition = "not_looked_at"
    note: str = ""
    hidden: bool = False
    """A blind count, and the line has not been entered yet: what is expected stays hidden."""

    @property
    def difference(self) -> int | None:
        """Counted less expected; None where it was not counted."""
        return None if self.quantity is None else self.quantity - self.expected


class SheetRow(NamedTuple):
    """One line with a cell for each count that covers it, by the count's id."""

    line: KitLine
    cells: dict[str, Cell]
    blind_at: str | None = None
    """The blind count under way at which this line waits to be entered: nothing else of the line
    may be seen until then."""

    def hides(self, count: str) -> bool:
        """Say whether what a count says of this line is hidden for now."""
        return self.blind_at is not None and count != self.blind_at


def counts_in_order(claim: Claim) -> tuple[Count, ...]:
    """Return the counts in time."""
    return tuple(order_counts(claim.counts))


def count_sheet(claim: Claim) -> tuple[SheetRow, ...]:
    """Return the sheet in counting order: by the places where things live, then the list.

    What a pickup count expects is the listed quantity; what any other expects is the
    latest pickup count before it (or the list), with the movements in between.
    """
    counts = counts_in_order(claim)
    blind = _blind_count_under_way(counts)
    entries = {count.id: {entry.line: entry for entry in count.entries} for count in counts}
    moves: dict[str, list[Movement]] = {}
    for movement in claim.movements:
        if movement.part is None:
            moves.setdefault(movement.line, []).append(movement)
    rows = []
    for line in in_counting_order(claim):
        cells: dict[str, Cell] = {}
        received, opened = line.quantity, None
        for count in counts:
            if count.agreements and line.agreement not in count.agreements:
                continue
            entry = entries[count.id].get(line.id)
            at = (entry.at if entry else None) or count.at
            if count.stage == "pickup":
                expected = line.quantity
                if entry is not None and entry.quantity is not None:
                    received, opened = entry.quantity, at
            else:
                expected = received + sum(
                    movement_change(movement)
                    for movement in moves.get(line.id, ())
                    if (opened is None or movement.at > opened)
                    and (at is None or movement.at <= at)
                )
            cells[count.id] = _cell(count, entry, max(expected, 0))
        waits = blind is not None and blind in cells and cells[blind].hidden
        rows.append(SheetRow(line, cells, blind if waits else None))
    return tuple(rows)


def _blind_count_under_way(counts: tuple[Count, ...]) -> str | None:
    """Return our last count where it is blind and nobody has signed it or refused to."""
    last = next((one for one in reversed(counts) if one.stage != "check_in"), None)
    return last.id if last is not None and last.blind and last.acknowledgement == "none" else None


def _cell(count: Count, entry: CountEntry | None, expected: int) -> Cell:
    if entry is None:
        return Cell(expected, None, hidden=count.blind)
    quantity = entry.quantity
    if quantity is None and entry.serials_seen is not None:
        quantity = len(entry.serials_seen)
    return Cell(
        expected,
        quantity,
        entry.condition,
        entry.note,
        hidden=count.blind and quantity is None,
    )


def difference_words(difference: int | None) -> str:
    """Write a difference with its sign and a word: ``−3 short``, ``+1 over``, or nothing."""
    if not difference:
        return ""
    if difference < 0:
        return said("\u2212{units} short", units=-difference)
    return said("+{units} over", units=difference)


class Progress(NamedTuple):
    """How far a count has come, in lines."""

    counted: int
    lines: int
    short: int
    over: int


def progress_of(rows: tuple[SheetRow, ...], count: str) -> Progress:
    """Return how many of the lines that a count covers have been counted."""
    cells = [row.cells[count] for row in rows if count in row.cells]
    differences = [cell.difference for cell in cells if cell.difference is not None]
    return Progress(
        len(differences),
        len(cells),
        sum(one < 0 for one in differences),
        sum(one > 0 for one in differences),
    )


_WHOLE = marked("one picture of all units of this line together")
_SERIAL = marked("the serial number plate, readable")
_DAMAGE = marked("the damage close up, with something for scale")
_DAMAGE_WHOLE = marked("the whole damaged unit")


def pictures_wanted(
    line: KitLine, cell: Cell | None, photos: tuple[Photo, ...], count: str
) -> tuple[str, ...]:
    """Return which pictures of a line are still wanted at a count (common practice, no source)."""
    here = [
        pairing
        for photo in photos
        for pairing in photo.pairings
        if pairing.line == line.id and pairing.count == count
    ]
    damaged = cell is not None and cell.condition in CONDITIONS_OF_DAMAGE
    wanted = []
    if not here:
        wanted.append(said(_DAMAGE_WHOLE) if damaged else said(_WHOLE))
    if damaged and not any(pairing.close_up for pairing in here):
        wanted.append(said(_DAMAGE))
    if line.serials and len(here) < (3 if damaged else 2):
        wanted.append(said(_SERIAL))
    return tuple(wanted)

"""Counts over time: what should have been there, what was, and when each unit went.

``expected(t) = received + added − returned early ± exchanged − used up − transferred``;
*received* is the pickup count, or the listed quantity where there was none (common
practice, no source).  An empty cell is "not counted" and never nought.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from ldapp.claim.agreement import Agreement
from ldapp.claim.counts import Count, CountEntry, Movement, Stage
from ldapp.claim.kit import KitLine, Part
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import (
    Bracket,
    CountedAt,
    CountPoint,
    CustodySays,
    LineCounts,
    MixUp,
)


class _Point(NamedTuple):
    """What one count says of one line."""

    at: dt.datetime | None
    stage: Stage
    count_id: str
    quantity: int
    serials: tuple[str, ...] | None


class _Move(NamedTuple):
    at: dt.datetime
    change: int
    returned: int


class CustodyWindow(NamedTuple):
    """Between which instants the renter answers; None is no boundary that is known."""

    begins: dt.datetime | None
    ends: dt.datetime | None

    def excludes(self, at: dt.datetime) -> bool:
        """Say whether an event at a known instant lies before or after custody."""
        before = self.begins is not None and at < self.begins
        return before or (self.ends is not None and at > self.ends)

    def says(self, last_seen: dt.datetime | None, gone: dt.datetime | None) -> CustodySays:
        """Say where a loss between ``last_seen`` and ``gone`` lies.

        A boundary that cuts the bracket leaves it open: it stays owed and is marked.
        """
        if self.begins is not None and gone is not None and gone <= self.begins:
            return "before"
        if self.ends is not None and last_seen is not None and last_seen >= self.ends:
            return "after"
        if self.begins is not None and last_seen is not None and last_seen < self.begins:
            return "open"
        if self.ends is not None and gone is not None and gone > self.ends:
            return "open"
        return "inside"


def custody_window(agreement: Agreement, counts: Sequence[Count]) -> CustodyWindow:
    """Return the custody of an agreement: its events' times, else the counts that mark them.

    ``counts`` stand in time.  An end "handed over" without a time of its own is the return
    count, any other end the rental company's check-in.
    """
    ends = agreement.custody_ended
    end_term = agreement.terms.custody_end
    if ends is None and end_term is not None:
        stage = "return" if end_term.event == "handed_over" else "check_in"
        for count in counts:
            covers = not count.agreements or agreement.id in count.agreements
            if count.stage == stage and covers and count.at is not None:
                ends = count.at
    return CustodyWindow(agreement.custody_began, ends)


def movement_change(movement: Movement) -> int:
    """Return by how many units a movement changes what should be there."""
    if movement.kind == "added":
        return movement.quantity
    if movement.kind == "exchanged":
        if movement.direction == "in":
            return movement.quantity
        if movement.direction == "out":
            return -movement.quantity
        return 0
    return -movement.quantity


def count_lines(index: ClaimIndex) -> dict[tuple[str, str | None], LineCounts]:
    """Return the counts over time of every kit line, and of every part that was counted."""
    entries: dict[str, list[tuple[Count, CountEntry]]] = defaultdict(list)
    for count in index.ordered_counts:
        for entry in count.entries:
            entries[entry.line].append((count, entry))
    movements: dict[str, list[Movement]] = defaultdict(list)
    for movement in sorted(index.claim.movements, key=lambda m: (m.at, m.id)):
        movements[movement.line].append(movement)
    windows = {
        agreement.id: custody_window(agreement, index.ordered_counts)
        for agreement in index.claim.agreements
    }
    result: dict[tuple[str, str | None], LineCounts] = {}
    nothing: list[tuple[Count, CountEntry]] = []
    for line in index.claim.kit:
        window = windows[line.agreement]
        seen = entries.get(line.id, nothing)
        moved = movements.get(line.id, [])
        whole = _line_counts(line, seen, moved, window)
        result[line.id, None] = whole
        if line.parts and any(entry.parts for _, entry in seen):
            for part in line.parts:
                result[line.id, part.id] = _part_counts(line, part, whole, seen, moved, window)
    return result


def _line_counts(
    line: KitLine,
    seen: list[tuple[Count, CountEntry]],
    movements: list[Movement],
    window: CustodyWindow,
) -> LineCounts:
    points = []
    for count, entry in seen:
        quantity = entry.quantity
        if quantity is None:
            if entry.serials_seen is None:
                continue
            quantity = len(entry.serials_seen)
        at = entry.at or count.at
        points.append(_Point(at, count.stage, count.id, quantity, entry.serials_seen))
    whole_units = [m for m in movements if m.part is None]
    moves = [
        _Move(m.at, movement_change(m), m.quantity if m.kind == "returned_early" else 0)
        for m in whole_units
    ]
    return _over_time(line, None, line.quantity, line.quantity, points, moves, whole_units, window)


def _part_counts(
    line: KitLine,
    part: Part,
    whole: LineCounts,
    seen: list[tuple[Count, CountEntry]],
    movements: list[Movement],
    window: CustodyWindow,
) -> LineCounts:
    """Count the parts that belong to the units which are there.

    Parts of a missing unit are gone with it; they are no shortage of their own.
    """
    short = {c.count: c.expected - c.counted for c in whole.counted}
    points = []
    for count, entry in seen:
        for counted in entry.parts:
            if counted.part == part.id and counted.quantity is not None:
                gone_with_units = max(0, short.get(count.id, 0)) * part.per_unit
                points.append(
                    _Point(
                        entry.at or count.at,
                        count.stage,
                        count.id,
                        counted.quantity + gone_with_units,
                        None,
                    )
                )
    moves = []
    for movement in movements:
        times = 1 if movement.part == part.id else part.per_unit if movement.part is None else 0
        if times:
            returned = movement.quantity * times if movement.kind == "returned_early" else 0
            moves.append(_Move(movement.at, movement_change(movement) * times, returned))
    return _over_time(
        line,
        part.id,
        line.quantity * part.per_unit,
        whole.received * part.per_unit,
        points,
        moves,
        [],
        window,
    )


def _over_time(
    line: KitLine,
    part: str | None,
    listed: int,
    without_pickup: int,
    points: list[_Point],
    moves: list[_Move],
    movements: list[Movement],
    window: CustodyWindow,
) -> LineCounts:
    pickup = returned = check_in = None
    for position, point in enumerate(points):
        if point.stage == "pickup":
            pickup = position
        elif point.stage == "return":
            returned = point
        elif point.stage == "check_in":
            check_in = point
    received = without_pickup if pickup is None else points[pickup].quantity
    opening = None if pickup is None else points[pickup].at
    if moves and opening is not None:
        moves = [move for move in moves if move.at > opening]
        movements = [movement for movement in movements if movement.at > opening]
    later = points if pickup is None else points[pickup:]
    expected = [received if not moves else _expected(received, moves, p.at) for p in later]
    counted = tuple(
        _counted_at(point.count_id, due, point.quantity)
        for point, due in zip(later, expected, strict=True)
    )
    shortages = {p.count_id: due - p.quantity for p, due in zip(later, expected, strict=True)}
    closing = [point for point in (returned, check_in) if point and point.count_id in shortages]
    received_serials = _received_serials(line, points, pickup, movements) if not part else ()
    if closing:
        short = min(shortages[point.count_id] for point in closing)
        back: int | None = max(point.quantity for point in closing)
        missing: int | None = max(0, short)
        over: int | None = max(0, -short)
        strange, gone = _compare_serials(received_serials, closing)
    else:
        back = missing = over = None
        strange = gone = ()
    both = len(closing) == 2
    after = 0
    if both and returned is not None and check_in is not None:
        after = max(0, returned.quantity - check_in.quantity)
    brackets: tuple[Bracket, ...] = ()
    if missing:
        last = max(later.index(point) for point in closing)
        brackets = _brackets(later[: last + 1], shortages, missing, gone, window)
    return LineCounts(
        line=line.id,
        part=part,
        listed=listed,
        received=received,
        received_from="list" if pickup is None else "pickup_count",
        short_at_pickup=max(0, listed - received) if pickup is not None else 0,
        returned_early=sum(move.returned for move in moves),
        expected=counted[-1].expected if closing else _expected(received, moves, None),
        counted=counted,
        back=back,
        back_from=(
            "both_counts"
            if both
            else "nothing"
            if not closing
            else "return_count"
            if closing[0] is returned
            else "check_in"
        ),
        missing=missing,
        over=over,
        missing_after_return=after,
        strange_serials=strange,
        missing_serials=gone,
        brackets=brackets,
        pickup_count=None if pickup is None else points[pickup].count_id,
        return_count=None if returned is None else returned.count_id,
        check_in_count=None if check_in is None else check_in.count_id,
    )


@lru_cache(maxsize=8192)
def _counted_at(count: str, expected: int, counted: int) -> CountedAt:
    """Return the same immutable record for the same figures: most lines share theirs."""
    return CountedAt(count=count, expected=expected, counted=counted)


def _expected(received: int, moves: list[_Move], at: dt.datetime | None) -> int:
    return received + sum(move.change for move in moves if at is None or move.at <= at)


def _received_serials(
    line: KitLine, points: list[_Point], pickup: int | None, movements: list[Movement]
) -> tuple[str, ...]:
    """Return the serial numbers that should come back, in the list's order."""
    seen = None if pickup is None else points[pickup].serials
    serials = dict.fromkeys(line.serials if seen is None else seen)
    for movement in movements:
        incoming = dict.fromkeys(movement.serials_in)
        for serial in movement.serials_out:
            serials.pop(serial, None)
        serials.update(incoming)
    return tuple(serials)


def _compare_serials(
    received: tuple[str, ...], closing: list[_Point]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the serials that came back without having gone out, and those that did not."""
    looked = [point.serials for point in closing if point.serials is not None]
    if not looked or not received:
        return (), ()
    back = dict.fromkeys(serial for serials in looked for serial in serials)
    known = set(received)
    strange = tuple(serial for serial in back if serial not in known)
    return strange, tuple(serial for serial in received if serial not in back)


def _brackets(
    points: list[_Point],
    shortages: dict[str, int],
    missing: int,
    gone_serials: tuple[str, ...],
    window: CustodyWindow,
) -> tuple[Bracket, ...]:
    """Return for each missing unit between which counts it went.

    The *k*-th missing unit was last seen at the last count whose shortage is below *k*,
    and is gone from the next; a serial number from the last count that read it.
    """
    brackets = []
    for unit in range(missing):
        serial = gone_serials[unit] if unit < len(gone_serials) else None
        chain = points if serial is None else [p for p in points if p.serials is not None]
        last_seen = None
        for position, point in enumerate(chain):
            there = (
                shortages[point.count_id] <= unit
                if serial is None
                else point.serials is not None and serial in point.serials
            )
            if there:
                last_seen = position
        gone = chain[0 if last_seen is None else last_seen + 1]
        seen = None if last_seen is None else chain[last_seen]
        brackets.append(
            Bracket(
                serial=serial,
                last_seen=None if seen is None else CountPoint(count=seen.count_id, at=seen.at),
                gone=CountPoint(count=gone.count_id, at=gone.at),
                custody=window.says(None if seen is None else seen.at, gone.at),
            )
        )
    return tuple(brackets)


def sister_key(line: KitLine) -> tuple[str, str]:
    """Return what two lines share that differ only in a size: their words without figures."""
    words = [w for w in line.description.lower().split() if not any(c.isdigit() for c in w)]
    return line.agreement, " ".join(word for word in words if word not in _SIZE_WORDS)


_SIZE_WORDS = frozenset(
    {"ft", "in", "inch", "foot", "feet", "m", "cm", "mm", "w", "kw", "lb", "kg", "x", "×"}
    | {"small", "medium", "large", "short", "long"}
)


def mix_ups(
    index: ClaimIndex, counts: dict[tuple[str, str | None], LineCounts]
) -> tuple[MixUp, ...]:
    """Return shortages beside surpluses in sister lines, in printed order; nothing is netted."""
    over: dict[tuple[str, str], list[tuple[str, int]]] = defaultdict(list)
    short = []
    for line_id in index.line_rank:
        line_counts = counts[line_id, None]
        if line_counts.over:
            over[sister_key(index.lines[line_id])].append((line_id, line_counts.over))
        elif line_counts.missing:
            short.append((line_id, line_counts.missing))
    found = []
    if over:
        for line_id, missing in short:
            for other, surplus in over.get(sister_key(index.lines[line_id]), ()):
                found.append(
                    MixUp(short_line=line_id, over_line=other, units=min(missing, surplus))
                )
    return tuple(found)

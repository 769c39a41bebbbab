"""Counts over time: what should have been there, what was, and when each unit went.

``expected(t) = received + added − returned early ± exchanged − used up − transferred``;
*received* is the pickup count, or the listed quantity where there was none (common
practice, no source).  An empty cell is "not counted" and never nought.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from typing import NamedTuple

from ldapp.claim.counts import Count, CountEntry, Movement, Stage
from ldapp.claim.kit import KitLine, Part
from ldapp.reckoning.custody import (
    Closing,
    CustodyWindow,
    acknowledged_by_both,
    closing_of,
    custody_window,
)
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import (
    BackFrom,
    Bracket,
    CountedAt,
    CountPoint,
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


class _Agreed(NamedTuple):
    """What an agreement says that bears on the counts of its lines."""

    window: CustodyWindow
    closing: Closing


_Seen = list[tuple[Count, CountEntry]]


def count_lines(index: ClaimIndex) -> dict[tuple[str, str | None], LineCounts]:
    """Return the counts over time of every kit line, and of every part that was counted."""
    entries: dict[str, _Seen] = defaultdict(list)
    with_more: set[str] = set()
    for count in index.ordered_counts:
        for entry in count.entries:
            entries[entry.line].append((count, entry))
            if entry.at is not None or entry.serials_seen is not None or entry.parts:
                with_more.add(entry.line)
    movements: dict[str, list[Movement]] = defaultdict(list)
    for movement in sorted(index.claim.movements, key=lambda m: (m.at, m.id)):
        movements[movement.line].append(movement)
    acknowledged = frozenset(c.id for c in index.ordered_counts if acknowledged_by_both(c))
    agreed = {
        agreement.id: _Agreed(
            custody_window(agreement, index.ordered_counts), closing_of(agreement, acknowledged)
        )
        for agreement in index.claim.agreements
    }
    result: dict[tuple[str, str | None], LineCounts] = {}
    nothing: _Seen = []
    # Most lines are counted by number alone, and many of them alike: each case is worked out once.
    alike: dict[tuple[object, ...], LineCounts] = {}
    for line in index.claim.kit:
        seen = entries.get(line.id, nothing)
        moved = movements.get(line.id, [])
        rules = agreed[line.agreement]
        doubted = frozenset(
            count for count, one in index.changed_since_signing.items() if one.bears_on(line.id)
        )
        if doubted:
            rules = rules._replace(closing=rules.closing.without(doubted))
        if moved or line.id in with_more:
            whole = _line_counts(line, seen, moved, rules)
            result[line.id, None] = whole
            if line.parts and any(entry.parts for _, entry in seen):
                for part in line.parts:
                    result[line.id, part.id] = _part_counts(line, part, whole, seen, moved, rules)
            continue
        key = (
            line.agreement,
            line.quantity,
            doubted,
            *[(count.id, entry.quantity) for count, entry in seen],
        )
        first = alike.get(key)
        if first is None:
            counted = alike[key] = _by_number(line, seen, rules)
        else:
            counted = LineCounts._make((line.id, *first[1:]))
        result[line.id, None] = counted
    return result


def _by_number(line: KitLine, seen: _Seen, agreed: _Agreed) -> LineCounts:
    """Count a line of which nothing moved and no serial number was read."""
    points = [
        _Point(count.at, count.stage, count.id, entry.quantity, None)
        for count, entry in seen
        if entry.quantity is not None
    ]
    return _over_time((line.id, None), line.quantity, line.quantity, points, [], (), agreed)


def _line_counts(
    line: KitLine, seen: _Seen, movements: list[Movement], agreed: _Agreed
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
    pickup = next((p for p in reversed(points) if p.stage == "pickup"), None)
    later = [m for m in whole_units if pickup is None or pickup.at is None or m.at > pickup.at]
    serials = _received_serials(line, pickup, later)
    return _over_time((line.id, None), line.quantity, line.quantity, points, moves, serials, agreed)


def _part_counts(
    line: KitLine,
    part: Part,
    whole: LineCounts,
    seen: _Seen,
    movements: list[Movement],
    agreed: _Agreed,
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
    listed = line.quantity * part.per_unit
    received = whole.received * part.per_unit
    return _over_time((line.id, part.id), listed, received, points, moves, (), agreed)


def _over_time(
    what: tuple[str, str | None],
    listed: int,
    without_pickup: int,
    points: list[_Point],
    moves: list[_Move],
    received_serials: tuple[str, ...],
    agreed: _Agreed,
) -> LineCounts:
    """Return the counts of what is counted: a line, or a part of it."""
    line, part = what
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
    later = points if pickup is None else points[pickup:]
    expected = [received if not moves else _expected(received, moves, p.at) for p in later]
    counted = tuple(
        CountedAt(count=point.count_id, expected=due, counted=point.quantity)
        for point, due in zip(later, expected, strict=True)
    )
    shortages = {p.count_id: due - p.quantity for p, due in zip(later, expected, strict=True)}
    both = [point for point in (returned, check_in) if point and point.count_id in shortages]
    closing = both
    if len(both) == 2 and not agreed.closing.decides(both[0].count_id):
        closing = both[1:]
    short = min((shortages[point.count_id] for point in closing), default=0)
    strange, gone = _compare_serials(received_serials, closing)
    missing = max(0, short) if closing else None
    brackets: tuple[Bracket, ...] = ()
    if missing:
        last = max(later.index(point) for point in closing)
        brackets = _brackets(later[: last + 1], shortages, missing, gone, agreed.window)
    return LineCounts(
        line=line,
        part=part,
        listed=listed,
        received=received,
        received_from="list" if pickup is None else "pickup_count",
        short_at_pickup=max(0, listed - received) if pickup is not None else 0,
        returned_early=sum(move.returned for move in moves),
        expected=counted[-1].expected if both else _expected(received, moves, None),
        counted=counted,
        back=max((point.quantity for point in closing), default=None),
        back_from=_back_from(closing),
        missing=missing,
        over=max(0, -short) if closing else None,
        missing_after_return=max(0, closing[0].quantity - closing[-1].quantity) if closing else 0,
        strange_serials=strange,
        missing_serials=gone,
        brackets=brackets,
        pickup_count=None if pickup is None else points[pickup].count_id,
        return_count=None if returned is None else returned.count_id,
        check_in_count=None if check_in is None else check_in.count_id,
        closing_disagree=len({shortages[point.count_id] for point in both}) > 1,
    )


def _back_from(closing: list[_Point]) -> BackFrom:
    if len(closing) == 2:
        return "both_counts"
    if not closing:
        return "nothing"
    return "return_count" if closing[0].stage == "return" else "check_in"


def _expected(received: int, moves: list[_Move], at: dt.datetime | None) -> int:
    return received + sum(move.change for move in moves if at is None or move.at <= at)


def _received_serials(
    line: KitLine, pickup: _Point | None, movements: list[Movement]
) -> tuple[str, ...]:
    """Return the serial numbers that should come back, in the list's order."""
    seen = None if pickup is None else pickup.serials
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

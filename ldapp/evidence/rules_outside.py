"""Rules N, S, F, I, R3, G9 and W: names, neighbours, intake, places and persons."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Final

from ldapp.claim.photo_facts import Reason
from ldapp.evidence.case import Case, agree_after_shift, reason, seconds_between
from ldapp.evidence.context import Neighbour
from ldapp.evidence.names import counter_in_name
from ldapp.evidence.times import local_datetime
from ldapp.evidence.wording import clock_time, day, duration
from ldapp.evidence.zones import distance_km

_DAY: Final = timedelta(days=1)
_FAR_KM: Final = 50
_FASTEST_KM_PER_H: Final = 1000


def outside_rules(case: Case) -> Iterator[Reason]:
    """Yield the findings that look beyond the camera's own fields."""
    yield from _name(case)
    yield from _place(case)
    yield from _sequence(case)
    yield from _same_camera_elsewhere(case)
    yield from _file_times(case)
    yield from _intake(case)
    yield from _persons(case)


def _name(case: Case) -> Iterator[Reason]:
    named, taken = case.named, case.taken
    if named is None:
        return
    if named.kind == "receipt":
        if taken is None:
            yield reason("N4", "note", f"Received on {day(named.day)}; taken then or before.")
        elif taken.moment.date() > named.day:
            # Within the width of all zones of the Earth the two days can be one.
            ends = named.moment + _DAY
            certain = seconds_between(taken.moment, ends) > 26 * 3600
            yield reason(
                "N3",
                "excludes" if certain else "weakens",
                f"Received before it was taken: the name says {day(named.day)}.",
            )
        return
    if taken is None:
        return
    if agree_after_shift(taken.moment.replace(microsecond=0), named.moment, 5):
        yield reason("N1", "note", "The name given by the phone agrees.")
    elif abs(seconds_between(taken.moment, named.moment)) > 86400:
        yield reason("N2", "weakens", f"The name says {clock_time(named.moment)}.")


def _place(case: Case) -> Iterator[Reason]:
    fix, context = case.facts.satellite, case.context
    if fix is None or fix.latitude is None or fix.longitude is None:
        return
    here = (fix.latitude, fix.longitude)
    for place, weight, words in (
        (context.count_position, "weakens", "the place of the count"),
        (context.job_position, "note", "the job's place"),
    ):
        if place is None:
            continue
        away = distance_km(here, place)
        if away > _FAR_KM:
            yield reason(
                "G9",
                "weakens" if weight == "weakens" else "note",
                f"Taken {round(away)} km from {words}.",
            )
        return


def _moment(neighbour: Neighbour) -> datetime | None:
    text, _, digits = neighbour.taken_local.partition(".")
    return local_datetime(text, digits)


def _sequence(case: Case) -> Iterator[Reason]:
    """Compare with both neighbours by the counter; the odd one is the one to doubt."""
    before, after = case.context.before, case.context.after
    if case.taken is None or before is None or after is None:
        return
    first, last = _moment(before), _moment(after)
    if first is None or last is None or first > last:
        return
    if first <= case.taken.moment <= last:
        yield reason("S1", "supports", "In step with the camera's other pictures.")
        return
    # Times within a second or two of a neighbour are one burst.
    margin = timedelta(seconds=2)
    if first - margin <= case.taken.moment <= last + margin:
        return
    counted = counter_in_name(case.facts.file_name)
    number = f"Number {counted[1]:04d}" if counted else case.facts.file_name
    yield reason(
        "S2",
        "undermines",
        f"{number} lies between {before.number:04d} ({clock_time(first)}) and "
        f"{after.number:04d} ({clock_time(last)}), its date does not.",
    )


def _same_camera_elsewhere(case: Case) -> Iterator[Reason]:
    fix, clock = case.facts.satellite, case.clock
    if case.context.same_bytes_taken is not None:
        text = case.taken.text if case.taken else None
        if case.context.same_bytes_taken != text:
            yield reason("S4", "excludes", "The same file was taken in before with another date.")
    if fix is None or fix.latitude is None or fix.longitude is None or clock is None:
        return
    if not case.offset_known:
        return
    here = (fix.latitude, fix.longitude)
    for sighting in case.context.sightings:
        away = distance_km(here, sighting.position)
        hours = abs((clock.best - sighting.taken).total_seconds()) / 3600
        if away > 2 * _FAR_KM and away > _FASTEST_KM_PER_H * hours:
            yield reason(
                "S3",
                "excludes",
                f"The same camera cannot have been in both places: {sighting.file_name} was "
                f"taken {round(away)} km away within {duration(hours * 3600)}.",
            )
            return


def _file_times(case: Case) -> Iterator[Reason]:
    taken, modified = case.taken, case.facts.file_modified
    if case.context.file_times is None or taken is None or modified is None:
        return
    wall = modified.astimezone(UTC).replace(tzinfo=None)
    apart = seconds_between(wall, taken.moment)
    whole = 3600 * round(apart / 3600)
    if case.context.file_times == "card" and abs(apart) <= 26 * 3600 and abs(apart - whole) <= 2:
        yield reason("F1", "supports", "The card's file date agrees.")
    elif apart < -26 * 3600:
        yield reason(
            "F2", "weakens", f"The file is older than the picture says: {clock_time(wall)} (UTC)."
        )


def _intake(case: Case) -> Iterator[Reason]:
    context, clock = case.context, case.clock
    if context.original_unchanged is False:
        yield reason("I1", "excludes", "The stored original has changed since it was taken in.")
    if context.code_issued is not None:
        yield reason(
            "R3",
            "supports",
            f"Shows the code issued at {clock_time(context.code_issued.astimezone(UTC))} (UTC); "
            "taken after that.",
        )
    if context.imported is None or clock is None or not context.journal_intact:
        return
    if not case.offset_known:
        return
    waited = context.imported - clock.best
    if timedelta(minutes=-10) <= waited <= _DAY:
        seconds = max(0.0, waited.total_seconds())
        yield reason("I2", "supports", f"Taken in {duration(seconds)} after the shot.")


def _persons(case: Case) -> Iterator[Reason]:
    for person in case.context.confirmations:
        if person.other_side:
            yield reason(
                "W1",
                "supports",
                f"{person.name}, for {person.company}, confirmed on {day(person.on)} that the "
                "picture was taken at this count.",
            )
        else:
            yield reason(
                "W2",
                "note",
                f"{person.name} stated on {day(person.on)} that the picture was taken at this "
                "count.",
            )

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
from ldapp.language import said

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
            yield reason(
                "N4", "note", said("Received on {day}; taken then or before.", day=day(named.day))
            )
        elif taken.moment.date() > named.day:
            # Within the width of all zones of the Earth the two days can be one.
            ends = named.moment + _DAY
            certain = seconds_between(taken.moment, ends) > 26 * 3600
            yield reason(
                "N3",
                "excludes" if certain else "weakens",
                said("Received before it was taken: the name says {day}.", day=day(named.day)),
            )
        return
    if taken is None:
        return
    if agree_after_shift(taken.moment.replace(microsecond=0), named.moment, 5):
        yield reason("N1", "note", said("The name given by the phone agrees."))
    elif abs(seconds_between(taken.moment, named.moment)) > 86400:
        yield reason(
            "N2",
            "weakens",
            said("The name says {time}.", time=clock_time(named.moment)),
        )


def _place(case: Case) -> Iterator[Reason]:
    fix, context = case.facts.satellite, case.context
    if fix is None or fix.latitude is None or fix.longitude is None:
        return
    here = (fix.latitude, fix.longitude)
    for place, of_count in ((context.count_position, True), (context.job_position, False)):
        if place is None:
            continue
        away = distance_km(here, place)
        if away > _FAR_KM:
            yield reason(
                "G9",
                "weakens" if of_count else "note",
                said("Taken {distance} km from the place of the count.", distance=round(away))
                if of_count
                else said("Taken {distance} km from the job's place.", distance=round(away)),
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
        yield reason("S1", "supports", said("In step with the camera's other pictures."))
        return
    # Times within a second or two of a neighbour are one burst.
    margin = timedelta(seconds=2)
    if first - margin <= case.taken.moment <= last + margin:
        return
    counted = counter_in_name(case.facts.file_name)
    here = said("Number {number}", number=f"{counted[1]:04d}") if counted else case.facts.file_name
    yield reason(
        "S2",
        "undermines",
        said(
            "{picture} lies between {before} ({time_before}) and {after} ({time_after}), its date "
            "does not.",
            picture=here,
            before=f"{before.number:04d}",
            time_before=clock_time(first),
            after=f"{after.number:04d}",
            time_after=clock_time(last),
        ),
    )


def _same_camera_elsewhere(case: Case) -> Iterator[Reason]:
    fix, clock = case.facts.satellite, case.clock
    if case.context.same_bytes_taken is not None:
        text = case.taken.text if case.taken else None
        if case.context.same_bytes_taken != text:
            yield reason(
                "S4", "excludes", said("The same file was taken in before with another date.")
            )
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
                said(
                    "The same camera cannot have been in both places: {file_name} was taken "
                    "{distance} km away within {time}.",
                    file_name=sighting.file_name,
                    distance=round(away),
                    time=duration(hours * 3600),
                ),
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
        yield reason("F1", "supports", said("The card's file date agrees."))
    elif apart < -26 * 3600:
        yield reason(
            "F2",
            "weakens",
            said(
                "The file is older than the picture says: {time} (UTC).",
                time=clock_time(wall),
            ),
        )


def _intake(case: Case) -> Iterator[Reason]:
    context, clock = case.context, case.clock
    if context.original_unchanged is False:
        yield reason(
            "I1", "excludes", said("The stored original has changed since it was taken in.")
        )
    if context.code_issued is not None:
        yield reason(
            "R3",
            "supports",
            said(
                "Shows the code issued at {time} (UTC); taken after that.",
                time=clock_time(context.code_issued.astimezone(UTC)),
            ),
        )
    if context.imported is None or clock is None or not context.journal_intact:
        return
    if not case.offset_known:
        return
    waited = context.imported - clock.best
    if timedelta(minutes=-10) <= waited <= _DAY:
        seconds = max(0.0, waited.total_seconds())
        yield reason(
            "I2",
            "supports",
            said("Taken in {time} after the shot.", time=duration(seconds)),
        )


def _persons(case: Case) -> Iterator[Reason]:
    for person in case.context.confirmations:
        if person.other_side:
            yield reason(
                "W1",
                "supports",
                said(
                    "{name}, for {company}, confirmed on {day} that the picture was taken at "
                    "this count.",
                    name=person.name,
                    company=person.company,
                    day=day(person.on),
                ),
            )
        else:
            yield reason(
                "W2",
                "note",
                said(
                    "{name} stated on {day} that the picture was taken at this count.",
                    name=person.name,
                    day=day(person.on),
                ),
            )

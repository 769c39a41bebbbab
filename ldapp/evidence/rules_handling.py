"""Rules E: what handling leaves behind in a file.

Turning a picture in a viewer changes the date of change and the layout, and is no
editing; it never counts for more than a note.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Final

from ldapp.claim.photo_facts import CredentialsCheck, PhotoFacts, Reason
from ldapp.evidence.case import Case, reason, seconds_between
from ldapp.evidence.names import names_a_screenshot
from ldapp.evidence.times import (
    Taken,
    local_datetime,
    movie_header_time,
    read_xmp_time,
)
from ldapp.evidence.wording import clock_time, duration
from ldapp.language import said, said_of

SAVED_AGAIN_S: Final = 5
"""Seconds by which some cameras write the date of change later without any handling."""

_OFFSETS_UNKNOWN_S: Final = 26 * 3600
_HISTORY_ACTIONS: Final = frozenset(
    {"saved", "converted", "derived", "edited", "cropped", "filtered", "pasted", "resized"}
)
_SCREENS: Final = frozenset({
    # Pixels of common phone screens, upright (from memory).
    (640, 1136), (750, 1334), (828, 1792), (1080, 1920), (1080, 2340), (1080, 2400),
    (1125, 2436), (1170, 2532), (1179, 2556), (1206, 2622), (1242, 2208), (1242, 2688),
    (1284, 2778), (1290, 2796), (1320, 2868), (1440, 3040), (1440, 3088), (1440, 3120),
    (1440, 3200),
})  # fmt: skip
_TURNED_PIXELS: Final = frozenset({"image/jpeg", "image/png", "image/webp"})


def handling_rules(case: Case) -> Iterator[Reason]:
    """Yield the findings E1 to E14 and C1 to C3."""
    yield from _saved_again(case)
    yield from _preview(case)
    yield from _camera_structure(case)
    yield from _size(case)
    yield from _copy(case)
    yield from _derivative(case)
    yield from _movie(case)
    yield from _credentials(case)


def signs_of_handling(case: Case) -> bool:
    """Say whether anything in the file calls for a look at the picture itself."""
    codes = {found.code for found in (*_saved_again(case), *_size(case))}
    return bool(codes & {"E1", "E2", "E3", "E4", "E8"}) or not case.facts.complete


def changed_at(facts: PhotoFacts) -> datetime | None:
    """Return the wall-clock time of the last change, without zone."""
    changed = facts.changed
    if changed is None or changed.local is None:
        return None
    return local_datetime(changed.local, changed.digits)


def saved_after(facts: PhotoFacts, taken: Taken | None) -> float:
    """Return the seconds from taking to the last change; negative if dated before it.

    Nought where one of the two is not there, or the change itself is the taken date.
    """
    changed = changed_at(facts)
    if changed is None or taken is None or taken.source not in ("original", "digitized"):
        return 0.0
    return seconds_between(changed, taken.moment)


def _saved_again(case: Case) -> Iterator[Reason]:
    changed = changed_at(case.facts)
    later = saved_after(case.facts, case.taken)
    if case.editors:
        yield reason(
            "E2",
            "weakens",
            _last_saved(case.editors[0], changed),
        )
    elif later > SAVED_AGAIN_S and changed is not None:
        yield reason(
            "E1",
            "note",
            said(
                "Saved again on {time}, for instance after turning it in a viewer.",
                time=clock_time(changed),
            ),
        )
    if later < 0 and _earlier_excluded(case, -later):
        yield reason("E3", "undermines", said("Last change is dated before the picture was taken."))
    yield from _history(case)


def _last_saved(editor: str, changed: datetime | None) -> str:
    if changed is None:
        return said(
            "Last saved with {program}; pixels and data may have been changed.", program=editor
        )
    return said(
        "Last saved with {program} on {time}; pixels and data may have been changed.",
        program=editor,
        time=clock_time(changed),
    )


def _earlier_excluded(case: Case, seconds: float) -> bool:
    changed = case.facts.changed.offset if case.facts.changed else None
    taken = case.taken.offset if case.taken else None
    if changed is not None and changed == taken:
        return seconds > 2
    return seconds > _OFFSETS_UNKNOWN_S


def _history(case: Case) -> Iterator[Reason]:
    xmp = case.facts.xmp
    if xmp is None or case.editors:
        return
    steps = [step for step in xmp.history if step.action.lower() in _HISTORY_ACTIONS]
    if not steps:
        return
    last = max((step.when for step in steps if step.when), default=None)
    written = read_xmp_time(last)
    yield reason(
        "E4",
        "weakens",
        said_of(
            len(steps),
            "The edit history lists {count} step.",
            "The edit history lists {count} steps.",
        )
        if written is None
        else said_of(
            len(steps),
            "The edit history lists {count} step, last on {time}.",
            "The edit history lists {count} steps, last on {time}.",
            time=clock_time(written.moment),
        ),
    )


def _preview(case: Case) -> Iterator[Reason]:
    if case.facts.preview_match == "differs":
        yield reason(
            "E5",
            "undermines" if case.editors else "weakens",
            said("The small picture inside shows something else: cropped, retouched, or replaced."),
        )
    elif case.facts.preview_match == "turned":
        yield reason("E6", "note", said("Turned after it was taken."))


def _camera_structure(case: Case) -> Iterator[Reason]:
    facts, habits = case.facts, case.context.habits
    if habits is None or not (facts.make and facts.model):
        return
    if not facts.has_maker_note and habits.with_maker_note:
        yield reason(
            "E7", "note", said("The camera's private data is missing, as after re-saving.")
        )
    odd_first = habits.first_segments and facts.first_segment not in habits.first_segments
    odd_tables = habits.quantisations and facts.quantisation not in habits.quantisations
    if facts.first_segment is not None and (odd_first or odd_tables):
        yield reason("E9", "note", said("Built differently from the other photos of this camera."))


def _size(case: Case) -> Iterator[Reason]:
    facts = case.facts
    stated, actual = (facts.pixel_width, facts.pixel_height), (facts.width, facts.height)
    if facts.kind not in _TURNED_PIXELS or None in stated or None in actual or 0 in stated:
        return
    if stated not in (actual, actual[::-1]):
        yield reason(
            "E8",
            "weakens" if case.facts.preview_match == "differs" else "note",
            said(
                "Resized or cropped after it was taken: {width_then} × {height_then} then, "
                "{width_now} × {height_now} now.",
                width_then=stated[0],
                height_then=stated[1],
                width_now=actual[0],
                height_now=actual[1],
            ),
        )


def is_screenshot(case: Case) -> bool:
    """Say whether the file is the picture of a screen."""
    facts = case.facts
    if facts.user_comment is not None and facts.user_comment.strip().lower() == "screenshot":
        return True
    if facts.make is not None or facts.error is not None:
        return False
    if names_a_screenshot(facts.file_name):
        return True
    size = tuple(sorted((facts.width or 0, facts.height or 0)))
    return facts.kind == "image/png" and size in _SCREENS


def _copy(case: Case) -> Iterator[Reason]:
    facts = case.facts
    if is_screenshot(case):
        yield reason(
            "E11",
            "undermines",
            said("A screenshot: its date is that of the screen, not of the equipment."),
        )
    elif case.taken is None and facts.has_jfif and not (facts.make or facts.model):
        yield reason(
            "E10",
            "note",
            said("Looks like a copy sent through a messenger or website; ask for the original."),
        )


def _derivative(case: Case) -> Iterator[Reason]:
    original = case.facts.derivative_of
    if original:
        yield reason(
            "E14",
            "weakens",
            said(
                "A picture made for passing on: what is said of its time was read by "
                "whoever made it. Ask for the original with the SHA-256 {beginning}… to "
                "check it.",
                beginning=original[:12],
            ),
        )


def _movie(case: Case) -> Iterator[Reason]:
    movie = case.facts.movie
    if movie is None or movie.header_seconds is None:
        return
    latest = case.context.now or case.context.imported or datetime(2100, 1, 1, tzinfo=UTC)
    header = movie_header_time(movie.header_seconds, latest)
    if header is None:
        yield reason(
            "E13", "note", said("The movie's clock field was not set (or set by faulty software).")
        )
        return
    start = read_xmp_time(movie.creation_date)
    if start is None or case.clock is None or case.clock.instant is None:
        return
    apart = abs((header - case.clock.instant).total_seconds())
    if apart > (movie.duration_s or 0) + 120:
        yield reason(
            "E12",
            "note",
            said(
                "Re-saved on {saved} (UTC), {apart} away; the start of the recording is {start}.",
                saved=clock_time(header),
                apart=duration(apart),
                start=clock_time(start.moment),
            ),
        )


def _credentials(case: Case) -> Iterator[Reason]:
    if not case.facts.content_credentials:
        return
    check = case.facts.credentials
    if check is not None and check.outcome == "broken":
        yield reason("C2", "undermines", said("Content credentials do not match the picture."))
    elif check is not None and check.outcome == "trusted" and check.at is not None:
        yield reason(
            "C1",
            "supports",
            said(
                "Signed by {signer} at {time} (UTC).",
                signer=check.signer,
                time=clock_time(check.at.astimezone(UTC)),
            ),
        )
    else:
        yield reason(
            "C3",
            "note",
            _not_proven(check),
        )


def _not_proven(check: CredentialsCheck | None) -> str:
    if check is None:
        return said("Carries content credentials; not checked here.")
    if check.outcome == "trusted":
        return said(
            "Carries content credentials; signed by {signer}, without a time that could be "
            "verified.",
            signer=check.signer,
        )
    if check.outcome == "matching":
        return said(
            "Carries content credentials; they match the picture, but {signer} is not among the "
            "signers trusted here.",
            signer=check.signer or said("a signer without a name"),
        )
    return said("Carries content credentials; the check could not be carried to its end.")

"""What a person does while counting."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Iterable
from zoneinfo import ZoneInfo

from ldapp.casework.code_words import code_words
from ldapp.casework.edit import get, put, without
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.claim.claim import Claim
from ldapp.claim.counts import (
    Acknowledgement,
    Condition,
    Count,
    CountEntry,
    Movement,
    MovementKind,
    PartCount,
    Signature,
    Stage,
)
from ldapp.claim.kit import KitLine
from ldapp.claim.signed_counts import changed_since_signing, signed_state
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of

STAGE_NAMES: dict[Stage, str] = {
    "pickup": marked("Pickup"),
    "during": marked("During the job"),
    "return": marked("Return"),
    "check_in": marked("Company's check-in"),
}
_BEGUN: dict[Stage, str] = {
    "pickup": marked("Begin pickup count"),
    "during": marked("Begin during the job count"),
    "return": marked("Begin return count"),
    "check_in": marked("Begin company's check-in count"),
}
_CHANGED: dict[Stage, str] = {
    "pickup": marked("Pickup count"),
    "during": marked("During the job count"),
    "return": marked("Return count"),
    "check_in": marked("Company's check-in count"),
}
_ACKNOWLEDGED: dict[Acknowledgement, str] = {
    "signed_by_both": marked("Count signed by both"),
    "on_company_ticket": marked("Count on company ticket"),
    "one_side_with_photos": marked("Count one side with photos"),
    "emailed_same_day": marked("Count emailed same day"),
    "one_side": marked("Count one side"),
    "refused_to_sign": marked("Count refused to sign"),
    "none": marked("Count none"),
}
_MOVED: dict[MovementKind, str] = {
    "added": marked("Added: {line}"),
    "exchanged": marked("Exchanged: {line}"),
    "returned_early": marked("Returned early: {line}"),
    "used_up": marked("Used up: {line}"),
    "transferred": marked("Transferred: {line}"),
}


def add_count(
    desk: OpenClaim,
    stage: Stage,
    at: dt.datetime | None = None,
    *,
    blind: bool = False,
    counted_by: str = "",
    place: str = "",
    witness: str = "",
) -> Count:
    """Begin a count; with no time given it is now, in the claim's zone."""
    when = at or dt.datetime.now(ZoneInfo(desk.claim.zone)).replace(microsecond=0)
    if when.tzinfo is None:
        raise LdappError(said("The time of a count needs its zone or offset."))
    # An offset is kept with the time; the zone's later changes of rule must not move it.
    fixed = when.replace(tzinfo=dt.timezone(when.utcoffset() or dt.timedelta()))
    count = Count(
        id=new_id(),
        stage=stage,
        at=fixed,
        blind=blind,
        counted_by=counted_by,
        place=place,
        witness=witness,
    )
    desk.change(
        said(_BEGUN[stage]),
        lambda claim: dataclasses.replace(claim, counts=(*claim.counts, count)),
    )
    return count


class SignedByBothError(LdappError):
    """A change would put the signatures of both sides under something that neither signed."""


def _refuse_under_signatures(before: Count, after: Count) -> None:
    """Refuse the first change to what both have signed.

    Raises:
        SignedByBothError: the count says what both signed, and would no longer do so.
    """
    sides = {one.side for one in before.signatures if one.signed is not None}
    if sides != {"ours", "theirs"} or changed_since_signing(before) is not None:
        return
    if changed_since_signing(after) is not None:
        raise SignedByBothError(
            said(
                "Both have signed this count. Change it all the same? The signatures "
                "will be said to be of another state."
            )
        )


def put_count(
    desk: OpenClaim, count: Count, label: str = "", *, although_signed: bool = False
) -> bool:
    """Change what is said of a count; its entries stay as they are in the claim.

    Raises:
        SignedByBothError: its stage or times were signed by both, and not ``although_signed``.
    """

    def make(claim: Claim) -> Claim:
        present = get(claim.counts, count.id, "count")
        changed = dataclasses.replace(count, entries=present.entries)
        if not although_signed:
            _refuse_under_signatures(present, changed)
        return dataclasses.replace(claim, counts=put(claim.counts, changed))

    return desk.change(label or said(_CHANGED[count.stage]), make)


def remove_count(desk: OpenClaim, count: str) -> bool:
    """Remove a count with its entries (undo brings it back).

    Raises:
        LdappError: a photo is paired with it.
    """
    photos = sum(
        photo.count == count or any(pairing.count == count for pairing in photo.pairings)
        for photo in desk.claim.photos
    )
    if photos:
        raise LdappError(
            said_of(
                photos,
                "{count} photo is paired with this count. Pair it with another count first.",
                "{count} photos are paired with this count. Pair them with another count first.",
            )
        )
    return desk.change(
        said("Remove count"),
        lambda claim: dataclasses.replace(claim, counts=without(claim.counts, {count})),
    )


def entry_of(count: Count, line: str) -> CountEntry:
    """Return what the count says of a line; an entry without a number where it says nothing."""
    return next((one for one in count.entries if one.line == line), CountEntry(line=line))


def _change_entries(
    desk: OpenClaim,
    count_id: str,
    label: str,
    lines: Iterable[str],
    make: Callable[[CountEntry], CountEntry],
    *,
    although_signed: bool,
) -> bool:
    """Change entries of a count; ``although_signed`` also where both have signed them.

    Raises:
        SignedByBothError: both have signed the count, it was not changed since, and now would be.
    """
    wanted = list(dict.fromkeys(lines))

    def change(claim: Claim) -> Claim:
        count = get(claim.counts, count_id, "count")
        by_line = {entry.line: entry for entry in count.entries}
        for line in wanted:
            by_line[line] = make(by_line.get(line, CountEntry(line=line)))
        changed = dataclasses.replace(count, entries=tuple(by_line.values()))
        if not although_signed:
            _refuse_under_signatures(count, changed)
        return dataclasses.replace(claim, counts=put(claim.counts, changed))

    return desk.change(label, change)


def enter_quantity(
    desk: OpenClaim,
    count: str,
    line: str,
    quantity: int | None,
    at: dt.datetime | None = None,
    *,
    although_signed: bool = False,
) -> bool:
    """Enter how many units of a line were there; None is "not counted", never 0.

    Raises:
        LdappError: the number is negative.
    """
    if quantity is not None and quantity < 0:
        raise LdappError(said("A count cannot be below 0. Leave it empty for “not counted”."))
    number = said("not counted") if quantity is None else str(quantity)
    return _change_entries(
        desk,
        count,
        said("Count {line}: {number}", line=_line_number(desk.claim, line), number=number),
        (line,),
        lambda entry: dataclasses.replace(entry, quantity=quantity, at=at or entry.at),
        although_signed=although_signed,
    )


def enter_quantities(
    desk: OpenClaim,
    count: str,
    quantities: dict[str, int | None],
    *,
    although_signed: bool = False,
) -> bool:
    """Enter several numbers as one change (a paste)."""
    if any(quantity is not None and quantity < 0 for quantity in quantities.values()):
        raise LdappError(said("A count cannot be below 0. Leave it empty for “not counted”."))
    return _change_entries(
        desk,
        count,
        said_of(len(quantities), "Enter {count} count", "Enter {count} counts"),
        quantities,
        lambda entry: dataclasses.replace(entry, quantity=quantities[entry.line]),
        although_signed=although_signed,
    )


def enter_condition(
    desk: OpenClaim,
    count: str,
    line: str,
    condition: Condition,
    note: str | None = None,
    *,
    although_signed: bool = False,
) -> bool:
    """Say in which state a line was seen, with a note of what was seen."""
    return _change_entries(
        desk,
        count,
        said(
            "Condition of {line}: {condition}",
            line=_line_number(desk.claim, line),
            condition=code_words(condition),
        ),
        (line,),
        lambda entry: dataclasses.replace(
            entry, condition=condition, note=entry.note if note is None else note
        ),
        although_signed=although_signed,
    )


def enter_serials_seen(
    desk: OpenClaim,
    count: str,
    line: str,
    serials: tuple[str, ...] | None,
    *,
    although_signed: bool = False,
) -> bool:
    """Say which serial numbers were there."""
    return _change_entries(
        desk,
        count,
        said("Serial numbers of {line}", line=_line_number(desk.claim, line)),
        (line,),
        lambda entry: dataclasses.replace(entry, serials_seen=serials),
        although_signed=although_signed,
    )


def enter_parts(
    desk: OpenClaim,
    count: str,
    line: str,
    quantities: dict[str, int | None],
    *,
    although_signed: bool = False,
) -> bool:
    """Enter how many of a line's parts were there, by the part's id.

    Raises:
        LdappError: a number is negative.
    """
    if any(quantity is not None and quantity < 0 for quantity in quantities.values()):
        raise LdappError(said("A count cannot be below 0. Leave it empty for “not counted”."))

    def make(entry: CountEntry) -> CountEntry:
        present = {one.part: one.quantity for one in entry.parts} | quantities
        return dataclasses.replace(
            entry,
            parts=tuple(
                PartCount(part=part, quantity=quantity)
                for part, quantity in present.items()
                if quantity is not None
            ),
        )

    return _change_entries(
        desk,
        count,
        said("Parts of {line}", line=_line_number(desk.claim, line)),
        (line,),
        make,
        although_signed=although_signed,
    )


def rest_as_expected(
    desk: OpenClaim,
    count: str,
    lines: Iterable[str],
    expected: dict[str, int],
    *,
    although_signed: bool = False,
) -> bool:
    """Enter the expected number for those of ``lines`` that have not been counted yet.

    It says nothing of their condition: what was seen of it stays, and nobody looked at the rest.

    Raises:
        LdappError: the count is blind, so nobody may know what is expected.
    """
    present = get(desk.claim.counts, count, "count")
    if present.blind:
        raise LdappError(said("This is a blind count: every line is counted by itself."))
    counted = {entry.line for entry in present.entries if entry.quantity is not None}
    open_lines = [line for line in lines if line not in counted and line in expected]
    if not open_lines:
        return False
    return _change_entries(
        desk,
        count,
        said_of(len(open_lines), "{count} line as expected", "{count} lines as expected"),
        open_lines,
        lambda entry: dataclasses.replace(entry, quantity=expected[entry.line]),
        although_signed=although_signed,
    )


def acknowledge(
    desk: OpenClaim,
    count: str,
    how: Acknowledgement,
    by: str = "",
    refused_at: dt.datetime | None = None,
) -> bool:
    """Record how the other side took note of a count."""

    def make(claim: Claim) -> Claim:
        one = dataclasses.replace(
            get(claim.counts, count, "count"),
            acknowledgement=how,
            acknowledged_by=by,
            refused_at=refused_at,
        )
        return dataclasses.replace(claim, counts=put(claim.counts, one))

    return desk.change(said(_ACKNOWLEDGED[how]), make)


def sign(desk: OpenClaim, count: str, signatures: tuple[Signature, ...]) -> bool:
    """Put signatures under a count; with one of each side it is signed by both.

    Each new one is kept with a hash of what the count says now.  A signature that is there already
    stays as it was given, with its time and with what was signed then.
    """

    def make(claim: Claim) -> Claim:
        one = get(claim.counts, count, "count")
        present = {(old.side, old.name, old.strokes): old for old in one.signatures}
        state = signed_state(one)
        kept = tuple(
            present.get((new.side, new.name, new.strokes)) or dataclasses.replace(new, signed=state)
            for new in signatures
        )
        sides = {signature.side for signature in signatures}
        how: Acknowledgement = (
            "signed_by_both" if sides == {"ours", "theirs"} else one.acknowledgement
        )
        if how == "none" and sides:
            how = "one_side"
        theirs = next((one.name for one in signatures if one.side == "theirs"), "")
        return dataclasses.replace(
            claim,
            counts=put(
                claim.counts,
                dataclasses.replace(
                    one,
                    signatures=kept,
                    acknowledgement=how,
                    acknowledged_by=theirs or one.acknowledged_by,
                ),
            ),
        )

    return desk.change(said("Sign count"), make)


def put_movement(desk: OpenClaim, movement: Movement) -> bool:
    """Record equipment added, exchanged, returned early, used up or transferred."""
    return desk.change(
        said(_MOVED[movement.kind], line=_line_number(desk.claim, movement.line)),
        lambda claim: dataclasses.replace(claim, movements=put(claim.movements, movement)),
    )


def remove_movement(desk: OpenClaim, movement: str) -> bool:
    """Remove a movement."""
    return desk.change(
        said("Remove movement"),
        lambda claim: dataclasses.replace(claim, movements=without(claim.movements, {movement})),
    )


def in_counting_order(claim: Claim) -> tuple[KitLine, ...]:
    """Return the kit lines in the order of the places where they live, then of the list."""
    places: dict[str, int] = {}
    for line in claim.kit:
        places.setdefault(line.location, len(places))
    return tuple(sorted(claim.kit, key=lambda line: places[line.location]))


def _line_number(claim: Claim, line: str) -> str:
    found = next((one for one in claim.kit if one.id == line), None)
    return said("line {number}", number=found.number) if found is not None else said("line")

"""What a person does with the kit list."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from ldapp.casework.edit import put, without
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from ldapp.errors import LdappError
from ldapp.language import said, said_of


def add_lines(desk: OpenClaim, lines: Iterable[KitLine], label: str = "") -> bool:
    """Add kit lines at the end of the list, as one change.

    Raises:
        LdappError: a line number is already taken under the same agreement.
    """
    new = tuple(lines)
    _refuse_taken_numbers(desk.claim, new)
    return desk.change(
        label or said_of(len(new), "Add {count} kit line", "Add {count} kit lines"),
        lambda claim: dataclasses.replace(claim, kit=(*claim.kit, *new)),
    )


def _refuse_taken_numbers(claim: Claim, new: tuple[KitLine, ...]) -> None:
    ids = {line.id for line in new}
    taken = {(line.agreement, line.number) for line in claim.kit if line.id not in ids}
    for line in new:
        if line.number and (line.agreement, line.number) in taken:
            raise LdappError(
                said(
                    "Line number {number} is already on this agreement's list. Give every "
                    "line its own number.",
                    number=line.number,
                )
            )
        taken.add((line.agreement, line.number))


def next_number(claim: Claim, agreement: str) -> str:
    """Return the number after the highest whole number on the agreement's list."""
    numbers = [
        int(line.number)
        for line in claim.kit
        if line.agreement == agreement and line.number.isdecimal()
    ]
    return str(max(numbers, default=0) + 1)


def add_empty_line(desk: OpenClaim, agreement: str) -> KitLine:
    """Add one line to be filled in; return it."""
    line = KitLine(
        id=new_id(),
        number=next_number(desk.claim, agreement),
        agreement=agreement,
        description=said("New line"),
        quantity=1,
    )
    add_lines(desk, (line,), said("Add kit line"))
    return line


def put_line(desk: OpenClaim, line: KitLine) -> bool:
    """Replace one kit line.

    Raises:
        LdappError: it has no description, or its number is taken.
    """
    if not line.description.strip():
        raise LdappError(
            said("A kit line needs a description. To take it off the list, remove it.")
        )
    _refuse_taken_numbers(desk.claim, (line,))
    return desk.change(
        said("Kit line {number}", number=line.number),
        lambda claim: dataclasses.replace(claim, kit=put(claim.kit, line)),
    )


def put_lines(desk: OpenClaim, lines: Iterable[KitLine], label: str) -> bool:
    """Replace several kit lines as one change (a paste over cells)."""
    changed = {line.id: line for line in lines}
    for line in changed.values():
        if not line.description.strip():
            raise LdappError(
                said("Kit line {number} would lose its description.", number=line.number)
            )
    _refuse_taken_numbers(desk.claim, tuple(changed.values()))
    return desk.change(
        label,
        lambda claim: dataclasses.replace(
            claim, kit=tuple(changed.get(line.id, line) for line in claim.kit)
        ),
    )


def remove_lines(desk: OpenClaim, lines: Iterable[str]) -> bool:
    """Remove kit lines that nothing refers to.

    Raises:
        LdappError: a count, a photo, a finding or a charge speaks of one of them.
    """
    ids = set(lines)
    claim = desk.claim
    for line in claim.kit:
        if line.id in ids:
            user = _user_of_line(claim, line.id)
            if user:
                raise LdappError(
                    said(
                        "Kit line {number} is named by {user}. Remove that first, or keep the "
                        "line.",
                        number=line.number,
                        user=user,
                    )
                )
    return desk.change(
        said_of(len(ids), "Remove {count} kit line", "Remove {count} kit lines"),
        lambda claim: dataclasses.replace(claim, kit=without(claim.kit, ids)),
    )


def _user_of_line(claim: Claim, line: str) -> str:
    if any(
        entry.line == line and entry.quantity is not None
        for count in claim.counts
        for entry in count.entries
    ):
        return said("a count")
    if any(pairing.line == line for photo in claim.photos for pairing in photo.pairings):
        return said("a photo")
    if any(finding.line == line for finding in claim.findings):
        return said("a finding")
    if any(charge.line == line for invoice in claim.invoices for charge in invoice.charges):
        return said("a charge")
    if any(movement.line == line for movement in claim.movements):
        return said("a movement")
    return ""

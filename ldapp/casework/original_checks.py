"""Whether the stored originals of a claim are still what was taken in (SHA-256, FIPS 180-4)."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from ldapp.casework.originals import Originals
from ldapp.claim.claim import Claim
from ldapp.errors import LdappError
from ldapp.language import said

Progress = Callable[[int, int, str], None]


class OriginalsCheck(NamedTuple):
    """What came of reading every original of a claim again; the claim records nothing of it."""

    checked: int
    changed: frozenset[str]
    """The SHA-256 by which changed originals are kept."""
    changed_names: tuple[str, ...]
    missing_names: tuple[str, ...]


def check_originals(
    claim: Claim, originals: Originals, progress: Progress = lambda done, total, text: None
) -> OriginalsCheck:
    """Read every original of a claim again and compare its hash; runs in a worker.

    Raises:
        Cancelled: ``progress`` asked to stop.
    """
    return _check(_named(claim, everything=True), originals, progress)


def require_unchanged(claim: Claim, originals: Originals, progress: Progress) -> None:
    """Refuse to go on where an original that would be sent has changed.

    A missing original does not stop anything: the dossier says itself what it lacks.

    Raises:
        LdappError: the sentence names the files and says what to do.
    """
    changed = _check(_named(claim, everything=False), originals, progress).changed_names
    if changed:
        names = ", ".join(changed[:5])
        if len(changed) > 5:
            names = said("{names} and {number} more", names=names, number=len(changed) - 5)
        raise LdappError(
            said(
                "Nothing was written: the stored original of {names} has changed since "
                "it was taken in. Put the library's files back from a backup, or leave "
                "these out.",
                names=names,
            )
        )


def _named(claim: Claim, *, everything: bool) -> Iterator[tuple[str, str]]:
    for photo in claim.photos:
        if everything or not photo.left_out:
            yield photo.facts.sha256, photo.name
    for document in claim.documents:
        if everything or document.exhibit:
            yield document.sha256, document.name or document.title


def _check(
    named: Iterable[tuple[str, str]], originals: Originals, progress: Progress
) -> OriginalsCheck:
    files = dict(named)
    changed: dict[str, str] = {}
    missing: list[str] = []
    for number, (sha256, name) in enumerate(files.items()):
        progress(number, len(files), name)
        try:
            with originals.path_of(sha256).open("rb") as original:
                found = hashlib.file_digest(original, "sha256").hexdigest()
        except (LdappError, OSError):
            missing.append(name)
            continue
        if found != sha256:
            changed[sha256] = name
    progress(len(files), len(files), "")
    return OriginalsCheck(len(files), frozenset(changed), tuple(changed.values()), tuple(missing))

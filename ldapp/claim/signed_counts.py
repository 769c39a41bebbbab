"""What lies under a signature: whether a count still says what was signed.

The hashes are SHA-256 (FIPS 180-4) over canonical JSON: keys sorted, no spaces, times in UTC.  A
field that says what its default says is left out, so that a field which later versions add does
not make an old signature look like one under another count.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import json
from collections.abc import Container, Iterable
from typing import Any, NamedTuple

from ldapp.claim.counts import Count, CountEntry, Signature, SignedLine, SignedState
from ldapp.claim.kit import KitLine
from ldapp.language import said, said_of
from ldapp.local_forms import grouped

_NAMED_AT_MOST = 12
"""So many changed lines are named in a sentence; the rest is a number."""


class ChangedSince(NamedTuple):
    """What of a count is no longer what was signed."""

    lines: frozenset[str]
    """Ids of the kit lines whose entries were changed, added or taken away."""
    times_or_stage: bool
    """When the count was held, or its stage, was changed: that bears on every line."""

    def bears_on(self, line: str | None) -> bool:
        """Say whether what the count says of a line (None: of all) is not what was signed."""
        return self.times_or_stage or line is None or line in self.lines


def signed_state(count: Count) -> SignedState:
    """Return what is put with a signature under the count as it is now."""
    lines = tuple(
        SignedLine(line=entry.line, sha256=_sha256(_said(entry)))
        for entry in sorted(count.entries, key=lambda one: one.line)
        if entry != CountEntry(line=entry.line)
    )
    return SignedState(sha256=_of_whole(count, lines), lines=lines)


def changed_since_signing(count: Count) -> ChangedSince | None:
    """Return what was changed after a signature; None where nothing was, or nobody can know."""
    states = {one.signed for one in count.signatures if one.signed is not None}
    if not states:
        return None
    present = signed_state(count)
    differing = [state for state in states if state.sha256 != present.sha256]
    if not differing:
        return None
    lines: set[str] = set()
    times_or_stage = False
    for state in differing:
        changed = set(state.lines) ^ set(present.lines)
        lines.update(one.line for one in changed)
        # The whole is the hash of the lines with stage and times: lay the signed lines under the
        # present stage and times, and what still differs is not in a line.
        times_or_stage |= _of_whole(count, state.lines) != state.sha256
    return ChangedSince(frozenset(lines), times_or_stage)


def is_under_another_state(signature: Signature, count: Count) -> bool:
    """Say whether a signature was given for something else than what the count says now."""
    return signature.signed is not None and signature.signed.sha256 != signed_state(count).sha256


def changed_words(count: Count, kit: Iterable[KitLine], named: Container[str] | None = None) -> str:
    """Write what was changed: "changed after signing: lines 15, 18"; empty where nothing was.

    ``kit`` are all lines of the claim; with ``named`` only these may be told of.
    """
    changed = changed_since_signing(count)
    if changed is None:
        return ""
    parts = [said("its stage or its times")] if changed.times_or_stage else []
    present = [line for line in kit if line.id in changed.lines]
    numbers = [line.number for line in present if named is None or line.id in named]
    removed = len(changed.lines) - len(present)
    if numbers:
        parts.append(_lines_named(numbers))
    if removed:
        parts.append(said_of(removed, "{count} removed line", "{count} removed lines"))
    return said("changed after signing: {changes}", changes="; ".join(parts)) if parts else ""


def _lines_named(numbers: list[str]) -> str:
    listed = ", ".join(numbers[:_NAMED_AT_MOST])
    more = len(numbers) - _NAMED_AT_MOST
    if more > 0:
        return said("lines {numbers} and {more} more", numbers=listed, more=grouped(more))
    return said_of(len(numbers), "line {numbers}", "lines {numbers}", numbers=listed)


def _of_whole(count: Count, lines: tuple[SignedLine, ...]) -> str:
    return _sha256(
        {
            "stage": count.stage,
            "at": _plain(count.at),
            "until": _plain(count.until),
            "lines": {one.line: one.sha256 for one in lines},
        }
    )


def _said(record: Any) -> dict[str, Any]:
    return {
        field.name: _plain(value)
        for field in dataclasses.fields(record)
        if (value := getattr(record, field.name)) != field.default
    }


def _plain(value: Any) -> Any:
    if isinstance(value, dt.datetime):
        return value.astimezone(dt.UTC).isoformat()
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return _said(value) if dataclasses.is_dataclass(value) else value


def _sha256(state: dict[str, Any]) -> str:
    text = json.dumps(state, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()

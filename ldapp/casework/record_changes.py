"""What one entry of a claim's record changed, field by field."""

from __future__ import annotations

from typing import NamedTuple

from ldapp.casework.conflicts import field_pairs
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.record_words import field_name, record_name, value_text
from ldapp.language import said
from ldapp.local_forms import grouped

MOST = 2000
"""How many fields are shown; an import of thousands of records is cut there and says so."""


class ChangedField(NamedTuple):
    """One field before and after."""

    place: int
    record: str
    field: str
    before: str
    after: str


def changed_fields(desk: OpenClaim, number: int) -> tuple[ChangedField, ...]:
    """Return what the entry ``number`` changed, in the order in which it was written.

    A record that is new, or gone, stands with each field that it has.

    Raises:
        LdappError: there is no such entry.
    """
    entry = desk.entry(number)
    found: list[ChangedField] = []
    for change in entry.changes:
        name = record_name(desk.claim, desk.claim, change)
        if change.before is not None and change.after is not None:
            pairs = [
                (one.name, one.theirs, one.mine) for one in field_pairs(change.before, change.after)
            ]
        else:
            is_new = change.before is None
            data = change.after or change.before or {}
            pairs = [
                (field_name(key), "–" if is_new else value_text(value, key),
                 value_text(value, key) if is_new else "–")
                for key, value in data.items()
                if value_text(value) != "–" and key != "id"
            ]  # fmt: skip
        for field, before, after in pairs:
            if len(found) == MOST:
                left = len(entry.changes)
                found.append(
                    ChangedField(
                        MOST,
                        said("and more, of {records} records in all", records=grouped(left)),
                        "",
                        "",
                        "",
                    )
                )
                return tuple(found)
            found.append(ChangedField(len(found), name, field, before, after))
    return tuple(found)

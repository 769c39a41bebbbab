"""A claim in which every text says by a word of its own where it comes from."""

from __future__ import annotations

import dataclasses
import re
from typing import Any, get_type_hints

from ldapp.claim.claim import Claim
from tests.rich_claim import NAMED

_REFERENCES = frozenset(NAMED) | {
    "id", "format", "currency", "zone", "sha256", "hash", "previous", "path", "kind", "code",
    "derivative_of", "likeness", "word", "key", "record", "what", "claim", "revised_by",
    "charge", "invoice", "shown_code", "policy", "lines", "findings", "time_zone",
}  # fmt: skip
"""Fields that name something, and are no words of anybody."""

_MARK = re.compile(r"qx(\d{4})x")


@dataclasses.dataclass
class Marked:
    """The claim, and for each word the record and field that it stands in."""

    claim: Claim
    places: dict[str, str]

    def found_in(self, text: str) -> set[str]:
        """Return where the words come from that a text holds."""
        return {self.places[f"qx{number}x"] for number in _MARK.findall(text)}


def marked(claim: Claim) -> Marked:
    places: dict[str, str] = {}
    return Marked(_with_marks(claim, places), places)


def _with_marks(value: Any, places: dict[str, str]) -> Any:
    kinds = get_type_hints(type(value), include_extras=False)
    changes: dict[str, Any] = {}
    own = getattr(value, "role", "")
    name = type(value).__name__ + (f"[{own}]" if own else "")
    for field in dataclasses.fields(value):
        held = getattr(value, field.name)
        if dataclasses.is_dataclass(held):
            changes[field.name] = _with_marks(held, places)
        elif isinstance(held, tuple) and held and dataclasses.is_dataclass(held[0]):
            changes[field.name] = tuple(_with_marks(one, places) for one in held)
        elif field.name in _REFERENCES:
            continue
        elif (held is None or isinstance(held, str)) and kinds[field.name] in (str, str | None):
            changes[field.name] = f"{held or ''} {_mark(f'{name}.{field.name}', places)}".strip()
        elif isinstance(held, tuple) and held and kinds[field.name] == tuple[str, ...]:
            changes[field.name] = tuple(
                f"{one} {_mark(f'{name}.{field.name}', places)}" for one in held
            )
    return dataclasses.replace(value, **changes)


def _mark(place: str, places: dict[str, str]) -> str:
    mark = f"qx{len(places):04d}x"
    places[mark] = place
    return mark

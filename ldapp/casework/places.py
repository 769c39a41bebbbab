"""Where in a claim something is, so that a click can go to the very spot."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

Page: TypeAlias = Literal[
    "papers", "kit", "counts", "photos", "findings", "charges", "reckoning", "dossier"
]
PAGES: tuple[Page, ...] = (
    "papers",
    "kit",
    "counts",
    "photos",
    "findings",
    "charges",
    "reckoning",
    "dossier",
)


class Place(NamedTuple):
    """A page and, where there is one, the record on it; ``field`` names a form's field."""

    page: Page
    kind: str = ""
    key: str = ""
    field: str = ""

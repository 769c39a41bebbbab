"""Places of a dossier: which volume prints them, on which page, and how others refer to them.

Within a volume a reference is a link; to another volume it is words, because each volume
is a file of its own.
"""

from __future__ import annotations

from dataclasses import replace

from ldapp.dossier.style import QUIET
from ldapp.dossier.text import Span
from ldapp.language import said


class Places:
    """The places that the volumes of one dossier print."""

    def __init__(self) -> None:
        self.volume = 1
        """The volume that is being made, counted from 1."""
        self.volumes = 1
        self._volumes_of: dict[str, set[int]] = {}
        """In which volumes each place that may be linked to is printed."""
        self.page_of: dict[str, int] = {}
        """The page of each place in its volume, known once it is drawn."""
        self.in_contents: set[str] = set()
        self.pictured: set[str] = set()
        """Photos whose picture has been placed in this volume, so that its place is named once."""

    def begin(self, volumes: int) -> None:
        """Begin to make the pages of so many volumes, forgetting any that were made."""
        self.volumes = volumes
        self._volumes_of.clear()
        self.page_of.clear()

    def begin_volume(self, volume: int) -> None:
        """Begin to make the pages of one volume."""
        self.volume = volume
        self.in_contents.clear()
        self.pictured.clear()

    def will_print(self, anchor: str, volume: int | None = None) -> None:
        """Announce a place before the pages that link to it are made."""
        self._volumes_of.setdefault(anchor, set()).add(volume or self.volume)

    def link(self, anchor: str) -> str | None:
        """Return the anchor where this volume will print it, else None: no link is dead."""
        return anchor if self.volume in self._volumes_of.get(anchor, ()) else None

    def other_volume(self, anchor: str) -> int | None:
        """Return the volume that prints a place which this one does not, if one does."""
        volumes = self._volumes_of.get(anchor)
        return None if not volumes or self.volume in volumes else min(volumes)

    def spans_to(self, words: str | Span, anchor: str, *, short: bool = False) -> list[Span]:
        """Return words that link to a place, or that name the volume which holds it."""
        span = words if isinstance(words, Span) else Span(words)
        volume = self.other_volume(anchor)
        if volume is None:
            return [replace(span, link=self.link(anchor))]
        if short:
            return [
                span,
                Span(said(" vol. {volume}", volume=volume), size=6.4, face="regular", colour=QUIET),
            ]
        return [
            replace(span, text=said("{place} (volume {volume})", place=span.text, volume=volume))
        ]

"""Pieces: the parts of a dossier that are laid out one after the other and never parted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from reportlab.platypus import Flowable

from ldapp.dossier.disclosure import Section


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One piece: how it is made, what may be linked to in it, and what it weighs.

    Nothing of it is laid out before its volume is made, so memory holds one volume.
    """

    section: Section
    make: Callable[[], list[Flowable]]
    anchors: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()
    """Photos whose pictures it shows, by id."""
    streams: Mapping[str, int] = field(default_factory=dict)
    """Bytes of each picture or attached page; a volume holds each of them once."""
    text_bytes: int = 3_000
    """Bytes of its pages without them, estimated."""
    group: str = ""
    """Pieces of a group, named by its title, share a volume where they fit into one."""
    label: str = ""
    """How the list of volumes names it, where a section is parted."""


def led_by(head: Callable[[], list[Flowable]], anchor: str, pieces: list[Piece]) -> list[Piece]:
    """Return pieces with a heading before the first of them."""
    first = pieces[0]

    def make() -> list[Flowable]:
        return [*head(), *first.make()]

    return [replace(first, make=make, anchors=(anchor, *first.anchors)), *pieces[1:]]

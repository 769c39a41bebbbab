"""How many bytes each attached page brings along, to tell which volume it fits into."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

import pikepdf

from ldapp.dossier.exhibits import Exhibit

_OF_AN_OBJECT = 60
"""Bytes that an object without a stream takes, more or less."""
_LEADS_BACK = frozenset({"/Parent", "/P", "/Pg", "/Dest", "/A", "/Annots", "/B", "/StructParents"})
"""Entries of a page that do not come along."""


class WeighedExhibit(NamedTuple):
    """An exhibit with the weights of its pages."""

    exhibit: Exhibit
    weights: list[Mapping[str, int]]
    """For each carried page its streams by a name of their own, with their bytes."""


def weighed(exhibits: list[Exhibit]) -> list[WeighedExhibit]:
    """Return exhibits with what their pages weigh.

    What several pages of one share has one name, so that a volume counts it once.
    """
    return [WeighedExhibit(one, _weights(one)) for one in exhibits]


def _weights(exhibit: Exhibit) -> list[Mapping[str, int]]:
    if exhibit.picture is not None:
        return [{exhibit.picture.name: exhibit.picture.bytes}]
    if exhibit.pdf is None:
        return [{} for _ in exhibit.texts]
    known: dict[tuple[int, int], int] = {}
    return [
        _reached(exhibit.letter, exhibit.pdf.pages[number].obj, known)
        for number in range(exhibit.carried_pages)
    ]


def _reached(letter: str, page: Any, known: dict[tuple[int, int], int]) -> dict[str, int]:
    weights: dict[str, int] = {}
    waiting: list[Any] = [page]
    while waiting:
        one = waiting.pop()
        if isinstance(one, pikepdf.Array):
            waiting.extend(item for item in one if _holds(item))
            continue
        if one.is_indirect:
            name = f"{letter} {one.objgen}"
            if name in weights:
                continue
            if one.objgen not in known:
                known[one.objgen] = _OF_AN_OBJECT + (
                    int(one.get("/Length", 0)) if isinstance(one, pikepdf.Stream) else 0
                )
            weights[name] = known[one.objgen]
        waiting.extend(item for key, item in one.items() if key not in _LEADS_BACK and _holds(item))
    return weights


def _holds(item: object) -> bool:
    return isinstance(item, (pikepdf.Array, pikepdf.Dictionary, pikepdf.Stream))

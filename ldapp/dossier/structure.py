"""Puts the structure tree of a dossier into its file (ISO 32000-1, 14.7)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name

from ldapp.dossier.tagging import Clickable, Drawn, Element

_PRINT = 4
"""The flag of an annotation that is printed (ISO 32000-1, table 165)."""
_LONGEST_WORDS = 8_000
"""Letters; a text of an archival file has at most 32,767 bytes (ISO 19005-3, 6.1.13)."""
_KEEPS_ITS_PLACE = frozenset({"TH", "TD"})
"""Elements that stay without content: else the cells after them would move up."""


def put_structure(pdf: pikepdf.Pdf, tree: Element) -> None:
    """Give ``pdf`` the structure that was noted while its pages were drawn."""
    _prune(tree)
    pages = [page.obj for page in pdf.pages]
    root = pdf.make_indirect(Dictionary(Type=Name.StructTreeRoot))
    belongs: list[dict[int, Any]] = [{} for _ in pages]
    clicked: list[Any] = []
    root.K = Array([_made(pdf, tree, root, pages, belongs, clicked)])
    numbers = Array()
    for index, page in enumerate(pages):
        if belongs[index]:
            page.StructParents = index
            owners = belongs[index]
            entries = [owners.get(number) for number in range(max(owners) + 1)]
            numbers.append(index)
            numbers.append(pdf.make_indirect(Array(entries)))
        if "/Annots" in page:
            page.Tabs = Name.S
    for index, (annotation, owner) in enumerate(clicked, len(pages)):
        annotation.StructParent = index
        numbers.append(index)
        numbers.append(owner)
    root.ParentTree = pdf.make_indirect(Dictionary(Nums=numbers))
    root.ParentTreeNextKey = len(pages) + len(clicked)
    pdf.Root.StructTreeRoot = root
    pdf.Root.MarkInfo = Dictionary(Marked=True)


def _prune(element: Element) -> bool:
    """Take out what holds nothing; return whether anything is left."""
    element.holds = [one for one in element.holds if not isinstance(one, Element) or _prune(one)]
    return bool(element.holds) or element.kind in _KEEPS_ITS_PLACE


def _made(
    pdf: pikepdf.Pdf,
    element: Element,
    parent: Any,
    pages: list[Any],
    belongs: list[dict[int, Any]],
    clicked: list[Any],
) -> Any:
    made = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name(f"/{element.kind}"), P=parent))
    home = next((one.page for one in _drawn(element)), None)
    if home is not None:
        made.Pg = pages[home]
    if element.alt:
        made.Alt = element.alt[:_LONGEST_WORDS]
    attributes = Dictionary(O=Name.Table)
    if element.scope is not None:
        attributes.Scope = Name(f"/{element.scope}")
    if element.columns > 1:
        attributes.ColSpan = element.columns
    if len(attributes) > 1:
        made.A = attributes
    kids = Array()
    for one in element.holds:
        if isinstance(one, Element):
            kids.append(_made(pdf, one, made, pages, belongs, clicked))
        elif isinstance(one, Drawn):
            belongs[one.page][one.number] = made
            if one.page == home:
                kids.append(one.number)
            else:
                kids.append(Dictionary(Type=Name.MCR, Pg=pages[one.page], MCID=one.number))
        else:
            annotation = pages[one.page].Annots[one.number]
            annotation.F = _PRINT
            annotation.Contents = one.says
            clicked.append((annotation, made))
            kids.append(Dictionary(Type=Name.OBJR, Obj=annotation, Pg=pages[one.page]))
    if len(kids):
        made.K = kids
    return made


def _drawn(element: Element) -> Iterator[Drawn | Clickable]:
    return (one for one in element.holds if not isinstance(one, Element))

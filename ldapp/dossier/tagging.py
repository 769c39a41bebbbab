"""What each thing on a page is, for readers that do not see the page.

While the pages are drawn, headings, paragraphs, tables, figures and links report what they
are; everything else (rules, tints, header and footer, a table's repeated head) is marked as
decoration.  The result is the structure tree of ISO 32000-1, 14.7 and 14.8, which
:mod:`ldapp.dossier.structure` puts into the file.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

from reportlab.pdfgen.canvas import Canvas

Kind = Literal[
    "Document", "H1", "H2", "P", "Table", "TR", "TH", "TD", "Figure", "Link", "TOC", "TOCI"
]
Scope = Literal["Column", "Row"]

_DECORATION = "/Artifact BMC"


class Drawn(NamedTuple):
    """A marked stretch of a page's content; pages are counted from nought."""

    page: int
    number: int


class Clickable(NamedTuple):
    """An annotation of a page, by its place among the annotations of the page."""

    page: int
    number: int
    says: str


@dataclass(slots=True, eq=False)
class Element:
    """One element of the structure tree with what it holds, in reading order."""

    kind: Kind
    holds: list[Element | Drawn | Clickable] = field(default_factory=list)
    alt: str = ""
    """What a figure shows, in words."""
    scope: Scope | None = None
    """Whether a head cell is that of its column or of its row."""
    columns: int = 1
    """How many columns a cell spans."""


class _Open(NamedTuple):
    element: Element
    draws: bool
    """Whether what is drawn belongs to the element itself, not to elements in it."""
    whole: bool
    """Whether elements within are no elements of their own."""


class TaggedCanvas(Canvas):
    """A canvas that remembers what each stretch of a page's content is."""

    _code: list[str]
    """The page's content so far; the library's own."""

    def __init__(self, *arguments: Any, **settings: Any) -> None:
        self.tree = Element("Document")
        self._open: list[_Open] = [_Open(self.tree, draws=False, whole=False)]
        self._by_key: dict[object, Element] = {}
        self._drawing: Element | None = None
        self._mark = ""
        self._next_number = 0
        self._annotations_on_page = 0
        super().__init__(*arguments, **settings)

    # --- elements --------------------------------------------------------------------

    def begin_element(
        self, kind: Kind, *, draws: bool, whole: bool, key: object, **says: Any
    ) -> None:
        """Begin an element; one with a ``key`` goes on where it was begun before."""
        self._turn_to(None)
        found = self._by_key.get((kind, key)) if key is not None else None
        if found is None:
            found = Element(kind, **says)
            self._open[-1].element.holds.append(found)
            if key is not None:
                self._by_key[kind, key] = found
        self._open.append(_Open(found, draws, whole))
        self._turn_to(found if draws else None)

    def begin_decoration(self) -> None:
        """Begin a stretch that no reader needs."""
        self._turn_to(None)
        self._open.append(_Open(self._open[-1].element, draws=False, whole=True))

    def reserve_element(self, alt: str) -> int:
        """Return the number under which a figure will be drawn into this page later."""
        number = self._next_number
        self._next_number += 1
        drawn = Drawn(self.getPageNumber() - 1, number)
        self._open[-1].element.holds.append(Element("Figure", [drawn], alt=alt))
        return number

    def end_element(self) -> None:
        """End what was begun last."""
        self._turn_to(None)
        self._open.pop()
        top = self._open[-1]
        self._turn_to(top.element if top.draws else None)

    @property
    def takes_elements(self) -> bool:
        """Whether what begins now is an element of its own."""
        return not self._open[-1].whole

    def _turn_to(self, element: Element | None) -> None:
        """From here on what is drawn belongs to ``element``, or to none."""
        if element is self._drawing:
            return
        code = self._code
        if code and code[-1] == self._mark:  # nothing was drawn since
            code.pop()
            if self._drawing is not None:
                self._drawing.holds.pop()
        elif code:
            if not self._mark:
                code.insert(0, _DECORATION)
            code.append("EMC")
        self._drawing = element
        if element is None:
            self._mark = _DECORATION
        else:
            self._mark = f"/{element.kind} <</MCID {self._next_number}>> BDC"
            element.holds.append(Drawn(self.getPageNumber() - 1, self._next_number))
            self._next_number += 1
        code.append(self._mark)

    # --- what the library does ----------------------------------------------------------

    def showPage(self) -> None:  # noqa: N802 - the library's name
        """End a page: its last stretch too."""
        code = self._code
        if not self._mark:
            code.insert(0, _DECORATION)
        if code[-1] == _DECORATION:
            code.pop()
        else:
            code.append("EMC")
        super().showPage()
        self._mark, self._next_number, self._annotations_on_page = "", 0, 0

    def _addAnnotation(self, annotation: Any, name: Any = None, addtopage: int = 1) -> None:  # noqa: N802 - the library's
        top = self._open[-1].element
        if top.kind == "Link":
            words = str(annotation.Contents)
            page = self.getPageNumber() - 1
            top.holds.append(Clickable(page, self._annotations_on_page, words))
        annotation.Contents = ""  # set from the tree, as Unicode
        self._annotations_on_page += 1
        super()._addAnnotation(annotation, name, addtopage)  # type: ignore[misc]  # missing in its types


@contextmanager
def tagged(
    canvas: Canvas, kind: Kind, *, key: object = None, whole: bool = False, **says: Any
) -> Iterator[None]:
    """What is drawn meanwhile is a heading, a paragraph, a figure, a link.

    With ``whole``, as for a figure, what lies within is no element of its own.
    """
    if not isinstance(canvas, TaggedCanvas) or not canvas.takes_elements:
        yield
        return
    canvas.begin_element(kind, draws=True, whole=whole, key=key, **says)
    try:
        yield
    finally:
        canvas.end_element()


def reserve_figure(canvas: Canvas, alt: str) -> int:
    """Return the number under which a figure will be drawn into this page later."""
    return canvas.reserve_element(alt) if isinstance(canvas, TaggedCanvas) else 0


@contextmanager
def grouped(canvas: Canvas, kind: Kind, *, key: object = None, **says: Any) -> Iterator[None]:
    """Elements that are drawn meanwhile belong to a table, a row, a cell, the contents."""
    if not isinstance(canvas, TaggedCanvas) or not canvas.takes_elements:
        yield
        return
    canvas.begin_element(kind, draws=False, whole=False, key=key, **says)
    try:
        yield
    finally:
        canvas.end_element()


@contextmanager
def decoration(canvas: Canvas) -> Iterator[None]:
    """What is drawn meanwhile tells a reader nothing new: a head that is repeated."""
    if not isinstance(canvas, TaggedCanvas):
        yield
        return
    canvas.begin_decoration()
    try:
        yield
    finally:
        canvas.end_element()

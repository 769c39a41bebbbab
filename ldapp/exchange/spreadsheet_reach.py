"""How far the cells of a spreadsheet's XML reach, told before a reader makes room for them.

A reader that is asked for one cell in row 48,860,233,475 asks the computer for the whole
rectangle up to it, and ends the program where that is refused.  The parser here resolves
nothing outside the file: a part that declares entities is not read at all.
"""

from __future__ import annotations

import re
from typing import IO
from xml.parsers import expat

_TABLE = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
_OFFICE = "urn:oasis:names:tc:opendocument:xmlns:office:1.0"
_CELLS = frozenset({"table-cell", "covered-table-cell"})
_PLACE = re.compile(r"([A-Za-z]*)(\d*)")


class DeclaresEntitiesError(Exception):
    """An XML part has a document type declaration: with these, bombs and references are built."""


def cells_spanned(part: IO[bytes]) -> int:
    """Return how many cells the largest sheet in an XML part spans, repeats written out.

    Raises:
        DeclaresEntitiesError: the part has a document type declaration.
        xml.parsers.expat.ExpatError: it is no XML.
    """
    reach = _Reach()
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartDoctypeDeclHandler = _refuse_doctype
    parser.StartElementHandler = reach.begin
    parser.EndElementHandler = reach.end
    parser.ParseFile(part)
    return reach.most


def _refuse_doctype(*_: object) -> None:
    raise DeclaresEntitiesError


class _Reach:
    """Follows the elements of one part."""

    def __init__(self) -> None:
        self.most = 0
        self._row = self._column = self._last_row = self._last_column = 0
        self._rows = self._empty_rows = self._widest = 0
        self._row_repeats = self._width = self._filled = 0
        self._in_cell = False

    def begin(self, tag: str, attributes: dict[str, str]) -> None:
        """Take an element's beginning into account."""
        namespace, _, name = tag.rpartition(" ")
        if self._in_cell:
            self._filled = self._width
        if namespace == _TABLE:
            self._begin_open_document(name, attributes)
        elif name == "row":
            # ISO/IEC 29500-1, 18.3.1.73 and 18.3.1.4: both places may be left out.
            self._row = _whole(attributes["r"]) if "r" in attributes else self._row + 1
            self._column = 0
        elif name == "c":
            self._reach_to(attributes.get("r", ""))

    def _reach_to(self, place: str) -> None:
        found = _PLACE.match(place)
        letters, digits = found.groups() if found else ("", "")
        if letters:
            self._column = 0
            for letter in letters.upper()[:12]:
                self._column = self._column * 26 + ord(letter) - 64
        else:
            self._column += 1
        self._last_row = max(self._last_row, _whole(digits) if digits else self._row)
        self._last_column = max(self._last_column, self._column)
        self.most = max(self.most, self._last_row * self._last_column)

    def _begin_open_document(self, name: str, attributes: dict[str, str]) -> None:
        if name in _CELLS:
            self._width += _repeats(attributes, "number-columns-repeated")
            self._in_cell = True
            if f"{_OFFICE} value-type" in attributes:
                self._filled = self._width
        elif name == "table-row":
            self._row_repeats = _repeats(attributes, "number-rows-repeated")
            self._width = self._filled = 0
        elif name == "table":
            self._rows = self._empty_rows = self._widest = 0

    def end(self, tag: str) -> None:
        """Take an element's end into account."""
        namespace, _, name = tag.rpartition(" ")
        if namespace != _TABLE:
            return
        if name in _CELLS:
            self._in_cell = False
        elif name == "table-row" and not self._filled:
            self._empty_rows += self._row_repeats
        elif name == "table-row":
            # Empty rows count only where a filled one follows.
            self._rows += self._empty_rows + self._row_repeats
            self._empty_rows = 0
            self._widest = max(self._widest, self._filled)
            self.most = max(self.most, self._rows * self._widest)


def _repeats(attributes: dict[str, str], name: str) -> int:
    return _whole(attributes.get(f"{_TABLE} {name}", "1"))


def _whole(digits: str) -> int:
    """Return a number of a file; one of more than 15 digits is as good as endless."""
    return int(digits[:15]) if digits.isdecimal() and digits.isascii() else 0

"""Tables in PDFs, read by pdfplumber: ruled ones by their lines, others by their words."""

from __future__ import annotations

import dataclasses
import logging
import re
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pdfplumber
import pikepdf
from pdfminer.pdfdocument import PDFPasswordIncorrect
from pdfminer.psparser import PSException
from pdfplumber.utils.exceptions import MalformedPDFException, PdfminerException

from ldapp.exchange.charge_words import sum_in_words
from ldapp.exchange.column_words import COLUMN_FIELDS
from ldapp.exchange.columns import header_fits, header_strength
from ldapp.exchange.number_text import read_amount, read_number
from ldapp.exchange.pdf_body import Body, indent_from
from ldapp.exchange.pdf_columns import column_bounds
from ldapp.exchange.pdf_heading_lines import Heading, label_of_lines
from ldapp.exchange.pdf_headings import Header, between_figures, find_header, parted_by_body
from ldapp.exchange.pdf_layout import table_rows
from ldapp.exchange.pdf_words import Page, TextLine, page_of
from ldapp.exchange.table import Cell, NoTextError, Row, Table, TableFile, refusal
from ldapp.language import said

# What pdfminer remarks on damaged files helps nobody; the file is read or refused.
logging.getLogger("pdfminer").addHandler(logging.NullHandler())

MOST_PAGES = 300
LARGEST_STREAM = 256 * 1024 * 1024
"""Bytes of one part of a PDF when unpacked."""
_SMALL_STREAM = 64 * 1024
"""Bytes of a part as packed; less cannot unpack to more than the largest."""

_SPACES = {"x_tolerance_ratio": 0.18}
_FIGURE_FIELDS = frozenset({"quantity", "unit_price", "amount", "gross", "line"})


def read_pdf(path: Path) -> TableFile:
    """Read the table that runs through the pages of the PDF at ``path``.

    Raises:
        InputError: it is damaged, locked, has no text, or too many pages.
    """
    file = path.name
    _refuse_bombs(path)
    try:
        with pdfplumber.open(path) as document:
            if len(document.pages) > MOST_PAGES:
                raise refusal(
                    file,
                    said("the PDF has {number} pages", number=len(document.pages)),
                    said("at most 300 pages"),
                )
            pages = []
            grids: list[list[Row]] = []
            for number, page in enumerate(document.pages, 1):
                pages.append(page_of(number, page))
                grids.append(_ruled_rows(pages[-1], page))
                page.close()
    except (PdfminerException, MalformedPDFException) as error:
        if error.args and isinstance(error.args[0], PDFPasswordIncorrect):
            raise refusal(
                file, said("the PDF is locked by a password"), said("one without")
            ) from None
        raise refusal(file, said("this is no readable PDF, or it is damaged")) from None
    except (PSException, ValueError, TypeError, KeyError, IndexError, AttributeError, OSError):
        # What pdfminer raises on damaged files differs from place to place.
        raise refusal(file, said("this is no readable PDF, or it is damaged")) from None
    lines = tuple(line for page in pages for line in page.lines)
    if not lines:
        raise NoTextError(
            refusal(
                file,
                said("the PDF holds pictures of pages but no text, as a scanner makes them"),
                said(
                    "a PDF with text; otherwise enter the lines by hand beside the picture "
                    "of the page"
                ),
            ).faults
        )
    laid_out = _laid_out_rows(pages)
    rows = _one_table(grids)
    if rows is None or _amounts(rows) < _amounts(laid_out):
        rows = laid_out  # boxes that leave a row out, open at the top of a page, are no table
    return TableFile(
        name=file,
        kind="pdf",
        tables=(Table(name="", rows=_numbered(rows)),),
        lines=tuple(
            Row(number=number, place=line.place, cells=(Cell(line.text),))
            for number, line in enumerate(lines, 1)
        ),
    )


def _refuse_bombs(path: Path) -> None:
    """Unpack large parts bit by bit before the reader unpacks them at once."""
    try:
        with pikepdf.open(path) as document:
            for part in document.objects:
                if isinstance(part, pikepdf.Stream) and "/FlateDecode" in str(part.get("/Filter")):
                    packed = part.read_raw_bytes()
                    if len(packed) > _SMALL_STREAM and _unpacks_beyond_limit(packed):
                        raise refusal(
                            path.name, said("a part of the PDF is too large when unpacked")
                        )
    except (pikepdf.PdfError, pikepdf.PasswordError, ValueError, OSError):
        return  # locked or damaged, which the reader says


def _unpacks_beyond_limit(packed: bytes) -> bool:
    unpacker = zlib.decompressobj()
    size = 0
    try:
        while packed and size <= LARGEST_STREAM:
            size += len(unpacker.decompress(packed, 1024 * 1024))
            packed = unpacker.unconsumed_tail
    except zlib.error:
        return False
    return size > LARGEST_STREAM


def _numbered(rows: Sequence[Row]) -> tuple[Row, ...]:
    return tuple(dataclasses.replace(row, number=number) for number, row in enumerate(rows, 1))


# --- ruled tables -----------------------------------------------------------------------


def _ruled_rows(page: Page, drawn: Any) -> list[Row]:
    """Return the rows of every ruled table of a page, then the lines below the last of them."""
    rows: list[Row] = []
    bottom = 0.0
    for table in drawn.find_tables():
        held = [[_one_line(text) for text in cells] for cells in table.extract(**_SPACES)]
        _set_indents(held, [row.cells for row in table.rows], page)
        for index, cells in enumerate(held, 1):
            texts = tuple(map(Cell, cells))
            if len(texts) > 1:
                place = said(
                    "page {number}, row {index} of the table", number=page.number, index=index
                )
                rows.append(Row(number=index, place=place, cells=texts, page=page.number))
                bottom = table.bbox[3]
    rows.extend(
        Row(
            number=0,
            place=line.place,
            cells=tuple(Cell(chunk.text) for chunk in line.chunks()),
            outside=True,
            page=page.number,
        )
        for line in page.lines
        if line.middle > bottom
    )
    return rows


def _set_indents(
    rows: Sequence[list[str]],
    boxes: Sequence[Sequence[tuple[float, float, float, float] | None]],
    page: Page,
) -> None:
    """Set spaces before descriptions that stand in from those of the other rows: parts."""
    first = next((index for index, row in enumerate(rows) if _is_heading(row)), len(rows))
    described = (
        header_fits(_plainly(rows[first]), COLUMN_FIELDS).get("description")
        if (first < len(rows))
        else None
    )
    if described is None:
        return
    starts: dict[int, float] = {}
    for index in range(first + 1, len(rows)):
        box = boxes[index][described] if described < len(boxes[index]) else None
        if box is not None and sum(map(bool, rows[index])) > 1:
            within = [
                word.x0
                for line in page.lines
                if box[1] < line.middle < box[3]
                for word in line.words
                if box[0] <= (word.x0 + word.x1) / 2 <= box[2]
            ]
            if within:
                starts[index] = min(within)
    limit = indent_from(list(starts.values()))
    for index, start in starts.items():
        if limit is not None and start > limit:
            rows[index][described] = f"    {rows[index][described]}"


def _one_line(text: str | None) -> str:
    return "\n".join(line.strip() for line in (text or "").splitlines())


def _plainly(texts: Sequence[str]) -> list[str]:
    return [label_of_lines(text.split("\n")) for text in texts]


def _is_heading(texts: Sequence[str]) -> bool:
    return header_strength(_plainly(texts), COLUMN_FIELDS) > 1.5


def _one_table(grids: Sequence[list[Row]]) -> list[Row] | None:
    """Return the rows of the ruled table with headings, over all pages; None without one."""
    rows: list[Row] = []
    header: Row | None = None
    for row in (row for grid in grids for row in grid):
        if row.outside:
            if header is not None:
                rows.append(row)
        elif _is_heading(row.texts()):
            labels = [label_of_lines(cell.text.split("\n")) for cell in row.cells]
            rows.append(dataclasses.replace(row, cells=tuple(map(Cell, labels))))
            header = header or rows[-1]
        elif header is not None and len(row.cells) == len(header.cells):
            if _several_rows_in_one(header, row):
                return None
            rows.append(_flat(row))
        elif header is not None:
            # A box of its own, such as that of the sums.
            rows.append(dataclasses.replace(_flat(row), outside=True))
    if _leaves_out_a_row(rows):
        return None
    inside = sum(1 for row in rows if not row.outside)
    like_lines = sum(1 for row in rows if row.outside and _is_like_a_line(row))
    # A frame around the headings alone is no table; its lines stand below it.
    return rows if inside > 1 and inside > like_lines else None


def _is_like_a_line(row: Row) -> bool:
    return sum(read_number(text) is not None for text in row.texts()) > 1


def _leaves_out_a_row(rows: Sequence[Row]) -> bool:
    """Tell a line with figures straight below the boxes: the last of a page, without its rule."""
    summed = False
    for row in rows:
        words = " ".join(text for text in row.texts() if read_number(text) is None)
        summed = row.outside and (summed or sum_in_words(words) is not None)
        if row.outside and not summed and _is_like_a_line(row):
            last = [text for text in row.texts() if text][-1]
            if read_amount(last) is not None:
                return True
    return False


def _amounts(rows: Sequence[Row]) -> int:
    """Return how many rows end with an amount below text or figures of their own."""
    return sum(
        1
        for row in rows
        if len(filled := [text for text in row.texts() if text]) > 1
        and read_amount(filled[-1]) is not None
    )


def _flat(row: Row) -> Row:
    cells = []
    for cell in row.cells:
        indent = "    " if cell.text.startswith("    ") else ""
        cells.append(Cell(indent + re.sub(r"\s+", _as_space, cell.text.strip())))
    return dataclasses.replace(row, cells=tuple(cells))


def _as_space(found: re.Match[str]) -> str:
    """Keep a word whole that was broken behind its hyphen at the end of a line."""
    text, start = found.string, found.start()
    broken = "\n" in found[0] and re.search(r"\w[-/]$", text[max(0, start - 2) : start])
    return "" if broken else " "


def _several_rows_in_one(header: Row, row: Row) -> bool:
    """Tell a box around all rows: its cells hold several figures one below the other."""
    fits = header_fits(_plainly(header.texts()), COLUMN_FIELDS)
    in_figure_columns = {column for field, column in fits.items() if field in _FIGURE_FIELDS}
    for column, cell in enumerate(row.cells):
        lines = cell.text.split("\n")
        in_figures = column in in_figure_columns
        if in_figures and sum(read_amount(line) is not None for line in lines) > 1:
            return True
        # Whole lines in one cell: text, then at least two figures.
        whole = sum(
            sum(read_number(word) is not None for word in line.split()[1:]) > 1
            and read_amount(line.split()[-1]) is not None
            for line in lines
            if line
        )
        if whole > 1:
            return True
    return False


# --- tables by the place of their words -------------------------------------------------


def _pages_without(
    pages: Sequence[Page], headers: dict[int, Header]
) -> Iterator[tuple[TextLine, ...]]:
    """Yield the lines of the pages up to the next that has headings of its own."""
    for page in pages:
        if page.number in headers:
            return
        yield page.lines


def _columns_of(
    pages: Sequence[Page], headers: dict[int, Header]
) -> dict[int, tuple[tuple[Heading, ...], tuple[float, ...]]]:
    """Return the headings and the bounds of the columns below each header.

    Pages with the same headings at the same places have the same columns, told by the lines
    of all of them: the last page often has one line alone.
    """
    alike: dict[tuple[tuple[str, int], ...], list[int]] = {}
    for index, page in enumerate(pages):
        if page.number in headers:
            headings = headers[page.number].headings
            places = tuple((one.text, round(one.x0 / 3)) for one in headings)
            alike.setdefault(places, []).append(index)
    columns: dict[int, tuple[tuple[Heading, ...], tuple[float, ...]]] = {}
    for indexes in alike.values():
        lines: list[TextLine] = []
        for index in indexes:
            # The lines of the pages that follow without headings belong to the same columns.
            header = headers[pages[index].number]
            parts = [pages[index].lines[header.last + 1 :]]
            parts += _pages_without(pages[index + 1 :], headers)
            lines += between_figures([line for part in parts for line in part])
        first = pages[indexes[0]]
        headings = parted_by_body(headers[first.number].headings, lines)
        bounds = column_bounds(headings, lines, first)
        columns.update({pages[index].number: (headings, bounds) for index in indexes})
    return columns


def _laid_out_rows(pages: Sequence[Page]) -> list[Row]:
    headers = {page.number: header for page in pages if (header := find_header(page))}
    strongest = max((header.strength for header in headers.values()), default=0.0)
    headers = {
        number: header for number, header in headers.items() if header.strength >= strongest - 1.0
    }
    columns = _columns_of(pages, headers)
    bodies: list[Body] = []
    headed: list[Row | None] = []
    headings: tuple[Heading, ...] = ()
    bounds: tuple[float, ...] = ()
    for page in pages:
        header = headers.get(page.number)
        body: tuple[TextLine, ...] = page.lines
        row: Row | None = None
        if header is not None:
            body = page.lines[header.last + 1 :]
            headings, bounds = columns[page.number]
            row = Row(
                number=0,
                place=page.lines[header.first].place,
                cells=tuple(Cell(heading.text) for heading in headings),
            )
        if headings:
            bodies.append(Body(page, body, headings, bounds))
            headed.append(row)
    if not bodies:
        return [
            Row(
                number=0,
                place=line.place,
                cells=tuple(Cell(chunk.text) for chunk in line.chunks()),
                page=page.number,
            )
            for page in pages
            for line in page.lines
        ]
    rows: list[Row] = []
    for row, found in zip(headed, table_rows(bodies), strict=True):
        if row is not None:
            rows.append(row)
        rows.extend(
            Row(0, line.place, tuple(map(Cell, cells)), page=line.page) for line, cells in found
        )
    return rows

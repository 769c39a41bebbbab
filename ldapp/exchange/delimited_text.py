"""Tables in delimited text (RFC 4180 and what offices make of it)."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections import Counter
from pathlib import Path

from ldapp.exchange.table import (
    LONGEST_CELL,
    MOST_COLUMNS,
    MOST_ROWS,
    Cell,
    Row,
    Table,
    TableFile,
    refusal,
    row_place,
)
from ldapp.language import said

SEPARATORS = (",", ";", "\t", "|")
_STATED_SEPARATOR = re.compile(r"\A\"?sep=(.)\"?\r?\n", re.IGNORECASE)
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0e-\x1f]")
_SAMPLE_ROWS = 60


def read_delimited(path: Path) -> TableFile:
    """Read the delimited text at ``path``.

    Raises:
        InputError: it is no text, is empty, or cannot be parted into cells.
    """
    return table_from_decoded_text(decoded(path.read_bytes(), path.name), path.name)


def decoded(data: bytes, file: str) -> str:
    """Return ``data`` as text: by its byte order mark, as UTF-8, UTF-16, or as CP1252.

    Raises:
        InputError: the bytes are no text.
    """
    for mark, encoding in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if data.startswith(mark):
            try:
                return data.decode(encoding)
            except UnicodeDecodeError:
                raise refusal(file, said("the file is no readable text")) from None
    for encoding in (*_unmarked_utf16(data), "utf-8"):
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if not _CONTROL.search(text):
            return text
        raise refusal(file, said("the file is no text and no spreadsheet"))
    if _CONTROL.search(data.decode("latin-1")):
        raise refusal(file, said("the file is no text and no spreadsheet"))
    return _in_eight_bits(data)


_EIGHT_BITS = ("cp1252", "mac_roman", "cp850")
_EXPECTED = frozenset(
    "äöüßÄÖÜéèêëàâîïôùûçœæÉÈÀÂÇñáíóúÑÁÍÓÚåøÅØãõìòý€£¥°½¼¾²³µ×±§©®º¡¿«»–—’‘“”„…•\u00a0"
)
_CAPITAL_WITHIN = re.compile("[a-zà-ÿ][À-ÖØ-Þ]|[À-ÖØ-Þ][a-zà-ÿ]{1,3}[À-ÖØ-Þ]")
"""A capital with an accent behind a small letter: the wrong set."""
_SAMPLE_BYTES = 200_000


def _in_eight_bits(data: bytes) -> str:
    """Decode text of one byte a sign: in the set in which most of its signs make sense."""

    def sense(encoding: str) -> int:
        try:
            text = data[:_SAMPLE_BYTES].decode(encoding)
        except UnicodeDecodeError:
            return -len(data)
        plain = sum(1 if one in _EXPECTED else -2 for one in text if ord(one) > 127)
        return plain - 3 * len(_CAPITAL_WITHIN.findall(text))

    return data.decode(max(_EIGHT_BITS, key=sense), errors="replace")


def _unmarked_utf16(data: bytes) -> tuple[str, ...]:
    sample = data[:2000]
    if sample[1::2].count(0) > len(sample) // 4:
        return ("utf-16-le",)
    if sample[0::2].count(0) > len(sample) // 4:
        return ("utf-16-be",)
    return ()


def table_from_decoded_text(text: str, file: str) -> TableFile:
    """Part ``text`` into rows and cells; the separator is found by trying.

    Raises:
        InputError: the text is empty, is a web page, or has too many rows.
    """
    if not text.strip("\ufeff \t\r\n,;|"):
        raise refusal(file, said("the file is empty"))
    if re.match(r"\s*<(!doctype|html|\?xml|table)", text, re.IGNORECASE):
        raise refusal(file, said("this is a web page or XML, not a list"))
    stated = _STATED_SEPARATOR.match(text)
    first_row = 1
    if stated:
        separator = stated[1]
        text = text[stated.end() :]
        first_row = 2
    else:
        separator = likely_separator(text)
    rows = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        for number, texts in enumerate(reader, first_row):
            if number > MOST_ROWS:
                raise refusal(
                    file,
                    said("there are more than {most_rows} rows", most_rows=MOST_ROWS),
                    said("at most {most_rows} rows", most_rows=MOST_ROWS),
                )
            cells = tuple(Cell(one[:LONGEST_CELL]) for one in texts[:MOST_COLUMNS])
            rows.append(Row(number=number, place=row_place("", number), cells=cells))
    except csv.Error:
        raise refusal(
            file,
            said("the cells cannot be told apart from here on"),
            said("a quotation mark at both ends of a cell that holds one"),
            place=f"line {reader.line_num}",
        ) from None
    return TableFile(name=file, kind="text", tables=(Table(name="", rows=tuple(rows)),))


def likely_separator(text: str) -> str:
    """Return the separator that parts most of the first rows into equally many cells."""
    best, best_score = ",", 0.0
    for separator in SEPARATORS:
        counts: Counter[int] = Counter()
        try:
            for index, texts in enumerate(
                csv.reader(io.StringIO(text, newline=""), delimiter=separator)
            ):
                if index >= _SAMPLE_ROWS:
                    break
                if any(texts):
                    counts[len(texts)] += 1
        except csv.Error:
            continue
        width, rows = max(
            counts.items(), key=lambda one: (one[1] * (one[0] > 1), one[0]), default=(1, 0)
        )
        score = rows / max(1, counts.total()) * (width - 1) ** 0.5
        if score > best_score:
            best, best_score = separator, score
    return best

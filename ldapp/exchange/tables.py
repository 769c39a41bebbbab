"""Every table of a file, whatever wrote it; its kind is told by its bytes, not its name."""

from __future__ import annotations

import dataclasses
from pathlib import Path

from ldapp.exchange.delimited_text import read_delimited, table_from_decoded_text
from ldapp.exchange.spreadsheets import read_spreadsheet
from ldapp.exchange.table import LARGEST_FILE, TableFile, refusal
from ldapp.language import said


def read_tables(path: Path) -> TableFile:
    """Read every table of the file at ``path``; its kind is told by its bytes, not its name.

    Raises:
        InputError: it cannot be read, holds no table, or is larger than a list can be.
    """
    name = path.name
    if path.is_dir():
        raise refusal(name, said("this is a folder"))
    try:
        size = path.stat().st_size
        if size > LARGEST_FILE:
            raise refusal(name, said("the file is too large for a list"), said("at most 64 MB"))
        with path.open("rb") as file:
            start = file.read(2048)
    except FileNotFoundError:
        raise refusal(name, said("there is no such file")) from None
    except OSError as error:
        raise refusal(
            name,
            said("the file cannot be read ({strerror})", strerror=error.strerror),
            said("a file that may be read"),
        ) from error
    if not start:
        raise refusal(name, said("the file is empty"))
    if b"%PDF-" in start[:1024]:
        from ldapp.exchange.pdf_tables import read_pdf  # noqa: PLC0415 - loads a PDF library

        return read_pdf(path)
    if start.startswith((b"PK\x03\x04", b"PK\x05\x06", b"\xd0\xcf\x11\xe0")):
        return read_spreadsheet(path)
    return read_delimited(path)


def table_from_text(text: str, name: str = "clipboard") -> TableFile:
    """Return the table in text pasted from a spreadsheet or an e-mail.

    Raises:
        InputError: the text is empty or too long.
    """
    return dataclasses.replace(table_from_decoded_text(text, name), kind="clipboard")

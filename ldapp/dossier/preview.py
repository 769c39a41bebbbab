"""Pages of a finished dossier as pictures, for the window."""

from __future__ import annotations

import io
from pathlib import Path

import pypdfium2

from ldapp.errors import Fault, InputError
from ldapp.language import said


def page_count(path: Path) -> int:
    """Return how many pages a PDF has.

    Raises:
        InputError: it cannot be opened as a PDF.
    """
    document = _open(path)
    try:
        return len(document)
    finally:
        document.close()


def page_sizes(path: Path) -> tuple[tuple[float, float], ...]:
    """Return width and height of every page, as it is seen, in points (1/72 inch).

    Raises:
        InputError: it cannot be opened as a PDF.
    """
    document = _open(path)
    try:
        return tuple(document.get_page_size(page) for page in range(len(document)))
    finally:
        document.close()


def render_preview_page(path: Path, page: int, scale: float) -> bytes:
    """Return one page, counted from nought, as a PNG picture.

    ``scale`` 1 gives one pixel for each point (1/72 inch).

    Raises:
        InputError: it cannot be opened as a PDF, or has no such page.
    """
    document = _open(path)
    try:
        if not 0 <= page < len(document):
            raise InputError(
                (
                    Fault(
                        path.name,
                        said("page {page}", page=page + 1),
                        said("there is no such page"),
                        said("a page from 1 to {last}", last=len(document)),
                    ),
                )
            )
        image = document[page].render(scale=scale).to_pil()
        out = io.BytesIO()
        image.save(out, "PNG")
        return out.getvalue()
    finally:
        document.close()


def _open(path: Path) -> pypdfium2.PdfDocument:
    try:
        return pypdfium2.PdfDocument(path)
    except (pypdfium2.PdfiumError, OSError) as error:
        raise InputError(
            (Fault(path.name, "", said("it cannot be opened"), said("a PDF that is not damaged")),)
        ) from error

"""Pages of a PDF as pictures: of a dossier before it is sent, of a paper beside its lines."""

from __future__ import annotations

import threading
from pathlib import Path

from ldapp.dossier.preview import page_sizes, render_preview_page

_DRAWING = threading.Lock()
"""The library that draws pages is not made for several threads at once."""


def preview_pages(path: Path) -> tuple[tuple[float, float], ...]:
    """Return width and height of every page of a written dossier in points (1/72 inch)."""
    with _DRAWING:
        return page_sizes(path)


def preview_page(path: Path, page: int, scale: float) -> bytes:
    """Return one page, counted from nought, as a PNG; ``scale`` is pixels for each point."""
    with _DRAWING:
        return render_preview_page(path, page, scale)

"""The pages of an invoice's paper, to be read while its lines are entered by hand."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework.page_pictures import preview_pages
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.page_preview import PagePreview
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Label


class _Paper(NamedTuple):
    path: Path
    sizes: tuple[tuple[float, float], ...]


class PaperBeside(QWidget):
    """A PDF as pictures, with what to do with it."""

    closed = Signal()

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self.setMinimumWidth(GRID * 42)
        self.says = Label("", wrap=True)
        self.close_it = QPushButton("C&lose the paper")
        self.close_it.clicked.connect(self.closed)
        self.pages = PagePreview()
        self.pages.setAccessibleName("Pages of the invoice")
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, 0)
        row = QHBoxLayout()
        row.addWidget(self.says, 1)
        row.addWidget(self.close_it)
        column.addLayout(row)
        column.addWidget(self.pages, 1)

    def open(self, path: Path, says: str) -> None:
        """Show the pages of a PDF beside a sentence; they are drawn in a worker."""
        self.says.setText(says)

        def look(progress: Progress) -> _Paper:
            progress(0, 0, path.name)
            return _Paper(path, preview_pages(path))

        self._context.run(f"Opening {path.name}", look, self._on_looked)

    @Slot(object)
    def _on_looked(self, paper: _Paper) -> None:
        self.pages.show_pages(paper.path, paper.sizes)

    def shut_down(self) -> None:
        """Stop drawing pages; called before the claim is closed."""
        self.pages.shut_down()

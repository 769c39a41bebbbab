"""The pages of a paper, to be read while what it says is entered by hand."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework.page_pictures import preview_pages
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.page_preview import PagePreview
from ldapp.desktop.pages.wide_side import WideSide
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import said


class _Paper(NamedTuple):
    path: Path
    sizes: tuple[tuple[float, float], ...]
    page: int


class PaperBeside(WideSide):
    """A PDF as pictures, with what to do with it."""

    closed = Signal()

    def __init__(
        self, context: ClaimContext, name: str = "", parent: QWidget | None = None
    ) -> None:
        """``name`` is what a screen reader calls the pages; without one they are an invoice's."""
        super().__init__(context, parent)
        self._shown: Path | None = None
        self.setMinimumWidth(GRID * 42)
        self.says = Label("", wrap=True)
        self.close_it = QPushButton(said("C&lose the paper"))
        self.close_it.clicked.connect(self.closed)
        self.pages = PagePreview()
        self.pages.setAccessibleName(name or said("Pages of the invoice"))
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, 0)
        row = QHBoxLayout()
        row.addWidget(self.says, 1)
        row.addWidget(self.close_it)
        column.addLayout(row)
        column.addWidget(self.pages, 1)

    def open(self, path: Path, says: str, page: int = 1) -> None:
        """Show the pages of a PDF beside a sentence, at ``page`` (the first is 1).

        They are drawn in a worker.
        """
        self.says.setText(says)
        if path == self._shown:
            self.pages.go_to_page(page - 1)
            return

        def look(progress: Progress) -> _Paper:
            progress(0, 0, path.name)
            return _Paper(path, preview_pages(path), page)

        self._context.run(said("Opening {file}", file=path.name), look, self._on_looked)

    @Slot(object)
    def _on_looked(self, paper: _Paper) -> None:
        self._shown = paper.path
        self.pages.show_pages(paper.path, paper.sizes)
        self.pages.go_to_page(paper.page - 1)

    def shut_down(self) -> None:
        """Stop drawing pages; called before the claim is closed."""
        self.pages.shut_down()

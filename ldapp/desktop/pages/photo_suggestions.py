"""Suggested pairings below the grid: each with its reason, accepted singly or all at once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework import photos as work
from ldapp.casework.edit import find
from ldapp.casework.pairing_suggestions import Suggestion, codes_in_photos, suggest_pairings
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.said import count_text, line_text, taken_text
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label, icon_button, primary_button
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import marked, said, said_of
from ldapp.local_forms import grouped

_NO_LIMIT = (1 << 24) - 1
"""Qt's largest size of a widget."""


class SuggestionRow(NamedTuple):
    """A suggestion with its texts."""

    suggestion: Suggestion
    photo: str
    time: str
    line: str
    count_said: str


COLUMNS: tuple[Column[SuggestionRow], ...] = (
    Column(name="photo", title=marked("Photo"), text=lambda row: row.photo, width=18),
    Column(name="time", title=marked("Taken"), text=lambda row: row.time, width=24),
    Column(name="line", title=marked("Line"), text=lambda row: row.line, width=28),
    Column(name="count", title=marked("Count"), text=lambda row: row.count_said, width=22),
    Column(
        name="reason",
        title=marked("Why"),
        text=lambda row: row.suggestion.pairing.reason,
        tip=lambda row: row.suggestion.pairing.reason,
        width=36,
    ),
)


class SuggestionsPanel(QWidget):
    """Lists suggestions; nothing is paired until the person accepts."""

    photo_chosen = Signal(str)
    number_changed = Signal(int)

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._codes: dict[str, tuple[str, ...]] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID)
        top = QHBoxLayout()
        self._title = Label(said("Suggested pairings"), TypeSize.LARGE, bold=True)
        top.addWidget(self._title, 1)
        self.look = QPushButton(said("Look &for codes in the pictures"))
        self.accept_chosen = QPushButton(said("&Accept chosen"))
        self.accept_all = primary_button(said("Accept a&ll"))
        close = icon_button("close", said("Close the suggestions"))
        for button in (self.look, self.accept_chosen, self.accept_all, close):
            top.addWidget(button)
        column.addLayout(top)
        self.model: RowsModel[SuggestionRow] = RowsModel(
            COLUMNS, lambda row: row.suggestion, parent=self
        )
        self.table = TableView(said("Suggested pairings"))
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setModel(self.model)
        column.addWidget(self.table, 1)
        self._none = Label("", muted=True, wrap=True)
        column.addWidget(self._none)
        self.look.clicked.connect(self._look_for_codes)
        self.accept_chosen.clicked.connect(self._accept_chosen)
        self.accept_all.clicked.connect(self._accept_all)
        close.clicked.connect(self.hide)
        self.table.selectionModel().currentRowChanged.connect(self._on_row)
        self.refresh()

    def refresh(self) -> None:
        """Suggest anew from the claim as it stands."""
        claim, verdicts = self._context.claim, self._context.verdicts
        codes = dict(self._codes)

        def suggest(progress: Progress) -> tuple[Suggestion, ...]:
            del progress
            return suggest_pairings(claim, verdicts, codes)

        job = self._context.jobs.run("Suggestions", suggest, self._on_suggested)
        job.failed.connect(self._context.failed)

    @Slot(object)
    def _on_suggested(self, suggestions: tuple[Suggestion, ...]) -> None:
        claim = self._context.claim
        photos = {photo.id: photo for photo in claim.photos}
        rows = [
            SuggestionRow(
                one,
                photos[one.photo].name,
                taken_text(self._context.verdicts.get(one.photo)),
                line_text(find(claim.kit, one.pairing.line)),
                count_text(find(claim.counts, one.pairing.count)),
            )
            for one in suggestions
            if one.photo in photos
        ]
        self.model.set_rows(rows)
        self._title.setText(
            said_of(len(rows), "{count} suggested pairing", "{count} suggested pairings")
            if rows
            else said("No suggested pairings")
        )
        self.accept_all.setEnabled(bool(rows))
        self.accept_chosen.setEnabled(bool(rows))
        self.table.setVisible(bool(rows))
        self._none.setVisible(not rows)
        # Without a list the panel leaves its room to the photos.
        self.setMaximumHeight(_NO_LIMIT if rows else GRID * 14)
        self._none.setText(
            said(
                "No unpaired photo has a code, a tag, a name or a time that points to a "
                "line. Pair by dragging photos on a line, or press P."
            )
        )
        self.number_changed.emit(len(rows))

    @Slot()
    def _look_for_codes(self) -> None:
        originals = self._context.desk.originals
        photos = tuple(
            photo
            for photo in self._context.claim.photos
            if not photo.pairings and photo.id not in self._codes
        )

        def look(progress: Progress) -> dict[str, tuple[str, ...]]:
            return codes_in_photos(originals, photos, progress)

        self._context.run(said("Looking for codes in the pictures"), look, self._on_codes)

    @Slot(object)
    def _on_codes(self, codes: Mapping[str, tuple[str, ...]]) -> None:
        self._codes |= codes
        seen = sum(bool(texts) for texts in codes.values())
        self._context.message.emit(
            said_of(
                seen,
                "{count} picture of {number} show a code.",
                "{count} pictures of {number} show a code.",
                number=grouped(len(codes)),
            )
        )
        self.refresh()

    @Slot()
    def _accept_chosen(self) -> None:
        self._accept(self.table.selected_rows())

    @Slot()
    def _accept_all(self) -> None:
        self._accept(list(self.model.rows))

    def _accept(self, rows: list[SuggestionRow]) -> None:
        if not rows:
            return
        pairs = [(row.suggestion.photo, row.suggestion.pairing) for row in rows]
        label = said_of(len(pairs), "Accept {count} pairing", "Accept {count} pairings")
        self._context.attempt(lambda: work.pair_each(self._context.desk, pairs, label))

    def _on_row(self) -> None:
        row = self.table.current_row()
        if isinstance(row, SuggestionRow):
            self.photo_chosen.emit(row.suggestion.photo)

"""A part of the Papers page: a scrolled column that is filled when it is first seen."""

from __future__ import annotations

import shiboken6
from PySide6.QtCore import Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import (
    QFrame,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.places import Place
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.flow_layout import FlowLayout
from ldapp.language import marked, said

FROM_RECORDS = marked("From the office's records…")


def fit_to_content(column: QWidget) -> None:
    """Let a column be as high as its sentences are at its width.

    Its smallest height is reckoned for the narrowest lines: with that it ended in blank space.
    """
    column.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)


class PaperPanel(QScrollArea):
    """What every part has: the context, a column, and how it is refreshed."""

    paper_asked = Signal(str, object)
    """A document's id, and the page of it that is wanted (None: the first)."""
    kinds: frozenset[str] = frozenset()
    """The kinds of record that it shows."""
    spoken: str = marked("Papers")
    """What the part is called for a screen reader, marked."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._wanted: QWidget | None = None
        self.setAccessibleName(said(self.spoken))
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        body = QWidget()
        fit_to_content(body)
        self.column = QVBoxLayout(body)
        self.column.setContentsMargins(GRID * 3, GRID, GRID * 3, GRID * 3)
        self.column.setSpacing(GRID)
        self.setWidget(body)

    @staticmethod
    def buttons(*buttons: QWidget) -> QWidget:
        """Return buttons in a row that breaks where the width ends."""
        row = QWidget()
        flow = FlowLayout(row, spacing=GRID)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        row.setSizePolicy(policy)
        for button in buttons:
            flow.addWidget(button)
        return row

    def records_button(self) -> QPushButton:
        """Return a button that takes a policy or parties from the office's records."""
        button = QPushButton(said(FROM_RECORDS))
        button.setToolTip(said("Policies and parties that are kept for all claims"))
        button.clicked.connect(self.show_records)
        return button

    @Slot()
    def show_records(self) -> None:
        """Show what the office keeps for all claims beside this one."""
        # Seldom wanted; loaded then.
        from ldapp.desktop.office_records import OfficeRecordsDialog  # noqa: PLC0415

        register = self.context.register
        if register is None:
            self.context.message.emit(
                said("This claim is in no library, so nothing is kept beside it.")
            )
            return
        dialog = OfficeRecordsDialog(register, self.context.desk, self.window())
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def refresh(self) -> None:
        """Show the claim as it stands."""

    def show_place(self, place: Place) -> None:
        """Bring a field into sight."""

    def bring(self, widget: QWidget) -> None:
        """Scroll to a widget and give it the focus."""
        widget.setFocus()
        self.scroll_to(widget)

    def scroll_to(self, widget: QWidget) -> None:
        """Scroll to a widget, once what was just made has its place."""
        self._wanted = widget
        QTimer.singleShot(0, self._scroll_to_wanted)

    @Slot()
    def _scroll_to_wanted(self) -> None:
        if self._wanted is not None and shiboken6.isValid(self._wanted):
            self.ensureWidgetVisible(self._wanted, GRID * 4, GRID * 8)
        self._wanted = None

"""Asks for one name: of a rental company, of an insurer."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QVBoxLayout, QWidget

from ldapp.desktop.new_claim import choice_with_search
from ldapp.desktop.theme import GRID


class NameDialog(QDialog):
    """One line, with the names that the claim knows already."""

    def __init__(
        self, title: str, label: str, known: Sequence[str], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setMinimumWidth(GRID * 48)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        words = QLabel(label)
        self.name = choice_with_search(
            list(dict.fromkeys(known)), known[0] if known else "", label.replace("&", "")
        )
        words.setBuddy(self.name)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        for widget in (words, self.name, buttons):
            column.addWidget(widget)
        self.name.setFocus()

    @classmethod
    def ask(
        cls, title: str, label: str, known: Sequence[str], parent: QWidget | None = None
    ) -> str:
        """Ask; return an empty text where it was cancelled."""
        dialog = cls(title, label, known, parent)
        try:
            return dialog.name.currentText().strip() if dialog.exec() else ""
        finally:
            dialog.deleteLater()

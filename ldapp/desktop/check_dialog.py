"""What a check of the whole library, or a copy of it, found."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import said


class CheckDialog(QDialog):
    """A result in large, and below it sentences that can be copied."""

    def __init__(
        self,
        heading: str,
        title: str,
        wrong: tuple[str, ...],
        remarks: tuple[str, ...],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(heading)
        self.resize(GRID * 100, GRID * 54)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 2, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        self.summary = Label(title, TypeSize.LARGE, bold=True, wrap=True)
        column.addWidget(self.summary)
        self.text = QPlainTextEdit()
        self.text.setReadOnly(True)
        self.text.setAccessibleName(said("What was found"))
        lines = [f"! {one}" for one in wrong]
        if remarks:
            lines += ["", said("Worth knowing:"), *remarks]
        self.text.setPlainText("\n".join(lines) or said("Nothing is wrong."))
        column.addWidget(self.text, 1)
        close = QPushButton(said("Close"))
        close.clicked.connect(self.accept)
        column.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)

"""What the program is, its version and its cautions."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from ldapp.casework.cautions import general_cautions
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label, Separator


class AboutDialog(QDialog):
    """Says what this is and repeats the cautions."""

    def __init__(self, version: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("About")
        self.setMinimumWidth(GRID * 72)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(Label(f"ldapp {version}", TypeSize.LARGE, bold=True))
        column.addWidget(
            Label(
                "For people who rent film lighting, grip and camera equipment and must answer "
                "for it when it comes back. Licence: Apache-2.0.",
                wrap=True,
            )
        )
        column.addWidget(Separator())
        for caution in general_cautions():
            column.addWidget(Label(caution, wrap=True))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)

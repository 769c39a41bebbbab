"""Asks whose key signs what was written; the password is asked each time and kept nowhere."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import Slot
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.sealing import NOT_INSTALLED, is_sealing_installed
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Label, LabelledRows
from ldapp.language import said


class SealingChoice(NamedTuple):
    """Whose key signs, its password, and the authority that is asked for a time stamp."""

    key_file: Path
    password: str
    time_stamp_address: str


class SealDialog(QDialog):
    """Key file, password, and an authority's address where a time stamp is wanted."""

    def __init__(self, names: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("Sign what was written"))
        self.setMinimumWidth(GRID * 64)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID * 2)
        installed = is_sealing_installed()
        column.addWidget(
            Label(
                said(
                    "A signature in {names} shows who wrote it and that no byte has changed "
                    "since. A signed file is no longer the same each time it is written.",
                    names=names,
                )
                if installed
                else said(NOT_INSTALLED),
                wrap=True,
            )
        )
        self.key_file = QLineEdit()
        self.choose = QPushButton(said("C&hoose …"))
        self.choose.setAccessibleName(said("Choose the key file"))
        self.password = QLineEdit()
        self.password.setEchoMode(QLineEdit.EchoMode.Password)
        self.address = QLineEdit()
        self.address.setPlaceholderText(said("none"))
        beside = QWidget()
        row = QHBoxLayout(beside)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.key_file, 1)
        row.addWidget(self.choose)
        beside.setFocusProxy(self.key_file)
        self.key_file.setAccessibleName(said("Key file"))
        rows = LabelledRows()
        rows.add(
            said("&Key file"),
            beside,
            said("A PKCS#12 file (.p12, .pfx) with your key and certificate."),
        )
        rows.add(
            said("&Password"), self.password, said("Used for this signature and kept nowhere.")
        )
        rows.add(
            said("&Time-stamp authority"),
            self.address,
            said(
                "Its address (RFC 3161), where you have one. Only then is a connection "
                "opened, and only a hash is told. Without it the time is that of this "
                "computer."
            ),
        )
        column.addWidget(rows)
        column.addStretch(1)
        self.buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        self._sign = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        self._sign.setText(said("&Sign"))
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        column.addWidget(self.buttons)
        self.choose.clicked.connect(self._choose_key_file)
        self.key_file.textChanged.connect(self._show_whether_complete)
        rows.setEnabled(installed)
        self._show_whether_complete()

    @Slot()
    def _choose_key_file(self) -> None:
        name, _ = QFileDialog.getOpenFileName(
            self,
            said("Choose the key file"),
            str(Path.home()),
            said("Keys (*.p12 *.pfx);;All files (*)"),
        )
        if name:
            self.key_file.setText(name)
            self.password.setFocus()

    @Slot()
    def _show_whether_complete(self) -> None:
        self._sign.setEnabled(is_sealing_installed() and bool(self.key_file.text().strip()))

    def choice(self) -> SealingChoice:
        """Return what was entered."""
        return SealingChoice(
            Path(self.key_file.text().strip()).expanduser(),
            self.password.text(),
            self.address.text().strip(),
        )

    @classmethod
    def ask(cls, names: str, parent: QWidget | None = None) -> SealingChoice | None:
        """Ask; return None where it was cancelled."""
        dialog = cls(names, parent)
        try:
            return dialog.choice() if dialog.exec() else None
        finally:
            dialog.password.clear()
            dialog.deleteLater()

"""Asks what a bundle is for: one's own archive, or to be passed on."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QButtonGroup,
    QDialog,
    QDialogButtonBox,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.bundles import PROFILE_NAMES, PROFILE_SAYS, BundleProfile
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import said

PROFILES: tuple[BundleProfile, ...] = ("complete", "shared")


class BundleDialog(QDialog):
    """Two choices, each with what goes into the bundle."""

    def __init__(
        self, recipient: str, *, may_be_shared: bool, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("Write a bundle"))
        self.setMinimumWidth(GRID * 60)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        self.profiles = QButtonGroup(self)
        for number, profile in enumerate(PROFILES):
            radio = QRadioButton(said(PROFILE_NAMES[profile]))
            radio.setAccessibleDescription(said(PROFILE_SAYS[profile]))
            self.profiles.addButton(radio, number)
            words = Label(said(PROFILE_SAYS[profile]), TypeSize.SMALL, muted=True, wrap=True)
            words.setContentsMargins(GRID * 3, 0, 0, GRID)
            column.addWidget(radio)
            column.addWidget(words)
        self.profiles.button(0).setChecked(True)
        shared = self.profiles.button(PROFILES.index("shared"))
        shared.setEnabled(may_be_shared)
        column.addWidget(
            Label(
                said("Passed on, the dossier in it is: {recipient}.", recipient=recipient)
                if may_be_shared
                else said(
                    "To pass a bundle on, choose a dossier to the insurer or to a rental company."
                ),
                wrap=True,
            )
        )
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.button(QDialogButtonBox.StandardButton.Ok).setText(said("Choose the &file …"))
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)

    @property
    def profile(self) -> BundleProfile:
        """What was chosen."""
        return PROFILES[self.profiles.checkedId()]

    @classmethod
    def ask(
        cls, recipient: str, *, may_be_shared: bool, parent: QWidget | None = None
    ) -> BundleProfile | None:
        """Ask; return None where it was cancelled."""
        dialog = cls(recipient, may_be_shared=may_be_shared, parent=parent)
        try:
            return dialog.profile if dialog.exec() else None
        finally:
            dialog.deleteLater()

"""The question whether a long serial number is the number of a payment card."""

from __future__ import annotations

from PySide6.QtWidgets import QMessageBox, QWidget

from ldapp.language import said


def confirm_serials(parent: QWidget) -> bool:
    """Ask whether a serial number or tag that could be a payment card number is none."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle(said("Serial number or card number?"))
    box.setText(
        said("One of these could be the number of a payment card. Is it a serial number or tag?")
    )
    box.setInformativeText(said("Payment card numbers are never stored. You are asked this once."))
    yes = box.addButton(said("It is a serial number or tag"), QMessageBox.ButtonRole.AcceptRole)
    no = box.addButton(said("Do not enter it"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(no)
    box.exec()
    return box.clickedButton() is yes

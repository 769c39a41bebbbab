"""Asks before several things are changed at once."""

from __future__ import annotations

from PySide6.QtWidgets import QMessageBox, QWidget

from ldapp.desktop.widgets.plain_text import never_markup


def ask(parent: QWidget, title: str, question: str, details: str, yes: str) -> bool:
    """Ask before several claims are changed."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle(title)
    box.setText(never_markup(question))
    box.setInformativeText(never_markup(details))
    do_it = box.addButton(yes, QMessageBox.ButtonRole.AcceptRole)
    box.addButton(QMessageBox.StandardButton.Cancel)
    box.exec()
    return box.clickedButton() is do_it

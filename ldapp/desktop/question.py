"""Asks before several things are changed at once, or are removed for good."""

from __future__ import annotations

from PySide6.QtWidgets import QMessageBox, QWidget

from ldapp.language import said


def ask(
    parent: QWidget, title: str, question: str, details: str, yes: str, *, careful: bool = False
) -> bool:
    """Ask before something is changed; where ``careful``, Enter alone leaves it as it is."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle(title)
    from ldapp.desktop.widgets.plain_text import never_markup  # noqa: PLC0415 - after painting

    box.setText(never_markup(question))
    box.setInformativeText(never_markup(details))
    do_it = box.addButton(yes, QMessageBox.ButtonRole.AcceptRole)
    cancel = box.addButton(QMessageBox.StandardButton.Cancel)
    if careful:
        # Numbers are entered with Enter, often twice in a row.
        box.setDefaultButton(cancel)
    box.exec()
    return box.clickedButton() is do_it


def ask_to_remove(parent: QWidget, named: str) -> bool:
    """Ask before claims are removed, which cannot be undone."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setWindowTitle(said("Remove for good"))
    from ldapp.desktop.widgets.plain_text import never_markup  # noqa: PLC0415 - after painting

    box.setText(
        never_markup(said("Remove {named} with all counts, findings and charges?", named=named))
    )
    box.setInformativeText(
        said("This cannot be undone. Write a claim file first if it may be needed again.")
    )
    remove = box.addButton(said("Remove for good"), QMessageBox.ButtonRole.DestructiveRole)
    keep = box.addButton(said("Keep"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(keep)
    box.exec()
    return box.clickedButton() is remove

"""Suggests the name of the person at the computer where somebody's name belongs."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCompleter, QLineEdit

from ldapp.language import said


def suggest_name(field: QLineEdit, who: str) -> None:
    """Offer a name in an empty field: it is only entered where a person takes it.

    Who counts and signs is not always who has logged in.
    """
    if not who:
        return
    field.setPlaceholderText(said("Name, for example {who}", who=who))
    completer = QCompleter([who], field)
    completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    field.setCompleter(completer)

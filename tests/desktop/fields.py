"""Fields filled in as a person does it."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from ldapp.desktop.widgets.fields import ChoiceField, ParsedField


def type_into(qtbot: QtBot, field: Any, text: str) -> None:
    """Replace the text of a field and press Enter."""
    assert isinstance(field, ParsedField)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def choose(field: Any, value: Any) -> None:
    """Choose a value that the list offers."""
    assert isinstance(field, ChoiceField)
    field.set_value(value)
    assert field.value() == value
    field.activated.emit(field.currentIndex())

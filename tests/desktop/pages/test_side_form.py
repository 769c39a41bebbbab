"""The form at the right side of a page: nothing in it is cut off at its right."""

from __future__ import annotations

from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from ldapp.desktop.pages.side_form import SideForm


def test_a_form_becomes_as_wide_as_its_words_and_narrow_again(qtbot: QtBot) -> None:
    form = SideForm("The form", 320)
    qtbot.addWidget(form)
    button = QPushButton("Short")
    form.column.addWidget(button)
    for _ in range(60):
        form.column.addWidget(QPushButton("Row"))
    form.resize(320, 400)
    form.show()
    assert form.minimumWidth() == 320
    button.setText("Words of another language, which are very much longer than those before")
    qtbot.waitUntil(lambda: form.minimumWidth() > 400)
    inside = form.widget()
    assert inside is not None
    assert form.viewport().width() >= inside.minimumSizeHint().width()
    button.setText("Short")
    qtbot.waitUntil(lambda: form.minimumWidth() == 320)

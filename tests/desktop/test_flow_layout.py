from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from ldapp.desktop.widgets.flow_layout import FlowLayout


class Piece(QWidget):
    """A field of a fixed width."""

    def __init__(self, width: int) -> None:
        super().__init__()
        self.setFixedSize(width, 20)


@pytest.mark.parametrize("width", range(100, 130))
def test_a_field_never_loses_its_punctuation_at_the_end_of_a_line(qtbot: QtBot, width: int) -> None:
    form = QWidget()
    qtbot.addWidget(form)
    flow = FlowLayout(form)
    first, second, comma = Piece(60), Piece(50), QLabel(",")
    comma.setProperty("glued", True)
    for piece in (first, second, comma):
        flow.addWidget(piece)
    form.resize(width, 100)
    form.show()
    assert comma.geometry().right() < width
    assert comma.x() == second.geometry().right() + 2, "beside the field that it follows"
    assert (second.x() == 0) == (60 + 4 + 50 + 1 + comma.width() > width)

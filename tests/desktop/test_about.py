from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from ldapp.desktop.about import AboutDialog
from ldapp.desktop.jobs import JobRunner


def test_a_licence_is_read_beside_the_list(qtbot: QtBot, jobs: JobRunner) -> None:
    dialog = AboutDialog("1.2.3")
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.tabs.setCurrentWidget(dialog.licences)
    table = dialog.licences.table
    assert table.model().rowCount() > 20
    assert "Apache License" in dialog.licences.text.toPlainText()
    QTest.keyClick(table, Qt.Key.Key_Down)
    assert table.currentIndex().row() == 1
    assert dialog.licences.text.toPlainText()

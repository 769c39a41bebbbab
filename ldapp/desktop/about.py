"""What the program is, its version and cautions, and what it is built on."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Slot
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QHeaderView,
    QPlainTextEdit,
    QTableView,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.cautions import general_cautions
from ldapp.casework.licences import Licence, licences
from ldapp.desktop.icons import program_picture
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label, Separator
from ldapp.language import said


class AboutDialog(QDialog):
    """Says what this is, repeats the cautions, and lists versions and licences."""

    def __init__(self, version: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("About ldapp"))
        self.resize(GRID * 96, GRID * 68)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.setAccessibleName(said("About ldapp"))
        self.tabs.addTab(_about(version), said("&About and cautions"))
        self.licences = LicencesPanel()
        self.tabs.addTab(self.licences, said("&Versions and licences"))
        self.tabs.currentChanged.connect(self._on_tab)
        column.addWidget(self.tabs)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)

    @Slot(int)
    def _on_tab(self, index: int) -> None:
        if self.tabs.widget(index) is self.licences:
            self.licences.fill()


def _about(version: str) -> QWidget:
    panel = QWidget()
    column = QVBoxLayout(panel)
    column.setContentsMargins(GRID, GRID * 2, GRID, GRID)
    column.setSpacing(GRID)
    head = QHBoxLayout()
    head.setSpacing(GRID * 2)
    picture = Label("")
    picture.setPixmap(program_picture(48))
    head.addWidget(picture)
    head.addWidget(Label(f"ldapp {version}", TypeSize.LARGE, bold=True), 1)
    column.addLayout(head)
    column.addWidget(
        Label(
            said(
                "For people who rent film lighting, grip and camera equipment and must "
                "answer for it when it comes back. Licence: Apache-2.0."
            ),
            wrap=True,
        )
    )
    column.addWidget(Separator())
    for caution in general_cautions():
        column.addWidget(Label(caution, wrap=True))
    column.addStretch(1)
    return panel


class LicencesPanel(QWidget):
    """Everything that the program is built on; the text of the chosen licence beside it."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[Licence, ...] = ()
        self._model = QStandardItemModel(0, 3, self)
        self._model.setHorizontalHeaderLabels([said("Built on"), said("Version"), said("Licence")])
        self.table = QTableView()
        self.table.setModel(self._model)
        self.table.setAccessibleName(said("What the program is built on"))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setShowGrid(False)
        self.table.setTabKeyNavigation(False)
        self.table.verticalHeader().hide()
        header = self.table.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.Stretch)
        self.text = QPlainTextEdit()
        self.text.setReadOnly(True)
        self.text.setTabChangesFocus(True)
        self.text.setAccessibleName(said("Text of the licence"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, GRID, 0, 0)
        column.setSpacing(GRID)
        column.addWidget(self.table, 3)
        column.addWidget(self.text, 2)
        self.table.selectionModel().currentRowChanged.connect(self._on_row)

    def fill(self) -> None:
        """Read the installed libraries; done when the panel is first looked at."""
        if self._rows:
            return
        self._rows = licences()
        for one in self._rows:
            self._model.appendRow(
                [QStandardItem(text) for text in (one.name, one.version, one.licence)]
            )
        self.table.resizeColumnsToContents()
        self.table.setColumnWidth(0, max(self.table.columnWidth(0), GRID * 28))
        self.table.selectRow(0)

    @Slot(QModelIndex, QModelIndex)
    def _on_row(self, current: QModelIndex, previous: QModelIndex) -> None:
        del previous
        if current.isValid():
            text = self._rows[current.row()].text
            self.text.setPlainText(
                text or said("It was installed without the text of its licence.")
            )

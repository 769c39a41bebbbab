"""Where the library is: a folder on this computer, or the office's database and folder."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from functools import reduce
from pathlib import Path

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import (
    QButtonGroup,
    QDialog,
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.office import Environment, LibraryPlace, check_place, try_place
from ldapp.desktop.jobs import JobRunner, Progress
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import text_field, whole_field
from ldapp.desktop.widgets.pieces import Label, LabelledRows, MessageStrip, primary_button
from ldapp.errors import LdappError
from ldapp.language import said, said_of


class FolderField(QWidget):
    """A folder as text, with a button that asks for it."""

    def __init__(self, says: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._says = says
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GRID)
        self.line = QLineEdit()
        self.line.setAccessibleName(says)
        self.button = QPushButton(said("Choose…"))
        self.button.setAccessibleName(said("Choose: {folder}", folder=says))
        self.button.clicked.connect(self._on_choose)
        row.addWidget(self.line, 1)
        row.addWidget(self.button)
        self.setFocusProxy(self.line)

    def path(self) -> Path | None:
        """Return the folder, or None where none is entered."""
        text = self.line.text().strip()
        return Path(text).expanduser() if text else None

    @Slot()
    def _on_choose(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, self._says, self.line.text())
        if chosen:
            self.line.setText(chosen)


class SettingsDialog(QDialog):
    """One form; nothing happens until it is tried, kept or copied to."""

    place_chosen = Signal(object)
    """The LibraryPlace to be kept and opened."""
    copy_wanted = Signal(object)
    """The LibraryPlace into which everything of the present library is copied."""

    def __init__(
        self,
        place: LibraryPlace,
        fixed: Environment,
        jobs: JobRunner,
        trying: Callable[[LibraryPlace], str] = try_place,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._before = place
        self._jobs = jobs
        self._trying = trying
        self.setWindowTitle(said("Settings"))
        self.setMinimumWidth(GRID * 88)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 2, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(Label(said("Where the claims are"), TypeSize.LARGE, bold=True))
        if fixed.any:
            column.addWidget(Label(_says_fixed(fixed), muted=True, wrap=True))
        self.strip = MessageStrip()
        column.addWidget(self.strip)
        self.here = QRadioButton(said("In a &folder on this computer, for one person"))
        self.office = QRadioButton(said("In the office's database, for several people &at once"))
        group = QButtonGroup(self)
        for button in (self.here, self.office):
            group.addButton(button)
        self.folder = FolderField(said("Folder of the library"))
        rows = LabelledRows()
        rows.add(
            said("Fo&lder"),
            self.folder,
            said("Claims, originals and exports; with an office's database only the exports."),
        )
        column.addWidget(self.here)
        column.addWidget(self.office)
        column.addSpacing(GRID)
        _align(rows)
        column.addWidget(rows)
        self.server_rows = self._server_rows()
        column.addWidget(self.server_rows)
        column.addStretch(1)
        column.addLayout(self._buttons())
        self._show_place(place)
        # Explanations are wrapped: how high they are is known with the width.
        self.resize(self.minimumWidth(), column.totalHeightForWidth(self.minimumWidth()))
        self.office.toggled.connect(self._show_choice)
        if fixed.database or fixed.folder:
            self.keep_button.setEnabled(False)
            self.keep_button.setToolTip(said("The environment decides; see above."))

    def _server_rows(self) -> LabelledRows:
        rows = LabelledRows()
        self.server = text_field()
        self.port = whole_field(least=1)
        self.database = text_field()
        self.user = text_field()
        self.password = QLineEdit()
        self.password.setEchoMode(QLineEdit.EchoMode.Password)
        self.password.setMinimumWidth(GRID * 30)
        self.originals = FolderField(said("The office's folder for originals"))
        _align(rows)
        rows.add(said("&Server"), self.server, said("Its name or address on the office's network."))
        rows.add(said("Po&rt"), self.port)
        rows.add(said("&Database"), self.database)
        rows.add(said("&User"), self.user)
        rows.add(
            said("Pass&word"),
            self.password,
            said(
                "Kept in a file that only you can read. Leave it empty where the server "
                "does not ask, or where it stands in your own password file."
            ),
        )
        rows.add(
            said("&Originals"),
            self.originals,
            said("A shared folder that everybody reaches, also under another name."),
        )
        return rows

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(GRID)
        self.try_button = QPushButton(said("&Test the connection"))
        self.try_button.clicked.connect(self._on_try)
        self.copy_button = QPushButton(said("&Copy everything of the present library there…"))
        self.copy_button.clicked.connect(self._on_copy)
        row.addWidget(self.try_button)
        row.addWidget(self.copy_button)
        row.addStretch(1)
        cancel = QPushButton(said("Cancel"))
        cancel.clicked.connect(self.reject)
        row.addWidget(cancel)
        self.keep_button = primary_button(said("Keep and open"))
        self.keep_button.clicked.connect(self._on_keep)
        row.addWidget(self.keep_button)
        return row

    def _show_place(self, place: LibraryPlace) -> None:
        (self.office if place.is_office else self.here).setChecked(True)
        self.folder.line.setText(str(place.folder))
        self.server.set_value(place.server or None)
        self.port.set_value(place.port)
        self.database.set_value(place.database or None)
        self.user.set_value(place.user or None)
        self.password.setText(place.password)
        self.originals.line.setText("" if place.originals is None else str(place.originals))
        self._show_choice()

    @Slot()
    def _show_choice(self, *_: object) -> None:
        self.server_rows.setEnabled(self.office.isChecked())
        self.try_button.setText(
            said("&Test the connection")
            if self.office.isChecked()
            else said("&Look into the folder")
        )

    def place(self) -> LibraryPlace:
        """Return what is entered.

        Raises:
            LdappError: something is missing.
        """
        folder = self.folder.path()
        if folder is None:
            raise LdappError(said("Choose the folder of the library."))
        if not self.office.isChecked():
            return LibraryPlace(folder=folder)
        if self.server.value() is None:
            raise LdappError(said("Enter the server of the office's database."))
        place = LibraryPlace(
            folder=folder,
            server=str(self.server.value()),
            port=int(self.port.value() or LibraryPlace.port),
            database=str(self.database.value() or ""),
            user=str(self.user.value() or ""),
            password=self.password.text(),
            originals=self.originals.path(),
        )
        check_place(place)
        return place

    def _entered(self) -> LibraryPlace | None:
        # A field that is being edited is read when it loses the focus.
        self.setFocus()
        try:
            return self.place()
        except LdappError as error:
            self.strip.refuse(str(error))
            return None

    @Slot()
    def _on_try(self) -> None:
        place = self._entered()
        if place is None:
            return
        trying = self._trying

        def work(progress: Progress) -> str:
            progress(0, 0)
            return trying(place)

        self.try_button.setEnabled(False)
        self.strip.say(said("Connecting …"))
        job = self._jobs.run("Trying the library", work, self._on_tried, self._on_not_tried)
        job.finished.connect(self._on_try_over)

    @Slot(object)
    def _on_tried(self, sentence: str) -> None:
        self.strip.say(sentence)

    @Slot(object)
    def _on_not_tried(self, error: BaseException) -> None:
        self.strip.refuse(str(error) if isinstance(error, LdappError) else repr(error))

    @Slot()
    def _on_try_over(self) -> None:
        self.try_button.setEnabled(True)

    @Slot()
    def _on_keep(self) -> None:
        place = self._entered()
        if place is not None:
            self.place_chosen.emit(place)
            self.accept()

    @Slot()
    def _on_copy(self) -> None:
        place = self._entered()
        if place is None:
            return
        if dataclasses.replace(place, password="") == dataclasses.replace(
            self._before, password=""
        ):
            self.strip.refuse(
                said(
                    "This is the library that is open. Enter the one that it is to be copied into."
                )
            )
            return
        self.copy_wanted.emit(place)
        self.accept()


def _says_fixed(fixed: Environment) -> str:
    names = [
        name
        for name, is_set in (
            ("LDAPP_LIBRARY", fixed.folder),
            ("LDAPP_DATABASE", fixed.database),
            ("LDAPP_ORIGINALS", fixed.originals),
        )
        if is_set
    ]
    return said_of(
        len(names),
        "{names} in the environment decides where the library is. What is "
        "entered here can be tried and copied to, but not kept.",
        "{names} in the environment decide where the library is. What is "
        "entered here can be tried and copied to, but not kept.",
        names=reduce(_with, names),
    )


def _with(some: str, one: str) -> str:
    return said("{some} and {one}", some=some, one=one)


def _align(rows: LabelledRows) -> None:
    """Let two groups of rows have their fields below each other."""
    grid = rows.layout()
    if isinstance(grid, QGridLayout):
        grid.setColumnMinimumWidth(0, GRID * 9)

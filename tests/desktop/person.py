"""A person at the window: clicks, types, drags, and answers the dialogs that come up."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

from PySide6.QtCore import QAbstractItemModel, QMimeData, QPoint, QPointF, Qt, QTimer, QUrl
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QLineEdit,
    QPlainTextEdit,
    QTableView,
    QWidget,
)
from pytestqt.qtbot import QtBot

from ldapp.desktop.pages.record_chooser import RecordChooser
from ldapp.desktop.widgets.fields import ChoiceField

Asked = TypeVar("Asked", bound=QDialog)

LEFT = Qt.MouseButton.LeftButton
_PLAIN = Qt.KeyboardModifier.NoModifier
_COPY = Qt.DropAction.CopyAction


class Person:
    """Does with real events what a person does."""

    def __init__(self, qtbot: QtBot) -> None:
        self.qtbot = qtbot

    # --- hands ----------------------------------------------------------------------------

    def click(self, widget: QWidget) -> None:
        """Click a widget that is there to be clicked."""
        # Long forms are laid out a few rows at a time.
        self.qtbot.waitUntil(lambda: widget.isVisible() and widget.height() > 10, timeout=5000)
        self.qtbot.wait(20)
        assert widget.isEnabled(), widget.accessibleName() or widget
        self.qtbot.mouseClick(widget, LEFT)

    def write(self, field: Any, text: str) -> None:
        """Replace the text of a field and press Enter, or leave it where it has many lines."""
        field.setFocus()
        field.selectAll()
        self.qtbot.keyClicks(field, text)
        if isinstance(field, QLineEdit):
            self.qtbot.keyClick(field, Qt.Key.Key_Return)
        elif isinstance(field, QPlainTextEdit):
            self.qtbot.keyClick(field, Qt.Key.Key_Tab)

    def choose(self, field: QWidget, value: Any) -> None:
        """Open a list of choices and take one of them."""
        assert isinstance(field, ChoiceField)
        number = field._values.index(value)
        field.setFocus()
        field.showPopup()
        view = field.view()
        view.setCurrentIndex(field.model().index(number, 0))
        self.qtbot.keyClick(view, Qt.Key.Key_Return)
        assert field.value() == value

    def choose_text(self, field: QComboBox, text: str) -> None:
        """Type into an editable list."""
        line = field.lineEdit()
        assert line is not None
        line.setFocus()
        line.selectAll()
        self.qtbot.keyClicks(line, text)

    def click_cell(self, table: QTableView, row: int, column: int) -> None:
        """Click a cell of a table."""
        index = table.model().index(row, column)
        table.scrollTo(index)
        box = table.visualRect(index)
        self.qtbot.mouseClick(table.viewport(), LEFT, pos=box.center())
        assert table.currentIndex() == index

    def type_cell(self, table: QTableView, row: int, column: int, text: str) -> None:
        """Click a cell, type over it, and press Enter."""
        self.click_cell(table, row, column)
        table.setFocus()
        self.type_here(table, text)

    def type_here(self, table: QTableView, text: str) -> None:
        """Type into the cell under the cursor, and press Enter."""
        self.qtbot.keyClicks(table, text[:1])
        editor = next(one for one in table.findChildren(QLineEdit) if one.isVisible())
        self.qtbot.keyClicks(editor, text[1:])
        self.qtbot.keyClick(editor, Qt.Key.Key_Return)
        self.qtbot.waitUntil(
            lambda: not any(one.isVisible() for one in table.findChildren(QLineEdit))
        )

    def drop(self, target: QWidget, data: QMimeData, at: QPoint) -> None:
        """Drag data over a widget and let it go there."""
        enter = QDragEnterEvent(at, _COPY, data, LEFT, _PLAIN)
        enter.ignore()
        QApplication.sendEvent(target, enter)
        assert enter.isAccepted()
        move = QDragMoveEvent(at, _COPY, data, LEFT, _PLAIN)
        QApplication.sendEvent(target, move)
        QApplication.sendEvent(target, QDropEvent(QPointF(at), _COPY, data, LEFT, _PLAIN))

    def drop_files(self, target: QWidget, paths: Sequence[Path]) -> None:
        """Drop files as a file manager does."""
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
        self.drop(target, data, QPoint(200, 200))

    def dragged(self, model: QAbstractItemModel, rows: Sequence[int]) -> QMimeData:
        """Return what rows of a model carry when they are dragged."""
        return model.mimeData([model.index(row, 0) for row in rows])

    # --- dialogs --------------------------------------------------------------------------

    @contextmanager
    def answering(self, kind: type[Asked], answer: Callable[[Asked], None]) -> Iterator[None]:
        """Answer the dialog that comes up within the block."""
        answered: list[QDialog] = []
        failed: list[BaseException] = []
        timer = QTimer()

        def look() -> None:
            dialog = QApplication.activeModalWidget()
            if answered or not isinstance(dialog, kind):
                return
            answered.append(dialog)
            timer.stop()
            try:
                answer(dialog)
            except BaseException as error:  # noqa: BLE001 - raised again in the test
                failed.append(error)
            finally:
                if failed and dialog.isVisible():
                    dialog.reject()

        timer.timeout.connect(look)
        timer.start(10)
        yield
        timer.stop()
        if failed:
            raise failed[0]
        assert answered, f"{kind.__name__} did not come up"

    def accept(self, dialog: QDialog) -> None:
        """Click the button of a dialog that says yes."""
        box = dialog.findChild(QDialogButtonBox)
        assert box is not None
        yes = next(
            button
            for button in box.buttons()
            if box.buttonRole(button) == QDialogButtonBox.ButtonRole.AcceptRole
        )
        self.click(yes)
        assert not dialog.isVisible(), "the dialog did not take the answer"

    def takes(self, words: str) -> Callable[[RecordChooser], None]:
        """Return an answer: type some words, take the first that is found."""

        def answer(chooser: RecordChooser) -> None:
            self.qtbot.keyClicks(chooser.search, words)
            assert chooser.key is not None, words
            self.accept(chooser)

        return answer

    def names_file(self, path: Path) -> Callable[[QFileDialog], None]:
        """Return an answer: a file's whole path."""

        def answer(dialog: QFileDialog) -> None:
            line = dialog.findChild(QLineEdit, "fileNameEdit")
            assert line is not None
            # Pasted: while a path is typed, the dialog walks through its folders.
            QApplication.clipboard().setText(str(path))
            line.selectAll()
            line.paste()
            self.accept(dialog)

        return answer

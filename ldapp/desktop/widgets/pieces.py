"""Small pieces: titles, large figures, empty states, the message strip, labelled rows."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt, Signal, Slot
from PySide6.QtGui import QFont, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from ldapp.desktop.icons import keep_icon
from ldapp.desktop.icons import mark as mark_picture
from ldapp.desktop.theme import GRID, Role, TypeSize, colour, theme, type_font
from ldapp.desktop.widgets.fields import ParsedField
from ldapp.desktop.widgets.plain_text import shown
from ldapp.language import said


class Label(QLabel):
    """Plain text in one of the four sizes; markup in it is shown as it is."""

    def __init__(
        self,
        text: str = "",
        size: TypeSize = TypeSize.NORMAL,
        *,
        muted: bool = False,
        bold: bool = False,
        wrap: bool = False,
        font: QFont | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(shown(text), parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        # The font comes before the tone: a style sheet that was applied keeps the older one.
        self.setFont(font or type_font(size, bold=bold))
        self.setWordWrap(wrap)
        self._tone: Role | None = None
        if muted:
            self.set_tone("muted")

    def setText(self, text: str) -> None:
        """Show another text."""
        super().setText(shown(text))

    def set_tone(self, role: Role | None) -> None:
        """Show the text in muted, amber or red; None is the ordinary colour."""
        if role == self._tone:
            return
        self._tone = role
        for name in ("muted", "amber", "red"):
            self.setProperty(name, role == name)
        self.style().unpolish(self)
        self.style().polish(self)


class Separator(QFrame):
    """One thin line."""

    def __init__(self, *, vertical: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        if vertical:
            self.setFixedWidth(1)
        else:
            self.setFixedHeight(1)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line in the separator's colour."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), colour("separator"))
        painter.end()


class Figure(QWidget):
    """A number that matters, large, with its caption below."""

    def __init__(self, caption: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self._number = Label("–", TypeSize.FIGURE)
        self._caption = Label(caption, TypeSize.SMALL, muted=True)
        column.addWidget(self._number)
        column.addWidget(self._caption)
        self.setAccessibleName(caption)

    def show_figure(self, text: str, caption: str | None = None) -> None:
        """Show a number, already written out."""
        self._number.setText(text)
        if caption is not None:
            self._caption.setText(caption)
        self.setAccessibleName(f"{self._caption.text()}: {text}")

    def text(self) -> str:
        """Return the number as it is shown."""
        return self._number.text()


class EmptyState(QWidget):
    """One sentence that says what belongs here, and the action that begins it."""

    acted = Signal()
    second_acted = Signal()

    def __init__(
        self,
        sentence: str,
        action: str = "",
        second_action: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 4, GRID * 2, GRID * 4, GRID * 2)
        column.setSpacing(GRID * 2)
        column.addStretch(2)
        self._sentence = Label(sentence, TypeSize.LARGE, muted=True, wrap=True)
        self._sentence.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self._sentence.setMinimumWidth(GRID * 30)
        column.addWidget(self._sentence)
        row = QHBoxLayout()
        row.addStretch()
        self.button = primary_button(action)
        self.button.setVisible(bool(action))
        self.button.clicked.connect(self.acted)
        row.addWidget(self.button)
        self.second_button = QPushButton(second_action)
        self.second_button.setVisible(bool(second_action))
        self.second_button.clicked.connect(self.second_acted)
        row.addWidget(self.second_button)
        row.addStretch()
        column.addLayout(row)
        column.addStretch(3)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep all lines of the sentence in sight, however little room there is."""
        super().resizeEvent(event)
        self._keep_height()

    def _keep_height(self) -> None:
        room = max(self.width() - GRID * 8, self._sentence.minimumWidth())
        self._sentence.setMinimumHeight(self._sentence.heightForWidth(room))


def primary_button(text: str) -> QPushButton:
    """Return the one button of a page that is drawn in the accent colour."""
    button = QPushButton(text)
    button.setProperty("primary", True)
    return button


def link_button(text: str) -> QPushButton:
    """Return a button that looks like a link."""
    button = QPushButton(text)
    button.setProperty("link", True)
    button.setCursor(Qt.CursorShape.PointingHandCursor)
    button.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
    return button


def icon_button(name: str, says: str) -> QToolButton:
    """Return a button with an icon only; ``says`` is its name for tooltip and screen reader."""
    button = QToolButton()
    button.setAutoRaise(True)
    button.setToolTip(says)
    button.setAccessibleName(says)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    keep_icon(button, name)
    return button


class MessageStrip(QWidget):
    """A sentence over the page that stays until it is closed or replaced; never in the way."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(GRID * 2, GRID, GRID, GRID)
        row.setSpacing(GRID)
        self._mark = QLabel()
        self._mark.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._word = Label("", bold=True)
        self._word.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._text = Label("", wrap=True)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        close = icon_button("close", said("Close this message"))
        close.clicked.connect(self.hide)
        row.addWidget(self._mark)
        row.addWidget(self._word)
        row.addWidget(self._text, 1)
        row.addWidget(close)
        self._action = QPushButton()
        self._action.hide()
        row.insertWidget(3, self._action)
        self._on_action: Callable[[], None] | None = None
        self._action.clicked.connect(self._act)
        self._role: Role = "text"
        self._sign = "note"
        theme().changed.connect(self._tint)
        self.hide()

    def say(self, text: str, action: str = "", on_action: Callable[[], None] | None = None) -> None:
        """Show a remark."""
        self._show("note", "text", "", text, action, on_action)

    def refuse(
        self, text: str, action: str = "", on_action: Callable[[], None] | None = None
    ) -> None:
        """Show why something was not done."""
        self._show("warning", "red", said("Not done."), text, action, on_action)

    def text(self) -> str:
        """Return the sentence shown; empty when hidden."""
        return "" if self.isHidden() else self._text.text()

    def _show(
        self,
        mark: str,
        role: Role,
        word: str,
        text: str,
        action: str,
        on_action: Callable[[], None] | None,
    ) -> None:
        self._role, self._sign = role, mark
        self._tint()
        self._word.setText(word)
        self._word.setVisible(bool(word))
        self._word.set_tone(role if role in ("amber", "red") else None)
        self._text.setText(text)
        self._on_action = on_action
        self._action.setText(action)
        self._action.setVisible(bool(action))
        self.setAccessibleName(f"{word} {text}".strip())
        self.show()
        self.update()

    @Slot()
    def _tint(self) -> None:
        """Draw the mark in the colours of light or dark."""
        self._mark.setPixmap(mark_picture(self._sign, self._role))
        self.update()

    @Slot()
    def _act(self) -> None:
        if self._on_action is not None:
            self._on_action()
        self.hide()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw a raised ground and a bar in the message's colour."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), colour("raised"))
        painter.fillRect(0, 0, 4, self.height(), colour(self._role))
        painter.end()


class LabelledRows(QWidget):
    """Rows of label and field: label, buddy, help text and accessible name made together."""

    def __init__(self, parent: QWidget | None = None, *, across: int = 1) -> None:
        """Begin empty; ``across`` fields stand side by side, but for texts of several lines."""
        super().__init__(parent)
        self._across = across
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(GRID * 2)
        self._grid.setVerticalSpacing(GRID)
        for number in range(across):
            self._grid.setColumnStretch(number * 2 + 1, 1)
        self._row = 0
        self._place = 0

    @property
    def several_across(self) -> bool:
        """Whether fields stand side by side."""
        return self._across > 1

    def add(self, label: str, widget: QWidget, help_text: str = "", *, wide: bool = False) -> None:
        """Add one field; an ampersand in ``label`` marks the key that goes there.

        A ``wide`` field takes the whole row, as texts of several lines always do.
        """
        is_short = isinstance(widget, ParsedField | QComboBox) and not wide
        if self._place and (not is_short or self._place == self._across):
            self._row += 2
            self._place = 0
        name = QLabel(label)
        name.setBuddy(widget)
        name.setProperty("muted", True)
        name.setContentsMargins(0, 5, 0, 0)
        widget.setAccessibleName(label.replace("&", ""))
        widget.setAccessibleDescription(help_text)
        column = self._place * 2
        self._grid.addWidget(name, self._row, column, Qt.AlignmentFlag.AlignTop)
        span = 1 if is_short else self._across * 2 - 1
        if is_short:
            widget.setMinimumWidth(GRID * 20)
            left = Qt.AlignmentFlag.AlignLeft
            self._grid.addWidget(widget, self._row, column + 1, left)
        else:
            self._grid.addWidget(widget, self._row, column + 1, 1, span)
        if help_text:
            words = Label(help_text, TypeSize.SMALL, muted=True, wrap=True)
            top = Qt.AlignmentFlag.AlignTop
            self._grid.addWidget(words, self._row + 1, column + 1, 1, span, top)
        self._place = self._place + 1 if is_short else self._across


class Section(QWidget):
    """A title over a part of a page, with room for buttons at its right."""

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, GRID * 2, 0, GRID)
        column.setSpacing(GRID)
        self._head = QHBoxLayout()
        self._head.setSpacing(GRID)
        self._title = Label(title, TypeSize.LARGE, bold=True)
        self._head.addWidget(self._title)
        self._head.addStretch(1)
        column.addLayout(self._head)
        column.addWidget(Separator())
        self.body = QVBoxLayout()
        self.body.setSpacing(GRID)
        column.addLayout(self.body)

    def set_title(self, title: str) -> None:
        """Name it anew."""
        self._title.setText(title)

    def add_head(self, widget: QWidget) -> None:
        """Put a button at the right of the title."""
        self._head.addWidget(widget)


class Tinted(QWidget):
    """A widget on a ground of its own that follows light and dark."""

    def __init__(self, role: Role, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._role: Role = role
        theme().changed.connect(self.update)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Fill the ground."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), colour(self._role))
        painter.end()

    def changeEvent(self, event: QEvent) -> None:
        """Draw anew when the palette changed."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.update()

"""Fields for one value each: they say when a person entered another, and refuse what is none.

Every field has ``value()``, ``set_value(value)`` (which tells nobody), the signal
``committed(object)`` and the signal ``refused(str)`` with a sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtGui import QAction, QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QToolButton,
    QWidget,
)

from ldapp.casework.free_text import refuse_card_numbers
from ldapp.desktop.widgets.values import (
    date_text,
    instant_text,
    parse_date,
    parse_instant,
    parse_money,
    parse_percent,
    parse_whole,
    percent_field_text,
    plain_number,
)
from ldapp.errors import LdappError
from ldapp.language import said


class ParsedField(QLineEdit):
    """A line of text that stands for a value; empty is None."""

    committed = Signal(object)
    refused = Signal(str)

    def __init__(
        self,
        parse: Callable[[str], Any],
        show: Callable[[Any], str],
        *,
        characters: int = 12,
        right: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._parse = parse
        self._show = show
        self._value: Any = None
        self._characters = characters
        self._refused = ""
        if right:
            self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.editingFinished.connect(self._on_finished)

    def sizeHint(self) -> QSize:
        """Be as wide as the values are."""
        hint = super().sizeHint()
        hint.setWidth(self.fontMetrics().averageCharWidth() * (self._characters + 3))
        return hint

    def value(self) -> Any:
        """Return the value last entered or set."""
        return self._value

    def set_value(self, value: Any) -> None:
        """Show a value; text that is being typed stays."""
        if self.hasFocus() and self.isModified() and not self._refused:
            return
        self._value = value
        text = "" if value is None else self._show(value)
        if self.text() != text:
            self.setText(text)
            self.setCursorPosition(0)
        self._mark("")

    @property
    def refusal(self) -> str:
        """Why the text is no value; empty where it is one."""
        return self._refused

    @Slot()
    def _on_finished(self) -> None:
        text = self.text().strip()
        if not self.isModified():
            return
        self.setModified(False)
        try:
            value = self._parse(text) if text else None
        except LdappError as error:
            self._mark(str(error))
            self.refused.emit(str(error))
            return
        self._mark("")
        shown = "" if value is None else self._show(value)
        if shown != self.text():
            self.setText(shown)
        if value != self._value:
            self._value = value
            self.committed.emit(value)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape brings the last value back."""
        if event.key() == Qt.Key.Key_Escape and (self.isModified() or self._refused):
            self.setText("" if self._value is None else self._show(self._value))
            self.setModified(False)
            self._mark("")
            event.accept()
            return
        super().keyPressEvent(event)

    def _mark(self, why: str) -> None:
        if why == self._refused:
            return
        self._refused = why
        self.setProperty("refused", bool(why))
        self.setToolTip(why)
        self.style().unpolish(self)
        self.style().polish(self)


def text_field(*, characters: int = 28, parent: QWidget | None = None) -> ParsedField:
    """Return a field for one line of text; empty is None, a payment card number is refused."""
    return ParsedField(refuse_card_numbers, str, characters=characters, parent=parent)


def money_field(currency: Callable[[], str], *, parent: QWidget | None = None) -> ParsedField:
    """Return a field for an amount of at least 0 (Decimal) in the currency ``currency()``."""
    return ParsedField(
        lambda text: parse_money(text, currency(), least=Decimal(0)),
        plain_number,
        characters=12,
        right=True,
        parent=parent,
    )


def percent_field(*, parent: QWidget | None = None) -> ParsedField:
    """Return a field for a share: typed as a percentage, kept as an exact Fraction."""
    return ParsedField(parse_percent, percent_field_text, characters=6, right=True, parent=parent)


def whole_field(*, least: int = 0, parent: QWidget | None = None) -> ParsedField:
    """Return a field for a whole number of at least ``least``."""
    return ParsedField(
        lambda text: parse_whole(text, least), str, characters=5, right=True, parent=parent
    )


def date_field(*, parent: QWidget | None = None) -> ParsedField:
    """Return a field for a day."""
    field = ParsedField(parse_date, date_text, characters=11, parent=parent)
    field.setPlaceholderText(said("yyyy-mm-dd"))
    return field


def instant_field(zone: Callable[[], str], *, parent: QWidget | None = None) -> ParsedField:
    """Return a field for an instant; a time without an offset is in the zone ``zone()``."""
    field = ParsedField(
        lambda text: parse_instant(text, zone()), instant_text, characters=24, parent=parent
    )
    field.setPlaceholderText(said("yyyy-mm-dd hh:mm"))
    return field


class LongTextField(QPlainTextEdit):
    """Several lines of text; committed when the field is left."""

    committed = Signal(object)
    refused = Signal(str)

    def __init__(self, *, lines: int = 3, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._value = ""
        self.setTabChangesFocus(True)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * lines + 16)

    def value(self) -> str:
        """Return the text last entered or set."""
        return self._value

    def set_value(self, value: str | None) -> None:
        """Show a text; what is being typed stays."""
        if self.hasFocus() and self.toPlainText() != self._value:
            return
        self._value = value or ""
        if self.toPlainText() != self._value:
            self.setPlainText(self._value)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Commit what was typed."""
        super().focusOutEvent(event)
        text = self.toPlainText().strip()
        if text == self._value:
            return
        try:
            refuse_card_numbers(text)
        except LdappError as error:
            self.refused.emit(str(error))
            return
        self._value = text
        self.committed.emit(text)


class ChoiceField(QComboBox):
    """One of several values; the wheel changes nothing unless the list has the focus."""

    committed = Signal(object)

    def __init__(
        self, choices: Sequence[tuple[Any, str]] = (), parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._values: list[Any] = []
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.set_choices(choices)
        self.activated.connect(self._on_activated)

    def set_choices(self, choices: Sequence[tuple[Any, str]]) -> None:
        """Offer these (value, label) pairs; the value stays where it is still offered."""
        pairs = list(choices)
        if [value for value, _ in pairs] == self._values and [
            self.itemText(number) for number in range(self.count())
        ] == [label for _, label in pairs]:
            return
        before = self.value() if self._values else None
        self.blockSignals(True)
        self.clear()
        self._values = [value for value, _ in pairs]
        self.addItems([label for _, label in pairs])
        self.blockSignals(False)
        self.set_value(before)

    def value(self) -> Any:
        """Return the chosen value, or None."""
        number = self.currentIndex()
        return self._values[number] if 0 <= number < len(self._values) else None

    def set_value(self, value: Any) -> None:
        """Choose a value; one that is not offered leaves nothing chosen."""
        number = next((at for at, one in enumerate(self._values) if one == value), -1)
        if number != self.currentIndex():
            self.setCurrentIndex(number)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll the page, not the value, unless this list has the focus."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()

    @Slot(int)
    def _on_activated(self, number: int) -> None:
        del number
        self.committed.emit(self.value())


class SwitchField(QCheckBox):
    """Yes or no."""

    committed = Signal(object)

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        self.clicked.connect(self._on_clicked)

    def value(self) -> bool:
        """Return whether it is on."""
        return self.isChecked()

    def set_value(self, value: bool | None) -> None:
        """Switch it without telling anybody."""
        self.setChecked(bool(value))

    @Slot()
    def _on_clicked(self) -> None:
        self.committed.emit(self.isChecked())


class SeveralField(QToolButton):
    """Any number of choices out of a list, in a menu that stays open while choosing."""

    committed = Signal(object)

    def __init__(
        self,
        choices: Sequence[tuple[Any, str]],
        nothing: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._nothing = nothing or said("none")
        self._value: tuple[Any, ...] = ()
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._list = QMenu(self)
        self.choices: list[tuple[Any, QAction]] = []
        self._list.aboutToHide.connect(self._on_closed)
        self.setMenu(self._list)
        self.set_choices(choices)

    def set_choices(self, choices: Sequence[tuple[Any, str]]) -> None:
        """Offer these (value, label) pairs; what is chosen stays chosen."""
        if [(value, action.text()) for value, action in self.choices] == list(choices):
            return
        self._list.clear()
        self.choices = []
        for value, label in choices:
            action = QAction(label, self._list)
            action.setCheckable(True)
            self._list.addAction(action)
            self.choices.append((value, action))
        self.set_value(self._value)

    def value(self) -> tuple[Any, ...]:
        """Return the chosen values in the order of the list."""
        return self._value

    def set_value(self, value: Sequence[Any] | None) -> None:
        """Show which are chosen."""
        self._value = tuple(value or ())
        named = []
        for one, action in self.choices:
            action.setChecked(one in self._value)
            if one in self._value:
                named.append(action.text())
        text = ", ".join(named) or self._nothing
        self.setText(text if len(text) <= 60 else said("{number} chosen", number=len(named)))
        self.setToolTip(text)

    @Slot()
    def _on_closed(self) -> None:
        chosen = tuple(one for one, action in self.choices if action.isChecked())
        if chosen != self._value:
            self.set_value(chosen)
            self.committed.emit(chosen)


class ComposedField(QWidget):
    """A value that takes several widgets to enter."""

    committed = Signal(object)
    refused = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._value: Any = None

    def value(self) -> Any:
        """Return the value last entered or set."""
        return self._value

    def set_value(self, value: Any) -> None:
        """Show a value without telling anybody."""
        self._value = value

    def enter(self, value: Any) -> None:
        """Take over what a person entered, and tell it."""
        if value != self._value:
            self._value = value
            self.committed.emit(value)


Field = ParsedField | LongTextField | ChoiceField | SwitchField | SeveralField | ComposedField

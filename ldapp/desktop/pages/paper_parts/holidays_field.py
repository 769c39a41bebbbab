"""The days that are no business days, one to a line."""

from __future__ import annotations

from PySide6.QtCore import QSize, Slot
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from ldapp.casework.free_text import refuse_card_numbers
from ldapp.claim.deadline_rules import Holiday
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import ComposedField, LongTextField
from ldapp.desktop.widgets.values import date_text, parse_date
from ldapp.errors import LdappError
from ldapp.language import said

_MOST_LINES = 14


def holidays_text(days: tuple[Holiday, ...]) -> str:
    """Write days so that they can be typed again."""
    return "\n".join(f"{date_text(one.day)} {one.name}".rstrip() for one in days)


def parse_holidays(text: str) -> tuple[Holiday, ...]:
    """Read lines of a day and its name, earliest first.

    Raises:
        LdappError: a line does not begin with a day, or a day is named twice.
    """
    days: dict[str, Holiday] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        written, _, name = line.strip().partition(" ")
        try:
            day = parse_date(written)
        except LdappError as error:
            raise LdappError(
                said(
                    "Line {number}, “{line}”, begins with no day. Expected: 2026-12-25 "
                    "Christmas Day.",
                    number=number,
                    line=line.strip(),
                )
            ) from error
        if day.isoformat() in days:
            raise LdappError(
                said("{day} is named twice. Take one of the lines off.", day=date_text(day))
            )
        days[day.isoformat()] = Holiday(day=day, name=refuse_card_numbers(name.strip()))
    return tuple(days[key] for key in sorted(days))


class HolidaysField(ComposedField):
    """Days and their names, typed or pasted; taken over when the field is left."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines = LongTextField(lines=3)
        self.lines.setPlaceholderText(said("2026-12-25 Christmas Day\none day to a line"))
        self.lines.setAccessibleName(said("Days that are no business days, one to a line"))
        self.lines.committed.connect(self._on_lines)
        self.lines.refused.connect(self.refused)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setMinimumWidth(GRID * 24)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.lines)
        self.setFocusProxy(self.lines)
        self.set_value(())

    def sizeHint(self) -> QSize:
        """Be as wide as a day with its name."""
        return QSize(GRID * 42, super().sizeHint().height())

    def set_value(self, value: tuple[Holiday, ...] | None) -> None:
        """Show days."""
        days = tuple(value or ())
        super().set_value(days)
        self.lines.set_value(holidays_text(days))
        rows = min(max(len(days) + 1, 3), _MOST_LINES)
        self.lines.setFixedHeight(self.lines.fontMetrics().lineSpacing() * rows + 16)
        self.updateGeometry()

    @Slot(object)
    def _on_lines(self, text: str) -> None:
        try:
            days = parse_holidays(text)
        except LdappError as error:
            # The text stays, so that the one wrong line can be mended.
            self.refused.emit(str(error))
            return
        self.enter(days)
        self.set_value(days)

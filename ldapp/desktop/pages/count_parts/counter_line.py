"""One line in the counter view, in type that is read at arm's length."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRegularExpression, Qt
from PySide6.QtGui import QFont, QRegularExpressionValidator
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from ldapp.casework.count_sheet import SheetRow
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.count_parts.photo_strip import PhotoStrip
from ldapp.desktop.pages.count_parts.sheet import cell_remark
from ldapp.desktop.theme import GRID, TypeSize, type_font
from ldapp.desktop.widgets.pieces import Label, Separator
from ldapp.language import marked_in, said
from ldapp.local_forms import grouped

_KEYS = (
    (marked_in("key", "Enter"), marked_in("key of the counter view", "next")),
    ("+", marked_in("key of the counter view", "one more")),
    ("←", marked_in("key of the counter view", "back")),
    ("→", marked_in("key of the counter view", "skip")),
    ("R", marked_in("key of the counter view", "rest of this place as expected")),
    ("D", marked_in("key of the counter view", "damage")),
    ("S", marked_in("key of the counter view", "serial numbers")),
    ("P", marked_in("key of the counter view", "pair new photos")),
    (marked_in("key", "Ctrl+Z"), marked_in("key of the counter view", "take back")),
    (marked_in("key", "Esc"), marked_in("key of the counter view", "back to the sheet")),
)
_NO_BREAK = "\N{NO-BREAK SPACE}"


def _keys_say() -> str:
    """Name the keys; none is parted from what it does."""
    named = (f"{said(key)}: {said(does)}" for key, does in _KEYS)
    return "     ".join(one.replace(" ", _NO_BREAK) for one in named)


def big_font(times: float, *, bold: bool = False) -> QFont:
    """Return a font several times the system's size; only the counter view is so large."""
    font = type_font(TypeSize.NORMAL, bold=bold)
    font.setPointSizeF(font.pointSizeF() * times)
    return font


class CounterLine(QWidget):
    """Where the line lives, what it is, the number, what is expected, its pictures."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 6, GRID * 3, GRID * 6, GRID * 2)
        column.setSpacing(GRID * 2)
        self.before = Label("", TypeSize.LARGE, muted=True, wrap=True)
        """What was entered for the line before."""
        column.addWidget(self.before)
        column.addStretch(1)
        self.place = Label("", TypeSize.FIGURE, muted=True)
        column.addWidget(self.place)
        self.description = Label("", wrap=True, font=big_font(3.4, bold=True))
        column.addWidget(self.description)
        self.serials = Label("", TypeSize.LARGE, muted=True, wrap=True)
        column.addWidget(self.serials)
        row = QHBoxLayout()
        row.setSpacing(GRID * 4)
        self.number = QLineEdit()
        self.number.setFont(big_font(6))
        self.number.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.number.setFixedWidth(GRID * 40)
        self.number.setAccessibleName(said("Number counted"))
        self.number.setValidator(
            QRegularExpressionValidator(QRegularExpression(r"\d{0,6}"), self.number)
        )
        row.addWidget(self.number)
        words = QVBoxLayout()
        words.setSpacing(0)
        self.expected = Label("", TypeSize.FIGURE, muted=True)
        self.difference = Label("", wrap=True, font=big_font(2.4, bold=True))
        words.addStretch(1)
        words.addWidget(self.expected)
        words.addWidget(self.difference)
        words.addStretch(1)
        row.addLayout(words, 1)
        column.addLayout(row)
        column.addStretch(1)
        self.photos = PhotoStrip(context)
        column.addWidget(self.photos)
        column.addWidget(Separator())
        column.addWidget(Label(_keys_say(), muted=True, wrap=True))

    def show_row(self, row: SheetRow, rows: Sequence[SheetRow], count: str) -> None:
        """Show a line of a count; what is expected stays hidden in a blind one until entered."""
        line, cell = row.line, row.cells[count]
        here = [one.line.id for one in rows if one.line.location == line.location]
        place = line.location or said("No place given")
        self.place.setText(
            said(
                "{place}  ·  {number} of {lines}",
                place=place,
                number=grouped(here.index(line.id) + 1),
                lines=grouped(len(here)),
            )
        )
        self.description.setText(f"{line.number}   {line.description}")
        self.serials.setText(", ".join((*line.serials, *line.asset_tags)))
        self.serials.setVisible(bool(line.serials or line.asset_tags))
        self.expected.setText(
            said("Expected: hidden (blind count)")
            if cell.hidden
            else said("Expected: {number}", number=grouped(cell.expected))
        )
        remark = cell_remark(cell)
        if cell.quantity is None:
            self.difference.setText(
                said("not counted, {remark}", remark=remark) if remark else said("not counted")
            )
            self.difference.set_tone("red" if remark else "muted")
        else:
            self.difference.setText(remark or said("as expected"))
            self.difference.set_tone("red" if remark else "muted")
        self.photos.show_line(line, cell, count)

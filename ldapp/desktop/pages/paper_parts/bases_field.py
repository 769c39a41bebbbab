"""Any number of bases of value, in the order in which the paper names them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from ldapp.claim.terms import ValueBasis
from ldapp.desktop.pages.paper_parts.words import BASES, said_choices
from ldapp.desktop.widgets.fields import ChoiceField, ComposedField
from ldapp.desktop.widgets.pieces import icon_button, link_button
from ldapp.language import said


class _BasisRow(QWidget):
    """One basis, and where it stands among the others."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        self.choice = ChoiceField(said_choices(BASES))
        self.up = icon_button("chevron_up", said("Name this basis earlier"))
        self.down = icon_button("chevron_down", said("Name this basis later"))
        self.take_off = icon_button("close", said("Take this basis off"))
        for widget in (self.choice, self.up, self.down, self.take_off):
            row.addWidget(widget)


class BasesField(ComposedField):
    """A list of bases: choose, add, take off, move."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        self.rows: list[_BasisRow] = []
        self._drafting = False
        """One more line waits for its choice."""
        self.add_button = link_button(said("or another"))
        self.add_button.setAccessibleName(said("Name one more basis of value"))
        self.add_button.clicked.connect(self._on_add)
        self._column.addWidget(self.add_button)
        self.set_value(())

    def set_value(self, value: Sequence[ValueBasis] | None) -> None:
        """Show the bases; none at all is one line that waits for its choice."""
        bases = tuple(value or ())
        super().set_value(bases)
        wanted = len(bases) + (self._drafting or not bases)
        while len(self.rows) > wanted:
            row = self.rows.pop()
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        while len(self.rows) < wanted:
            self._add_row()
        for number, row in enumerate(self.rows):
            row.choice.set_value(bases[number] if number < len(bases) else None)
            row.choice.setAccessibleName(said("Basis of value {number}", number=number + 1))
            stated = number < len(bases)
            row.up.setVisible(stated and len(bases) > 1)
            row.down.setVisible(stated and len(bases) > 1)
            row.take_off.setVisible(wanted > 1)
            row.up.setEnabled(number > 0)
            row.down.setEnabled(number < len(bases) - 1)
        self.add_button.setVisible(wanted == len(bases) < len(BASES))
        self.setFocusProxy(self.rows[0].choice)
        self.updateGeometry()

    def _add_row(self) -> None:
        row = _BasisRow()
        row.choice.committed.connect(self._on_chosen)
        row.up.clicked.connect(self._on_up)
        row.down.clicked.connect(self._on_down)
        row.take_off.clicked.connect(self._on_take_off)
        self._column.insertWidget(len(self.rows), row)
        self.rows.append(row)

    def _number(self) -> int:
        """Return in which row the widget stands that was used just now."""
        sender = self.sender()
        assert isinstance(sender, QToolButton | ChoiceField)
        return next(at for at, row in enumerate(self.rows) if sender.parent() is row)

    def _enter(self, bases: Sequence[Any]) -> None:
        bases = tuple(bases)
        before = self.value()
        self._drafting = False
        self.set_value(bases)
        if bases != before:
            self.committed.emit(bases)

    @Slot(object)
    def _on_chosen(self, basis: ValueBasis) -> None:
        number, bases = self._number(), list(self.value())
        if basis in bases and number < len(bases):
            # Naming a basis twice says nothing: the two change places.
            bases[bases.index(basis)] = bases[number]
        if number < len(bases):
            bases[number] = basis
        elif basis in bases:
            self.refused.emit(
                said("This basis is named already. Choose another, or take the line off.")
            )
            self.set_value(bases)
            return
        else:
            bases.append(basis)
        self._enter(bases)

    @Slot()
    def _on_add(self) -> None:
        self._drafting = True
        self.set_value(self.value())
        self.rows[-1].choice.setFocus()

    @Slot()
    def _on_up(self) -> None:
        self._move(self._number(), -1)

    @Slot()
    def _on_down(self) -> None:
        self._move(self._number(), 1)

    def _move(self, number: int, by: int) -> None:
        bases = list(self.value())
        bases[number], bases[number + by] = bases[number + by], bases[number]
        self._enter(bases)
        self.rows[number + by].choice.setFocus()

    @Slot()
    def _on_take_off(self) -> None:
        number = self._number()
        self._enter([basis for at, basis in enumerate(self.value()) if at != number])
        self.rows[min(number, len(self.rows) - 1)].choice.setFocus()

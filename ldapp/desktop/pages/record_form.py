"""Rows of fields over one record: shows its values and says which one was entered anew."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QComboBox, QLabel, QWidget

from ldapp.desktop.widgets.fields import ChoiceField, Field, ParsedField
from ldapp.desktop.widgets.pieces import LabelledRows
from ldapp.desktop.widgets.values import parse_decimal, plain_number

_Field = TypeVar("_Field", bound=Field)


def number_field(*, characters: int = 8) -> ParsedField:
    """Return a field for a number that is no money: hours, days, percent (Decimal)."""
    return ParsedField(parse_decimal, plain_number, characters=characters, right=True)


class _Wire(QObject):
    """Says by name which field was committed."""

    def __init__(self, name: str, form: RecordForm) -> None:
        super().__init__(form)
        self._name = name
        self._form = form

    @Slot(object)
    def commit(self, value: object) -> None:
        self._form.committed.emit(self._name, value)


class RecordForm(LabelledRows):
    """Labelled fields by name."""

    committed = Signal(str, object)
    """A field's name and the value that was entered."""
    refused = Signal(str)

    def __init__(self, parent: QWidget | None = None, *, across: int = 1) -> None:
        super().__init__(parent, across=across)
        self.fields: dict[str, Field] = {}

    def add_field(self, name: str, label: str, field: _Field, help_text: str = "") -> _Field:
        """Add a field; an ampersand in ``label`` marks its key."""
        if isinstance(field, ChoiceField):
            # A long choice is cut short rather than making the pane wider than its room.
            field.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            field.setMinimumContentsLength(9)
        wide = not isinstance(field, ParsedField) or field.sizeHint().width() > 200
        self.add(label, field, help_text, wide=wide and not self.several_across)
        field.committed.connect(_Wire(name, self).commit)
        if isinstance(field, ParsedField):
            field.refused.connect(self.refused)
        self.fields[name] = field
        return field

    def show_field(self, name: str, shown: bool) -> None:
        """Show or hide a field together with its label."""
        field = self.fields[name]
        field.setVisible(shown)
        for label in self.findChildren(QLabel):
            if label.buddy() is field:
                label.setVisible(shown)

    def show_values(self, values: Mapping[str, Any]) -> None:
        """Show these values; fields that are not named stay."""
        for name, value in values.items():
            self.fields[name].set_value(value)

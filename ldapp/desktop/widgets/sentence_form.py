"""A sentence with fields in it: "Missing units are charged at [basis] over [60] months."."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from ldapp.desktop.widgets.fields import ComposedField, Field, LongTextField, ParsedField
from ldapp.desktop.widgets.flow_layout import FlowLayout


class _Wire(QObject):
    """Says by name which field was committed."""

    def __init__(self, name: str, form: SentenceForm) -> None:
        super().__init__(form)
        self._name = name
        self._form = form

    def commit(self, value: object) -> None:
        self._form.committed.emit(self._name, value)


class SentenceForm(QWidget):
    """Words with fields between them; ``[name]`` in the sentence stands for a field."""

    committed = Signal(str, object)
    """A field's name and the value that was entered."""
    refused = Signal(str)

    def __init__(
        self, sentence: str, fields: Mapping[str, tuple[str, Field]], parent: QWidget | None = None
    ) -> None:
        """Make the sentence; ``fields`` gives each name its spoken label and its widget."""
        super().__init__(parent)
        self.fields: dict[str, Field] = {name: field for name, (_, field) in fields.items()}
        self._flow = FlowLayout(self)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        for part in re.split(r"(\[\w+\][.,;:)]?)", sentence):
            found = re.fullmatch(r"\[(\w+)\]([.,;:)]?)", part)
            if found is None:
                for word in part.split():
                    self._flow.addWidget(_word(word))
                continue
            name, after = found[1], found[2]
            label, field = fields[name]
            field.setAccessibleName(label)
            if isinstance(field, ParsedField | LongTextField | ComposedField):
                field.refused.connect(self.refused)
            field.setToolTip(label)
            wire = _Wire(name, self)
            field.committed.connect(wire.commit)
            field.setParent(self)
            self._flow.addWidget(field)
            if after:
                punctuation = _word(after)
                punctuation.setProperty("glued", True)
                self._flow.addWidget(punctuation)

    def show_values(self, values: Mapping[str, Any]) -> None:
        """Show values by field name; what is not named stays."""
        for name, value in values.items():
            field = self.fields.get(name)
            if field is not None:
                field.set_value(value)

    def values(self) -> dict[str, Any]:
        """Return what the fields hold."""
        return {name: field.value() for name, field in self.fields.items()}


def _word(text: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label

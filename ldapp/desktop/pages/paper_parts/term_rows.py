"""One row a term: its title, its sentence with fields, the clause it rests on, or "not stated"."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from ldapp.claim.clause import Clause
from ldapp.desktop.pages.paper_parts.term_fields import TermFields
from ldapp.desktop.pages.paper_parts.term_specs import (
    FieldSpec,
    TermSpec,
    Values,
    Variant,
    read_field,
    write_field,
)
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField, LongTextField, text_field, whole_field
from ldapp.desktop.widgets.pieces import Label, Separator, icon_button, link_button
from ldapp.desktop.widgets.sentence_form import SentenceForm

_TITLE_WIDTH = GRID * 18
_CLAUSE_WIDTH = GRID * 22


class ClauseFields(QWidget):
    """Where a sentence is written: its number, the page, and its words on demand."""

    committed = Signal(object)

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFixedWidth(_CLAUSE_WIDTH)
        self._clause: Clause | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        row = QHBoxLayout()
        row.setSpacing(4)
        self.reference = text_field(characters=6)
        self.reference.setPlaceholderText("clause")
        self.reference.setAccessibleName(f"{title}: number of the clause")
        self.page = whole_field(least=1)
        self.page.setPlaceholderText("page")
        self.page.setAccessibleName(f"{title}: page of the document")
        self._more = icon_button("text", f"{title}: words of the clause")
        self._more.setCheckable(True)
        self._more.toggled.connect(self._on_more)
        for widget in (self.reference, self.page, self._more):
            row.addWidget(widget)
        column.addLayout(row)
        self.words = LongTextField(lines=3)
        self.words.setPlaceholderText("words of the clause")
        self.words.setAccessibleName(f"{title}: words of the clause")
        self.words.hide()
        column.addWidget(self.words)
        for field in (self.reference, self.page, self.words):
            field.committed.connect(self._on_committed)

    def show_clause(self, clause: Clause | None) -> None:
        """Show a clause."""
        self._clause = clause
        self.reference.set_value(clause.reference if clause and clause.reference else None)
        self.page.set_value(clause.page if clause else None)
        self.words.set_value(clause.text if clause else "")

    @Slot(bool)
    def _on_more(self, shown: bool) -> None:
        self.words.setVisible(shown)

    @Slot(object)
    def _on_committed(self, value: object) -> None:
        del value
        reference = self.reference.value() or ""
        page, words = self.page.value(), self.words.value()
        document = self._clause.document if self._clause else None
        clause = None
        if reference or page or words:
            clause = Clause(reference=reference, page=page, text=words, document=document)
        self.committed.emit(clause)


class TermItem(QWidget):
    """One record of a term, or a draft of one while something it needs is missing."""

    changed = Signal(object)
    """The record."""
    removed = Signal()
    refused = Signal(str)

    def __init__(self, spec: TermSpec, makes: TermFields, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._spec = spec
        self._makes = makes
        self._variant: Variant = spec.variants[0]
        self._values: Values = {}
        self._is_draft = True
        self.forms: list[SentenceForm] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GRID)
        self._column = QVBoxLayout()
        self._column.setSpacing(6)
        row.addLayout(self._column, 1)
        self._choice: ChoiceField | None = None
        if len(spec.variants) > 1:
            self._choice = ChoiceField([(one.name, one.name) for one in spec.variants])
            self._choice.setAccessibleName(f"{spec.title}: how it is stated")
            self._choice.committed.connect(self._on_variant)
            self._column.addWidget(self._choice, 0, Qt.AlignmentFlag.AlignLeft)
        self._missing = Label("", TypeSize.SMALL, wrap=True)
        self._missing.set_tone("amber")
        self.clause = ClauseFields(spec.title)
        self.clause.committed.connect(self._on_clause)
        row.addWidget(self.clause, 0, Qt.AlignmentFlag.AlignTop)
        take_off = icon_button("close", f"Take off: {spec.title}")
        take_off.setToolTip("Take off: not stated")
        take_off.clicked.connect(self.removed)
        row.addWidget(take_off, 0, Qt.AlignmentFlag.AlignTop)

    def show_record(self, record: Any | None) -> None:
        """Show a record; None begins a draft."""
        if record is None:
            self._is_draft = True
            self._values = self._variant.defaults()
        else:
            self._is_draft = False
            found = self._spec.variant_of(record)
            if found is not self._variant:
                self._variant = found
                self._clear()
            self._values = found.values_of(record)
        self._show()

    def focus_first(self) -> None:
        """Put the focus on the first field."""
        if self.forms:
            next(iter(self.forms[0].fields.values())).setFocus()

    def focus_field(self, name: str) -> bool:
        """Put the focus on a field by its name; False where there is none."""
        for form in self.forms:
            if name in form.fields:
                form.fields[name].setFocus()
                return True
        return False

    def _clear(self) -> None:
        for form in self.forms:
            self._column.removeWidget(form)
            form.deleteLater()
        self.forms = []

    def _build(self) -> None:
        specs = {one.name: one for one in self._variant.fields}
        for sentence in self._variant.sentences:
            named = {
                name: (spec.label, self._makes.make(spec))
                for name, spec in specs.items()
                if f"[{name}]" in sentence.words
            }
            form = SentenceForm(sentence.words, named)
            form.committed.connect(self._on_committed)
            form.refused.connect(self.refused)
            self._column.addWidget(form)
            self.forms.append(form)
        self._column.removeWidget(self._missing)
        self._column.addWidget(self._missing)

    def _show(self) -> None:
        if not self.forms:
            self._build()
        if self._choice is not None:
            self._choice.set_value(self._variant.name)
        for form, sentence in zip(self.forms, self._variant.sentences, strict=True):
            form.show_values(
                {
                    spec.name: read_field(spec, self._values.get(spec.target))
                    for spec in self._variant.fields
                    if spec.name in form.fields
                }
            )
            form.setVisible(sentence.when(self._values))
        self.clause.setVisible("clause" in _attributes(self._variant))
        self.clause.show_clause(self._values.get("clause"))
        missing = [spec.label.lower() for spec in self._lacking()]
        self._missing.setText(
            f"! Not stated until it has: {', '.join(missing)}." if missing else ""
        )
        self._missing.setVisible(bool(missing) and self._is_draft)

    def _lacking(self) -> list[FieldSpec]:
        return [
            spec
            for spec in self._variant.fields
            if spec.required and self._values.get(spec.target) in (None, (), "")
        ]

    @Slot(object)
    def _on_variant(self, name: str) -> None:
        self._variant = next(one for one in self._spec.variants if one.name == name)
        kept = self._values
        self._clear()
        self._values = {
            **self._variant.defaults(),
            **{
                spec.target: kept[spec.target]
                for spec in self._variant.fields
                if kept.get(spec.target) is not None
            },
            "clause": kept.get("clause"),
        }
        self._show()
        self._offer()

    @Slot(str, object)
    def _on_committed(self, name: str, value: Any) -> None:
        spec = next(one for one in self._variant.fields if one.name == name)
        self._values = {
            **self._values,
            spec.target: write_field(spec, self._values.get(spec.target), value),
        }
        self._offer()

    @Slot(object)
    def _on_clause(self, clause: Clause | None) -> None:
        self._values = {**self._values, "clause": clause}
        self._offer()

    def _offer(self) -> None:
        record = self._variant.build(self._values)
        self._show()
        if record is not None:
            self._is_draft = False
            self.changed.emit(record)
        elif not self._is_draft:
            missing = ", ".join(spec.label.lower() for spec in self._lacking())
            self.refused.emit(
                f"{self._spec.title} needs {missing or 'more'}. The cross takes the term off."
            )


def _attributes(variant: Variant) -> frozenset[str]:
    return frozenset(getattr(variant.record, "__dataclass_fields__", {}))


class TermRow(QWidget):
    """A term with its state: stated by a sentence, or visibly not stated."""

    changed = Signal(str, object)
    """The attribute of the terms and its new value."""
    refused = Signal(str)

    def __init__(self, spec: TermSpec, makes: TermFields, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.spec = spec
        self._makes = makes
        self._value: Any = ()
        self.items: list[TermItem] = []
        self._draft: TermItem | None = None
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 4, 0, 4)
        grid.setHorizontalSpacing(GRID * 2)
        grid.setVerticalSpacing(GRID)
        title = Label(spec.title, muted=True, wrap=True)
        title.setFixedWidth(_TITLE_WIDTH)
        title.setContentsMargins(0, 4, 0, 0)
        grid.addWidget(title, 0, 0, Qt.AlignmentFlag.AlignTop)
        self._body = QVBoxLayout()
        self._body.setSpacing(GRID)
        grid.addLayout(self._body, 0, 1)
        grid.setColumnStretch(1, 1)
        self._not_stated = Label(spec.not_stated, muted=True, wrap=True)
        self._not_stated.setContentsMargins(0, 4, 0, 4)
        self.state_button = link_button(spec.add_label if spec.many else "State it")
        self.state_button.setAccessibleName(
            spec.add_label if spec.many else f"State it: {spec.title}"
        )
        self.state_button.clicked.connect(self.begin)
        foot = QHBoxLayout()
        foot.addWidget(self._not_stated, 1)
        foot.addWidget(self.state_button, 0, Qt.AlignmentFlag.AlignTop)
        self._body.addLayout(foot)
        grid.addWidget(Separator(), 1, 0, 1, 2)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)

    @property
    def is_stated(self) -> bool:
        """Whether the paper states the term, as far as it was entered."""
        return bool(self._records())

    def _records(self) -> tuple[Any, ...]:
        if self.spec.many:
            return tuple(self._value or ())
        return () if self._value is None or self._value == () else (self._value,)

    def show_value(self, value: Any) -> None:
        """Show the term as the claim has it."""
        self._value = value
        records = self._records()
        if self._draft is not None and len(records) > len(self.items):
            # The draft has become a record: it goes on as that.
            self.items.append(self._draft)
            self._draft = None
        while len(self.items) > len(records):
            self._drop(self.items.pop())
        while len(self.items) < len(records):
            self.items.append(self._make_item())
        for item, record in zip(self.items, records, strict=True):
            item.show_record(record)
        self._show_state()

    def _show_state(self) -> None:
        nothing = not self.items and self._draft is None
        self._not_stated.setVisible(nothing)
        self.state_button.setVisible(nothing or (self.spec.many and self._draft is None))

    def _make_item(self) -> TermItem:
        item = TermItem(self.spec, self._makes)
        item.changed.connect(self._on_changed)
        item.removed.connect(self._on_removed)
        item.refused.connect(self.refused)
        self._body.insertWidget(self._body.count() - 1, item)
        return item

    def _drop(self, item: TermItem) -> None:
        self._body.removeWidget(item)
        item.hide()
        item.deleteLater()

    @Slot()
    def begin(self) -> None:
        """Begin to state the term; it is stated once it has what it needs."""
        if self._draft is None:
            self._draft = self._make_item()
            self._draft.show_record(None)
            self._show_state()
            record = self.spec.variants[0].build(self.spec.variants[0].defaults())
            self._draft.focus_first()
            if record is not None:
                self._tell(self._draft, record)

    @Slot(object)
    def _on_changed(self, record: Any) -> None:
        item = self.sender()
        if isinstance(item, TermItem):
            self._tell(item, record)

    def _tell(self, item: TermItem, record: Any) -> None:
        if not self.spec.many:
            self.changed.emit(self.spec.attribute, record)
            return
        records = list(self._records())
        if item in self.items:
            records[self.items.index(item)] = record
        else:
            records.append(record)
        self.changed.emit(self.spec.attribute, tuple(records))

    @Slot()
    def _on_removed(self) -> None:
        item = self.sender()
        if item is self._draft:
            self._drop(self._draft)
            self._draft = None
            self._show_state()
            return
        if not self.spec.many:
            self.changed.emit(self.spec.attribute, None)
            return
        records = tuple(
            record
            for one, record in zip(self.items, self._records(), strict=True)
            if one is not item
        )
        self.changed.emit(self.spec.attribute, records)

    def focus_term(self) -> None:
        """Put the focus on the term's first field, or on "State it"."""
        if self.items:
            self.items[0].focus_first()
        else:
            self.state_button.setFocus()

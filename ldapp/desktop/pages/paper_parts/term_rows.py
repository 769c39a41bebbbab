"""One row a term: its title, its sentence with fields, the clause it rests on, or "not stated"."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QBoxLayout,
    QGridLayout,
    QHBoxLayout,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from ldapp.claim.clause import Clause
from ldapp.desktop.pages.paper_parts.clause_fields import ClauseFields
from ldapp.desktop.pages.paper_parts.term_fields import TermFields
from ldapp.desktop.pages.paper_parts.term_specs import (
    TermSpec,
    Values,
    Variant,
)
from ldapp.desktop.pages.paper_parts.words import within_a_sentence
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import Label, Separator, icon_button, link_button
from ldapp.desktop.widgets.sentence_form import SentenceForm
from ldapp.language import said

_TITLE_WIDTH = GRID * 18
_ANY_WIDTH = 16_777_215
"""Qt's own bound for a widget's width."""


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
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(GRID)
        self._grid.setColumnStretch(0, 1)
        self._column = QVBoxLayout()
        self._column.setSpacing(6)
        self._grid.addLayout(self._column, 0, 0)
        self._choice: ChoiceField | None = None
        if len(spec.variants) > 1:
            self._choice = ChoiceField([(one.name, said(one.name)) for one in spec.variants])
            self._choice.setAccessibleName(said("{term}: how it is stated", term=said(spec.title)))
            self._choice.committed.connect(self._on_variant)
            self._column.addWidget(self._choice, 0, Qt.AlignmentFlag.AlignLeft)
        self._missing = Label("", TypeSize.SMALL, wrap=True)
        self._missing.set_tone("amber")
        self.clause = ClauseFields(said(spec.title), makes)
        self.clause.committed.connect(self._on_clause)
        self.clause.refused.connect(self.refused)
        self._grid.addWidget(self.clause, 0, 1, Qt.AlignmentFlag.AlignTop)
        take_off = icon_button("close", said("Take off: {term}", term=said(spec.title)))
        take_off.setToolTip(said("Take off: not stated"))
        take_off.clicked.connect(self.removed)
        self._grid.addWidget(take_off, 0, 2, Qt.AlignmentFlag.AlignTop)

    def stack(self, *, narrow: bool) -> None:
        """Put the clause below the sentence, or beside it."""
        place = (1, 0) if narrow else (0, 1)
        self._grid.removeWidget(self.clause)
        side = Qt.AlignmentFlag.AlignLeft if narrow else Qt.AlignmentFlag.AlignTop
        self._grid.addWidget(self.clause, *place, side)

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
            words = said(sentence.words)
            named = {
                name: (said(spec.label), self._makes.make(spec))
                for name, spec in specs.items()
                if f"[{name}]" in words
            }
            form = SentenceForm(words, named)
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
            for spec in self._variant.fields:
                if spec.name in form.fields:
                    self._makes.offer(spec, form.fields[spec.name])
            form.show_values(
                {
                    spec.name: self._values.get(spec.name)
                    for spec in self._variant.fields
                    if spec.name in form.fields
                }
            )
            form.setVisible(sentence.when(self._values))
        self.clause.setVisible("clause" in _attributes(self._variant))
        self.clause.set_value(self._values.get("clause"))
        missing = self._lacking()
        self._missing.setText(
            said("! Not stated until it has: {fields}.", fields=missing) if missing else ""
        )
        self._missing.setVisible(bool(missing) and self._is_draft)

    def _lacking(self) -> str:
        """Return the names of the fields that the record needs and that are empty."""
        return ", ".join(
            within_a_sentence(said(spec.label))
            for spec in self._variant.fields
            if spec.required and self._values.get(spec.name) in (None, (), "")
        )

    @Slot(object)
    def _on_variant(self, name: str) -> None:
        self._variant = next(one for one in self._spec.variants if one.name == name)
        kept = self._values
        self._clear()
        self._values = {
            **self._variant.defaults(),
            **{
                spec.name: kept[spec.name]
                for spec in self._variant.fields
                if kept.get(spec.name) is not None
            },
            "clause": kept.get("clause"),
        }
        self._show()
        self._offer()

    @Slot(str, object)
    def _on_committed(self, name: str, value: Any) -> None:
        spec = next(one for one in self._variant.fields if one.name == name)
        self._values = {**self._values, spec.name: value}
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
            title, missing = said(self._spec.title), self._lacking()
            self.refused.emit(
                said(
                    "{term} needs {fields}. The cross takes the term off.",
                    term=title,
                    fields=missing,
                )
                if missing
                else said("{term} needs more. The cross takes the term off.", term=title)
            )


def _attributes(variant: Variant) -> frozenset[str]:
    plain = getattr(variant.record, "_fields", ())
    return frozenset((*getattr(variant.record, "__dataclass_fields__", {}), *plain))


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
        self._narrow = False
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 4)
        whole.setSpacing(GRID)
        self._across = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._across.setSpacing(GRID * 2)
        self._title = Label(said(spec.title), muted=True, wrap=True)
        self._title.setFixedWidth(_TITLE_WIDTH)
        self._title.setContentsMargins(0, 4, 0, 0)
        self._across.addWidget(self._title, 0, Qt.AlignmentFlag.AlignTop)
        self._body = QVBoxLayout()
        # Several records of one term stand apart from each other.
        self._body.setSpacing(GRID * 3 if spec.many else GRID)
        self._across.addLayout(self._body, 1)
        whole.addLayout(self._across)
        self._not_stated = Label(said(spec.not_stated), muted=True, wrap=True)
        self._not_stated.setContentsMargins(0, 4, 0, 4)
        self.state_button = link_button(said(spec.add_label) if spec.many else said("State it"))
        self.state_button.setAccessibleName(
            said(spec.add_label) if spec.many else said("State it: {term}", term=said(spec.title))
        )
        self.state_button.clicked.connect(self.begin)
        foot = QHBoxLayout()
        foot.addWidget(self._not_stated, 1)
        foot.addWidget(self.state_button, 0, Qt.AlignmentFlag.AlignTop)
        self._body.addLayout(foot)
        whole.addWidget(Separator())
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)

    def stack(self, *, narrow: bool) -> None:
        """Put title, sentence and clause below each other, or side by side."""
        if narrow == self._narrow:
            return
        self._narrow = narrow
        self._title.setMinimumWidth(0 if narrow else _TITLE_WIDTH)
        self._title.setMaximumWidth(_ANY_WIDTH if narrow else _TITLE_WIDTH)
        direction = QBoxLayout.Direction
        self._across.setDirection(direction.TopToBottom if narrow else direction.LeftToRight)
        self._across.setSpacing(4 if narrow else GRID * 2)
        for item in (*self.items, *((self._draft,) if self._draft else ())):
            item.stack(narrow=narrow)

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
        item.stack(narrow=self._narrow)
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

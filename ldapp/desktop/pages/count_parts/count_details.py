"""What is said of one count: stage, time, place, people, acknowledgement."""

from __future__ import annotations

from functools import partial
from typing import Any, get_args

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QScrollArea, QWidget

from ldapp.casework import counts
from ldapp.casework.count_sheet import SheetRow, progress_of
from ldapp.casework.counts import STAGE_NAMES
from ldapp.casework.edit import find
from ldapp.claim.counts import Acknowledgement, Count, Stage
from ldapp.claim.record import with_fields
from ldapp.claim.signed_counts import changed_words
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.pages.count_parts.signed_change import change_count
from ldapp.desktop.pages.paper_parts.facts_panel import parse_position, position_text
from ldapp.desktop.pages.said import first_upper
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    Field,
    ParsedField,
    SwitchField,
    instant_field,
    text_field,
)
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import marked, said
from ldapp.local_forms import grouped

STAGES: tuple[Stage, ...] = get_args(Stage)
ACKNOWLEDGEMENT_LABELS: dict[Acknowledgement, str] = {
    "signed_by_both": marked("signed by both"),
    "on_company_ticket": marked("on the company's own ticket"),
    "one_side_with_photos": marked("by one side, with photos"),
    "emailed_same_day": marked("e-mailed the same day"),
    "one_side": marked("by one side"),
    "refused_to_sign": marked("refused to sign"),
    "none": marked("not acknowledged"),
}
_TEXTS = ("place", "counted_by", "witness", "acknowledged_by", "note")


class CountDetails(QScrollArea):
    """Fields of the count whose column has the cursor."""

    counter_wanted = Signal(str)
    sign_wanted = Signal(str)

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._count: str | None = None
        self._rows: tuple[SheetRow, ...] = ()
        self.setAccessibleName(said("This count"))
        self.setWidgetResizable(True)
        body = QWidget()
        self.setWidget(body)
        grid = QGridLayout(body)
        grid.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        grid.setHorizontalSpacing(GRID * 2)
        grid.setVerticalSpacing(GRID)
        self.fields: dict[str, Field] = {
            "stage": ChoiceField([(one, said(STAGE_NAMES[one])) for one in STAGES]),
            "at": instant_field(self._zone),
            "until": instant_field(self._zone),
            "place": text_field(),
            "position": ParsedField(parse_position, position_text, characters=22),
            "counted_by": text_field(),
            "witness": text_field(),
            "acknowledgement": ChoiceField(
                [(one, said(label)) for one, label in ACKNOWLEDGEMENT_LABELS.items()]
            ),
            "acknowledged_by": text_field(),
            "refused_at": instant_field(self._zone),
            "document": ChoiceField(),
            "note": text_field(),
        }
        labels = {
            "stage": said("&Stage"),
            "at": said("&When"),
            "until": said("Unti&l"),
            "place": said("&Place"),
            "position": said("Pos&ition"),
            "counted_by": said("C&ounted by"),
            "witness": said("Wi&tness"),
            "acknowledgement": said("&Acknowledged"),
            "acknowledged_by": said("&By whom"),
            "refused_at": said("Re&fused at"),
            "document": said("Co&unt sheet"),
            "note": said("&Note"),
        }
        for number, (name, field) in enumerate(self.fields.items()):
            label = QLabel(labels[name])
            label.setProperty("muted", True)
            label.setBuddy(field)
            field.setAccessibleName(labels[name].replace("&", ""))
            field.setProperty("attribute", name)
            field.committed.connect(self._on_committed)
            if isinstance(field, ParsedField):
                field.refused.connect(context.refuse)
            row, across = number // 3, number % 3 * 2
            field.setMinimumWidth(GRID * 8)
            grid.addWidget(label, row, across)
            grid.addWidget(field, row, across + 1)
        for column in (1, 3, 5):
            grid.setColumnStretch(column, 1)
        foot = QHBoxLayout()
        foot.setSpacing(GRID)
        self.blind = SwitchField(said("Blind count"))
        self.blind.committed.connect(self._on_blind)
        self.blind.setToolTip(said("What is expected stays hidden until a line has been entered."))
        foot.addWidget(self.blind)
        self._progress = Label("", muted=True)
        foot.addWidget(self._progress, 1)
        for text, icon_name, slot in (
            (said("Remove"), "delete", self._on_remove),
            (said("Sign…"), "sign", self._on_sign),
            (said("Counter view"), "counter", self._on_counter),
        ):
            button = QPushButton(text)
            keep_icon(button, icon_name)
            button.clicked.connect(slot)
            foot.addWidget(button)
        grid.addLayout(foot, 4, 0, 1, 6)
        self.changed = Label("", wrap=True)
        self.changed.set_tone("amber")
        grid.addWidget(self.changed, 5, 0, 1, 6)
        grid.setRowStretch(6, 1)

    def _zone(self) -> str:
        return self.context.claim.zone

    def count(self) -> Count | None:
        """Return the count shown, as it is in the claim now."""
        return find(self.context.claim.counts, self._count)

    def show_count(self, count: Count | None, rows: tuple[SheetRow, ...] = ()) -> None:
        """Show another count, or the same one after a change."""
        self._count = count.id if count else None
        self._rows = rows
        self.setEnabled(count is not None)
        if count is None:
            return
        document = self.fields["document"]
        assert isinstance(document, ChoiceField)
        document.set_choices(
            [(None, said("not attached")), *((d.id, d.title) for d in self.context.claim.documents)]
        )
        for name, field in self.fields.items():
            value = getattr(count, name)
            field.set_value(None if value == "" else value)
        self.fields["refused_at"].setEnabled(count.acknowledgement == "refused_to_sign")
        self.blind.set_value(count.blind)
        done = progress_of(rows, count.id)
        counted, lines = grouped(done.counted), grouped(done.lines)
        if not count.blind or done.counted == done.lines:
            words = said(
                "{counted} of {lines} lines counted, {short} short, {over} over",
                counted=counted,
                lines=lines,
                short=grouped(done.short),
                over=grouped(done.over),
            )
        else:
            words = said("{counted} of {lines} lines counted", counted=counted, lines=lines)
        self._progress.setText(words)
        changed = changed_words(count, self.context.claim.kit)
        self.changed.setText(f"! {first_upper(changed)}." if changed else "")
        self.changed.setVisible(bool(changed))

    def focus_field(self, name: str) -> None:
        """Give a field the focus."""
        if name in self.fields:
            self.ensureWidgetVisible(self.fields[name])
            self.fields[name].setFocus()

    @Slot(object)
    def _on_committed(self, value: Any) -> None:
        field, count = self.sender(), self.count()
        if field is None or count is None:
            return
        name = str(field.property("attribute"))
        if name in _TEXTS:
            value = value or ""
        self._put(with_fields(count, **{name: value}))

    @Slot(object)
    def _on_blind(self, blind: bool) -> None:
        count = self.count()
        if count is not None:
            self._put(with_fields(count, blind=blind))

    def _put(self, count: Count) -> None:
        if change_count(self.context, self, counts.put_count, count) is None:
            self.show_count(self.count(), self._rows)

    @Slot()
    def _on_remove(self) -> None:
        if self._count is not None:
            self.context.attempt(partial(counts.remove_count, self.context.desk, self._count))

    @Slot()
    def _on_sign(self) -> None:
        if self._count is not None:
            self.sign_wanted.emit(self._count)

    @Slot()
    def _on_counter(self) -> None:
        if self._count is not None:
            self.counter_wanted.emit(self._count)

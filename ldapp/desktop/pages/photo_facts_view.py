"""Beside the grid: what the file says, what was concluded and why, and what people said."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import (
    QFont,
    QPainter,
    QPaintEvent,
    QTextBlockFormat,
    QTextCharFormat,
    QTextCursor,
)
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import photos as work
from ldapp.casework.edit import find
from ldapp.claim.photo_facts import STANDING_SAYS, PhotoVerdict
from ldapp.claim.photos import Pairing, PairingWay, Photo
from ldapp.claim.record import with_fields
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.photo_facts_text import file_facts, verdict_facts, weight_text
from ldapp.desktop.pages.record_form import RecordForm
from ldapp.desktop.pages.said import count_text, finding_text, line_text
from ldapp.desktop.pages.standing_mark import draw_standing, standing_colour
from ldapp.desktop.theme import GRID, TypeSize, colour
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    LongTextField,
    SwitchField,
    date_field,
    text_field,
)
from ldapp.desktop.widgets.pieces import Label, Section, icon_button
from ldapp.language import marked, said, said_of

WAY_SAYS: dict[PairingWay, str] = {
    "by_hand": marked("by hand"),
    "code": marked("code"),
    "tag_sequence": marked("tag sequence"),
    "time": marked("time"),
    "name": marked("name"),
    "serial": marked("serial"),
}
"""How a photo came to be paired, where no reason was written down."""


class StandingLine(QWidget):
    """The mark of a standing beside its words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._verdict: PhotoVerdict | None = None
        row = QHBoxLayout(self)
        row.setContentsMargins(28, 0, 0, 0)
        self._label = Label("", bold=True, wrap=True)
        row.addWidget(self._label, 1)

    def show_verdict(self, verdict: PhotoVerdict | None) -> None:
        """Show a verdict's standing."""
        self._verdict = verdict
        self._label.setText(
            said(STANDING_SAYS[verdict.standing]) if verdict else said("being verified")
        )
        standing = verdict.standing if verdict else None
        self._label.set_tone(
            "red"
            if standing == "contradicted"
            else "amber"
            if standing in ("open", "none")
            else None
        )
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the mark."""
        del event
        painter = QPainter(self)
        standing = self._verdict.standing if self._verdict else None
        box = self.rect().toRectF()
        box.setWidth(16)
        box.setHeight(16)
        box.moveCenter(self.rect().toRectF().center())
        box.moveLeft(4)
        draw_standing(painter, box, standing, standing_colour(standing, self.palette()))
        painter.end()


class FactsText(QTextBrowser):
    """Facts as plain text: whatever a file says is shown as it is, never as markup."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setOpenLinks(False)
        self.setTabChangesFocus(True)

    def show_verdict_and_facts(self, photo: Photo, verdict: PhotoVerdict | None) -> None:
        """Write the summary, the reasons in order of strength, and the file's own words."""
        self.clear()
        cursor = QTextCursor(self.document())
        plain, muted, bold = QTextCharFormat(), QTextCharFormat(), QTextCharFormat()
        close, apart = QTextBlockFormat(), QTextBlockFormat()
        apart.setBottomMargin(GRID // 2)
        muted.setForeground(colour("muted"))
        bold.setFontWeight(QFont.Weight.DemiBold)
        if verdict is not None:
            cursor.insertText(f"{verdict.summary}\n\n", plain)
            cursor.insertText(said("Why, strongest first") + "\n", bold)
            for reason in verdict.reasons:
                cursor.setBlockFormat(apart)
                cursor.insertText(f"{weight_text(reason.weight)}: ", muted)
                cursor.insertText(f"{reason.says}\n", plain)
            cursor.setBlockFormat(close)
            if not verdict.reasons:
                cursor.insertText(said("No rule found anything.") + "\n", muted)
            cursor.insertText("\n" + said("The time") + "\n", bold)
            self._rows(cursor, verdict_facts(verdict), plain, muted)
        cursor.insertText("\n" + said("What the file says") + "\n", bold)
        self._rows(cursor, file_facts(photo), plain, muted)
        self.moveCursor(QTextCursor.MoveOperation.Start)

    def _rows(
        self,
        cursor: QTextCursor,
        rows: Iterable[tuple[str, str]],
        plain: QTextCharFormat,
        muted: QTextCharFormat,
    ) -> None:
        for label, value in rows:
            cursor.insertText(f"{label}: ", muted)
            cursor.insertText(f"{value}\n", plain)


class PairingRow(QWidget):
    """One pairing: line, count, why, whether it is a close-up, and how to take it back."""

    changed = Signal(object, object)
    """The pairing as it was and as it should be; None takes it back."""

    def __init__(self, context: ClaimContext, pairing: Pairing, parent: QWidget) -> None:
        super().__init__(parent)
        self._pairing = pairing
        claim = context.claim
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GRID)
        column = QVBoxLayout()
        column.setSpacing(0)
        name = line_text(find(claim.kit, pairing.line))
        column.addWidget(Label(name, wrap=True))
        why = pairing.reason or said(WAY_SAYS[pairing.way])
        finding = finding_text(claim, find(claim.findings, pairing.finding))
        parts = [count_text(find(claim.counts, pairing.count)), why, finding]
        column.addWidget(
            Label(", ".join(one for one in parts if one), TypeSize.SMALL, muted=True, wrap=True)
        )
        row.addLayout(column, 1)
        self.close_up = SwitchField(said("close-up"))
        self.close_up.setAccessibleName(said("Close-up of {name}", name=name))
        self.close_up.set_value(pairing.close_up)
        self.close_up.committed.connect(self._on_close_up)
        row.addWidget(self.close_up)
        remove = icon_button("unlink", said("Unpair from {name}", name=name))
        remove.clicked.connect(self._on_remove)
        row.addWidget(remove)

    @Slot(object)
    def _on_close_up(self, on: object) -> None:
        self.changed.emit(self._pairing, dataclasses.replace(self._pairing, close_up=bool(on)))

    @Slot()
    def _on_remove(self) -> None:
        self.changed.emit(self._pairing, None)


class PhotoFactsView(QScrollArea):
    """The facts pane: for one photo everything, for several what can be said of all of them."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._photos: tuple[Photo, ...] = ()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setMinimumWidth(GRID * 36)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(said("Facts of the chosen photos"))
        body = QWidget()
        self._column = QVBoxLayout(body)
        self._column.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        self._column.setSpacing(GRID)
        self.setWidget(body)
        self._name = Label("", TypeSize.LARGE, bold=True, wrap=True)
        self._standing = StandingLine()
        self._column.addWidget(self._name)
        self._column.addWidget(self._standing)
        self._text = FactsText(said("Verdict and facts"))
        self._text.setMinimumHeight(GRID * 30)
        self._pairings = Section(said("Shows"))
        self._said = Section(said("What people say"))
        self._form = self._make_form()
        self._said.body.addWidget(self._form)
        self._column.addWidget(self._text, 1)
        self._column.addWidget(self._pairings)
        self._column.addWidget(self._said)
        self._column.addStretch()
        self.show_photos(())

    def _make_form(self) -> RecordForm:
        form = RecordForm()
        self._count = ChoiceField()
        form.add_field("count", said("&Taken at count"), self._count)
        form.add_field("left_out", said("Dossier"), SwitchField(said("Leave o&ut")))
        form.add_field(
            "withhold_position",
            said("Position"),
            SwitchField(said("Withhol&d")),
            said("It does not travel along."),
        )
        form.add_field(
            "confirmed_by",
            said("Confirmed b&y"),
            text_field(characters=18),
            said("A person of the other side."),
        )
        form.add_field("confirmed_on", said("Confirmed &on"), date_field())
        form.add_field("taken_by", said("&Photographer"), text_field(characters=18))
        form.add_field(
            "statement",
            said("&Statement"),
            LongTextField(lines=2),
            said("Recorded beside the file's own time, never mixed in."),
        )
        form.add_field("note", said("&Note"), LongTextField(lines=2))
        form.committed.connect(self._on_committed)
        form.refused.connect(self._context.message)
        return form

    @property
    def photos(self) -> tuple[Photo, ...]:
        """The photos that are described."""
        return self._photos

    def show_photos(self, photos: tuple[Photo, ...]) -> None:
        """Describe these photos."""
        self._photos = photos
        one = photos[0] if len(photos) == 1 else None
        verdict = self._context.verdicts.get(one.id) if one else None
        if one is not None:
            self._name.setText(one.name)
            self._standing.show_verdict(verdict)
            self._text.show_verdict_and_facts(one, verdict)
        else:
            self._name.setText(
                said_of(len(photos), "{count} photo chosen", "{count} photos chosen")
                if photos
                else said("Choose a photo to read its facts")
            )
        self._standing.setVisible(one is not None)
        self._text.setVisible(one is not None)
        self._said.setVisible(bool(photos))
        self._show_pairings(one)
        if photos:
            self._show_said(photos)

    def _show_pairings(self, photo: Photo | None) -> None:
        while (item := self._pairings.body.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._pairings.setVisible(photo is not None)
        if photo is None:
            return
        for pairing in photo.pairings:
            row = PairingRow(self._context, pairing, self._pairings)
            row.changed.connect(self._on_pairing)
            self._pairings.body.addWidget(row)
        if not photo.pairings:
            self._pairings.body.addWidget(
                Label(said("Not paired with a line. Press P to choose one."), muted=True, wrap=True)
            )

    def _show_said(self, photos: tuple[Photo, ...]) -> None:
        claim = self._context.claim
        self._count.set_choices(
            [(None, said("not said")), *((one.id, count_text(one)) for one in claim.counts)]
        )
        values: dict[str, Any] = {
            name: _common(getattr(photo, name) for photo in photos) for name in self._form.fields
        }
        for name in ("confirmed_by", "taken_by"):
            values[name] = values[name] or None
        self._form.show_values(values)
        for name in ("statement", "note", "taken_by"):
            self._form.fields[name].setEnabled(len(photos) == 1)

    @Slot(str, object)
    def _on_committed(self, name: str, value: object) -> None:
        photos = self._photos
        ids = tuple(photo.id for photo in photos)
        desk, attempt = self._context.desk, self._context.attempt
        if not photos:
            return
        if name == "count":
            count = value if isinstance(value, str) else None
            attempt(lambda: work.set_count(desk, ids, count))
        elif name == "left_out":
            attempt(lambda: work.set_left_out(desk, ids, bool(value)))
        elif name == "withhold_position":
            attempt(lambda: work.set_withhold_position(desk, ids, bool(value)))
        elif name in ("confirmed_by", "confirmed_on"):
            by = str(self._form.fields["confirmed_by"].value() or "")
            day = self._form.fields["confirmed_on"].value()
            on = day if isinstance(day, dt.date) else None
            attempt(lambda: work.confirm_photos(desk, ids, by, on))
        else:
            changed = with_fields(photos[0], **{name: value or ""})
            attempt(lambda: work.put_photo(desk, changed))

    @Slot(object, object)
    def _on_pairing(self, before: Pairing, after: Pairing | None) -> None:
        if len(self._photos) != 1:
            return
        photo = self._photos[0]
        kept = tuple(after if one == before else one for one in photo.pairings)
        pairings = tuple(one for one in kept if one is not None)
        self._context.attempt(
            lambda: work.put_photo(
                self._context.desk,
                dataclasses.replace(photo, pairings=pairings),
                said("Unpair") if after is None else said("Close-up"),
            )
        )


def _common(values: Iterable[Any]) -> Any:
    """Return the value that all share, or None."""
    distinct = list(dict.fromkeys(values))
    return distinct[0] if len(distinct) == 1 else None

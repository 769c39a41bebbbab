"""A picture of a trusted clock: what it says of the camera's clock, shown before it counts."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from ldapp.casework import photos as work
from ldapp.casework.clock_corrections import Effect, correction_from, effects_of
from ldapp.claim.photo_facts import STANDING_SAYS
from ldapp.claim.photos import ClockCorrection, Photo
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.record_form import RecordForm
from ldapp.desktop.pages.said import device_text, moment_text, taken_text
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import instant_field, text_field, whole_field
from ldapp.desktop.widgets.pieces import Label, icon_button, primary_button
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import marked, said, said_of
from ldapp.local_forms import local_number


class EffectRow(NamedTuple):
    """What accepting would change for one photo."""

    key: str
    name: str
    before: str
    after: str


COLUMNS: tuple[Column[EffectRow], ...] = (
    Column(name="name", title=marked("Photo"), text=lambda row: row.name, width=14),
    Column(name="before", title=marked("Now"), text=lambda row: row.before, width=40),
    Column(name="after", title=marked("With the reference"), text=lambda row: row.after, width=46),
)


class ClockReferencePanel(QWidget):
    """Enter what the trusted clock showed, see what that changes, accept."""

    closed = Signal()
    picture_wanted = Signal(str)
    """The id of the photo, to be seen large."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._photo: Photo | None = None
        self._correction: ClockCorrection | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID)
        top = QHBoxLayout()
        self._title = Label(said("Reference picture of a trusted clock"), TypeSize.LARGE, bold=True)
        top.addWidget(self._title, 1)
        close = icon_button("close", said("Close the reference picture"))
        close.clicked.connect(self._close)
        top.addWidget(close)
        column.addLayout(top)
        whose = QHBoxLayout()
        whose.setSpacing(GRID)
        self._says = Label("", wrap=True)
        whose.addWidget(self._says, 1)
        self.look = QPushButton(said("&Look at the picture"))
        keep_icon(self.look, "eye")
        self.look.setToolTip(said("See the clock large; what is entered here stays."))
        self.look.clicked.connect(self._on_look)
        whose.addWidget(self.look)
        column.addLayout(whose)
        self.form = RecordForm()
        self.form.add_field(
            "reference_time",
            said("True &time on the picture"),
            instant_field(lambda: context.claim.zone),
            said("What the trusted clock in the picture shows: day, time and offset."),
        )
        self.form.add_field("accuracy", said("Read to within (&seconds)"), whole_field(least=1))
        self.form.add_field(
            "reference",
            said("Which cloc&k"),
            text_field(characters=28),
            said("For instance: station clock."),
        )
        self.form.add_field(
            "valid_from",
            said("Holds &from"),
            instant_field(lambda: context.claim.zone),
            said("Empty: for all photos of this camera within seven days."),
        )
        self.form.add_field(
            "valid_until", said("Holds &until"), instant_field(lambda: context.claim.zone)
        )
        self.form.committed.connect(self._on_committed)
        self.form.refused.connect(context.message)
        column.addWidget(self.form)
        self._effect = Label("", muted=True, wrap=True)
        column.addWidget(self._effect)
        self.model: RowsModel[EffectRow] = RowsModel(COLUMNS, lambda row: row.key, parent=self)
        self.table = TableView(said("What the reference changes"))
        self.table.setModel(self.model)
        self.table.setMinimumHeight(GRID * 14)
        column.addWidget(self.table, 1)
        column.addStretch(0)
        buttons = QHBoxLayout()
        self.accept = primary_button(said("&Accept the reference"))
        self.remove = QPushButton(said("Re&move the accepted reference"))
        buttons.addStretch(1)
        buttons.addWidget(self.remove)
        buttons.addWidget(self.accept)
        column.addLayout(buttons)
        self.accept.clicked.connect(self._on_accept)
        self.remove.clicked.connect(self._on_remove)

    def show_photo(self, photo: Photo) -> None:
        """Begin with this picture of a clock."""
        self._photo = photo
        known = next(
            (one for one in self._context.claim.clock_corrections if one.photo == photo.id), None
        )
        self._correction = known
        verdict = self._context.verdicts.get(photo.id)
        self._says.setText(
            said(
                "{photo}, {camera}: the camera says {time}.",
                photo=photo.name,
                camera=device_text(photo.facts),
                time=taken_text(verdict),
            )
        )
        self.form.show_values(
            {
                "reference_time": known.reference_time if known else None,
                "accuracy": known.reading_accuracy_s if known else 1,
                "reference": known.reference if known else None,
                "valid_from": known.valid_from if known else None,
                "valid_until": known.valid_until if known else None,
            }
        )
        self.remove.setVisible(known is not None)
        self._preview()

    @Slot(str, object)
    def _on_committed(self, name: str, value: object) -> None:
        del name, value
        self._preview()

    def _entered(self) -> ClockCorrection | None:
        fields = self.form.fields
        at = fields["reference_time"].value()
        if self._photo is None or not isinstance(at, dt.datetime):
            return None
        photo = self._photo
        accuracy = fields["accuracy"].value()
        begin, end = fields["valid_from"].value(), fields["valid_until"].value()
        return self._context.attempt(
            lambda: correction_from(
                photo,
                at,
                accuracy_s=accuracy if isinstance(accuracy, int) else 1,
                reference=str(fields["reference"].value() or ""),
                valid_from=begin if isinstance(begin, dt.datetime) else None,
                valid_until=end if isinstance(end, dt.datetime) else None,
                replaces=self._correction,
            )
        )

    def _preview(self) -> None:
        correction = self._entered()
        self.accept.setEnabled(False)
        if correction is None:
            self.model.set_rows(())
            self.table.hide()
            self._effect.setText(said("Enter the true time to see which photos it corrects."))
            return
        claim = self._context.claim

        def compute(progress: Progress) -> tuple[ClockCorrection, tuple[Effect, ...]]:
            del progress
            return correction, effects_of(claim, correction)

        job = self._context.jobs.run(said("Effect of the reference"), compute, self._on_effects)
        job.failed.connect(self._context.failed)

    @Slot(object)
    def _on_effects(self, outcome: tuple[ClockCorrection, tuple[Effect, ...]]) -> None:
        correction, effects = outcome
        names = {photo.id: photo.name for photo in self._context.claim.photos}
        self.model.set_rows(
            EffectRow(
                one.photo,
                names.get(one.photo, ""),
                f"{taken_text(one.before)}, {said(STANDING_SAYS[one.before.standing])}",
                f"{moment_text(one.after.corrected_utc) or taken_text(one.after)}, "
                f"{said(STANDING_SAYS[one.after.standing])}",
            )
            for one in effects
        )
        self.table.setVisible(bool(effects))
        error = correction.camera_time - correction.reference_time.replace(tzinfo=None)
        seconds = error.total_seconds()
        off = local_number(f"{abs(seconds):,.0f}")
        if seconds >= 0:
            clock = said(
                "The camera's clock was {seconds} s fast against this clock as it shows "
                "local time.",
                seconds=off,
            )
        else:
            clock = said(
                "The camera's clock was {seconds} s slow against this clock as it shows "
                "local time.",
                seconds=off,
            )
        changes = said_of(
            len(effects),
            "It changes {count} photo; nothing is written yet.",
            "It changes {count} photos; nothing is written yet.",
        )
        self._effect.setText(f"{clock} {changes}")
        self.accept.setEnabled(True)

    @Slot()
    def _on_look(self) -> None:
        if self._photo is not None:
            self.picture_wanted.emit(self._photo.id)

    @Slot()
    def _on_accept(self) -> None:
        correction = self._entered()
        if correction is not None and self._context.attempt(
            lambda: work.put_clock_correction(self._context.desk, correction)
        ):
            self._close()

    @Slot()
    def _on_remove(self) -> None:
        known = self._correction
        if known is not None:
            self._context.attempt(
                lambda: work.remove_clock_correction(self._context.desk, known.id)
            )
            self._close()

    @Slot()
    def _close(self) -> None:
        self.hide()
        self.closed.emit()

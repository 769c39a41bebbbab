"""The left side of the Dossier page: what is written, what is missing first, what to do with it."""

from __future__ import annotations

import datetime as dt

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import dossier as work
from ldapp.casework.cautions import cautions_before_sending
from ldapp.desktop.pages.dossier_points import POINT_COLUMNS, Point
from ldapp.desktop.pages.record_form import RecordForm
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    SwitchField,
    date_field,
    text_field,
    whole_field,
)
from ldapp.desktop.widgets.pieces import Label, Section, Separator, primary_button
from ldapp.desktop.widgets.table_model import RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import language, marked, own_name, said
from ldapp.language import languages as known_languages

VERSIONS: tuple[work.Version, ...] = ("insurer", "dispute", "photos", "counts")
_MEGABYTE = 1_000_000
_LARGEST_FILE_SAYS = marked(
    "Photos are made smaller to keep to it, then the dossier is written in volumes."
)
_SERIALS_SAY = marked(
    "In the insurer's statement of loss. The rental company is never told them, and they "
    "never travel in a picture."
)
_STAGES: list[tuple[work.CountSheetStage, str]] = [
    ("pickup", marked("pickup")),
    ("during", marked("during the job")),
    ("return", marked("return")),
]

_ONLY_FOR: dict[str, tuple[work.Version, ...]] = {
    "agreement": ("dispute",),
    "stage": ("counts",),
    "device_serials": ("insurer",),
}
"""Choices that only some versions use."""


class DossierSide(QWidget):
    """Choices, points, cautions and buttons; what they do is the page's."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.versions = QButtonGroup(self)
        self.form = RecordForm()
        self.points: RowsModel[Point] = RowsModel(POINT_COLUMNS, lambda one: one.key, parent=self)
        self.point_table = TableView(said("What is missing or weak"))
        self.write = primary_button(said("&Write the dossier"))
        self.open_file = QPushButton(said("&Open it"))
        self.open_folder = QPushButton(said("Open the &folder"))
        self.copy_email = QPushButton(said("Copy the e-&mail text"))
        self.sign = QPushButton(said("S&ign it …"))
        self.log_sent = QPushButton(said("Log it &as sent"))
        self.write_bundle = QPushButton(said("Write a &bundle …"))
        self.write_claim_file = QPushButton(said("Write the claim file"))
        self.result = Label("", wrap=True)
        self._lay_out()

    def _lay_out(self) -> None:
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        for number, version in enumerate(VERSIONS):
            radio = QRadioButton(said(work.VERSION_NAMES[version]))
            self.versions.addButton(radio, number)
            column.addWidget(radio)
        self.versions.button(0).setChecked(True)
        today = dt.datetime.now().astimezone().date()
        self.form.add_field("date", said("&Date"), date_field()).set_value(today)
        self.form.add_field("agreement", said("To the &rental company"), ChoiceField())
        stages = ChoiceField([(code, said(words)) for code, words in _STAGES])
        self.form.add_field("stage", said("For the count at"), stages).set_value("return")
        languages = ChoiceField([(code, own_name(code)) for code in known_languages()])
        languages.set_value(language())
        self.form.add_field("language", said("La&nguage of the dossier"), languages)
        self.form.add_field("signed_by", said("&Signed by"), text_field(characters=24))
        largest = whole_field(least=1)
        largest.setToolTip(said(_LARGEST_FILE_SAYS))
        largest.setAccessibleDescription(said(_LARGEST_FILE_SAYS))
        largest.set_value(work.LARGEST_FILE // _MEGABYTE)
        self.form.add_field("largest_file", said("&Largest file, MB"), largest)
        serials = SwitchField(said("&Tell their serial numbers"))
        serials.set_value(True)
        serials.setToolTip(said(_SERIALS_SAY))
        serials.setAccessibleDescription(said(_SERIALS_SAY))
        self.form.add_field("device_serials", said("Cameras"), serials)
        column.addWidget(self.form)
        self.versions.idToggled.connect(self.fit_fields)
        self.fit_fields()
        missing = Section(said("Missing or weak"))
        self.point_table.setModel(self.points)
        self.point_table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.point_table.horizontalHeader().hide()
        self.point_table.setWordWrap(True)
        self.point_table.verticalHeader().setDefaultSectionSize(GRID * 6)
        self.point_table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.point_table.setMinimumHeight(GRID * 24)
        self.nothing_missing = Label(
            said("Nothing that an adjuster usually asks for is missing."), muted=True, wrap=True
        )
        missing.body.addWidget(self.point_table)
        missing.body.addWidget(self.nothing_missing)
        column.addWidget(missing, 1)
        before = Section(said("Before you send it"))
        for caution in cautions_before_sending():
            before.body.addWidget(Label(f"⚠ {caution}", TypeSize.SMALL, wrap=True))
        column.addWidget(before)
        handing = QWidget()
        column = QVBoxLayout(handing)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(self.result)
        column.addWidget(self.write)
        for pair in (
            (self.open_file, self.open_folder, self.sign),
            (self.copy_email, self.log_sent),
            (self.write_bundle, self.write_claim_file),
        ):
            row = QHBoxLayout()
            for one in pair:
                row.addWidget(one)
            column.addLayout(row)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setAccessibleName(said("Choices for the dossier"))
        area.setWidget(side)
        self.setMinimumWidth(GRID * 46)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(area, 1)
        column.addWidget(Separator())
        column.addWidget(handing)
        self.result.hide()
        for button in (self.open_file, self.open_folder, self.sign, self.log_sent):
            button.setEnabled(False)

    @Slot()
    def fit_fields(self) -> None:
        """Show the choices that the chosen version uses, and no others."""
        for name, versions in _ONLY_FOR.items():
            self.form.show_field(name, self.version in versions)

    def choose_version(self, version: work.Version) -> None:
        """Choose a version as a click does."""
        self.versions.button(VERSIONS.index(version)).setChecked(True)

    @property
    def version(self) -> work.Version:
        """The version that is chosen."""
        return VERSIONS[max(self.versions.checkedId(), 0)]

    @property
    def largest_file(self) -> int:
        """How large a file may be, in bytes."""
        megabytes = self.form.fields["largest_file"].value()
        return megabytes * _MEGABYTE if isinstance(megabytes, int) else work.LARGEST_FILE

    @property
    def device_serials(self) -> bool:
        """Whether the serial numbers of cameras and phones may be told."""
        return bool(self.form.fields["device_serials"].value())

    @property
    def language(self) -> str:
        """The language in which the dossier is written."""
        return str(self.form.fields["language"].value() or language())

    def show_points(self, points: list[Point]) -> None:
        """List what is missing or weak."""
        self.points.set_rows(points)
        self.point_table.setVisible(bool(points))
        self.nothing_missing.setVisible(not points)

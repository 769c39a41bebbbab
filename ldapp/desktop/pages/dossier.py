"""The Dossier page: what is missing first, the pages as they will be, write, hand on."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import ClassVar, NamedTuple, cast

from PySide6.QtCore import Qt, QTemporaryDir, QTimer, QUrl, Slot
from PySide6.QtGui import QAction, QDesktopServices, QGuiApplication, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QButtonGroup,
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import dossier as work
from ldapp.casework.bundles import write_claim_bundle
from ldapp.casework.cautions import cautions_before_sending
from ldapp.casework.completeness import Asked, completeness_of
from ldapp.casework.covering_email import covering_email
from ldapp.casework.places import Page, Place
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.jobs import Job, Progress
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.page_preview import PagePreview
from ldapp.desktop.pages.record_form import RecordForm
from ldapp.desktop.pages.said import party_of_agreement
from ldapp.desktop.theme import GRID, Role, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField, date_field, text_field
from ldapp.desktop.widgets.pieces import Label, Section, Separator, link_button, primary_button
from ldapp.desktop.widgets.table_model import Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import plural

VERSIONS: tuple[work.Version, ...] = ("insurer", "dispute", "photos", "counts")
_STAGES: list[tuple[work.CountSheetStage, str]] = [
    ("pickup", "pickup"),
    ("during", "during the job"),
    ("return", "return"),
]


class Point(NamedTuple):
    """One thing that is missing or weak, and where to mend it."""

    key: str
    mark: str
    says: str
    cure: str
    place: Place | None


def _role(point: Point) -> Role | None:
    return "red" if point.mark == "✕ missing" else "amber" if point.mark == "⚠ weak" else None


POINT_COLUMNS: tuple[Column[Point], ...] = (
    Column(name="mark", title="", text=lambda one: one.mark, role=_role, width=10),
    Column(
        name="says",
        title="Missing or weak",
        text=lambda one: one.says,
        tip=lambda one: f"{one.says}\n{one.cure}".strip(),
        width=30,
    ),
)


class _Choice(NamedTuple):
    """What is to be written."""

    version: work.Version
    date: dt.date
    agreement: str | None
    stage: work.CountSheetStage
    letter: work.LetterWords


class _Preview(NamedTuple):
    written: work.Written
    sizes: tuple[tuple[float, float], ...]
    claim: Claim


class DossierPage(ClaimPage):
    """Choose, look, write; the pages lie beside the choices."""

    name: ClassVar[Page] = "dossier"
    title: ClassVar[str] = "Dossier"

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._folder = QTemporaryDir()
        self._job: Job | None = None
        self._drawn: tuple[Claim, _Choice] | None = None
        self.written: tuple[Path, ...] = ()
        self.versions = QButtonGroup(self)
        self.form = RecordForm()
        self.points: RowsModel[Point] = RowsModel(POINT_COLUMNS, lambda one: one.key, parent=self)
        self.point_table = TableView("What is missing or weak")
        self.preview = PagePreview()
        self._page_says = Label("", TypeSize.SMALL, muted=True)
        self.stale = link_button("The claim changed since: draw the pages anew")
        self.write = primary_button("&Write the dossier")
        self.open_file = QPushButton("&Open it")
        self.open_folder = QPushButton("Open the &folder")
        self.copy_email = QPushButton("Copy the &e-mail text")
        self.write_bundle = QPushButton("Write a &bundle")
        self.write_claim_file = QPushButton("Write the &claim file")
        self._result = Label("", wrap=True)
        self._lay_out()
        self._make_actions()
        self._connect()
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(250)
        self._soon.timeout.connect(self.draw_preview)

    def _lay_out(self) -> None:
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        for number, version in enumerate(VERSIONS):
            radio = QRadioButton(work.VERSION_NAMES[version])
            self.versions.addButton(radio, number)
            column.addWidget(radio)
        self.versions.button(0).setChecked(True)
        today = dt.datetime.now().astimezone().date()
        self.form.add_field("date", "&Date", date_field()).set_value(today)  # type: ignore[arg-type]
        self.form.add_field("agreement", "To the &rental company", ChoiceField())
        self.form.add_field("stage", "For the count at", ChoiceField(_STAGES))
        self.form.fields["stage"].set_value("return")  # type: ignore[arg-type]
        self.form.add_field("signed_by", "&Signed by", text_field(characters=24))
        column.addWidget(self.form)
        missing = Section("Missing or weak")
        self.point_table.setModel(self.points)
        self.point_table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.point_table.horizontalHeader().hide()
        self.point_table.setWordWrap(True)
        self.point_table.verticalHeader().setDefaultSectionSize(GRID * 6)
        self.point_table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.point_table.setMinimumHeight(GRID * 24)
        self._nothing_missing = Label(
            "Nothing that an adjuster usually asks for is missing.", muted=True, wrap=True
        )
        missing.body.addWidget(self.point_table)
        missing.body.addWidget(self._nothing_missing)
        column.addWidget(missing, 1)
        before = Section("Before you send it")
        for caution in cautions_before_sending():
            before.body.addWidget(Label(f"⚠ {caution}", TypeSize.SMALL, wrap=True))
        column.addWidget(before)
        handing = QWidget()
        column = QVBoxLayout(handing)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(self._result)
        column.addWidget(self.write)
        for pair in (
            (self.open_file, self.open_folder, self.copy_email),
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
        area.setAccessibleName("Choices for the dossier")
        area.setWidget(side)
        left = QWidget()
        left.setMinimumWidth(GRID * 46)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(area, 1)
        column.addWidget(Separator())
        column.addWidget(handing)
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(0, GRID, 0, 0)
        head = QHBoxLayout()
        head.setContentsMargins(GRID * 2, 0, GRID * 2, 0)
        head.addWidget(self._page_says, 1)
        head.addWidget(self.stale)
        column.addLayout(head)
        column.addWidget(self.preview, 1)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(right)
        split.setStretchFactor(1, 1)
        split.setSizes([380, 620])
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(split)
        self.stale.hide()
        self._result.hide()
        for button in (self.open_file, self.open_folder):
            button.setEnabled(False)

    def _make_actions(self) -> None:
        for says, icon, key, slot in (
            ("Write the dossier", "dossier", "Ctrl+S", self._ask_and_write),
            ("Draw the pages anew", "eye", "F5", self.draw_preview),
            ("Copy the covering e-mail", "mail", "", self._copy_email),
            ("Write a bundle", "export", "", self._ask_and_write_bundle),
            ("Write the claim file", "export", "", self._ask_and_write_claim_file),
        ):
            action = QAction(says, self)
            keep_icon(action, icon)
            if key:
                action.setShortcut(QKeySequence(key))
                action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            action.triggered.connect(slot)
            self.addAction(action)

    def _connect(self) -> None:
        self.versions.idToggled.connect(self._on_version)
        self.form.committed.connect(self._on_choice)
        self.form.refused.connect(self.context.message)
        self.point_table.opened.connect(self._go_to_point)
        self.preview.page_changed.connect(self._on_page)
        self.stale.clicked.connect(self.draw_preview)
        self.write.clicked.connect(self._ask_and_write)
        self.open_file.clicked.connect(self._open_file)
        self.open_folder.clicked.connect(self._open_folder)
        self.copy_email.clicked.connect(self._copy_email)
        self.write_bundle.clicked.connect(self._ask_and_write_bundle)
        self.write_claim_file.clicked.connect(self._ask_and_write_claim_file)

    # --- showing -------------------------------------------------------------------------

    @property
    def version(self) -> work.Version:
        """The version that is chosen."""
        return VERSIONS[max(self.versions.checkedId(), 0)]

    def _choice(self) -> _Choice:
        date = self.form.fields["date"].value()
        agreement = self.form.fields["agreement"].value()
        return _Choice(
            self.version,
            date if isinstance(date, dt.date) else dt.datetime.now().astimezone().date(),
            agreement if isinstance(agreement, str) and self.version == "dispute" else None,
            cast("work.CountSheetStage", self.form.fields["stage"].value() or "return"),
            work.LetterWords(signed_by=str(self.form.fields["signed_by"].value() or "")),
        )

    def refresh(self, kinds: frozenset[str]) -> None:
        """Show what is missing, and that the pages are old where the claim changed."""
        del kinds
        claim = self.context.claim
        companies = cast("ChoiceField", self.form.fields["agreement"])
        companies.set_choices(
            [(one.id, party_of_agreement(claim, one.id)) for one in claim.agreements]
        )
        if companies.value() is None and claim.agreements:
            billed = {one.agreement for one in claim.invoices}
            first = next((one.id for one in claim.agreements if one.id in billed), None)
            companies.set_value(first or claim.agreements[0].id)
        self._show_points()
        if self._drawn is None:
            self._soon.start()
        else:
            self.stale.setVisible(self._drawn[0] is not claim)

    def _show_points(self) -> None:
        claim, version = self.context.claim, self.version
        points = [
            Point(
                f"weak {number}",
                "✕ missing" if point.gravity == "grave" else "⚠ weak",
                point.says,
                f"{point.why} {point.cure}",
                point.place,
            )
            for number, point in enumerate(self.context.weak_points)
            if point.gravity != "note"
        ]
        if version == "insurer":
            points += [
                _as_point(one)
                for one in completeness_of(claim)
                if one.presence in ("missing", "partly")
            ]
        points.sort(key=lambda one: one.mark != "✕ missing")
        self.points.set_rows(points)
        self.point_table.setVisible(bool(points))
        self._nothing_missing.setVisible(not points)

    @Slot(int, bool)
    def _on_version(self, number: int, on: bool) -> None:
        del number
        if on:
            self.form.fields["agreement"].setEnabled(self.version == "dispute")
            self.form.fields["stage"].setEnabled(self.version == "counts")
            self._show_points()
            self._soon.start()

    @Slot(str, object)
    def _on_choice(self, name: str, value: object) -> None:
        del name, value
        self._soon.start()

    @Slot(int, int)
    def _on_page(self, page: int, pages: int) -> None:
        self._page_says.setText(f"Page {page} of {pages}, as it will be")

    @Slot(object)
    def _go_to_point(self, point: Point) -> None:
        if point.place is not None:
            self.context.go_to.emit(point.place)

    # --- preview -------------------------------------------------------------------------

    @Slot()
    def draw_preview(self) -> None:
        """Write the dossier into a temporary folder and show its pages."""
        if not self.isVisible():
            return
        if self._job is not None:
            self._job.cancel()
        context, choice = self.context, self._choice()
        claim, register = context.claim, context.register
        originals, folder = context.desk.originals, Path(self._folder.path())

        def write(progress: Progress) -> _Preview:
            whole = register.with_journal(claim) if register is not None else claim
            written = work.write_for_preview(
                whole,
                originals,
                choice.version,
                choice.date,
                folder,
                agreement=choice.agreement,
                stage=choice.stage,
                letter=choice.letter,
                progress=progress,
            )
            return _Preview(written, work.preview_pages(written.paths[0]), claim)

        self._page_says.setText("The pages are being drawn …")
        self.stale.hide()
        self._drawn = (claim, choice)
        self._job = context.run("Drawing the pages", write, self._on_previewed)
        self._job.failed.connect(self._on_preview_failed)
        self._job.finished.connect(self._on_job_finished)

    @Slot()
    def _on_job_finished(self) -> None:
        if self.sender() is self._job:
            self._job = None

    @Slot(object)
    def _on_previewed(self, preview: _Preview) -> None:
        self.preview.show_pages(preview.written.paths[0], preview.sizes)
        self.stale.setVisible(preview.claim is not self.context.claim)

    @Slot(object)
    def _on_preview_failed(self, error: BaseException) -> None:
        self.preview.show_pages(None, ())
        self._page_says.setText(f"The pages cannot be drawn: {error}")

    # --- writing -------------------------------------------------------------------------

    def _proposed_folder(self) -> Path:
        register = self.context.register
        return register.exports if register is not None else Path.home()

    @Slot()
    def _ask_and_write(self) -> None:
        choice = self._choice()
        proposed = self._proposed_folder() / work.file_name(
            self.context.claim, choice.version, choice.date
        )
        name, _ = QFileDialog.getSaveFileName(
            self, "Write the dossier", str(proposed), "PDF (*.pdf)"
        )
        if name:
            self.write_to(Path(name))

    def write_to(self, target: Path) -> None:
        """Write the chosen version, in a worker with progress and cancel."""
        context, choice = self.context, self._choice()
        claim, register = context.claim, context.register
        originals = context.desk.originals

        def write(progress: Progress) -> work.Written:
            whole = register.with_journal(claim) if register is not None else claim
            return work.write(
                whole,
                originals,
                choice.version,
                target,
                choice.date,
                agreement=choice.agreement,
                stage=choice.stage,
                letter=choice.letter,
                progress=progress,
            )

        context.run(f"Writing {target.name}", write, self._on_written)

    @Slot(object)
    def _on_written(self, written: work.Written) -> None:
        self.written = written.paths
        names = ", ".join(path.name for path in written.paths)
        text = f"Written: {names}, {plural(written.pages, 'page')}."
        if written.short_of_complete:
            text += " Fell short: " + " ".join(written.short_of_complete[:4])
        self._result.setText(text)
        self._result.show()
        self.open_file.setEnabled(True)
        self.open_folder.setEnabled(True)
        self.context.message.emit(f"{names} is written.")

    @Slot()
    def _open_file(self) -> None:
        if self.written:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self.written[0])))

    @Slot()
    def _open_folder(self) -> None:
        if self.written:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self.written[0].parent)))

    @Slot()
    def _copy_email(self) -> None:
        choice = self._choice()
        mail = covering_email(self.context.claim, choice.version, choice.date, choice.agreement)
        QGuiApplication.clipboard().setText(mail.as_text())
        self.context.message.emit(
            f"The e-mail text is on the clipboard{f', to {mail.to}' if mail.to else ''}."
        )

    @Slot()
    def _ask_and_write_bundle(self) -> None:
        claim = self.context.claim
        name, _ = QFileDialog.getSaveFileName(
            self,
            "Write a bundle",
            str(self._proposed_folder() / f"{claim.reference}-bundle.zip"),
            "Bundle (*.zip)",
        )
        if name:
            self.write_bundle_to(Path(name))

    def write_bundle_to(self, target: Path) -> None:
        """Write claim, originals and the insurer's dossier as one verifiable bundle."""
        context = self.context
        claim, register, originals = context.claim, context.register, context.desk.originals
        date = self._choice().date

        def write(progress: Progress) -> Path:
            whole = register.with_journal(claim) if register is not None else claim
            return write_claim_bundle(whole, originals, target, progress, date=date)

        context.run(f"Writing {target.name}", write, self._on_file_written)

    @Slot()
    def _ask_and_write_claim_file(self) -> None:
        name = QFileDialog.getExistingDirectory(
            self, "Choose a folder for the claim file", str(self._proposed_folder())
        )
        if name:
            self.write_claim_file_to(Path(name))

    def write_claim_file_to(self, folder: Path) -> None:
        """Write the claim file with its originals beside it, in a worker."""
        register, key = self.context.register, self.context.claim.id
        if register is None:
            self.context.message.emit("This claim is not in a library.")
            return

        def write(progress: Progress) -> Path:
            return register.write_claim_file(key, folder, progress)

        self.context.run("Writing the claim file", write, self._on_file_written)

    @Slot(object)
    def _on_file_written(self, path: Path) -> None:
        self.written = (path,)
        self._result.setText(f"Written: {path}")
        self._result.show()
        self.open_file.setEnabled(True)
        self.open_folder.setEnabled(True)

    def show_place(self, place: Place) -> None:
        """Give the focus to the choices."""
        del place
        self.write.setFocus()

    def shut_down(self) -> None:
        """Stop drawing pages; called before the claim is closed."""
        self.preview.shut_down()


def _as_point(asked: Asked) -> Point:
    mark = "✕ missing" if asked.presence == "missing" else "⚠ weak"
    return Point(f"asked {asked.what}", mark, asked.what, asked.says, None)

"""The Dossier page: what is missing first, the pages as they will be, write, hand on."""

from __future__ import annotations

import datetime as dt
from functools import partial
from pathlib import Path
from typing import ClassVar, NamedTuple, cast

from PySide6.QtCore import Qt, QTemporaryDir, QTimer, QUrl, Slot
from PySide6.QtGui import QDesktopServices, QGuiApplication
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import dossier as work
from ldapp.casework.after_sending import log_dossier_sent
from ldapp.casework.charges import conceded_unweighed
from ldapp.casework.covering_email import covering_email
from ldapp.casework.page_pictures import preview_pages
from ldapp.casework.places import Page, Place
from ldapp.claim.claim import Claim
from ldapp.claim.documents import CorrespondenceStep
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Job, Progress
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.dossier_handing import DossierHanding
from ldapp.desktop.pages.dossier_points import Point, points_of
from ldapp.desktop.pages.dossier_side import DossierSide
from ldapp.desktop.pages.page_preview import PagePreview, PageSizes
from ldapp.desktop.pages.said import party_of_agreement
from ldapp.desktop.question import ask
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import Label, link_button
from ldapp.language import marked, said, said_of, speaking

_SENT_AS: dict[work.Version, CorrespondenceStep] = {
    "insurer": "statement_of_loss",
    "dispute": "answer_to_charges",
}


class _Preview(NamedTuple):
    volumes: tuple[tuple[Path, PageSizes], ...]
    falls_short: tuple[str, ...]


class DossierPage(ClaimPage):
    """Choose, look, write; the pages lie beside the choices."""

    name: ClassVar[Page] = "dossier"
    title: ClassVar[str] = marked("Dossier")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._folder = QTemporaryDir()
        self._job: Job | None = None
        self._drawn: tuple[Claim, work.Choices] | None = None
        self.written: tuple[Path, ...] = ()
        self._falls_short: tuple[str, ...] = ()
        """What the pages that were drawn last lack."""
        self._sendable: work.Choices | None = None
        self.side = DossierSide()
        self.handing = DossierHanding(self)
        self.versions, self.form = self.side.versions, self.side.form
        if context.claim.policy is None and context.claim.invoices:
            # Nobody insures it, and somebody waits for an answer.
            self.side.choose_version("dispute")
        self.preview = PagePreview()
        self._page_says = Label("", TypeSize.SMALL, muted=True)
        self.stale = link_button(said("The claim changed since: draw the pages anew"))
        self._lay_out()
        self._make_actions()
        self._connect()
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(250)
        self._soon.timeout.connect(self.draw_preview)

    def _lay_out(self) -> None:
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
        split.addWidget(self.side)
        split.addWidget(right)
        split.setStretchFactor(1, 1)
        split.setSizes([380, 620])
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(split)
        self.stale.hide()

    def _make_actions(self) -> None:
        for says, icon, key, slot in (
            (said("Write the dossier"), "dossier", "Ctrl+S", self._ask_and_write),
            (said("Draw the pages anew"), "eye", "F5", self.draw_preview),
            (said("Log the dossier as sent"), "mail", "", self._log_sent),
            (said("Copy the covering e-mail"), "mail", "", self._copy_email),
            (said("Sign what was written"), "dossier", "", self.handing.ask_and_sign),
            (said("Write a bundle"), "export", "", self.handing.ask_and_write_bundle),
            (said("Write the claim file"), "export", "", self._ask_and_write_claim_file),
        ):
            self.offer(says, icon, key, slot)

    def _connect(self) -> None:
        self.versions.idToggled.connect(self._on_version)
        self.form.committed.connect(self._on_choice)
        self.form.refused.connect(self.context.message)
        self.side.point_table.opened.connect(self._go_to_point)
        self.preview.page_changed.connect(self._on_page)
        self.stale.clicked.connect(self.draw_preview)
        self.side.write.clicked.connect(self._ask_and_write)
        self.side.open_file.clicked.connect(self._open_file)
        self.side.open_folder.clicked.connect(self._open_folder)
        self.side.log_sent.clicked.connect(self._log_sent)
        self.side.copy_email.clicked.connect(self._copy_email)
        self.side.sign.clicked.connect(self.handing.ask_and_sign)
        self.side.write_bundle.clicked.connect(self.handing.ask_and_write_bundle)
        self.handing.signed.connect(self._on_signed)
        self.handing.bundle_written.connect(self._on_file_written)
        self.side.write_claim_file.clicked.connect(self._ask_and_write_claim_file)

    # --- showing -------------------------------------------------------------------------

    @property
    def version(self) -> work.Version:
        """The version that is chosen."""
        return self.side.version

    def choice(self) -> work.Choices:
        """Return what is to be written."""
        date = self.form.fields["date"].value()
        agreement = self.form.fields["agreement"].value()
        return work.Choices(
            self.version,
            date if isinstance(date, dt.date) else dt.datetime.now().astimezone().date(),
            agreement=agreement
            if isinstance(agreement, str) and self.version == "dispute"
            else None,
            stage=cast("work.CountSheetStage", self.form.fields["stage"].value() or "return"),
            letter=work.LetterWords(signed_by=str(self.form.fields["signed_by"].value() or "")),
            largest_file=self.side.largest_file,
            device_serials=self.side.device_serials,
            language=self.side.language,
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
        points = points_of(claim, self.context.weak_points, version, self._falls_short)
        self.side.show_points(points)

    @Slot(int, bool)
    def _on_version(self, number: int, on: bool) -> None:
        del number
        if on:
            self._falls_short = ()
            self._show_points()
            self._soon.start()

    @Slot(str, object)
    def _on_choice(self, name: str, value: object) -> None:
        del name, value
        self._soon.start()

    @Slot(int, int)
    def _on_page(self, page: int, pages: int) -> None:
        self._page_says.setText(
            said("Page {page} of {pages}, as it will be", page=page, pages=pages)
        )

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
        context, choice = self.context, self.choice()
        claim, register = context.claim, context.register
        originals, folder = context.desk.originals, Path(self._folder.path())

        def write(progress: Progress) -> _Preview:
            whole = register.with_journal(claim) if register is not None else claim
            written = work.write_for_preview(
                whole,
                originals,
                choice,
                folder,
                progress,
            )
            volumes = tuple((path, preview_pages(path)) for path in written.paths)
            return _Preview(volumes, written.short_of_complete)

        self._page_says.setText(said("The pages are being drawn …"))
        self.stale.hide()
        self._drawn = (claim, choice)
        self._job = context.run(said("Drawing the pages"), write, self._on_previewed)
        self._job.failed.connect(self._on_preview_failed)
        self._job.finished.connect(self._on_job_finished)

    @Slot()
    def _on_job_finished(self) -> None:
        if self.sender() is self._job:
            self._job = None

    @Slot(object)
    def _on_previewed(self, preview: _Preview) -> None:
        self.preview.show_volumes(preview.volumes)
        self._falls_short = preview.falls_short
        self._show_points()
        self.stale.setVisible(self._drawn is None or self._drawn[0] is not self.context.claim)

    @Slot(object)
    def _on_preview_failed(self, error: BaseException) -> None:
        self.preview.show_pages(None, ())
        self._page_says.setText(said("The pages cannot be drawn: {error}", error=error))

    # --- writing -------------------------------------------------------------------------

    def proposed_folder(self) -> Path:
        """Return where files that are written go unless another folder is chosen."""
        register = self.context.register
        return register.exports if register is not None else Path.home()

    @Slot()
    def _ask_and_write(self) -> None:
        choice = self.choice()
        if not self._weighed_enough(choice):
            return
        proposed = self.proposed_folder() / work.file_name(
            self.context.claim, choice.version, choice.date
        )
        name, _ = QFileDialog.getSaveFileName(
            self, said("Write the dossier"), str(proposed), said("PDF (*.pdf)")
        )
        if name:
            self.write_to(Path(name))

    def _weighed_enough(self, choice: work.Choices) -> bool:
        """Ask before an answer concedes what nobody has looked at."""
        says = (
            ""
            if choice.version != "dispute"
            else conceded_unweighed(self.context.claim, choice.agreement)
        )
        return not says or ask(self, said("Charges"), says, "", said("Write all the same"))

    def write_to(self, target: Path) -> None:
        """Write the chosen version, in a worker with progress and cancel."""
        context, choice = self.context, self.choice()
        claim, register = context.claim, context.register
        originals = context.desk.originals

        def write(progress: Progress) -> work.Written:
            whole = register.with_journal(claim) if register is not None else claim
            return work.write(whole, originals, choice, target, progress=progress)

        self._sendable = choice
        context.run(said("Writing {file}", file=target.name), write, self._on_written)

    @Slot(object)
    def _on_written(self, written: work.Written) -> None:
        self.written = written.paths
        names = ", ".join(path.name for path in written.paths)
        text = said_of(
            written.pages,
            "Written: {names}, {count} page.",
            "Written: {names}, {count} pages.",
            names=names,
        )
        if len(written.paths) > 1:
            text = said_of(
                written.pages,
                "Written in {number} volumes, so that none is larger than wanted: "
                "{names}; {count} page in all.",
                "Written in {number} volumes, so that none is larger than wanted: "
                "{names}; {count} pages in all.",
                number=len(written.paths),
                names=names,
            )
        if written.short_of_complete:
            lacks = " ".join(written.short_of_complete[:4])
            text = said("{written} Fell short: {lacks}", written=text, lacks=lacks)
        self.side.result.setText(text)
        self.side.result.show()
        for button in (self.side.open_file, self.side.open_folder, self.side.sign):
            button.setEnabled(True)
        to_somebody = self._sendable is not None and self._sendable.version in _SENT_AS
        self.side.log_sent.setEnabled(to_somebody)
        self.context.message.emit(
            said_of(len(written.paths), "{names} is written.", "{names} are written.", names=names)
        )

    @Slot(str)
    def _on_signed(self, says: str) -> None:
        self.side.result.setText(says)
        self.side.result.show()
        self.context.message.emit(says)

    @Slot()
    def _log_sent(self) -> None:
        """Log what was written last as sent, with the hashes of its files."""
        choice, desk = self._sendable, self.context.desk
        step = None if choice is None else _SENT_AS.get(choice.version)
        if choice is None or step is None or not self.side.log_sent.isEnabled():
            self.context.message.emit(
                said("Write a dossier to somebody first, then log it as sent.")
            )
            return
        agreement = choice.agreement
        for path in self.written:
            before = desk.claim
            log = partial(log_dossier_sent, desk, path, step, agreement=agreement)
            if self.context.attempt(log) is None:
                return
            if self._drawn is not None and self._drawn[0] is before:
                # The pages are those that were sent: that they were is no reason to draw them.
                self._drawn = (desk.claim, self._drawn[1])
                self.stale.hide()
        self.side.log_sent.setEnabled(False)
        self.context.message.emit(
            said(
                "Logged as sent, with the file's hash. Answers belong under Charges, After sending."
            )
        )

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
        choice = self.choice()
        # The volumes are named where what is chosen is what was written last.
        names = tuple(path.name for path in self.written) if choice == self._sendable else ()
        with speaking(choice.language):  # whoever reads the one reads the other
            mail = covering_email(
                self.context.claim, choice.version, choice.date, choice.agreement, files=names
            )
        QGuiApplication.clipboard().setText(mail.as_text())
        self.context.message.emit(
            said("The e-mail text is on the clipboard, to {address}.", address=mail.to)
            if mail.to
            else said("The e-mail text is on the clipboard.")
        )

    @Slot()
    def _ask_and_write_claim_file(self) -> None:
        name = QFileDialog.getExistingDirectory(
            self, said("Choose a folder for the claim file"), str(self.proposed_folder())
        )
        if name:
            self.write_claim_file_to(Path(name))

    def write_claim_file_to(self, folder: Path) -> None:
        """Write the claim file with its originals beside it, in a worker."""
        register, key = self.context.register, self.context.claim.id
        if register is None:
            self.context.message.emit(said("This claim is not in a library."))
            return

        def write(progress: Progress) -> Path:
            return register.write_claim_file(key, folder, progress)

        self.context.run(said("Writing the claim file"), write, self._on_file_written)

    @Slot(object)
    def _on_file_written(self, path: Path) -> None:
        self.written = (path,)
        self.side.log_sent.setEnabled(False)
        self.side.sign.setEnabled(False)
        self.side.result.setText(f"Written: {path}")
        self.side.result.show()
        self.side.open_file.setEnabled(True)
        self.side.open_folder.setEnabled(True)

    def show_place(self, place: Place) -> None:
        """Give the focus to the choices."""
        del place
        self.side.write.setFocus()

    def shut_down(self) -> None:
        """Stop drawing pages; called before the claim is closed."""
        self.preview.shut_down()

"""The one window: the register and an open claim, and what is the same for both."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings, Slot
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QFileDialog,
    QMessageBox,
    QWidget,
)

from ldapp.desktop.window_frame import WindowFrame

if TYPE_CHECKING:
    from ldapp.casework.open_claim import OpenClaim
    from ldapp.casework.register import Register
    from ldapp.claim.summary import ClaimSummary
    from ldapp.desktop.claim_view import ClaimView
    from ldapp.desktop.dropped_files import DroppedKind
    from ldapp.desktop.first_start import FirstStart
    from ldapp.desktop.guide import Guide
    from ldapp.desktop.jobs import JobRunner, Progress

WHAT_TO_DO = (
    "This is an invented claim. Walk down the pages at the left, and click a weak point at "
    "the right to see what would be attacked and what cures it."
)


class MainWindow(WindowFrame):
    """Register and claim in one window.

    Without ``jobs`` it is an empty frame that is painted at once; ``furnish`` then fills it.
    """

    def __init__(
        self, jobs: JobRunner | None, settings: QSettings, parent: QWidget | None = None
    ) -> None:
        super().__init__(settings, parent)
        self.register: Register | None = None
        self.claim_view: ClaimView | None = None
        self.first_start: FirstStart | None = None
        self._is_furnished = False
        self._guide: Guide | None = None
        self._demo: str | None = None
        self._to_select = ""
        self._after_open: tuple[DroppedKind, list[Path]] | None = None
        if jobs is not None:
            self.furnish(jobs)

    def furnish(self, jobs: JobRunner) -> None:
        """Fill the frame: menus, register, status line, and the cautions at the first start."""
        from ldapp.desktop.first_start import FirstStart, cautions_were_read  # noqa: PLC0415
        from ldapp.desktop.register_page import RegisterPage  # noqa: PLC0415
        from ldapp.desktop.window_actions import WindowActions  # noqa: PLC0415

        self.furnish_frame(jobs)
        self.setAcceptDrops(True)
        self.actions_of_window = WindowActions(self)
        self.register_page = RegisterPage(self.settings)
        self.register_page.open_wanted.connect(self.open_claim)
        self.register_page.new_wanted.connect(self.new_claim)
        self.register_page.remove_wanted.connect(self.remove_claims)
        self.register_page.export_wanted.connect(self.export_claim)
        self.stack.addWidget(self.register_page)
        if not cautions_were_read(self.settings):
            self.first_start = FirstStart(self.settings)
            self.first_start.read.connect(self._on_cautions_read)
            self.stack.addWidget(self.first_start)
            self.stack.setCurrentWidget(self.first_start)
        self._is_furnished = True
        self.actions_of_window.update()

    @property
    def reading_cautions(self) -> bool:
        """Whether the cautions of the first start stand before everything else."""
        return self.first_start is not None and self.stack.currentWidget() is self.first_start

    # --- the library --------------------------------------------------------------------

    def open_library(self, open_register: Callable[[], Register], demo: str | None = None) -> None:
        """Open the library in a worker, after the window has been painted."""
        self._demo = demo

        def work(progress: Progress) -> tuple[Register, tuple[ClaimSummary, ...]]:
            del progress
            register = open_register()
            return register, register.summaries()

        self.run_job("Opening the library", work, self._on_library)

    @Slot(object)
    def _on_library(self, opened: tuple[Register, tuple[ClaimSummary, ...]]) -> None:
        self.register, rows = opened
        # The pages' modules are loaded beside the work, so that opening one is quick.
        self.jobs.run("Loading the pages", load_pages)
        self.register_page.show_claims(rows)
        self.actions_of_window.update()
        if self._demo is not None:
            self.open_demo(self._demo or None)
            self._demo = None
        elif any(not row.reckoning_version for row in rows):
            self.run_job(
                "Reckoning old claims", self.register.refresh_summaries, self._on_refreshed
            )

    @Slot(object)
    def _on_refreshed(self, number: int) -> None:
        if number:
            self.refresh_register()

    def refresh_register(self) -> None:
        """Read the register's rows anew, in a worker."""
        register = self.register
        if register is not None:

            def work(progress: Progress) -> tuple[ClaimSummary, ...]:
                del progress
                return register.summaries()

            self.jobs.run("Register", work, self._on_rows, self.show_failure)

    @Slot(object)
    def _on_rows(self, rows: tuple[ClaimSummary, ...]) -> None:
        self.register_page.show_claims(rows)
        if self._to_select:
            self.register_page.select(self._to_select)
            self._to_select = ""

    def close_library(self) -> None:
        """Close the open claim and the library."""
        self._leave_claim()
        if self.register is not None:
            self.jobs.shut_down()
            self.register.close()
            self.register = None

    @Slot()
    def _on_cautions_read(self) -> None:
        self.stack.setCurrentWidget(self.claim_view or self.register_page)
        self.actions_of_window.update()
        if self.claim_view is not None and self.claim_view.context.claim.invented:
            self.strip.say(WHAT_TO_DO)
        if self.claim_view is None and not self.register_page.shown():
            self.strip.say(
                "New here? Open the invented claim, walk down its pages, and click a weak point "
                "to see what cures it.",
                "Open the demo",
                self.open_demo,
            )

    # --- claims ---------------------------------------------------------------------------

    @Slot(str)
    def open_claim(self, claim: str) -> None:
        """Open a claim of the register."""
        register = self.register
        if register is None:
            return

        def work(progress: Progress) -> OpenClaim:
            del progress
            return register.open(claim)

        self.run_job("Opening the claim", work, self.show_claim)

    @Slot(object)
    def show_claim(self, desk: OpenClaim) -> None:
        """Show an open claim in the window."""
        # Loaded here: the register must be usable before the pages are.
        from ldapp.desktop.claim_context import ClaimContext  # noqa: PLC0415
        from ldapp.desktop.claim_view import ClaimView  # noqa: PLC0415

        self._leave_claim()
        register = self.register
        context = ClaimContext(
            desk,
            self.jobs,
            register=register,
            settings=self.settings,
        )
        context.failed.connect(self.show_failure)
        context.message.connect(self.show_message)
        context.job_started.connect(self.progress.follow)
        context.claim_changed.connect(self._on_claim_changed)
        view = ClaimView(context)
        view.page_changed.connect(self._on_page)
        view.weak_points_folded.connect(self._on_folded)
        folded = self.settings.value("claim/weak_points_folded", False, type=bool)
        view.show_weak_points(not folded)
        state = self.settings.value("claim/splitter")
        if state:
            view.splitter.restoreState(state)
        self.claim_view = view
        self.stack.addWidget(view)
        wanted = str(self.settings.value(f"claim/page/{desk.claim.id}", "papers"))
        view.show_page(wanted if wanted in PAGE_NAMES else "papers")  # type: ignore[arg-type]
        if not self.reading_cautions:
            self.stack.setCurrentWidget(view)
        self.setWindowTitle(f"{desk.claim.reference} {desk.claim.title} – ldapp")
        self.actions_of_window.update()
        after, self._after_open = self._after_open, None
        if after is not None:
            self.take_files(*after)

    def _leave_claim(self) -> None:
        view, self.claim_view = self.claim_view, None
        if view is None:
            return
        # A field that is being edited commits when it loses the focus.
        self.setFocus()
        self.settings.setValue(f"claim/page/{view.context.claim.id}", view.current_page)
        self.settings.setValue("claim/splitter", view.splitter.saveState())
        view.shut_down()
        view.context.close()
        self.stack.removeWidget(view)
        view.deleteLater()
        self.setWindowTitle("ldapp")

    @Slot()
    def back_to_register(self) -> None:
        """Leave the claim; everything is saved already."""
        if self.claim_view is None:
            return
        claim = self.claim_view.context.claim.id
        self._leave_claim()
        self.stack.setCurrentWidget(self.register_page)
        self.strip.hide()
        self._to_select = claim
        self.refresh_register()
        self.register_page.table.setFocus()
        self.actions_of_window.update()

    @Slot(object)
    def _on_claim_changed(self, kinds: frozenset[str]) -> None:
        self.actions_of_window.update_steps()
        if "claim" in kinds and self.claim_view is not None:
            claim = self.claim_view.context.claim
            self.setWindowTitle(f"{claim.reference} {claim.title} – ldapp")

    @Slot(str)
    def _on_page(self, name: str) -> None:
        del name
        self.strip.hide()
        self.actions_of_window.update()

    @Slot(bool)
    def _on_folded(self, folded: bool) -> None:
        self.settings.setValue("claim/weak_points_folded", folded)
        self.actions_of_window.update()

    @Slot(str)
    def new_claim(self, kind: str) -> None:
        """Make a claim: empty, from a spreadsheet, from a claim file, or a demo."""
        if self.register is None:
            return
        if kind == "demo":
            self.open_demo()
        elif kind == "claim_file":
            path, _ = QFileDialog.getOpenFileName(
                self,
                "Open a claim file or a bundle",
                "",
                "Claim files and bundles (*.json *.zip);;All files (*)",
            )
            if path:
                self.take_files("claim_file", [Path(path)])
        elif kind == "spreadsheet":
            path, _ = QFileDialog.getOpenFileName(
                self,
                "Kit list in a spreadsheet",
                "",
                "Spreadsheets and tables (*.xlsx *.xls *.ods *.csv *.tsv *.pdf);;All files (*)",
            )
            if path:
                self._make_claim(("kit_list", [Path(path)]))
        else:
            self._make_claim(None)

    def _make_claim(self, after: tuple[DroppedKind, list[Path]] | None) -> None:
        from ldapp.desktop.new_claim import NewClaimDialog, this_year  # noqa: PLC0415

        register = self.register
        if register is None:
            return
        entered = NewClaimDialog.ask(register.next_reference(this_year()), self)
        if entered is None:
            return
        self._after_open = after

        def work(progress: Progress) -> OpenClaim:
            from ldapp.casework.papers import add_agreement  # noqa: PLC0415

            del progress
            desk = register.create(entered.reference, entered.title, entered.currency, entered.zone)
            if entered.rental_company:
                add_agreement(desk, entered.rental_company)
            return desk

        self.run_job("Making the claim", work, self.show_claim)

    @Slot()
    def open_demo(self, name: str | None = None) -> None:
        """Take a demo claim in, where that has not been done, and open it."""
        register = self.register
        if register is None:
            return

        def work(progress: Progress) -> OpenClaim:
            from ldapp.casework.demo import demo_claim  # noqa: PLC0415

            return register.open(register.take_in_demo(demo_claim(name), progress))

        self.run_job("Opening the demo", work, self._on_demo)

    @Slot(object)
    def _on_demo(self, desk: OpenClaim) -> None:
        self.show_claim(desk)
        if not self.reading_cautions:
            self.strip.say(WHAT_TO_DO)

    @Slot(object)
    def remove_claims(self, rows: Sequence[ClaimSummary]) -> None:
        """Remove claims for good, after a question."""
        register = self.register
        if register is None or not rows:
            return
        named = ", ".join(row.reference for row in rows[:5]) + (" …" if len(rows) > 5 else "")
        if not ask_to_remove(self, named):
            return
        ids = [row.claim for row in rows]

        def work(progress: Progress) -> None:
            for number, claim in enumerate(ids):
                progress(number, len(ids))
                register.remove(claim)

        self.run_job("Removing", work, self._on_refreshed_after_removal)

    @Slot(object)
    def _on_refreshed_after_removal(self, result: object) -> None:
        del result
        self.refresh_register()

    @Slot(object)
    def export_claim(self, row: ClaimSummary) -> None:
        """Write a claim as a claim file with its photos and papers beside it."""
        register = self.register
        if register is None:
            return
        folder = QFileDialog.getExistingDirectory(
            self, "Folder for the claim file", str(register.exports)
        )
        if not folder:
            return
        target = Path(folder) / row.reference.replace("/", "-")

        def work(progress: Progress) -> Path:
            return register.write_claim_file(row.claim, target, progress)

        self.run_job("Writing the claim file", work, self._on_exported)

    @Slot(object)
    def _on_exported(self, path: Path) -> None:
        self.strip.say(f"Written: {path}")

    # --- files from outside -------------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Accept files."""
        from ldapp.desktop.dropped_files import local_files  # noqa: PLC0415

        if event.mimeData().hasUrls() and local_files(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Ask once what the files are, then hand them on."""
        from ldapp.desktop.dropped_files import (  # noqa: PLC0415
            DroppedFilesDialog,
            likely_kinds,
            local_files,
        )

        paths = local_files(event.mimeData())
        if not paths or self.register is None:
            return
        event.acceptProposedAction()
        kinds = likely_kinds(paths)
        if self.claim_view is None:
            kinds = tuple(one for one in kinds if one in ("claim_file", "kit_list"))
            if not kinds:
                self.strip.say(
                    "Open a claim first: photos and papers belong to one. A claim file or a kit "
                    "list can be dropped here and becomes a claim."
                )
                return
        kind = DroppedFilesDialog.ask(paths, kinds, self)
        if kind is not None:
            self.take_files(kind, paths)

    def take_files(self, kind: DroppedKind, paths: list[Path]) -> None:
        """Hand files to the page that they are meant for."""
        register = self.register
        if register is None:
            return
        if kind == "claim_file":

            def work(progress: Progress) -> OpenClaim:
                is_file = paths[0].suffix.lower() == ".json"
                take_in = register.take_in_claim_file if is_file else register.take_in_bundle
                return register.open(take_in(paths[0], progress))

            self.run_job("Taking the claim in", work, self.show_claim)
            return
        if self.claim_view is None:
            self._make_claim((kind, paths))
            return
        page = {
            "photos": "photos",
            "documents": "papers",
            "kit_list": "kit",
            "invoice": "charges",
        }[kind]
        self.claim_view.show_page(page)  # type: ignore[arg-type]
        self.claim_view.page(page).take_files(paths)  # type: ignore[arg-type]

    # --- help ------------------------------------------------------------------------------------

    @Slot()
    def show_guide(self) -> None:
        """Open the guide at the page in sight."""
        from ldapp.desktop.guide import Guide  # noqa: PLC0415

        if self._guide is None:
            self._guide = Guide(self)
        self._guide.show_page(self.claim_view.current_page if self.claim_view else "register")

    def closeEvent(self, event: QCloseEvent) -> None:
        """Remember where things stood; everything else is saved already."""
        if self._is_furnished:
            self.register_page.remember()
        self.settings.setValue("window/geometry", self.saveGeometry())
        self._leave_claim()
        super().closeEvent(event)


PAGE_NAMES = (
    "papers", "kit", "counts", "photos", "findings", "charges", "reckoning", "dossier",
)  # fmt: skip


def load_pages(progress: Progress) -> None:
    """Load the modules of all pages; runs in a worker."""
    for name in ("claim_view", *(f"pages.{page}" for page in PAGE_NAMES), "jump", "guide"):
        progress(0, 0)
        import_module(f"ldapp.desktop.{name}")


def ask_to_remove(parent: QWidget, named: str) -> bool:
    """Ask before claims are removed, which cannot be undone."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setWindowTitle("Remove for good")
    box.setText(f"Remove {named} with all counts, findings and charges?")
    box.setInformativeText(
        "This cannot be undone. Write a claim file first if it may be needed again."
    )
    remove = box.addButton("Remove for good", QMessageBox.ButtonRole.DestructiveRole)
    keep = box.addButton("Keep", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(keep)
    box.exec()
    return box.clickedButton() is remove

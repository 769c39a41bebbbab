"""The one window: the register and an open claim, and what is the same for both."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings, Slot
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QWidget

from ldapp.desktop.claim_window import ClaimWindow
from ldapp.desktop.window_of_library import WHAT_TO_DO
from ldapp.language import said, said_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ldapp.casework.intake import Intake
    from ldapp.casework.open_claim import OpenClaim
    from ldapp.casework.places import Page
    from ldapp.claim.claim import Claim
    from ldapp.claim.summary import ClaimSummary
    from ldapp.desktop.dropped_files import DroppedKind
    from ldapp.desktop.first_start import FirstStart
    from ldapp.desktop.guide import Guide
    from ldapp.desktop.jobs import JobRunner, Progress


class MainWindow(ClaimWindow):
    """Register and claim in one window.

    Without ``jobs`` it is an empty frame that is painted at once; ``furnish`` then fills it.
    """

    def __init__(
        self, jobs: JobRunner | None, settings: QSettings, parent: QWidget | None = None
    ) -> None:
        super().__init__(settings, parent)
        self.first_start: FirstStart | None = None
        self._is_furnished = False
        self._guide: Guide | None = None
        self._policy_changed = False
        if jobs is not None:
            self.furnish(jobs)

    def furnish(self, jobs: JobRunner) -> None:
        """Fill the frame: menus, register, status line, and the cautions at the first start."""
        from ldapp.desktop.first_start import FirstStart, cautions_were_read  # noqa: PLC0415
        from ldapp.desktop.window_actions import WindowActions  # noqa: PLC0415

        self.furnish_register(jobs)
        self.setAcceptDrops(True)
        self.actions_of_window = WindowActions(self)
        if not cautions_were_read(self.settings):
            self.first_start = FirstStart(self.settings)
            self.first_start.read.connect(self._on_cautions_read)
            self.stack.addWidget(self.first_start)
            self.stack.setCurrentWidget(self.first_start)
            self.first_start.setFocus()
        self._is_furnished = True
        self.actions_of_window.update()

    @property
    def reading_cautions(self) -> bool:
        """Whether the cautions of the first start stand before everything else."""
        return self.first_start is not None and self.stack.currentWidget() is self.first_start

    def state_changed(self) -> None:
        """Enable what can be done now."""
        self.actions_of_window.update()

    def close_library(self) -> None:
        """Close the open claim and the library."""
        self.leave_claim()
        if self.register is not None:
            self.jobs.shut_down()
            self.register.close()
            self.register = None

    @Slot()
    def _on_cautions_read(self) -> None:
        self.stack.setCurrentWidget(self.claim_view or self.register_page)
        self.actions_of_window.update()
        if self.claim_view is not None and self.claim_view.context.claim.invented:
            self.strip.say(said(WHAT_TO_DO))
        if self.claim_view is None and not self.register_page.shown():
            self.strip.say(
                said(
                    "New here? Open the invented claim, walk down its pages, and click a "
                    "weak point to see what cures it."
                ),
                said("Open the demo"),
                self.open_demo,
            )

    # --- claims ---------------------------------------------------------------------------

    @Slot(object)
    def show_claim(self, desk: OpenClaim) -> None:
        """Show an open claim in the window."""
        # Loaded here: the register must be usable before the pages are.
        from ldapp.casework.places import PAGES  # noqa: PLC0415
        from ldapp.desktop.claim_context import ClaimContext  # noqa: PLC0415
        from ldapp.desktop.claim_view import ClaimView  # noqa: PLC0415

        self.leave_claim()
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
        self._policy_changed = False
        self.stack.addWidget(view)
        wanted = self.settings.value(f"claim/page/{desk.claim.id}")
        view.show_page(next((page for page in PAGES if page == wanted), PAGES[0]))
        if not self.reading_cautions:
            self.stack.setCurrentWidget(view)
        self.setWindowTitle(f"{desk.claim.reference} {desk.claim.title} – ldapp")
        self.actions_of_window.update()
        after, self._after_open = self._after_open, None
        if after is not None:
            self.take_files(*after)

    def leave_claim(self) -> None:
        """Leave the claim that is open; everything is saved already."""
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
        """Leave the claim or the page in sight; everything is saved already."""
        if not self.may_leave():
            return
        if self.claim_view is not None:
            claim = self.claim_view.context.claim
            self._to_select = claim.id
            self.leave_claim()
            if self._policy_changed:
                self._offer_policy(claim)
        super().back_to_register()

    def _offer_policy(self, claim: Claim) -> None:
        """Say that the policy is no longer as the office keeps it, where that is so."""
        register = self.register
        if register is None:
            return

        def work(progress: Progress) -> str:
            from ldapp.casework.shared_policies import differs_from_record  # noqa: PLC0415

            progress(0, 0)
            return claim.reference if differs_from_record(register, claim) else ""

        self.jobs.run("Policy", work, self._on_policy_compared, self.show_failure)

    @Slot(object)
    def _on_policy_compared(self, reference: str) -> None:
        if reference and self.claim_view is None:
            self.strip.say(
                said(
                    "The policy of {reference} is no longer as the office keeps it. Other "
                    "claims under it were not changed.",
                    reference=reference,
                ),
                said("Compare"),
                self._show_policies,
            )

    def _show_policies(self) -> None:
        self.show_overview("policies")

    @Slot(object)
    def _on_claim_changed(self, kinds: frozenset[str]) -> None:
        self.actions_of_window.update_steps()
        self._policy_changed = self._policy_changed or "policy" in kinds
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
                    said(
                        "Open a claim first: photos and papers belong to one. A claim file or a "
                        "kit list can be dropped here and becomes a claim."
                    )
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

            def work(progress: Progress) -> tuple[Intake, OpenClaim | None]:
                from ldapp.casework.intake import take_in_files  # noqa: PLC0415

                intake = take_in_files(register, paths, progress)
                return intake, register.open(intake.claims[0]) if len(paths) == 1 else None

            self.run_job(said("Taking claims in"), work, self._on_taken_in)
            return
        if self.claim_view is None:
            self._make_claim((kind, paths))
            return
        pages: dict[DroppedKind, Page] = {
            "photos": "photos",
            "documents": "papers",
            "kit_list": "kit",
            "invoice": "charges",
        }
        self.claim_view.show_page(pages[kind])
        self.claim_view.page(pages[kind]).take_files(paths)

    @Slot(object)
    def _on_taken_in(self, result: tuple[Intake, OpenClaim | None]) -> None:
        intake, desk = result
        if desk is not None:
            self.show_claim(desk)
            if intake.remarks:
                self.strip.say(" ".join(intake.remarks))
            return
        self.refresh_register()
        self._show_sentences(
            said("Claims taken in"),
            said(
                "{claims_taken_in}, {files_refused}",
                claims_taken_in=said_of(
                    len(intake.claims), "{count} claim taken in", "{count} claims taken in"
                ),
                files_refused=said_of(
                    len(intake.refused), "{count} file refused", "{count} files refused"
                ),
            ),
            intake.refused,
            intake.remarks,
        )

    @Slot()
    def show_office_records(self) -> None:
        """Show what the office keeps for all claims beside the open one."""
        from ldapp.desktop.office_records import OfficeRecordsDialog  # noqa: PLC0415

        view, register = self.claim_view, self.register
        if view is None or register is None:
            return
        dialog = OfficeRecordsDialog(register, view.context.desk, self)
        self.show_dialog(dialog)

    def rows_in_sight(self) -> Sequence[ClaimSummary]:
        """Return the open claim's row, else those selected or shown in the register."""
        if self.claim_view is not None:
            open_claim = self.claim_view.context.claim.id
            return [one for one in self.register_page.rows() if one.claim == open_claim]
        return super().rows_in_sight()

    # --- help ------------------------------------------------------------------------------------

    @Slot()
    def show_guide(self) -> None:
        """Open the guide at the page in sight."""
        from ldapp.desktop.guide import Guide  # noqa: PLC0415

        if self._guide is None:
            self._guide = Guide(self)
        overview = self.overview
        place = "register" if overview is None else overview.name
        self._guide.show_page(self.claim_view.current_page if self.claim_view else place)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Remember where things stood; everything else is saved already."""
        if not self.may_leave():
            event.ignore()
            return
        if self._is_furnished:
            self.register_page.remember()
            self.remember_overviews()
        self.settings.setValue("window/geometry", self.saveGeometry())
        self.leave_claim()
        super().closeEvent(event)

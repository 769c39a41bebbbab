"""The window's pages over all claims: policies and certificates, the report."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QFileDialog

from ldapp.desktop.window_of_library import LibraryWindow
from ldapp.language import said, said_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from ldapp.casework.calendars import CalendarResult
    from ldapp.claim.summary import ClaimSummary
    from ldapp.desktop.jobs import Job, JobRunner, Progress
    from ldapp.desktop.overview_page import OverviewPage, Work


class OverviewWindow(LibraryWindow):
    """Shows a page over all claims in place of the register; each is made when first wanted."""

    def furnish_register(self, jobs: JobRunner) -> None:
        """Fill the frame with the register's page and its ways to the others."""
        super().furnish_register(jobs)
        self.overviews: dict[str, OverviewPage] = {}
        self.register_page.page_wanted.connect(self.show_overview)

    def _make_overview(self, name: str) -> OverviewPage:
        # Loaded when first wanted: the register must be usable before.
        from ldapp.desktop.policies_page import PoliciesPage  # noqa: PLC0415
        from ldapp.desktop.report_page import ReportPage  # noqa: PLC0415

        page: OverviewPage = (
            PoliciesPage(self.settings) if name == "policies" else ReportPage(self.settings)
        )
        page.back_wanted.connect(self.back_to_register)
        page.open_wanted.connect(self.open_claim)
        page.job_wanted.connect(self._run_for_page)
        page.change_wanted.connect(self._change_for_page)
        page.told.connect(self.show_message)
        page.refused.connect(self.show_failure)
        self.stack.addWidget(page)
        return page

    @Slot(str)
    def show_overview(self, name: str) -> None:
        """Show a page over all claims: "policies" or "report"."""
        if self.register is None:
            self._wait_for_library(lambda: self.show_overview(name))
            return
        if not self.may_leave():
            return
        if name not in self.overviews:
            self.overviews[name] = self._make_overview(name)
        self.leave_claim()
        self.strip.hide()
        self.stack.setCurrentWidget(self.overviews[name])
        self.overviews[name].reload()
        self.state_changed()

    @property
    def overview(self) -> OverviewPage | None:
        """The page over all claims that is shown, if one is."""
        current = self.stack.currentWidget()
        return next((one for one in self.overviews.values() if one is current), None)

    @Slot(str, object, object)
    def _run_for_page(
        self, label: str, work: Work, on_success: Callable[[Any], None]
    ) -> Job | None:
        register = self.register
        if register is None:
            return None

        def run(progress: Progress) -> Any:
            return work(register, progress)

        return self.run_job(label, run, on_success)

    @Slot(str, object, object)
    def _change_for_page(self, label: str, work: Work, on_success: Callable[[Any], None]) -> None:
        page = self.overview
        job = self._run_for_page(label, work, on_success)
        if job is not None and page is not None:
            # What was changed by then stays changed.
            job.cancelled.connect(page.reload)
            job.failed.connect(page.reload)

    @Slot(object)
    def export_calendar(self, rows: Sequence[ClaimSummary]) -> None:
        """Write the deadlines of these claims as a calendar file."""
        register = self.register
        if register is None or not rows:
            return
        name = rows[0].reference.replace("/", "-") if len(rows) == 1 else "deadlines"
        chosen, _ = QFileDialog.getSaveFileName(
            self,
            said_of(
                len(rows),
                "Deadlines of {reference} as a calendar file",
                "Deadlines of {count} claims as a calendar file",
                reference=rows[0].reference,
            ),
            str(register.exports / f"{name}.ics"),
            said("Calendar files (*.ics)"),
        )
        if not chosen:
            return
        ids = [row.claim for row in rows]
        target = Path(chosen).with_suffix(".ics")

        def work(progress: Progress) -> CalendarResult:
            from ldapp.casework.calendars import write_calendar  # noqa: PLC0415

            return write_calendar(register, ids, target, progress, with_done=len(ids) == 1)

        self.run_job(said("Writing the calendar"), work, self._on_calendar)

    @Slot(object)
    def _on_calendar(self, result: CalendarResult) -> None:
        left = (
            said(
                " Not in it, because a term there cannot be as entered: {listed}.",
                listed=", ".join(result.left_out),
            )
            if result.left_out
            else ""
        )
        written = said_of(
            result.events,
            "{count} deadline written: {path}.",
            "{count} deadlines written: {path}.",
            path=result.path,
        )
        self.strip.say(written + left)

    @Slot()
    def export_calendar_of_sight(self) -> None:
        """Write the deadlines of the open claim, else of the claims selected or shown."""
        self.export_calendar(self.rows_in_sight())

    def rows_in_sight(self) -> Sequence[ClaimSummary]:
        """Return the selected claims of the register, or all that are shown."""
        return self.register_page.selected() or list(self.register_page.shown())

    def may_leave(self) -> bool:
        """Return whether what is open may be left; the window with pages asks."""
        return True

    def leave_claim(self) -> None:
        """Leave the claim that is open; the window with pages does."""

    @Slot()
    def back_to_register(self) -> None:
        """Show the register again, with its rows read anew."""
        self.stack.setCurrentWidget(self.register_page)
        self.strip.hide()
        self.refresh_register()
        self.register_page.table.setFocus()
        self.state_changed()

    def remember_overviews(self) -> None:
        """Write what a person arranged on the pages to the settings."""
        for page in self.overviews.values():
            page.remember()

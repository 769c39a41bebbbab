"""The window's library as a whole: where it is, copied elsewhere, looked through."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot

from ldapp.desktop.overview_window import OverviewWindow
from ldapp.language import said, said_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from ldapp.casework.check_of_library import CheckResult
    from ldapp.casework.moving import CopyResult
    from ldapp.casework.office import LibraryPlace
    from ldapp.casework.register import Register
    from ldapp.desktop.jobs import Progress


class OfficeWindow(OverviewWindow):
    """Settings, copy and check; each works in a job with progress and cancel."""

    open_place: Callable[[LibraryPlace], Register] | None = None
    """Opens the library at a place; given by the program's start."""

    @Slot()
    def show_settings(self) -> None:
        """Ask where the library is."""
        from ldapp.casework.office import fixed_by, library_place  # noqa: PLC0415
        from ldapp.desktop.settings_dialog import SettingsDialog  # noqa: PLC0415
        from ldapp.errors import LdappError  # noqa: PLC0415

        try:
            place = library_place(None)
        except LdappError as error:
            self.show_failure(error)
            return
        dialog = SettingsDialog(place, fixed_by(os.environ), self.jobs, parent=self)
        dialog.place_chosen.connect(self.keep_and_open)
        dialog.copy_wanted.connect(self.copy_to)
        self.show_dialog(dialog)

    @Slot(object)
    def keep_and_open(self, place: LibraryPlace) -> None:
        """Open the library at another place, and keep the place once that worked."""
        open_place = self.open_place
        if open_place is None or not self.may_leave():
            return

        def work(progress: Progress) -> Register:
            from ldapp.casework.office import keep_place  # noqa: PLC0415

            progress(0, 0)
            register = open_place(place)
            try:
                keep_place(place)
            except BaseException:
                register.close()
                raise
            return register

        self.run_job(said("Opening the library"), work, self._on_other_library)

    @Slot(object)
    def _on_other_library(self, register: Register) -> None:
        self.leave_claim()
        before, self.register = self.register, None
        self.stack.setCurrentWidget(self.register_page)
        self.register_page.show_all()

        def opened() -> Register:
            if before is not None:
                before.close()
            return register

        self.open_library(opened)
        self.strip.say(said("Opened. From now on the program begins with this library."))

    @Slot(object)
    def copy_to(self, place: LibraryPlace) -> None:
        """Copy everything of the open library to a place, and compare both after that."""
        register, open_place = self.register, self.open_place
        if register is None or open_place is None:
            return

        def work(progress: Progress) -> tuple[CopyResult, tuple[str, ...]]:
            target = open_place(place)
            try:
                return register.copy_to(target, progress)
            finally:
                target.close()

        self.run_job(said("Copying the library"), work, self._on_copied)

    @Slot(object)
    def _on_copied(self, result: tuple[CopyResult, tuple[str, ...]]) -> None:
        copied, differences = result
        self._show_sentences(
            said("Copy of the library"),
            copied.says
            + (
                ""
                if copied.left_out or differences
                else said(
                    " Both were compared, claims by their values, records and originals by "
                    "their hashes: nothing is missing."
                )
            ),
            (*copied.left_out, *differences),
            (said("The library that was copied from was not changed."),),
        )

    @Slot()
    def check_library(self) -> None:
        """Look through database, originals and records of changes."""
        register = self.register
        if register is not None:
            self.run_job(said("Checking the library"), register.check, self._on_checked)

    @Slot(object)
    def _on_checked(self, result: CheckResult) -> None:
        claims = said_of(result.claims, "{count} claim", "{count} claims")
        originals = said_of(result.originals, "{count} original", "{count} originals")
        self._show_sentences(
            said("Check of the library"),
            said_of(
                len(result.wrong),
                "{claims} and {originals} checked: {count} thing wrong",
                "{claims} and {originals} checked: {count} things wrong",
                claims=claims,
                originals=originals,
            )
            if result.wrong
            else said(
                "{claims} and {originals} checked: nothing is wrong",
                claims=claims,
                originals=originals,
            ),
            result.wrong,
            result.remarks,
        )

    def _show_sentences(
        self, heading: str, title: str, wrong: tuple[str, ...], remarks: tuple[str, ...]
    ) -> None:
        from ldapp.desktop.check_dialog import CheckDialog  # noqa: PLC0415

        dialog = CheckDialog(heading, title, wrong, remarks, self)
        self.show_dialog(dialog)

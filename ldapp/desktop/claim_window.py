"""What the window shows over an open claim, and what it does with a change that was not saved."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings, Slot
from PySide6.QtWidgets import QWidget

from ldapp.desktop.office_window import OfficeWindow
from ldapp.errors import ConflictError, LdappError
from ldapp.language import said

if TYPE_CHECKING:
    from ldapp.desktop.claim_view import ClaimView
    from ldapp.desktop.jobs import Progress
    from ldapp.desktop.window_actions import WindowActions


class ClaimWindow(OfficeWindow):
    """Record of changes, papers asked for, the office's records; unsaved changes and conflicts."""

    actions_of_window: WindowActions

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(settings, parent)
        self.claim_view: ClaimView | None = None

    @Slot()
    def show_wanted_papers(self) -> None:
        """Show which papers the claim's policy asks for, and which are missing."""
        from ldapp.desktop.wanted_papers_dialog import WantedPapersDialog  # noqa: PLC0415

        view = self.claim_view
        if view is None:
            return
        dialog = WantedPapersDialog(view.context.desk, self)
        dialog.place_wanted.connect(view.show_place)
        self.show_dialog(dialog)

    @Slot()
    def show_record(self) -> None:
        """Show who changed what in the open claim."""
        from ldapp.desktop.record_dialog import RecordDialog  # noqa: PLC0415

        if self.claim_view is not None:
            dialog = RecordDialog(self.claim_view.context.desk, self)
            self.show_dialog(dialog)

    # --- what could not be saved ------------------------------------------------------------

    @Slot(object)
    def show_failure(self, error: BaseException) -> None:
        """Say why something was not done; a change that was not saved is kept and offered."""
        view = self.claim_view
        label = None if view is None else view.context.desk.unsaved_label
        if label is None or not isinstance(error, LdappError):
            super().show_failure(error)
        elif isinstance(error, ConflictError):
            self.strip.say(
                said("“{label}” is not saved yet. {error}", label=label, error=error),
                said("Compare both versions"),
                self.show_conflict,
            )
        else:
            self.strip.say(
                said("“{label}” is not saved yet. {error}", label=label, error=error),
                said("Try again"),
                self.save_again,
            )

    @Slot()
    def save_again(self) -> None:
        """Save again what could not be saved, in a worker: a server may let us wait."""
        view = self.claim_view
        if view is not None:
            desk = view.context.desk

            def work(progress: Progress) -> bool:
                progress(0, 0)
                return desk.retry()

            self.run_job(said("Saving again"), work, self._on_saved_again)

    @Slot(object)
    def _on_saved_again(self, was_saved: bool) -> None:
        if was_saved:
            self.strip.say(said("Saved."))
        self.actions_of_window.update_steps()

    @Slot()
    def show_conflict(self) -> None:
        """Show both versions of the open claim, where somebody saved it first."""
        from ldapp.desktop.conflict_dialog import ConflictDialog  # noqa: PLC0415

        view = self.claim_view
        if view is None:
            return
        try:
            conflict = view.context.desk.conflict()
        except LdappError as error:
            self.show_failure(error)
            return
        if conflict is None:
            self.save_again()
            return
        dialog = ConflictDialog(view.context.desk, conflict, self)
        dialog.accepted.connect(self._on_conflict_settled)
        self.show_dialog(dialog)

    @Slot()
    def _on_conflict_settled(self) -> None:
        self.strip.say(said("Saved. Both versions stand in the record of changes."))
        self.actions_of_window.update_steps()

    def may_leave(self) -> bool:
        """Ask before a change that could not be saved would be given up."""
        view = self.claim_view
        label = None if view is None else view.context.desk.unsaved_label
        if label is None:
            return True
        from ldapp.desktop.question import ask  # noqa: PLC0415 - after the first paint

        return ask(
            self,
            said("A change is not saved"),
            said("Leave without saving “{label}”?", label=label),
            said("It could not be saved. Stay, and try again or compare both versions."),
            said("Leave without it"),
        )

"""Photos in: asked for or dropped, taken in by a worker, refusals said."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QFileDialog, QWidget

from ldapp.casework import photo_intake as work
from ldapp.claim.photos import PhotoSource
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.language import said, said_of


class PhotoIntake(QObject):
    """Takes photos into the open claim."""

    refused = Signal(object)
    """The files that were not taken in, with their sentences; empty hides the list."""

    def __init__(
        self, context: ClaimContext, page: QWidget, count: Callable[[], str | None]
    ) -> None:
        """``count`` gives the count at which photos are taken in, where one is seen."""
        super().__init__(page)
        self._context = context
        self._page = page
        self.count = count

    @Slot()
    def ask_files(self) -> None:
        """Ask for photo files and take them in."""
        suffixes = " ".join(f"*{one} *{one.upper()}" for one in sorted(work.PHOTO_SUFFIXES))
        names, _ = QFileDialog.getOpenFileNames(
            self._page,
            said("Add photos"),
            "",
            said("Photos and movies ({suffixes});;All files (*)", suffixes=suffixes),
        )
        self.take_in([Path(name) for name in names], "folder")

    @Slot()
    def ask_folder(self) -> None:
        """Ask for a folder and take its photos in."""
        name = QFileDialog.getExistingDirectory(self._page, said("Add a folder of photos"))
        self.take_in([Path(name)] if name else [], "folder")

    @Slot()
    def ask_card(self) -> None:
        """Ask for a camera's card and take its photos in."""
        name = QFileDialog.getExistingDirectory(self._page, said("Choose the camera's card"))
        self.take_in([Path(name)] if name else [], "card")

    def take_in(self, paths: list[Path], source: PhotoSource) -> None:
        """Take photos in, in a worker; those that are refused are listed with their reasons."""
        keeper = self._context.keeper
        if not paths:
            return
        if keeper is None:
            self._context.message.emit(said("This claim is open for reading only."))
            return
        desk = self._context.desk
        known = self.count()

        def take(progress: Progress) -> work.Intake:
            return work.take_in_photos(
                desk, keeper, paths, source=source, count=known, progress=progress
            )

        self._context.run(said("Taking in photos"), take, self._on_taken)

    @Slot(object)
    def _on_taken(self, intake: work.Intake) -> None:
        parts = [said_of(len(intake.taken), "{count} photo taken in", "{count} photos taken in")]
        if intake.already_there:
            parts.append(
                said_of(len(intake.already_there), "{count} already there", "{count} already there")
            )
        if intake.refused:
            parts.append(said_of(len(intake.refused), "{count} refused", "{count} refused"))
        if not (intake.taken or intake.already_there or intake.refused):
            parts = [said("No photo was found there")]
        if intake.stopped:
            self._context.refuse(intake.stopped)
        else:
            self._context.message.emit(", ".join(parts) + ".")
        self.refused.emit(intake.refused)

"""The window's frame: painted at once, with colours, geometry, messages and progress."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSettings, QTimer, Signal, Slot
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from ldapp.desktop.theme import GRID, Scheme, theme
from ldapp.errors import LdappError

if TYPE_CHECKING:
    from ldapp.desktop.jobs import Job, JobRunner, Progress

_log = logging.getLogger(__name__)


class WindowFrame(QMainWindow):
    """An empty frame that ``furnish_frame`` fills.

    Everything that takes time to load is imported there and not by this module.
    """

    painted = Signal()
    """The frame has been painted for the first time."""

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.settings = settings
        self._is_painted = False
        self.setWindowTitle("ldapp")
        self.setMinimumSize(GRID * 120, GRID * 76)
        self._choose_scheme_from_settings()
        geometry = settings.value("window/geometry")
        if not geometry or not self.restoreGeometry(geometry):
            self.resize(1280, 800)

    def furnish_frame(self, jobs: JobRunner) -> None:
        """Fill the frame: the message strip, the room for pages, progress in the status line."""
        from ldapp.desktop.status_progress import StatusProgress  # noqa: PLC0415
        from ldapp.desktop.widgets.pieces import MessageStrip  # noqa: PLC0415

        self.jobs = jobs
        theme().use_sheet()
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.strip = MessageStrip()
        column.addWidget(self.strip)
        self.stack = QStackedWidget()
        column.addWidget(self.stack, 1)
        self.setCentralWidget(body)
        self.progress = StatusProgress()
        self.statusBar().addPermanentWidget(self.progress)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Tell once that the frame is on the screen."""
        super().paintEvent(event)
        if not self._is_painted:
            self._is_painted = True
            QTimer.singleShot(0, self.painted.emit)

    def _choose_scheme_from_settings(self) -> None:
        chosen = self.settings.value("look/scheme", "system")
        if chosen in ("light", "dark"):
            theme().choose(chosen)

    def choose_scheme(self, scheme: Scheme) -> None:
        """Follow the system's colours, or stay light or dark; remembered."""
        self.settings.setValue("look/scheme", scheme)
        theme().choose(scheme)

    # --- work in the background -------------------------------------------------------

    def run_job(
        self,
        label: str,
        work: Callable[[Progress], Any],
        on_success: Callable[[Any], None] | None = None,
    ) -> Job:
        """Start work that the status line shows; a failure is shown as a sentence."""
        job = self.jobs.run(label, work, on_success, self.show_failure)
        self.progress.follow(job)
        return job

    @Slot(object)
    def show_failure(self, error: BaseException) -> None:
        """Say why something was not done; a fault of the program goes to the log too."""
        if isinstance(error, LdappError):
            self.strip.refuse(str(error))
            return
        _log.error("unexpected failure", exc_info=error)
        self.strip.refuse(
            "Something went wrong in the program itself. Nothing that was saved is lost. "
            f"The details are in the log ({type(error).__name__})."
        )

    @Slot(str)
    def show_message(self, text: str) -> None:
        """Say something in the strip above the page."""
        self.strip.say(text)

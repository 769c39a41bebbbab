"""The window's frame: painted at once, with colours, geometry, messages and progress."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSettings, QTimer, Signal, Slot
from PySide6.QtWidgets import QAbstractButton, QMainWindow, QWidget

from ldapp.desktop.theme import GRID, Scheme, theme
from ldapp.errors import LdappError
from ldapp.language import said

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent, QPaintEvent
    from PySide6.QtWidgets import QDialog

    from ldapp.desktop.jobs import Job, JobRunner, Progress


class WindowFrame(QMainWindow):
    """An empty frame that ``furnish_frame`` fills.

    Everything that takes time to load is imported there and not by this module; the first use
    of the Qt namespace makes some hundred enumerations.
    """

    painted = Signal()
    """The frame has been painted for the first time."""

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.settings = settings
        self._is_painted = False
        self._fault_report: Path | None = None
        self.setWindowTitle("ldapp")
        self.setMinimumSize(GRID * 60, GRID * 40)
        self._choose_scheme_from_settings()
        geometry = settings.value("window/geometry")
        if not geometry or not self.restoreGeometry(geometry):
            self.resize(1280, 800)

    def furnish_frame(self, jobs: JobRunner) -> None:
        """Fill the frame: the message strip, the room for pages, progress in the status line."""
        from PySide6.QtCore import Qt  # noqa: PLC0415
        from PySide6.QtWidgets import QScrollArea, QStackedWidget, QVBoxLayout  # noqa: PLC0415

        from ldapp.desktop.floor import Floor  # noqa: PLC0415
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
        # A screen at 200 % may have less room than a page needs: then all of it can be scrolled to.
        room = QScrollArea()
        room.setWidgetResizable(True)
        room.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        room.setWidget(Floor(self.stack))
        column.addWidget(room, 1)
        self.setCentralWidget(body)
        self.progress = StatusProgress()
        self.statusBar().addPermanentWidget(self.progress)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Tell once that the frame is on the screen."""
        super().paintEvent(event)
        if not self._is_painted:
            self._is_painted = True
            QTimer.singleShot(0, self.painted.emit)

    def show_dialog(self, dialog: QDialog) -> None:
        """Show a dialog before the window; it is deleted when it is closed."""
        from PySide6.QtCore import Qt  # noqa: PLC0415 - see the class: it is slow to load

        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter press the button that has the focus, as the space bar does."""
        from PySide6.QtCore import Qt  # noqa: PLC0415 - as above

        button = self.focusWidget()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and isinstance(
            button, QAbstractButton
        ):
            button.click()
        else:
            super().keyPressEvent(event)

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
        """Say why something was not done; a report of a fault of the program is kept too."""
        if isinstance(error, LdappError):
            self.strip.refuse(str(error))
            return
        from ldapp.fault_reports import keep_fault  # noqa: PLC0415 - after the first paint

        sentence, self._fault_report = keep_fault(error)
        if self._fault_report is None:
            self.strip.refuse(sentence)
        else:
            self.strip.refuse(sentence, said("Open the report"), self._open_fault_report)

    def tell_of_crash(self, report: Path) -> None:
        """Say that the run before this one died, and where its report lies."""
        self._fault_report = report
        self.strip.say(
            said(
                "The program ended by itself the last time. What was saved then is not "
                "lost. A report is kept on this machine; nothing was sent."
            ),
            said("Open the report"),
            self._open_fault_report,
        )

    def _open_fault_report(self) -> None:
        from PySide6.QtCore import QUrl  # noqa: PLC0415 - after the first paint
        from PySide6.QtGui import QDesktopServices  # noqa: PLC0415 - likewise

        if self._fault_report is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._fault_report)))

    @Slot(str)
    def show_message(self, text: str) -> None:
        """Say something in the strip above the page."""
        self.strip.say(text)

"""Starts the window: its frame is painted first, everything else is loaded after that."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSettings, Slot
from PySide6.QtWidgets import QApplication

from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.spoken_language import speak_in_window
from ldapp.desktop.theme import STYLE, apply_theme

if TYPE_CHECKING:
    from ldapp.casework.office import LibraryPlace
    from ldapp.casework.register import Register
    from ldapp.desktop.fault_watch import FaultWatch
    from ldapp.desktop.jobs import JobRunner
    from ldapp.desktop.window_of_library import FirstRows


class Start(QObject):
    """Shows the frame, and furnishes it and opens the library once it has been painted."""

    def __init__(
        self,
        app: QApplication,
        settings: QSettings,
        open_register: Callable[[], Register],
        demo: str | None,
        first_rows: FirstRows | None = None,
        file: Path | None = None,
        open_place: Callable[[LibraryPlace], Register] | None = None,
    ) -> None:
        super().__init__(app)
        self._file = file
        self._open_register = open_register
        self._first_rows = first_rows
        self._demo = demo
        self.jobs: JobRunner | None = None
        self._watch: FaultWatch | None = None
        self.window = MainWindow(None, settings)
        self.window.open_place = open_place
        self.window.painted.connect(self._on_painted)
        self.window.show()

    @Slot()
    def _on_painted(self) -> None:
        from ldapp.desktop.icons import program_icon  # noqa: PLC0415 - after the first paint
        from ldapp.desktop.jobs import JobRunner  # noqa: PLC0415 - likewise

        self.jobs = JobRunner(self)
        self.window.furnish(self.jobs)
        self._watch_for_faults()
        self.window.setWindowIcon(program_icon())
        self.window.open_library(self._open_register, demo=self._demo, first_rows=self._first_rows)
        if self._file is not None:
            self.window.open_claim_file(self._file)

    def _watch_for_faults(self) -> None:
        from ldapp.desktop.fault_watch import FaultWatch  # noqa: PLC0415 - after the first paint
        from ldapp.fault_reports import report_folder  # noqa: PLC0415 - likewise

        self._watch = FaultWatch(self.window.show_failure, self)
        self._watch.begin()
        try:
            crash = self._watch.watch_for_a_crash(report_folder())
        except OSError:
            # Without a folder for logs the program works as well; only a crash leaves nothing.
            return
        if crash is not None:
            self.window.tell_of_crash(crash)

    def end(self) -> None:
        """Stop every job and close the library."""
        if self._watch is not None:
            self._watch.end()
        self.window.close_library()
        if self.jobs is not None:
            self.jobs.shut_down()


def run(
    open_register: Callable[[], Register],
    *,
    demo: str | None = None,
    first_rows: FirstRows | None = None,
    file: Path | None = None,
    open_place: Callable[[LibraryPlace], Register] | None = None,
) -> int:
    """Show the window and stay until it is closed; return the exit code.

    ``demo`` names a demo claim to open at once; an empty text is the first one.
    ``first_rows`` gives the register's rows, or None, before the library is open;
    ``open_place`` opens the library at another place, for the settings.
    ``file`` is a claim file or a bundle to take in and open.
    """
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        # Named here: to load the classes of styles takes time, which the first paint need not wait.
        app = QApplication([*sys.argv[:1], "-style", STYLE])
    app.setApplicationName("ldapp")
    app.setOrganizationName("ldapp")
    app.setApplicationDisplayName("ldapp")
    app.setDesktopFileName("ldapp")
    apply_theme(app, with_sheet=False)
    settings = QSettings()
    speak_in_window(settings)
    start = Start(app, settings, open_register, demo, first_rows, file, open_place)
    code = app.exec()
    start.end()
    return int(code)

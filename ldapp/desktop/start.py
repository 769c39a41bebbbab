"""Starts the window: painted first, the library opened after that."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.theme import apply_theme

if TYPE_CHECKING:
    from ldapp.casework.register import Register


def run(open_register: Callable[[], Register], *, demo: str | None = None) -> int:
    """Show the window and stay until it is closed; return the exit code.

    ``demo`` names a demo claim to open at once; an empty text is the first one.
    """
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
    app.setApplicationName("ldapp")
    app.setOrganizationName("ldapp")
    app.setApplicationDisplayName("ldapp")
    apply_theme(app)
    jobs = JobRunner(app)
    window = MainWindow(jobs, QSettings())
    window.show()
    window.open_library(open_register, demo=demo)
    code = app.exec()
    window.close_library()
    jobs.shut_down()
    return int(code)

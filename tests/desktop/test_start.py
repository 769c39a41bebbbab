from __future__ import annotations

import subprocess
import sys
import threading

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp.casework.register import Register
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.start import Start
from ldapp.errors import MachineError


def test_the_frame_is_painted_before_the_library_is_opened(
    qtbot: QtBot, qapp: QApplication, register: Register, settings: QSettings
) -> None:
    seen: list[tuple[bool, bool]] = []

    def open_register() -> Register:
        window = start.window
        seen.append((window._is_painted, window.isVisible()))
        return register

    start = Start(qapp, settings, open_register, None)
    qtbot.addWidget(start.window)
    assert seen == []
    qtbot.waitUntil(lambda: start.window.register is not None, timeout=10_000)
    assert seen == [(True, True)]
    assert start.window.register_page.isVisible()
    start.window.close()
    start.window.register = None
    start.end()


def test_the_frame_needs_neither_the_store_nor_the_pages() -> None:
    code = (
        "import sys; import ldapp.desktop.start;"
        "heavy = ('sqlalchemy', 'pydantic', 'PIL', 'babel', 'ldapp.claim', 'ldapp.casework');"
        "print([name for name in heavy if name in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert run.stdout.strip() == "[]"


def test_rows_come_first_and_what_is_chosen_then_is_opened_as_soon_as_the_library_is(
    qtbot: QtBot, qapp: QApplication, settings: QSettings, register: Register, jobs: JobRunner
) -> None:
    desk = register.create("2026-001", "First", "USD", "UTC")
    rows = register.summaries()
    may_open = threading.Event()

    def open_register() -> Register:
        assert may_open.wait(10)
        return register

    window = MainWindow(jobs, settings)
    qtbot.addWidget(window)
    window.show()
    window.open_library(open_register, first_rows=lambda: rows)
    page = window.register_page
    qtbot.waitUntil(lambda: len(page.shown()) == 1, timeout=10_000)
    assert window.register is None
    qtbot.keyClicks(page.search, "first")
    assert [row.reference for row in page.shown()] == ["2026-001"]
    page.open_wanted.emit(desk.claim.id)
    assert window.claim_view is None
    may_open.set()
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=10_000)
    assert page.search.text() == "first"
    window.close()
    jobs.shut_down()
    qtbot.waitUntil(lambda: not jobs.busy, timeout=10_000)


def test_a_library_that_cannot_be_opened_yet_is_tried_again(
    qtbot: QtBot, qapp: QApplication, settings: QSettings, register: Register, jobs: JobRunner
) -> None:
    tries: list[int] = []

    def open_register() -> Register:
        tries.append(1)
        if len(tries) == 1:
            raise MachineError("The office's database cannot be reached.")
        return register

    window = MainWindow(jobs, settings)
    qtbot.addWidget(window)
    window.show()
    window.open_library(open_register)
    qtbot.waitUntil(lambda: "cannot be reached" in window.strip.text(), timeout=10_000)
    window.strip._action.click()
    qtbot.waitUntil(lambda: window.register is not None, timeout=10_000)
    window.close()
    jobs.shut_down()
    qtbot.waitUntil(lambda: not jobs.busy, timeout=10_000)

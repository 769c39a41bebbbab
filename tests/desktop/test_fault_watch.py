from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QObject, QSettings, QTimer
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from ldapp import fault_reports
from ldapp.casework.register import Register
from ldapp.desktop.fault_watch import FaultWatch
from ldapp.desktop.start import Start
from ldapp.errors import Cancelled


@pytest.fixture
def caught(qapp: QApplication) -> Iterator[list[BaseException]]:
    seen: list[BaseException] = []
    parent = QObject()
    watch = FaultWatch(seen.append, parent)
    watch.begin()
    yield seen
    watch.end()
    assert sys.excepthook != watch._on_exception


def test_a_fault_in_a_slot_and_in_a_thread_is_caught(
    qtbot: QtBot, caught: list[BaseException]
) -> None:
    def slot() -> None:
        raise RuntimeError("in a slot")

    def work() -> None:
        raise ValueError("in a thread")

    QTimer.singleShot(0, slot)
    qtbot.waitUntil(lambda: len(caught) == 1)
    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    qtbot.waitUntil(lambda: len(caught) == 2)
    assert [str(error) for error in caught] == ["in a slot", "in a thread"]


def test_what_a_person_stopped_is_no_fault(qtbot: QtBot, caught: list[BaseException]) -> None:
    def stopped() -> None:
        raise Cancelled

    QTimer.singleShot(0, stopped)
    qtbot.wait(50)
    assert caught == []


def test_the_window_tells_of_a_fault_and_keeps_a_report(
    qtbot: QtBot,
    qapp: QApplication,
    settings: QSettings,
    register: Register,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(fault_reports, "report_folder", lambda: tmp_path / "log")
    start = Start(qapp, settings, lambda: register, None)
    qtbot.addWidget(start.window)
    qtbot.waitUntil(lambda: start.window.register is not None, timeout=10_000)

    def slot() -> None:
        raise ZeroDivisionError("a fault of ours")

    QTimer.singleShot(0, slot)
    qtbot.waitUntil(lambda: "ZeroDivisionError" in start.window.strip.text())
    assert "nothing was sent" in start.window.strip.text()
    [report] = (tmp_path / "log").glob("fault-*.txt")
    assert "a fault of ours" in report.read_text(encoding="utf-8")
    [button] = [
        one
        for one in start.window.strip.findChildren(QPushButton)
        if one.text() == "Open the report"
    ]
    assert button.isVisible()
    start.window.close()
    start.window.register = None
    start.end()
    assert not list((tmp_path / "log").glob("running-*"))


def test_the_next_start_finds_what_a_crash_left(qapp: QApplication, tmp_path: Path) -> None:
    code = (
        "import sys, ctypes, pathlib\n"
        "from PySide6.QtCore import QCoreApplication\n"
        "from ldapp.desktop.fault_watch import FaultWatch\n"
        "app = QCoreApplication([])\n"
        "watch = FaultWatch(print, app)\n"
        "assert watch.watch_for_a_crash(pathlib.Path(sys.argv[1])) is None\n"
        "ctypes.string_at(0)\n"
    )
    died = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path)], capture_output=True, check=False, timeout=60
    )
    assert died.returncode != 0
    watch = FaultWatch(lambda error: None, qapp)
    report = watch.watch_for_a_crash(tmp_path)
    watch.end()
    assert report is not None
    assert "string_at" in report.read_text(encoding="utf-8")
    again = FaultWatch(lambda error: None, qapp)
    assert again.watch_for_a_crash(tmp_path) is None
    again.end()

from __future__ import annotations

import gc
import random
import threading
import time
from typing import Any

import pytest
from PySide6.QtCore import QObject, QThread, QTimer, Slot
from PySide6.QtWidgets import QDialog, QLabel
from pytestqt.qtbot import QtBot

from ldapp.desktop.jobs import JobRunner, Progress
from ldapp.errors import LdappError


class Listener(QObject):
    def __init__(self) -> None:
        super().__init__()
        self.got: list[tuple[str, Any]] = []

    @Slot(object)
    def on_success(self, value: object) -> None:
        self.got.append(("success", value))
        assert QThread.currentThread() is self.thread()

    @Slot(object)
    def on_failure(self, error: object) -> None:
        self.got.append(("failure", error))


def test_a_value_arrives_in_the_windows_thread_and_the_work_ran_in_another(
    qtbot: QtBot, jobs: JobRunner
) -> None:
    listener = Listener()
    job = jobs.run("work", lambda progress: threading.get_ident(), listener.on_success)
    with qtbot.waitSignal(job.finished, timeout=5000):
        pass
    assert listener.got[0][0] == "success"
    assert listener.got[0][1] != threading.get_ident()


def test_an_error_arrives_as_the_exception_itself(qtbot: QtBot, jobs: JobRunner) -> None:
    error = LdappError("The disk is full.")

    def work(progress: Progress) -> None:
        raise error

    listener = Listener()
    job = jobs.run("work", work, listener.on_success, listener.on_failure)
    with qtbot.waitSignal(job.finished, timeout=5000):
        pass
    assert listener.got == [("failure", error)]


def test_a_cancel_is_no_failure_and_finished_is_last(qtbot: QtBot, jobs: JobRunner) -> None:
    def work(progress: Progress) -> None:
        for number in range(10_000):
            time.sleep(0.001)
            progress(number, 10_000, "counting")

    order: list[str] = []
    job = jobs.run("work", work)
    job.cancelled.connect(lambda: order.append("cancelled"))
    job.failed.connect(lambda _: order.append("failed"))
    job.finished.connect(lambda: order.append("finished"))
    QTimer.singleShot(30, job.cancel)
    with qtbot.waitSignal(job.finished, timeout=5000):
        pass
    assert order == ["cancelled", "finished"]


def test_progress_comes_at_most_ten_times_a_second_and_the_last_always(
    qtbot: QtBot, jobs: JobRunner
) -> None:
    def work(progress: Progress) -> None:
        for number in range(1, 301):
            time.sleep(0.001)
            progress(number, 300)

    seen: list[int] = []
    job = jobs.run("work", work)
    job.progressed.connect(lambda done, total, text: seen.append(done))
    with qtbot.waitSignal(job.finished, timeout=5000):
        pass
    assert seen[-1] == 300
    assert len(seen) < 12


class JobDialog(QDialog):
    """Deletes itself while its job may still run."""

    def __init__(self, jobs: JobRunner) -> None:
        super().__init__()
        self._label = QLabel("", self)
        self.job = jobs.run("work", _short_work, self.on_done)
        self.job.progressed.connect(self.on_progress)

    @Slot(object)
    def on_done(self, value: object) -> None:
        self._label.setText(str(value))

    @Slot(int, int, str)
    def on_progress(self, done: int, total: int, text: str) -> None:
        self._label.setText(text)


def _short_work(progress: Progress) -> str:
    for number in range(4):
        time.sleep(0.0005)
        progress(number, 4, "part")
    return "done"


@pytest.mark.filterwarnings("default")
def test_dialogs_closed_at_random_moments_leave_nothing_behind(
    qtbot: QtBot, jobs: JobRunner
) -> None:
    dice = random.Random(7)
    for number in range(400):
        dialog = JobDialog(jobs)
        if dice.random() < 0.5:
            dialog.job.cancel()
        qtbot.wait(dice.randrange(0, 4))
        dialog.deleteLater()
        del dialog
        if number % 25 == 0:
            gc.collect()
    qtbot.waitUntil(lambda: not jobs.busy, timeout=10_000)

from __future__ import annotations

import threading
import time

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from ldapp.desktop.jobs import JobRunner, Progress
from ldapp.desktop.status_progress import StatusProgress


def test_a_job_is_shown_with_its_progress_until_it_ends(qtbot: QtBot, jobs: JobRunner) -> None:
    go = threading.Event()

    def work(progress: Progress) -> None:
        progress(2, 8, "a file with a name that is much too long to be shown as it is.jpg")
        go.wait(5)
        progress(8, 8, "")

    line = StatusProgress()
    qtbot.addWidget(line)
    job = jobs.run("Taking photos in", work)
    line.follow(job)
    qtbot.waitUntil(lambda: line.bar.maximum() == 8, timeout=2000)
    assert line.isVisible()
    assert line.bar.value() == 2
    assert line.label.text().startswith("Taking photos in: a file")
    assert len(line.label.text()) < 70
    with qtbot.waitSignal(job.finished, timeout=5000):
        go.set()
    assert not line.isVisible()


def test_cancel_stops_the_job(qtbot: QtBot, jobs: JobRunner) -> None:
    def work(progress: Progress) -> None:
        for number in range(100_000):
            time.sleep(0.001)
            progress(number, 100_000)

    line = StatusProgress()
    qtbot.addWidget(line)
    job = jobs.run("Reading", work)
    line.follow(job)
    with qtbot.waitSignal(job.cancelled, timeout=5000):
        qtbot.mouseClick(line.cancel, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not line.isVisible(), timeout=2000)


def test_when_one_job_ends_the_other_is_shown(qtbot: QtBot, jobs: JobRunner) -> None:
    first_ends, second_ends = threading.Event(), threading.Event()
    line = StatusProgress()
    qtbot.addWidget(line)
    first = jobs.run("First", lambda progress: first_ends.wait(5))
    line.follow(first)
    second = jobs.run("Second", lambda progress: second_ends.wait(5))
    line.follow(second)
    assert line.label.text() == "Second"
    with qtbot.waitSignal(second.finished, timeout=5000):
        second_ends.set()
    assert line.label.text() == "First"
    with qtbot.waitSignal(first.finished, timeout=5000):
        first_ends.set()

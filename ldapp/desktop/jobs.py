"""Run one plain callable off the window's thread, with progress and cancel.

A job object lives in the window's thread and outlives its worker; the worker gets plain
values and one reporter.  Connect results to bound methods of QObjects, never to lambdas
over widgets: a method is disconnected by itself when its object dies.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Any, Protocol

from PySide6.QtCore import QObject, Qt, QThreadPool, Signal, Slot

from ldapp.desktop.collector import collect_in_this_thread
from ldapp.errors import Cancelled


class Progress(Protocol):
    """What work reports with; raises Cancelled when the person asked for a stop."""

    def __call__(self, done: int, total: int, text: str = "") -> None:
        """Say that ``done`` of ``total`` parts are done; ``total`` 0 is "not known"."""
        ...


Work = Callable[[Progress], Any]


class Reporter:
    """Given to the worker: the only thing of the window that it may touch."""

    def __init__(self, emit: Callable[[int, int, str], None], stop: threading.Event) -> None:
        self._emit = emit
        self._stop = stop
        self._last = 0.0

    def __call__(self, done: int, total: int, text: str = "") -> None:
        """Report, at most ten times a second; raise Cancelled when asked to stop."""
        if self._stop.is_set():
            raise Cancelled
        now = time.monotonic()
        if done == total or now - self._last >= 0.1:
            self._last = now
            self._emit(done, total, text)


class Job(QObject):
    """One piece of work; its signals arrive in the thread that made it."""

    progressed = Signal(int, int, str)
    succeeded = Signal(object)
    failed = Signal(object)
    """The exception itself."""
    cancelled = Signal()
    finished = Signal()
    """Always last."""
    _ended = Signal(object, object)

    def __init__(self, label: str, work: Work, parent: QObject) -> None:
        super().__init__(parent)
        self.label = label
        self._work = work
        self._stop = threading.Event()
        self._ended.connect(self._on_ended, Qt.ConnectionType.QueuedConnection)

    def start(self, pool: QThreadPool) -> None:
        """Hand the work to a pool."""
        pool.start(self._run)

    def cancel(self) -> None:
        """Ask the work to stop at its next report."""
        self._stop.set()

    def _run(self) -> None:
        result, error = None, None
        try:
            result = self._work(Reporter(self.progressed.emit, self._stop))
        except BaseException as raised:  # noqa: BLE001 - carried to the window's thread, never lost
            error = raised
        self._ended.emit(result, error)

    @Slot(object, object)
    def _on_ended(self, result: Any, error: BaseException | None) -> None:
        if isinstance(error, Cancelled):
            self.cancelled.emit()
        elif error is not None:
            self.failed.emit(error)
        else:
            self.succeeded.emit(result)
        self.finished.emit()


class JobRunner(QObject):
    """One per application: owns the pool and every running job."""

    def __init__(self, parent: QObject | None = None, threads: int = 2) -> None:
        super().__init__(parent)
        collect_in_this_thread()
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(threads)
        self._jobs: set[Job] = set()

    @property
    def busy(self) -> bool:
        """Whether a job is running or waiting."""
        return bool(self._jobs)

    def run(
        self,
        label: str,
        work: Work,
        on_success: Callable[[Any], None] | None = None,
        on_failure: Callable[[BaseException], None] | None = None,
    ) -> Job:
        """Start ``work(progress)``; the callbacks must be bound methods of QObjects."""
        job = Job(label, work, self)
        self._jobs.add(job)
        if on_success is not None:
            job.succeeded.connect(on_success)
        if on_failure is not None:
            job.failed.connect(on_failure)
        job.finished.connect(self._forget)
        job.start(self._pool)
        return job

    @Slot()
    def _forget(self) -> None:
        job = self.sender()
        if isinstance(job, Job):
            self._jobs.discard(job)
            job.deleteLater()

    def shut_down(self, wait_ms: int = 10_000) -> bool:
        """Ask every job to stop and wait for them; False where one did not stop in time."""
        for job in tuple(self._jobs):
            job.cancel()
        return self._pool.waitForDone(wait_ms)

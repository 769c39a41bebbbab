"""Catches what nobody caught, so that a fault of the program is told and kept, never lost.

Python calls ``sys.excepthook`` for a fault in a slot and ``threading.excepthook`` for one in a
thread.  A crash below Python leaves the stack of every thread in a file; the next start
finds it.
"""

from __future__ import annotations

import faulthandler
import os
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import IO

from PySide6.QtCore import QObject, Qt, Signal, Slot

from ldapp.errors import Cancelled


class FaultWatch(QObject):
    """Hands every uncaught exception to ``show`` in the window's thread."""

    _caught = Signal(object)

    def __init__(self, show: Callable[[BaseException], None], parent: QObject) -> None:
        super().__init__(parent)
        self._show = show
        self._before = sys.excepthook
        self._before_in_threads = threading.excepthook
        self._stacks: IO[str] | None = None
        # Queued: a window is never drawn from within the call that failed.
        self._caught.connect(self._on_caught, Qt.ConnectionType.QueuedConnection)

    def begin(self) -> None:
        """Take over from Python's own way of printing a traceback."""
        sys.excepthook = self._on_exception
        threading.excepthook = self._on_thread_exception

    def end(self) -> None:
        """Give back what was taken over."""
        sys.excepthook = self._before
        threading.excepthook = self._before_in_threads
        if self._stacks is not None:
            faulthandler.disable()
            self._stacks.close()
            Path(self._stacks.name).unlink(missing_ok=True)
            self._stacks = None

    def watch_for_a_crash(self, folder: Path) -> Path | None:
        """Write the stacks to a file in ``folder`` if the process dies.

        Returns the file that an earlier run left behind, where it died; None otherwise.

        Raises:
            OSError: the folder cannot be written.
        """
        folder.mkdir(parents=True, exist_ok=True)
        found = self._crash_before(folder)
        self._stacks = (folder / f"running-{os.getpid()}.txt").open("w", encoding="utf-8")
        faulthandler.enable(self._stacks)
        return found

    @staticmethod
    def _crash_before(folder: Path) -> Path | None:
        """Return the newest stacks of a run that died; an empty file is of a run that lives."""
        left = [path for path in folder.glob("running-*.txt") if path.stat().st_size]
        if not left:
            return None
        kept = folder / "crash-before.txt"
        max(left, key=lambda path: path.stat().st_mtime).replace(kept)
        for path in left:
            path.unlink(missing_ok=True)
        return kept

    def _on_exception(
        self,
        kind: type[BaseException],
        error: BaseException,
        trace: TracebackType | None,
    ) -> None:
        if issubclass(kind, KeyboardInterrupt):
            self._before(kind, error, trace)
        elif not issubclass(kind, Cancelled):
            self._caught.emit(error.with_traceback(trace))

    def _on_thread_exception(self, arguments: threading.ExceptHookArgs) -> None:
        error = arguments.exc_value
        if error is not None and not isinstance(error, Cancelled | SystemExit):
            self._caught.emit(error)

    @Slot(object)
    def _on_caught(self, error: BaseException) -> None:
        self._show(error)

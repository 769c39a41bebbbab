"""How long the window's event loop is held, told apart from a computer that is busy elsewhere.

A timer beats every few milliseconds.  The time between two beats is held by the program,
but for what the scheduler says that its threads stood ready and were given no processor
(Linux keeps that for every thread; elsewhere nothing is taken off).  Time that the window's
own thread spent computing is never taken off.
"""

from __future__ import annotations

import os
import sys
import threading
import time
import traceback
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QObject, QTimer

BEAT_MS = 5
LOOK_AFTER_S = 0.06
_TASKS = Path("/proc/self/task")


def _scheduled() -> dict[int, tuple[float, float]]:
    """Return for every thread the seconds it ran and the seconds it waited for a processor."""
    found: dict[int, tuple[float, float]] = {}
    with suppress(OSError):
        for task in os.scandir(_TASKS):
            # A thread may end between being listed and being read.
            with suppress(OSError, ValueError):
                ran, waited, _ = Path(task.path, "schedstat").read_text().split()
                found[int(task.name)] = (int(ran) / 1e9, int(waited) / 1e9)
    return found


class Pulse(QObject):
    """The longest time for which the event loop was held, and what held it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.longest = 0.0
        """Seconds."""
        self.held_by = ""
        """What the window's thread and the others did in that time."""
        self.beats = 0
        self._window = threading.get_native_id()
        self._window_thread = threading.get_ident()
        self._seen = ""
        self._stop = threading.Event()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self._beat)
        self._last = time.perf_counter()
        self._before = _scheduled()
        self._looker = threading.Thread(target=self._look, daemon=True)

    def begin(self) -> None:
        """Begin to measure."""
        self._last, self._before = time.perf_counter(), _scheduled()
        self._timer.start(BEAT_MS)
        self._looker.start()

    def end(self) -> float:
        """Measure no more; return the longest time in seconds."""
        self._beat()
        self._timer.stop()
        self._stop.set()
        self._looker.join()
        return self.longest

    def _beat(self) -> None:
        now = time.perf_counter()
        gap = now - self._last
        if gap > LOOK_AFTER_S:
            held = self._held(gap)
            if held > self.longest:
                self.longest, self.held_by = held, self._seen
        elif gap > self.longest:
            self.longest, self.held_by = gap, ""
        self._seen = ""
        self.beats += 1
        self._before = _scheduled()
        # What this bookkeeping takes is not counted.
        self._last = time.perf_counter()

    def _held(self, gap: float) -> float:
        after = _scheduled()
        nothing = (0.0, 0.0)
        ran = {
            task: (one[0] - self._before.get(task, nothing)[0],
                   one[1] - self._before.get(task, nothing)[1])
            for task, one in after.items()
        }  # fmt: skip
        computed, waited = ran.pop(self._window, nothing)
        # The window may also wait for a thread of ours that is itself kept waiting.
        others = max((one[1] for one in ran.values()), default=0.0)
        return max(computed, gap - waited - others)

    def _look(self) -> None:
        """Note what every thread does while a beat is late."""
        while not self._stop.wait(0.02):
            if time.perf_counter() - self._last < LOOK_AFTER_S:
                continue
            parts = []
            for thread, frame in sys._current_frames().items():
                if thread != threading.get_ident():
                    who = "window" if thread == self._window_thread else "worker"
                    stack = "".join(traceback.format_stack(frame)[-7:])
                    parts.append(f"[{who}]\n{stack}")
                # A frame that is kept keeps what it holds, beyond its own end.
                del frame
            self._seen = "\n".join(parts)

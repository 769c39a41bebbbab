"""Garbage is collected in the window's thread alone.

Python collects cycles in whatever thread happens to allocate.  A worker that so destroys
a widget or a timer ends the process ("QBasicTimer::stop … from a different thread", met
here).  So automatic collection is switched off, and a timer of the window's thread does it.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QCoreApplication, QObject, QTimer, Slot

_EVERY_MS = 400
_OLD_EVERY = 50
"""The oldest generation is looked at after so many collections of the middle one."""


class GarbageCollector(QObject):
    """One per application; made in the window's thread."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._since_old = 0
        gc.disable()
        # What was loaded by now stays: it need not be looked at again and again.
        gc.freeze()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.collect)
        self._timer.start(_EVERY_MS)

    @Slot()
    def collect(self) -> None:
        """Collect as far as Python itself would by now."""
        young, middle, _ = gc.get_count()
        most_young, most_middle, _ = gc.get_threshold()
        if young <= most_young:
            return
        if middle <= most_middle:
            gc.collect(0)
            return
        self._since_old += 1
        if self._since_old >= _OLD_EVERY:
            self._since_old = 0
            gc.collect(2)
        else:
            gc.collect(1)


def collect_in_this_thread() -> None:
    """See to it that garbage is collected in the application's thread, once per application."""
    app = QCoreApplication.instance()
    if app is not None and app.findChild(GarbageCollector) is None:
        GarbageCollector(app)

"""Python's garbage collector, held back while thousands of records are made.

Records are frozen and never refer back to what holds them, so there is nothing to
collect; but each pass over everything that is alive stops every thread, and a window
with them, for longer than a whole claim takes to read.
"""

from __future__ import annotations

import gc
import threading
from collections.abc import Iterator
from contextlib import contextmanager

_lock = threading.Lock()
_holders = 0
_was_enabled = False


@contextmanager
def collector_held() -> Iterator[None]:
    """Hold the collector back for a block; several threads may do so at once."""
    global _holders, _was_enabled  # noqa: PLW0603 - the collector is the process's own
    with _lock:
        if _holders == 0:
            _was_enabled = gc.isenabled()
            gc.disable()
        _holders += 1
    try:
        yield
    finally:
        with _lock:
            _holders -= 1
            if _holders == 0 and _was_enabled:
                gc.enable()

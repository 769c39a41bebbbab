"""Reads damaged files one after the other under limits, and tells of each in one line.

``python -m tests.endurance.worker KIND SEED FIRST LAST FOLDER``.  A file that takes more
processor time than it may ends this process; whoever started it sees at which number.
"""

from __future__ import annotations

import json
import logging
import resource
import signal
import sys
import time
import traceback
import warnings
from pathlib import Path

from tests.endurance.damage import chance
from tests.endurance.readings import READINGS


def _most_megabytes() -> int:
    """Return the most memory that this program has held.

    The system's other figure, of ``getrusage``, begins with that of whoever started it.
    """
    for line in Path("/proc/self/status").read_text(encoding="ascii").splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) // 1024
    raise RuntimeError("this system does not say how much memory was held")


def main() -> None:
    """Read the files with numbers from FIRST up to LAST."""
    kind, seed, first, last = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
    folder = Path(sys.argv[5])
    logging.disable()
    warnings.simplefilter("ignore")
    reading = READINGS[kind]
    whole = reading.sound()
    path = folder / reading.name
    for one in whole[:5]:  # loads every library before the limits are set
        path.write_bytes(one)
        reading.read(path)
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    most = pages * resource.getpagesize() + (reading.megabytes << 20)
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    for number in range(first, last):
        print(json.dumps({"begins": number}), flush=True)
        path.write_bytes(reading.damage(chance(seed, number), whole))
        began = time.process_time()
        signal.setitimer(signal.ITIMER_PROF, reading.seconds)
        fault = outcome = ""
        try:
            outcome = reading.read(path)
        except BaseException:  # noqa: BLE001 - every exception is what is looked for
            fault = traceback.format_exc(limit=-4)
        signal.setitimer(signal.ITIMER_PROF, 0)
        line = {
            "number": number,
            "outcome": outcome,
            "fault": fault,
            "seconds": time.process_time() - began,
            "megabytes": _most_megabytes(),
        }
        print(json.dumps(line), flush=True)


if __name__ == "__main__":
    main()

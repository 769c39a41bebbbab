"""Draw many invoices with every writer of this machine and say what is read otherwise.

python -m tests.exchange.layouts [FIRST] [COUNT] [WRITER ...]

From seed 20,000 on they have the habits of ``habits.py`` besides.
"""

from __future__ import annotations

import os
import random
import sys
from collections import Counter
from pathlib import Path
from tempfile import mkdtemp

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtGui import QGuiApplication

from ldapp.errors import LdappError
from ldapp.exchange.invoice_file import read_invoice
from tests.exchange.layouts.compare import differences
from tests.exchange.layouts.habits import draw
from tests.exchange.layouts.papers import found_writers
from tests.exchange.layouts.spreadsheets import SHEETS


def main() -> None:
    arguments = sys.argv[1:]
    first = int(arguments[0]) if arguments else 0
    count = int(arguments[1]) if len(arguments) > 1 else 40
    writers = found_writers()
    wanted = arguments[2:] or [*writers, *SHEETS]
    application = QGuiApplication([])
    folder = Path(mkdtemp(prefix="layouts"))
    right: Counter[str] = Counter()
    for name in wanted:
        for seed in range(first, first + count):
            truth, sheet = draw(seed)
            ending, write = SHEETS.get(name) or ("pdf", writers[name])
            path = folder / f"{name}-{seed}.{ending}"
            write(sheet, path, random.Random(seed))
            try:
                wrong = differences(truth, read_invoice(path))
            except LdappError as error:
                wrong = [str(error)]
            right[name] += not wrong
            if wrong:
                print(f"== {path} {truth.currency} {len(wrong)} differences")
                for one in wrong[:6]:
                    print("   ", one[:260])
        print(f"{name}: {right[name]} of {count} right")
    del application


if __name__ == "__main__":
    main()

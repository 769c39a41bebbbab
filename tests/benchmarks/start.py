"""Start until the window is painted, the register of 500 claims can be used, the library is open.

The register can be used before the library is open: its rows are read first.  "Open" is
when a claim that was chosen in the meantime begins to open.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from ldapp.casework.register import Register
from ldapp.store.claim_library import Library
from tests.benchmarks.table import Row, command, pairs

CLAIMS = 500
_BARE = """
import os
from PySide6.QtWidgets import QApplication, QMainWindow
class Window(QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        os._exit(0)
app = QApplication([])
window = Window()
window.resize(1280, 800)
window.show()
app.exec()
"""
_BARE_AND_STORE = "import sqlalchemy.orm, alembic.command" + _BARE
_OURS = """
import os, sys
from pathlib import Path
from ldapp.app import open_register, rows_before_opening
from ldapp.desktop.start import run
import ldapp.desktop.main_window as module
folder, until = Path(sys.argv[1]), sys.argv[2]
class Window(module.MainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        if until == "painted":
            os._exit(0)
    def _load_library(self):
        # The rows have been shown and painted: they can be searched, sorted and summed.
        if until == "usable":
            self.register_page.table.viewport().repaint()
            os._exit(0 if len(self.register_page.shown()) == int(sys.argv[3]) else 1)
        super()._load_library()
    def _on_library(self, opened):
        super()._on_library(opened)
        os._exit(0)
import ldapp.desktop.start
ldapp.desktop.start.MainWindow = Window
run(lambda: open_register(folder), first_rows=lambda: rows_before_opening(folder))
"""


def measure(_files: int) -> list[Row]:
    """Measure from a process's start until it has come so far; the screen is not there."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CONFIG_HOME"] = folder
        library = Path(folder, "library")
        register = Register(Library.open(library), "benchmark")
        for number in range(CLAIMS):
            register.create(f"B-{number:04d}", f"Benchmark {number}", "USD", "UTC")
        register.close()
        rows = []
        for until, bare, says, wanted in (
            ("painted", _BARE, "a bare Qt window", 1.5),
            ("usable", _BARE_AND_STORE, "a bare Qt window and the imports of the store", 1.5),
            ("open", _BARE_AND_STORE, "a bare Qt window and the imports of the store", 2.5),
        ):
            ours, reference = pairs(
                7,
                command(sys.executable, "-c", _OURS, str(library), until, str(CLAIMS)),
                command(sys.executable, "-c", bare),
            )
            rows.append(Row(f"start, {until}, {CLAIMS} claims", ours, says, reference, wanted))
    return rows

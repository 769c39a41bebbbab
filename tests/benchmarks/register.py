"""Ten thousand claims in the register: read, searched, filtered and sorted.

The reference is 0.2 s for every step, which a person does not notice as waiting; what is
measured is the median of several runs.
"""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.benchmarks.table import Row

CLAIMS = 10_000
AT_ONCE_S = 0.2


def measure(_files: int) -> list[Row]:
    """Measure the register's page over a library in a file, and over an office's database."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from ldapp.store.claim_library import Library
    from tests.store.office_server import new_database, running_server

    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as folder:
        rows += _measured("file", Path(folder), Library.open(Path(folder, "library")))
        server_folder = Path(folder, "server")
        server_folder.mkdir()
        for server in running_server(server_folder):
            address = new_database(server)
            library = Library.open(Path(folder, "office"), database_url=address)
            rows += _measured("server", Path(folder), library)
    return rows


def _measured(where: str, folder: Path, library: object) -> list[Row]:
    from PySide6.QtCore import QSettings, Qt
    from PySide6.QtWidgets import QApplication

    from ldapp.casework.reports import report_of
    from ldapp.desktop.register_page import RegisterPage
    from ldapp.desktop.theme import apply_theme
    from ldapp.store.claim_library import Library
    from tests.store.many_claims import put_many

    assert isinstance(library, Library)
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    apply_theme(app)
    put_many(library, CLAIMS)
    page = RegisterPage(QSettings(str(folder / f"{where}.ini"), QSettings.Format.IniFormat))
    page.resize(1280, 800)
    page.show()
    page.show_claims(library.summaries())
    app.processEvents()
    orders = [Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder]
    words = ["ferry", "ferry harbour", "2023-04711", ""]

    def search(number: int) -> None:
        page.search.setText(words[number % len(words)])
        app.processEvents()

    def sort(number: int) -> None:
        page.table.sortByColumn(number % 10, orders[number % 2])
        app.processEvents()

    def read(number: int) -> None:
        del number
        page.show_claims(library.summaries())
        app.processEvents()

    def report(number: int) -> None:
        del number
        report_of(library.summaries_with_figures(), None, None)

    steps: tuple[tuple[str, Callable[[int], None], float], ...] = (
        ("search", search, AT_ONCE_S),
        ("sort", sort, AT_ONCE_S),
        ("read and show", read, 5 * AT_ONCE_S),
        ("report", report, 5 * AT_ONCE_S),
    )
    found = []
    for name, step, bound in steps:
        times = []
        for number in range(12):
            began = time.perf_counter()
            step(number)
            times.append(time.perf_counter() - began)
        found.append(
            Row(
                f"register of {CLAIMS:,} claims, {where}: {name}",
                statistics.median(times),
                f"{bound:g} s",
                bound,
                1.0,
            )
        )
    page.close()
    library.close()
    return found

from __future__ import annotations

import subprocess
import sys

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp.casework.register import Register
from ldapp.desktop.start import Start


def test_the_frame_is_painted_before_the_library_is_opened(
    qtbot: QtBot, qapp: QApplication, register: Register, settings: QSettings
) -> None:
    seen: list[tuple[bool, bool]] = []

    def open_register() -> Register:
        window = start.window
        seen.append((window._is_painted, window.isVisible()))
        return register

    start = Start(qapp, settings, open_register, None)
    qtbot.addWidget(start.window)
    assert seen == []
    qtbot.waitUntil(lambda: start.window.register is not None, timeout=10_000)
    assert seen == [(True, True)]
    assert start.window.register_page.isVisible()
    start.window.close()
    start.window.register = None
    start.end()


def test_the_frame_needs_neither_the_store_nor_the_pages() -> None:
    code = (
        "import sys; import ldapp.desktop.start;"
        "heavy = ('sqlalchemy', 'pydantic', 'PIL', 'babel', 'ldapp.claim', 'ldapp.casework');"
        "print([name for name in heavy if name in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert run.stdout.strip() == "[]"

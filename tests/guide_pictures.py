"""Makes the guide's pictures from the real program: ``python -m tests.guide_pictures``.

Every page of the window on an invented claim, 1280 × 800, light and dark, in every language that
the program speaks (``light/charges.png``, ``light/de/charges.png``).  Run it after a change that
can be seen, look at the pictures, and commit them with the change.
"""

from __future__ import annotations

import io
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PIL import Image
from PySide6.QtCore import QBuffer, QIODevice, QSettings
from PySide6.QtWidgets import QApplication, QWidget

from ldapp.app import open_register
from ldapp.casework.demo import demo_claim, demo_claims
from ldapp.casework.places import PAGES
from ldapp.catalogues import make_languages_known
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.theme import Scheme, apply_theme
from ldapp.language import SOURCE_LANGUAGE, languages, speak
from ldapp.resources import resource

SCHEMES: tuple[Scheme, ...] = ("light", "dark")
COLOURS = 160
"""As many as a picture of a window needs; keeps the files small."""


def keep_picture(widget: QWidget, path: Path) -> None:
    """Write what a widget shows as a small PNG."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    widget.grab().save(buffer, "PNG")
    picture = Image.open(io.BytesIO(bytes(buffer.data().data()))).convert("RGB")
    path.parent.mkdir(parents=True, exist_ok=True)
    picture.quantize(COLOURS, dither=Image.Dither.NONE).save(path, optimize=True)


def wait_until(done: Callable[[], bool], seconds: float = 120) -> None:
    """Let the window work until something is so."""
    until = time.monotonic() + seconds
    while not done():
        if time.monotonic() > until:
            raise SystemExit("The window did not come to rest; no picture was made.")
        QApplication.processEvents()
        time.sleep(0.01)


def rest(jobs: JobRunner) -> None:
    """Wait for what a change sets off: it begins a moment after the change."""
    begun = time.monotonic()
    wait_until(lambda: time.monotonic() - begun > 1.5 and not jobs.busy)


def main() -> int:
    """Make every picture; return 0."""
    app = QApplication([])
    app.setApplicationName("ldapp")
    apply_theme(app)
    make_languages_known()
    jobs = JobRunner(app)
    for spoken in languages():
        speak(spoken)
        with tempfile.TemporaryDirectory() as made:
            take_pictures_in(spoken, jobs, Path(made))
    jobs.shut_down()
    return 0


def take_pictures_in(spoken: str, jobs: JobRunner, place: Path) -> None:
    """Open a window that speaks a language, on a library in a folder of its own."""
    settings = QSettings(str(place / "settings.ini"), QSettings.Format.IniFormat)
    settings.setValue("cautions/read", True)
    register = open_register(place / "library")
    for one in demo_claims():
        register.take_in_demo(demo_claim(one.name))
    register.close()
    window = MainWindow(jobs, settings)
    window.resize(1280, 800)
    window.show()
    window.open_library(lambda: open_register(place / "library"))
    wait_until(lambda: window.register is not None and not jobs.busy)
    take_pictures(window, jobs, "" if spoken == SOURCE_LANGUAGE else spoken)
    window.close()
    window.close_library()


def take_pictures(window: MainWindow, jobs: JobRunner, within: str) -> None:
    """Walk through the window and keep a picture of each page in each scheme."""

    def keep(name: str) -> None:
        for scheme in SCHEMES:
            window.choose_scheme(scheme)
            rest(jobs)
            path = resource("guide") / "pictures" / scheme / within / f"{name}.png"
            keep_picture(window, path)
            print(path.relative_to(resource("guide")))

    keep("register")
    rows = window.register_page.shown()
    first = next(row for row in rows if row.reference.startswith("HL"))
    window.open_claim(first.claim)
    wait_until(lambda: window.claim_view is not None and not jobs.busy)
    view = window.claim_view
    assert view is not None
    for page in PAGES:
        view.show_page(page)
        wait_until(view.page(page).isVisible)
        keep(page)


if __name__ == "__main__":
    sys.exit(main())

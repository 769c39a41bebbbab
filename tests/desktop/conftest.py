"""A window over a library in a folder of its own, with settings of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp.casework.register import Register, fresh_summary
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.theme import apply_theme
from ldapp.store.claim_library import Library
from tests.desktop.desk_claims import desk_claim


@pytest.fixture(autouse=True)
def preview_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep previews of tests out of the person's own cache."""
    place = "ldapp.casework.photo_previews.preview_folder"
    monkeypatch.setattr(place, lambda: tmp_path / "previews")


@pytest.fixture
def settings(tmp_path: Path) -> QSettings:
    settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    settings.setValue("cautions/read", True)
    return settings


@pytest.fixture
def jobs(qapp: QApplication) -> Iterator[JobRunner]:
    apply_theme(qapp)
    runner = JobRunner(qapp)
    yield runner
    assert runner.shut_down()


@pytest.fixture
def register(tmp_path: Path) -> Iterator[Register]:
    library = Library.open(tmp_path / "library")
    register = Register(library, "Ada")
    yield register
    register.close()


def keep(register: Register, claim: Claim) -> None:
    """Put a claim into the library as it is."""
    register._library.create(claim, who="Ada", label="New claim", summary=fresh_summary(claim))


@pytest.fixture
def idle(qtbot: QtBot, jobs: JobRunner) -> Callable[[], None]:
    """Wait until nothing runs and the open claim has been studied."""

    def wait() -> None:
        qtbot.waitUntil(lambda: not jobs.busy, timeout=10_000)
        qtbot.wait(5)
        qtbot.waitUntil(lambda: not jobs.busy, timeout=10_000)

    return wait


@pytest.fixture
def window(
    qtbot: QtBot, register: Register, jobs: JobRunner, settings: QSettings
) -> Iterator[MainWindow]:
    """A window on an empty library."""
    window = MainWindow(jobs, settings)
    window.resize(1280, 800)
    qtbot.addWidget(window)
    window.show()
    window.open_library(lambda: register)
    qtbot.waitUntil(lambda: window.register is not None, timeout=10_000)
    yield window
    window.close()
    jobs.shut_down()
    qtbot.waitUntil(lambda: not jobs.busy, timeout=10_000)


@pytest.fixture
def open_claim(
    qtbot: QtBot, window: MainWindow, register: Register, idle: Callable[[], None]
) -> Callable[[Claim], ClaimView]:
    """Open a claim in the window and wait until it has been studied."""

    def open_it(claim: Claim) -> ClaimView:
        keep(register, claim)
        window.open_claim(claim.id)
        qtbot.waitUntil(lambda: window.claim_view is not None, timeout=10_000)
        view = window.claim_view
        assert view is not None
        qtbot.waitUntil(lambda: view.context.up_to_date, timeout=20_000)
        idle()
        return view

    return open_it


@pytest.fixture
def view(open_claim: Callable[[Claim], ClaimView]) -> ClaimView:
    """The view of a claim with fifteen lines and three counts."""
    return open_claim(desk_claim())

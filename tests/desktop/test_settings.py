"""Where the library is, chosen, copied and checked in the window."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from ldapp.app import open_place
from ldapp.casework import office
from ldapp.casework.office import Environment, LibraryPlace
from ldapp.casework.register import Register
from ldapp.desktop.check_dialog import CheckDialog
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.settings_dialog import SettingsDialog
from ldapp.errors import MachineError
from tests.casework.school_claims import keep, school_claim

FREE = Environment(False, False, False)
MAY = dt.date(2026, 5, 1)


@pytest.fixture(autouse=True)
def settings_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    file = tmp_path / "config" / "library.json"
    monkeypatch.setattr(office, "settings_file", lambda: file)
    for name in ("LDAPP_LIBRARY", "LDAPP_DATABASE", "LDAPP_ORIGINALS"):
        monkeypatch.delenv(name, raising=False)
    return file


@pytest.fixture
def place(tmp_path: Path) -> LibraryPlace:
    (tmp_path / "originals").mkdir()
    return LibraryPlace(
        folder=tmp_path / "library", server="srv", port=5433, database="claims", user="ada",
        password="geheim", originals=tmp_path / "originals",
    )  # fmt: skip


@pytest.fixture
def window_that_opens(window: MainWindow) -> Iterator[MainWindow]:
    window.open_place = open_place
    yield window
    if window.register is not None:
        window.register.close()


def test_what_is_entered_is_the_place_and_the_password_is_never_shown(
    qtbot: QtBot, jobs: JobRunner, place: LibraryPlace
) -> None:
    dialog = SettingsDialog(place, FREE, jobs, lambda _: "")
    qtbot.addWidget(dialog)
    assert dialog.place() == place
    assert dialog.password.echoMode() == QLineEdit.EchoMode.Password
    shown = [one.text() for one in dialog.findChildren(QLineEdit) if one is not dialog.password]
    assert not any("geheim" in text for text in shown)
    dialog.here.click()
    assert not dialog.server_rows.isEnabled()
    assert dialog.place() == LibraryPlace(folder=place.folder)


def test_trying_says_what_is_there_or_why_not(
    qtbot: QtBot, jobs: JobRunner, place: LibraryPlace
) -> None:
    answers: list[str] = []

    def trying(_: LibraryPlace) -> str:
        if not answers:
            answers.append("")
            raise MachineError("The office's database cannot be reached.")
        return "It answers."

    dialog = SettingsDialog(place, FREE, jobs, trying)
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.try_button.click()
    qtbot.waitUntil(lambda: "cannot be reached" in dialog.strip.text(), timeout=5000)
    qtbot.waitUntil(dialog.try_button.isEnabled, timeout=5000)
    dialog.try_button.click()
    qtbot.waitUntil(lambda: dialog.strip.text() == "It answers.", timeout=5000)
    dialog.originals.line.clear()
    dialog.try_button.click()
    assert "everybody needs the same one" in dialog.strip.text()


def test_what_the_environment_decides_cannot_be_kept_here(
    qtbot: QtBot, jobs: JobRunner, place: LibraryPlace
) -> None:
    dialog = SettingsDialog(place, Environment(False, True, True), jobs, lambda _: "")
    qtbot.addWidget(dialog)
    assert not dialog.keep_button.isEnabled()


def test_another_library_is_opened_and_kept(
    window_that_opens: MainWindow,
    register: Register,
    tmp_path: Path,
    idle: Callable[[], None],
    settings_file: Path,
    qtbot: QtBot,
) -> None:
    window = window_that_opens
    keep(register, school_claim(1, "600", MAY))
    window.refresh_register()
    idle()
    assert len(window.register_page.shown()) == 1
    window.actions_of_window.settings.trigger()
    dialog = window.findChild(SettingsDialog)
    assert dialog is not None
    dialog.folder.line.setText(str(tmp_path / "other"))
    dialog.keep_button.click()
    idle()
    qtbot.waitUntil(lambda: window.register is not None, timeout=10_000)
    idle()
    assert window.register is not None
    assert window.register.folder == tmp_path / "other"
    assert window.register_page.rows() == ()
    assert str(tmp_path / "other") in settings_file.read_text()


def test_a_place_that_cannot_be_opened_leaves_everything_as_it_was(
    window_that_opens: MainWindow, register: Register, tmp_path: Path, idle: Callable[[], None],
    settings_file: Path,
) -> None:  # fmt: skip
    window = window_that_opens
    (tmp_path / "file").write_text("no folder")
    window.keep_and_open(LibraryPlace(folder=tmp_path / "file"))
    idle()
    assert window.register is register
    assert "cannot be written to" in window.strip.text()
    assert not settings_file.exists()


def test_everything_is_copied_into_another_library_and_compared(
    window_that_opens: MainWindow, register: Register, tmp_path: Path, idle: Callable[[], None]
) -> None:
    window = window_that_opens
    keep(register, school_claim(1, "600", MAY), school_claim(2, "500", MAY))
    register.originals.put_file(_file(tmp_path))
    window.copy_to(LibraryPlace(folder=tmp_path / "copy"))
    idle()
    dialog = window.findChild(CheckDialog)
    assert dialog is not None
    assert "2 claims and 0 originals were copied" in dialog.summary.text()
    assert "nothing is missing" in dialog.summary.text()
    other = open_place(LibraryPlace(folder=tmp_path / "copy"))
    assert {one.claim for one in other.summaries()} == {"s1", "s2"}
    other.close()
    dialog.close()


def _file(folder: Path) -> Path:
    path = folder / "paper.txt"
    path.write_text("paper")
    return path


def test_the_check_of_the_library_says_what_is_wrong(
    window: MainWindow, register: Register, tmp_path: Path, idle: Callable[[], None]
) -> None:
    keep(register, school_claim(1, "600", MAY))
    window.actions_of_window.check.trigger()
    idle()
    dialog = window.findChild(CheckDialog)
    assert dialog is not None
    assert "1 claim" in dialog.summary.text()
    assert "nothing is wrong" in dialog.summary.text()
    dialog.close()
    with register._library._database.writing() as connection:  # type: ignore[attr-defined]
        connection.exec_driver_sql("UPDATE claim SET title = 'by hand'")
    window.check_library()
    idle()
    worse = [one for one in window.findChildren(CheckDialog) if "wrong" in one.summary.text()]
    assert any("is not as the record of changes left it" in one.text.toPlainText() for one in worse)
    for one in worse:
        one.close()

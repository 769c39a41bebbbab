from __future__ import annotations

import configparser
import json
import shlex
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from ldapp import app, cli
from ldapp.casework.demo import demo_claim
from ldapp.casework.register import Register
from ldapp.desktop.applications_menu import add_to_applications
from ldapp.desktop.start import Start
from ldapp.errors import MachineError


def test_the_entry_starts_this_program_with_the_file(tmp_path: Path) -> None:
    program = tmp_path / "a folder" / 'pro"gram'
    path = add_to_applications(program, tmp_path / "share")
    entry = configparser.RawConfigParser()
    entry.optionxform = str  # type: ignore[assignment,method-assign]
    entry.read(path, encoding="utf-8")
    keys = entry["Desktop Entry"]
    # One level of escapes is the file's, the rest is the Exec key's, as a shell would read it.
    assert shlex.split(keys["Exec"].replace("\\\\", "\\")) == [str(program), "%f"]
    assert (tmp_path / "share/icons/hicolor/scalable/apps" / f"{keys['Icon']}.svg").is_file()
    types = ElementTree.parse(tmp_path / "share/mime/packages/ldapp-files.xml")
    named = {one.get("type") for one in types.iter() if one.get("type")}
    assert {kind for kind in keys["MimeType"].split(";") if kind} <= named


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "share").write_text("a file")
    with pytest.raises(MachineError, match="could not be written"):
        add_to_applications(tmp_path / "ldapp", tmp_path / "share")


def test_a_file_named_where_a_command_stands_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[dict[str, object]] = []

    def run_window(**named: object) -> int:
        opened.append(named)
        return 0

    monkeypatch.setattr(app, "run_window", run_window)
    claim = tmp_path / "bundle.ldapp.zip"
    claim.touch()
    assert cli.main([str(claim)]) == 0
    assert cli.main(["open", str(claim)]) == 0
    assert [one["file"] for one in opened] == [claim, claim]


def test_a_file_that_is_not_there_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main([str(tmp_path / "gone.json")]) == 2
    assert "there is no such file" in capsys.readouterr().err


def test_the_window_takes_the_file_in_and_opens_it(
    qtbot: QtBot, qapp: QApplication, settings: QSettings, register: Register
) -> None:
    path = demo_claim("paper_lanterns").path
    reference = json.loads(path.read_text(encoding="utf-8"))["reference"]
    start = Start(qapp, settings, lambda: register, None, None, path)
    qtbot.addWidget(start.window)
    qtbot.waitUntil(lambda: start.window.claim_view is not None, timeout=60_000)
    assert reference in start.window.windowTitle()
    start.window.close()
    start.window.register = None
    start.end()

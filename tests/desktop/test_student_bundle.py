"""A student's bundle dropped on the register, and the papers its policy asks for."""

from __future__ import annotations

import datetime as dt
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from ldapp.casework.bundles import write_claim_bundle
from ldapp.casework.register import Register
from ldapp.desktop.check_dialog import CheckDialog
from ldapp.desktop.dropped_files import DroppedFilesDialog
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.wanted_papers_dialog import WantedPapersDialog
from ldapp.store.claim_library import Library
from tests.casework.school_claims import keep, policy_of, school_claim
from tests.casework.test_calendars import with_deadline
from tests.desktop.test_main_window import drop


@pytest.fixture
def bundle(tmp_path: Path) -> Path:
    """A bundle from a student's own library."""
    theirs = Register(Library.open(tmp_path / "theirs"), "Student A")
    keep(theirs, school_claim(7, "600", dt.date(2026, 5, 1)))
    desk = theirs.open("s7")
    target = tmp_path / "student.zip"
    write_claim_bundle(theirs.with_journal(desk.claim), theirs.originals, target)
    theirs.close()
    return target


def test_a_bundle_dropped_on_the_register_is_verified_and_taken_in_with_its_record(
    window: MainWindow,
    register: Register,
    bundle: Path,
    qtbot: QtBot,
    idle: Callable[[], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(DroppedFilesDialog, "ask", lambda *_: "claim_file")
    assert drop(window, [bundle])
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=10_000)
    assert register.with_journal(register.open("s7").claim).journal[0].who == "Ada"
    window.back_to_register()
    idle()
    (row,) = window.register_page.shown()
    assert (row.reference, row.papers_missing, row.people) == ("2026-007", 4, ("Student A",))
    assert drop(window, [bundle])
    idle()
    assert "in this library already" in window.strip.text()


def test_a_bundle_with_a_changed_byte_is_refused_by_name_and_leaves_nothing(
    window: MainWindow,
    register: Register,
    bundle: Path,
    tmp_path: Path,
    idle: Callable[[], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    changed = tmp_path / "changed.zip"
    with zipfile.ZipFile(bundle) as source, zipfile.ZipFile(changed, "w") as target:
        for name in source.namelist():
            data = source.read(name)
            target.writestr(name, data.replace(b"Student film 7", b"Student film 8"))
    monkeypatch.setattr(DroppedFilesDialog, "ask", lambda *_: "claim_file")
    assert drop(window, [changed])
    idle()
    assert window.claim_view is None
    assert "claim.json" in window.strip.text()
    assert register.summaries() == ()


def test_several_bundles_are_taken_in_and_one_that_is_refused_stops_none(
    window: MainWindow,
    register: Register,
    bundle: Path,
    tmp_path: Path,
    idle: Callable[[], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(DroppedFilesDialog, "ask", lambda paths, kinds, parent: kinds[0])
    theirs = Register(Library.open(tmp_path / "another"), "Student B")
    # Every student begins with the same number.
    keep(theirs, school_claim(8, "500", dt.date(2026, 5, 2), reference="2026-007"))
    theirs.write_claim_file("s8", tmp_path / "file")
    theirs.close()
    broken = tmp_path / "broken.zip"
    broken.write_bytes(b"no archive")
    assert drop(window, [bundle, broken, tmp_path / "file" / "claim.json"])
    idle()
    assert {row.claim for row in register.summaries()} == {"s7", "s8"}
    assert window.claim_view is None
    (dialog,) = window.findChildren(CheckDialog)
    assert dialog.summary.text() == "2 claims taken in, 1 file refused"
    says = dialog.text.toPlainText()
    assert "broken.zip" in says
    assert "2 claims have the reference 2026-007 now" in says
    dialog.close()
    idle()


def test_the_checklist_follows_the_policy_and_leads_to_the_place(
    window: MainWindow, register: Register, qtbot: QtBot
) -> None:
    keep(register, school_claim(1, "600", dt.date(2026, 5, 1)))
    desk = register.open("s1")
    dialog = WantedPapersDialog(desk, window)
    assert dialog.summary.text() == "4 papers missing"
    assert "common practice" in dialog.source.text()
    field = dialog.fields["proof_of_loss"]
    assert field.value() == "always"
    field.setCurrentIndex(0)
    field.activated.emit(0)
    assert dialog.summary.text() == "3 papers missing"
    assert [one.kind for one in policy_of(desk.claim).terms.papers] == [
        "certificate_of_insurance", "agreement", "police_report", "repair_estimate", "receipt",
    ]  # fmt: skip
    row = next(one for one in dialog.model.rows if one.kind == "police_report")
    with qtbot.waitSignal(dialog.place_wanted, timeout=1000) as blocker:
        dialog.table.opened.emit(row)
    assert blocker.args is not None
    assert blocker.args[0].page == "findings"


def test_deadlines_of_the_selected_claims_are_written_from_the_register(
    window: MainWindow,
    register: Register,
    tmp_path: Path,
    idle: Callable[[], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    keep(register, with_deadline(1), with_deadline(2))
    window.refresh_register()
    idle()
    monkeypatch.setattr(
        "ldapp.desktop.overview_window.QFileDialog.getSaveFileName",
        lambda *_: (str(tmp_path / "chosen"), ""),
    )
    window.register_page.table.selectRow(0)
    window.register_page._calendar_of_selected()
    idle()
    assert (tmp_path / "chosen.ics").read_bytes().count(b"BEGIN:VEVENT") == 1
    window.register_page.table.clearSelection()
    window.actions_of_window.calendar.trigger()
    idle()
    assert (tmp_path / "chosen.ics").read_bytes().count(b"BEGIN:VEVENT") == 2
    assert "2 deadlines written" in window.strip.text()

from __future__ import annotations

from pathlib import Path

import pytest

from ldapp import __version__, fault_reports
from ldapp.fault_reports import KEPT, fault_sentence, keep_fault, write_fault_report


def fault() -> BaseException:
    try:
        raise KeyError("charge 17")
    except KeyError as error:
        return error


def test_a_report_says_version_system_and_where_it_failed(tmp_path: Path) -> None:
    text = write_fault_report(fault(), tmp_path / "made" / "here").read_text(encoding="utf-8")
    assert text.startswith(f"ldapp {__version__}\n")
    assert "Python 3." in text
    assert "in fault" in text
    assert text.rstrip().endswith("KeyError: 'charge 17'")


def test_only_the_newest_reports_stay(tmp_path: Path) -> None:
    for number in range(KEPT + 3):
        (tmp_path / f"fault-20200101T0000{number:02d}-000000Z.txt").write_text("old")
    newest = write_fault_report(fault(), tmp_path)
    left = sorted(path.name for path in tmp_path.glob("fault-*.txt"))
    assert len(left) == KEPT
    assert left[-1] == newest.name
    assert left[0] == "fault-20200101T000004-000000Z.txt"


def test_the_person_hears_what_is_kept_and_that_nothing_was_sent(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(fault_reports, "report_folder", lambda: tmp_path)
    sentence, kept = keep_fault(fault())
    assert kept is not None
    assert str(kept) in sentence
    assert "nothing was sent" in sentence


def test_a_folder_that_cannot_be_written_is_said_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    monkeypatch.setattr(fault_reports, "report_folder", lambda: blocked)
    sentence, kept = keep_fault(fault())
    assert kept is None
    assert sentence == fault_sentence(fault(), kept=None)
    assert "no report of it could be kept" in sentence

"""The office's pages and dialogs: names for screen readers, room at 1280 × 800, hostile names."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from ldapp.casework.office import Environment, LibraryPlace
from ldapp.casework.register import Register
from ldapp.claim.parties import Party
from ldapp.desktop.certificate_dialog import CertificateDialog
from ldapp.desktop.check_dialog import CheckDialog
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.office_records import OfficeRecordsDialog
from ldapp.desktop.policies_page import PoliciesPage
from ldapp.desktop.record_dialog import RecordDialog
from ldapp.desktop.report_page import ReportPage
from ldapp.desktop.settings_dialog import SettingsDialog
from ldapp.desktop.wanted_papers_dialog import WantedPapersDialog
from tests.casework.school_claims import keep, school_claim
from tests.desktop.test_accessible_names import nameless

MAY = dt.date(2026, 5, 1)
HOSTILE = "<b>&amp;</b> =1+1 %s {0} ../..\u202egnp.exe '; DROP TABLE claim; --"


def test_every_widget_of_the_office_has_a_name(
    window: MainWindow, register: Register, jobs: JobRunner, qtbot: QtBot, tmp_path: Path,
    idle: Callable[[], None],
) -> None:  # fmt: skip
    keep(register, school_claim(1, "600", MAY), school_claim(2, "500", MAY))
    for name in ("policies", "report"):
        window.show_overview(name)
        idle()
        idle()
        assert nameless(window) == [], name
    page = window.overviews["policies"]
    assert isinstance(page, PoliciesPage)
    window.show_overview("policies")
    for number in range(page.tabs.count()):
        page.tabs.setCurrentIndex(number)
        assert nameless(page) == []
    desk = register.open("s1")
    makers: list[Callable[[], QWidget]] = [
        lambda: SettingsDialog(
            LibraryPlace(folder=tmp_path, server="s"), Environment(True, True, True), jobs
        ),
        lambda: OfficeRecordsDialog(register, desk),
        lambda: WantedPapersDialog(desk),
        lambda: RecordDialog(desk),
        lambda: CertificateDialog(None, "FS-26", "USD"),
        lambda: CheckDialog("Check", "1 wrong", ("x",), ("y",)),
    ]
    for make in makers:
        dialog = make()
        qtbot.addWidget(dialog)
        dialog.show()
        assert nameless(dialog) == [], type(dialog).__name__
        assert dialog.minimumSizeHint().height() <= 760, type(dialog).__name__
        dialog.close()


def test_the_offices_pages_fit_1280_by_800(
    window: MainWindow, register: Register, idle: Callable[[], None]
) -> None:
    keep(register, school_claim(1, "600", MAY))
    window.refresh_register()
    idle()
    assert window.register_page.minimumSizeHint().width() <= 1280
    for name in ("policies", "report"):
        window.show_overview(name)
        idle()
        page = window.overview
        assert page is not None
        assert page.minimumSizeHint().width() <= 1280, name
        assert page.minimumSizeHint().height() <= 720, name


def test_hostile_names_are_shown_as_they_are(
    window: MainWindow, register: Register, idle: Callable[[], None]
) -> None:
    claim = dataclasses.replace(school_claim(1, "600", MAY), title=HOSTILE)
    parties = tuple(
        dataclasses.replace(one, name=HOSTILE) if one.role == "student" else one
        for one in (*claim.parties, Party(id="z", role="school", name=HOSTILE))
    )
    keep(register, dataclasses.replace(claim, parties=parties))
    window.refresh_register()
    idle()
    page = window.register_page
    page.search.setText("DROP TABLE")
    assert len(page.shown()) == 1
    page.search.clear()
    page.filters.person.set_value(HOSTILE)
    page.filters.person.activated.emit(page.filters.person.currentIndex())
    assert len(page.shown()) == 1
    page.view_kept.emit(HOSTILE, page.view())
    idle()
    assert page.views.names == (HOSTILE,)
    window.show_overview("report")
    idle()
    idle()
    report = window.overview
    assert isinstance(report, ReportPage)
    assert report.report is not None
    assert report.report.by_production[0].label == HOSTILE
    window.show_overview("policies")
    idle()
    assert len(register.summaries()) == 1


def test_f1_opens_the_chapter_of_the_page_in_sight(
    window: MainWindow, idle: Callable[[], None]
) -> None:
    for name, title in (("policies", "Policies and certificates"), ("report", "Report")):
        window.show_overview(name)
        idle()
        window.show_guide()
        guide = window._guide
        assert guide is not None
        assert guide.text.toPlainText().startswith(title)
        guide.close()

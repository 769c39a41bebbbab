"""A film school's office at the window: its claims, its students' bundles, its ways about.

Invented: nobody and nothing in them exists.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import subprocess
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QListWidget,
    QMenu,
    QMessageBox,
    QPushButton,
    QTabWidget,
    QToolBar,
    QWidget,
)

from ldapp.casework.bundles import write_claim_bundle
from ldapp.casework.register import Register
from ldapp.claim.claim import Claim
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.parties import Party
from ldapp.claim.policy import PolicyTerms
from ldapp.desktop.check_dialog import CheckDialog
from ldapp.desktop.dropped_files import DroppedFilesDialog
from ldapp.desktop.overview_page import OverviewPage
from ldapp.store.claim_library import Library
from tests.casework.school_claims import INSURER, keep, school_claim, school_terms
from tests.desktop.person import LEFT
from tests.desktop.walk import Walk
from tests.reckoning.claims import charge, invoice

NOTICE_RULE = DeadlineRule(code="notice", title="Tell the insurer", starts="loss", length=10)
LESSOR = Party(id="lessor", role="rental_company", name="Invented Rentals")
SCHOOL = Party(id="school", role="school", name="Invented Film School")
DEPARTMENT = Party(id="dep", role="department", name="Department of Nowhere")
ADA = Party(id="ada", role="student", name="Ada Aardvark", reference="S-1")
CORA = Party(id="cora", role="crew", name="Cora Cornfield")
BEN = Party(id="ben", role="student", name="Ben Bentwood", reference="S-2")


def office_terms(deductible: str = "500") -> PolicyTerms:
    return dataclasses.replace(school_terms("2000", deductible), deadlines=(NOTICE_RULE,))


def film(
    number: int, title: str, loss: str, day: dt.date, *people: Party, terms: PolicyTerms
) -> Claim:
    """One thing stolen on a day, billed at what a new one costs; the last person left the van."""
    one = school_claim(number, loss, day, terms=terms)
    (event,) = one.occurrences
    return dataclasses.replace(
        one,
        title=title,
        zone="America/Denver",
        invented=True,
        parties=(INSURER, LESSOR, SCHOOL, *people),
        occurrences=(dataclasses.replace(event, title=f"Van opened, left by {people[-1].name}"),),
        invoices=(invoice(charge(amount=loss, line="k1", finding="f1", grounds=())),),
    )


LAST_TERM = film(
    1, "Thaw", "600", dt.date(2026, 1, 15), Party(id="st", role="student", name="Dora Driftwood"),
    DEPARTMENT, terms=office_terms(),
)  # fmt: skip
ADAS = dataclasses.replace(
    film(21, "Winter Light", "1800", dt.date(2026, 4, 2), ADA, CORA, terms=office_terms()),
    policy=None,
)
# Ben copied the policy by hand from last year's sheet, when the deductible was 400.
BENS = film(
    22, "Salt Road", "640", dt.date(2026, 3, 10), BEN, DEPARTMENT, terms=office_terms("400")
)
CASSIES = film(
    23, "Third Reel", "300", dt.date(2026, 5, 4),
    Party(id="cas", role="student", name="Cassie Cartwheel"), terms=office_terms(),
)  # fmt: skip


def bundle(folder: Path, claim: Claim, who: str) -> Path:
    """What a student hands in, from a library of its own."""
    theirs = Register(Library.open(folder / who), who)
    keep(theirs, claim)
    desk = theirs.open(claim.id)
    target = folder / f"{who}.ldapp.zip"
    write_claim_bundle(theirs.with_journal(desk.claim), theirs.originals, target)
    theirs.close()
    return target


def changed(file: Path, title: bytes, other: bytes) -> None:
    """Let somebody change a word of the claim in a bundle."""
    with zipfile.ZipFile(file) as source:
        parts = {name: source.read(name) for name in source.namelist()}
    assert any(title in data for name, data in parts.items() if name.endswith("claim.json"))
    with zipfile.ZipFile(file, "w") as target:
        for name, data in parts.items():
            is_claim = name.endswith("claim.json")
            target.writestr(name, data.replace(title, other) if is_claim else data)


class Office(Walk):
    """The walk of a person who goes between the register and its pages."""

    def wait(self) -> None:
        """Wait until nothing runs, and what that began is done too."""
        for _ in range(3):
            self.qtbot.wait(10)
            self.qtbot.waitUntil(lambda: not self.window.jobs.busy, timeout=30_000)

    def pick(self, title: str, action: QAction) -> None:
        """Open a menu of the menu bar and click an entry."""
        bar = self.window.menuBar()
        head = next(one for one in bar.actions() if one.text().replace("&", "") == title)
        self.qtbot.mouseClick(bar, LEFT, pos=bar.actionGeometry(head).center())
        menu = head.menu()
        assert isinstance(menu, QMenu)
        self.qtbot.waitUntil(menu.isVisible, timeout=5000)
        assert action.isEnabled(), action.text()
        self.qtbot.mouseClick(menu, LEFT, pos=menu.actionGeometry(action).center())

    def button(self, parent: QWidget, name: str) -> QPushButton:
        """Return the button that a screen reader tells by this name."""
        (found,) = [
            one
            for one in parent.findChildren(QPushButton)
            if name in (one.accessibleName(), one.text().replace("&", ""))
        ]
        return found

    def click_tab(self, tabs: QTabWidget, number: int) -> None:
        bar = tabs.tabBar()
        self.qtbot.mouseClick(bar, LEFT, pos=bar.tabRect(number).center())
        assert tabs.currentIndex() == number

    def click_item(self, box: QListWidget, number: int) -> None:
        at = box.visualItemRect(box.item(number)).center()
        self.qtbot.mouseClick(box.viewport(), LEFT, pos=at)

    def shown_dialog(self, kind: type[Any]) -> Any:
        """Return the dialog of a kind that is in sight and leaves the window usable."""
        self.qtbot.waitUntil(
            lambda: any(one.isVisible() for one in self.window.findChildren(kind)), timeout=10_000
        )
        (dialog,) = [one for one in self.window.findChildren(kind) if one.isVisible()]
        return dialog

    def register_rows(self) -> list[str]:
        return [row.reference for row in self.window.register_page.shown()]

    def register_cell(self, reference: str, column: str) -> str:
        """Return what the register shows of a claim."""
        table = self.window.register_page.table
        model = table.rows_model()
        row = self.register_rows().index(reference)
        return str(model.index(row, model.column_number(column)).data())

    def back(self) -> None:
        """Click "Register" in the toolbar."""
        bar = self.window.findChild(QToolBar, "tools")
        assert bar is not None
        self.person.click(bar.widgetForAction(self.window.actions_of_window.back))
        self.wait()

    def back_from(self, page: OverviewPage) -> None:
        """Go back to the register from a page over all claims."""
        self.person.click(self.button(page, "Back to the register"))
        self.wait()

    def answers_yes(self, words: str) -> Callable[[QMessageBox], None]:
        def answer(box: QMessageBox) -> None:
            assert words in box.text(), box.text()
            yes = next(one for one in box.buttons() if box.buttonRole(one).name == "AcceptRole")
            self.person.click(yes)

        return answer


def pdf_text(file: Path) -> str:
    done = subprocess.run(
        ["pdftotext", "-layout", str(file), "-"], check=True, capture_output=True, text=True
    )
    return " ".join(done.stdout.replace("\u00a0", " ").replace("\u202f", " ").split())


def take_bundles_in(office: Office) -> None:
    """Three bundles dropped at once; the one that was changed is named, and is not there."""
    files = [
        bundle(office.folder, ADAS, "Ada"),
        bundle(office.folder, CASSIES, "Cassie"),
        bundle(office.folder, BENS, "Ben"),
    ]
    changed(files[1], b"Third Reel", b"Third Real")

    def dropped(dialog: DroppedFilesDialog) -> None:
        office.person.click(dialog.buttons["claim_file"])

    with office.person.answering(DroppedFilesDialog, dropped):
        office.person.drop_files(office.window, files)
    office.wait()
    told = office.shown_dialog(CheckDialog)
    assert told.summary.text() == "2 claims taken in, 1 file refused"
    says = told.text.toPlainText()
    assert "Cassie.ldapp.zip" in says
    assert "claim.json" in says
    assert "Ada.ldapp.zip" not in says
    assert "Ben.ldapp.zip" not in says
    office.person.click(office.button(told, "Close"))
    office.wait()
    assert sorted(office.register_rows()) == ["2026-001", "2026-021", "2026-022"]


def find_the_claim(office: Office) -> None:
    """Searched by a word, narrowed by a person and by what is missing, opened with Enter."""
    page, bot = office.window.register_page, office.qtbot
    bot.keyClicks(page.search, "salt")
    assert office.register_rows() == ["2026-022"]
    page.search.selectAll()
    bot.keyClick(page.search, Qt.Key.Key_Delete)
    office.person.choose(page.filters.person, "Ada Aardvark")
    assert office.register_rows() == ["2026-021"]
    # Without a policy nobody asks for papers yet.
    assert office.register_cell("2026-021", "papers_missing") == ""
    office.person.click(page.filters.papers)
    assert office.register_rows() == []
    office.person.click(page._nothing_found.button)
    # By hand: 600 + 1,800 + 640 are billed.
    assert page.figures["asked"].text() == "3,040.00 USD"
    office.person.click_cell(page.table, office.register_rows().index("2026-021"), 0)
    bot.keyClick(page.table, Qt.Key.Key_Return)
    bot.waitUntil(lambda: office.window.claim_view is not None, timeout=10_000)
    office.settle()
    assert office.claim.title == "Winter Light"
    assert office.claim.policy is None

"""The whole path in the window, from an empty library to the written dossier, as a person does it.

One story, invented: ten stands went out and seven came back, one panel is broken, one cable
was never there, and the rental company charges for everything and for its trouble.
"""

from __future__ import annotations

import datetime as dt
import re
import subprocess
from collections.abc import Iterator
from contextlib import ExitStack
from decimal import Decimal
from pathlib import Path
from typing import Any

import pypdf
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QMessageBox
from pytestqt.qtbot import QtBot

from ldapp.casework.cautions import cautions_before_sending, cautions_for_damage
from ldapp.casework.reckoning import reckon_claim
from ldapp.claim.claim import Claim
from ldapp.claim.terms import StraightLine
from ldapp.desktop.dropped_files import DroppedFilesDialog
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.pages.charges import ChargesPage
from ldapp.desktop.pages.dossier import DossierPage
from ldapp.desktop.pages.findings import FindingsPage
from ldapp.desktop.pages.paper_parts.agreement_panel import AgreementPanel
from ldapp.desktop.pages.paper_parts.name_dialog import NameDialog
from ldapp.desktop.pages.paper_parts.policy_panel import PolicyPanel
from ldapp.desktop.pages.paper_parts.term_rows import TermRow
from ldapp.desktop.pages.papers import PapersPage
from ldapp.desktop.pages.photos import PhotosPage
from ldapp.desktop.pages.reckoning import ReckoningPage
from ldapp.desktop.pages.record_chooser import RecordChooser
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.values import amount_text
from ldapp.dossier.formats import amount_text as printed
from tests.desktop.pages.conftest import draw_photo
from tests.desktop.walk import (
    PICKUP,
    POLICY_NUMBER,
    RETURN,
    Walk,
    count_at_pickup,
    count_at_return,
    import_kit,
    make_claim,
)

INVOICE = """Description,Qty,Unit price,Amount
C-stand with arm - missing,4,185.00,740.00
"LED panel, wide - damaged, replace",1,4250.00,4250.00
"Cable, 50 ft - missing",1,48.00,48.00
"""


@pytest.fixture(autouse=True)
def plain_dialogs(qapp: QApplication) -> Iterator[None]:
    """Qt's own file dialogs: those of a desktop cannot be typed into by a test."""
    qapp.setAttribute(Qt.ApplicationAttribute.AA_DontUseNativeDialogs, True)
    yield
    qapp.setAttribute(Qt.ApplicationAttribute.AA_DontUseNativeDialogs, False)


@pytest.fixture
def walk(qtbot: QtBot, window: MainWindow, tmp_path: Path) -> Walk:
    return Walk(qtbot, window, tmp_path)


def take_in_photos(walk: Walk) -> None:
    """Dropped on the window, dragged on their lines."""
    person = walk.person
    folder = walk.folder / "card é"
    folder.mkdir()
    files = [
        draw_photo(folder / "IMG_0001.JPG", PICKUP, "stands at pickup"),
        draw_photo(folder / "IMG_0002.JPG", PICKUP + dt.timedelta(minutes=2), "panel at pickup"),
        draw_photo(folder / "IMG_0003.JPG", RETURN, "stands at return"),
        draw_photo(folder / "IMG_0004.JPG", RETURN + dt.timedelta(minutes=2), "panel at return"),
        draw_photo(folder / "IMG_0005.JPG", RETURN + dt.timedelta(minutes=3), "panel close up"),
    ]
    for file in files:
        subprocess.run(
            ["exiftool", "-q", "-overwrite_original", "-SerialNumber=D-417", "-ISO=400", str(file)],
            check=True,
        )

    def dropped(dialog: DroppedFilesDialog) -> None:
        person.click(dialog.buttons["photos"])

    with person.answering(DroppedFilesDialog, dropped):
        person.drop_files(walk.window, files)
    page = walk.view.page("photos")
    assert isinstance(page, PhotosPage)
    walk.qtbot.waitUntil(lambda: page.model.rowCount() == 5, timeout=20_000)
    walk.settle()
    assert {photo.facts.serial for photo in walk.claim.photos} == {"D-417"}
    by_name = {photo.name: photo.id for photo in walk.claim.photos}
    for name, line in (
        ("IMG_0001.JPG", 0),
        ("IMG_0003.JPG", 0),
        ("IMG_0002.JPG", 2),
        ("IMG_0004.JPG", 2),
        ("IMG_0005.JPG", 2),
    ):
        row = page.model.row_of(by_name[name])
        assert row is not None
        data = person.dragged(page.model, [row])
        on = page.shelf.model.index(page.shelf.model.row_number(walk.claim.kit[line].id), 0)
        page.shelf.list.scrollTo(on)
        person.drop(page.shelf.list.viewport(), data, page.shelf.list.visualRect(on).center())
    lines = {photo.name: [one.line for one in photo.pairings] for photo in walk.claim.photos}
    kit = walk.claim.kit
    assert lines["IMG_0001.JPG"] == lines["IMG_0003.JPG"] == [kit[0].id]
    assert lines["IMG_0005.JPG"] == [kit[2].id]
    walk.undo()
    assert not next(one for one in walk.claim.photos if one.name == "IMG_0005.JPG").pairings
    walk.redo()
    assert next(one for one in walk.claim.photos if one.name == "IMG_0005.JPG").pairings
    # Which photos were taken at which count is said by the person.
    for names, words in (
        (("IMG_0001.JPG", "IMG_0002.JPG"), "pickup"),
        (("IMG_0003.JPG", "IMG_0004.JPG", "IMG_0005.JPG"), "return"),
    ):
        page.grid.choose(tuple(by_name[name] for name in names))
        walk.qtbot.waitUntil(page.do.choose_count.isEnabled)
        with person.answering(RecordChooser, person.takes(words)):
            person.click(page.bar.widgetForAction(page.do.choose_count))
    stages = {one.id: one.stage for one in walk.claim.counts}
    assert [stages[photo.count or ""] for photo in walk.claim.photos] == [
        "pickup",
        "pickup",
        "return",
        "return",
        "return",
    ]


def say_what_was_found(walk: Walk) -> None:
    person, bot = walk.person, walk.qtbot
    assert "proposals_open" in walk.weak()
    page = walk.go(5)
    assert isinstance(page, FindingsPage)
    bot.waitUntil(lambda: page.proposals.rowCount() == 3, timeout=10_000)
    assert not walk.claim.findings, "nothing becomes a finding by itself"
    person.click(page.accept_all)
    found = {(one.kind, walk.line_number(one.line), one.quantity) for one in walk.claim.findings}
    assert found == {("missing", "1", 3), ("damaged", "3", 1), ("short_at_pickup", "6", 1)}
    assert "proposals_open" not in walk.weak()
    walk.undo()
    assert not walk.claim.findings
    walk.redo()
    walk.settle()
    # Damage that no count says: the cautions of that kind of equipment are in sight.
    with person.answering(RecordChooser, person.takes("Discharge")):
        person.click(page.add_damage)
    form = page.finding_form
    head = next(line for line in walk.claim.kit if line.number == "4")
    assert head.kind == "discharge_lighting"
    for caution in cautions_for_damage(head.kind):
        assert caution in form.cautions.text()
    assert form.cautions.isVisible()
    person.write(form.form.fields["narrative"], "Glass of the ballast's meter cracked.")
    person.write(form.repair.fields["parts"], "60")
    lamp = next(one for one in walk.claim.findings if one.line == head.id)
    assert lamp.repair is not None
    assert lamp.repair.parts == Decimal("60.00")
    # The panel: what it costs to mend it.
    panel = next(one for one in walk.claim.findings if walk.line_number(one.line) == "3")
    row = page.model.row_number(panel.id)
    person.click_cell(page.table, row, page.model.column_number("line"))
    assert "repair" in " ".join(walk.weak())
    for name, text in (("parts", "300"), ("labour", "120.50")):
        person.write(form.repair.fields[name], text)
    walk.settle()
    # One event explains both; it is written down, and the findings are put under it.
    person.click(page.new_occurrence)
    fields = page.occurrence_form.form.fields
    person.write(fields["title"], "Truck door forced at unit base")
    person.write(fields["at"], "2026-03-06 23:30")
    occurrence = walk.claim.occurrences[0]
    assert occurrence.title == "Truck door forced at unit base"
    for finding in walk.claim.findings:
        if walk.line_number(finding.line) in ("1", "3"):
            number = page.model.row_number(finding.id)
            card = page.cards.cards[occurrence.id]
            person.drop(card, person.dragged(page.model, [number]), QPoint(5, 5))
    assert {
        walk.line_number(one.line) for one in walk.claim.findings if one.occurrence == occurrence.id
    } == {"1", "3"}


def field_of(row: TermRow, name: str) -> Any:
    """Return a field of the term's sentence."""
    items = [*row.items, *([row._draft] if row._draft is not None else [])]
    for item in items:
        for form in item.forms:
            if name in form.fields:
                return form.fields[name]
    raise KeyError(name)


def enter_papers(walk: Walk) -> None:
    """Sentences with fields: what the agreement says of value, what the policy pays."""
    person, bot = walk.person, walk.qtbot
    assert {"basis_not_stated", "cannot_compute"} <= walk.weak()
    page = walk.go(1)
    assert isinstance(page, PapersPage)
    agreement = walk.claim.agreements[0]
    page.tabs.setCurrentIndex(page._parts.index(agreement.id))
    panel = page.panel(agreement.id)
    assert isinstance(panel, AgreementPanel)
    rows = panel.terms.rows
    bot.waitUntil(lambda: "depreciation" in rows, timeout=5000)
    person.click(rows["valuation"].state_button)
    person.choose(field_of(rows["valuation"], "bases").rows[0].choice, "actual_cash_value")
    person.click(rows["depreciation"].state_button)
    person.write(field_of(rows["depreciation"], "life_months"), "60")
    person.write(field_of(rows["depreciation"], "residual_share"), "20")
    item = rows["depreciation"].items[0]
    person.write(item.clause.reference, "9.3")
    terms = walk.claim.agreements[0].terms
    assert terms.valuation is not None
    assert terms.valuation.bases == ("actual_cash_value",)
    assert isinstance(terms.depreciation, StraightLine)
    assert terms.depreciation.life_months == 60
    assert terms.depreciation.clause is not None
    assert terms.depreciation.clause.reference == "9.3"
    page.tabs.setCurrentIndex(page._parts.index("policy"))
    policy_panel = page.panel("policy")
    assert isinstance(policy_panel, PolicyPanel)

    def name(dialog: NameDialog) -> None:
        person.choose_text(dialog.name, "Invented Mutual of Nowhere")
        person.accept(dialog)

    with person.answering(NameDialog, name):
        person.click(policy_panel.empty.button)
    assert policy_panel.terms is not None
    person.write(policy_panel.fields["number"], POLICY_NUMBER)
    rows = policy_panel.terms.rows
    bot.waitUntil(lambda: "deductibles" in rows, timeout=5000)
    person.click(rows["limit"].state_button)
    person.write(field_of(rows["limit"], "amount"), "250000")
    person.click(rows["deductibles"].state_button)
    if field_of(rows["deductibles"], "form").value() != "flat":
        person.choose(field_of(rows["deductibles"], "form"), "flat")
    person.write(field_of(rows["deductibles"], "amount"), "250")
    policy = walk.claim.policy
    assert policy is not None
    assert policy.number == POLICY_NUMBER
    assert policy.terms.limit is not None
    assert policy.terms.limit.amount == Decimal("250000.00")
    assert [one.amount for one in policy.terms.deductibles] == [Decimal("250.00")]
    assert not {"basis_not_stated", "cannot_compute"} & walk.weak()


def answer_the_invoice(walk: Walk) -> None:
    """One invoice from a spreadsheet, a line by hand; matched, weighed, answered."""
    person, bot = walk.person, walk.qtbot
    file = walk.folder / "invoice LD-1001.csv"
    file.write_text(INVOICE, encoding="utf-8")

    def dropped(dialog: DroppedFilesDialog) -> None:
        person.click(dialog.buttons["invoice"])

    with person.answering(DroppedFilesDialog, dropped):
        person.drop_files(walk.window, [file])
    page = walk.view.page("charges")
    assert isinstance(page, ChargesPage)
    bot.waitUntil(lambda: page.importer.model.rowCount() == 3, timeout=10_000)
    person.write(page.importer.facts.fields["number"], "LD-1001")
    person.write(page.importer.facts.fields["dated"], "2026-03-18")
    person.click(page.importer.add)
    bot.waitUntil(lambda: bool(walk.claim.invoices), timeout=10_000)
    walk.settle()
    person.click(page.new_charge)
    editor = next(one for one in page.table.findChildren(QLineEdit) if one.isVisible())
    bot.keyClicks(editor, "Administration")
    bot.keyClick(editor, Qt.Key.Key_Return)
    bot.waitUntil(lambda: walk.claim.invoices[0].charges[-1].description == "Administration")
    key = walk.claim.invoices[0].charges[-1].id
    person.type_cell(
        page.table, page.model.row_number(key), page.model.column_number("amount"), "165.5"
    )
    assert walk.claim.invoices[0].charges[-1].amount == Decimal("165.50")
    walk.settle()
    assert "charge_not_matched" in walk.weak()
    bot.waitUntil(lambda: page.matches.model.rowCount() == 3, timeout=10_000)
    person.click(page.matches.accept_all)
    matched = {
        charge.description.split(",")[0].split(" ")[0]: walk.line_number(charge.line or "")
        for charge in walk.claim.invoices[0].charges
        if charge.line
    }
    assert matched == {"C-stand": "1", "LED": "3", "Cable": "6"}
    walk.settle()
    for number, code in ((0, "quantity"), (0, "depreciation"), (2, "never_received")):
        charge = walk.claim.invoices[0].charges[number]
        person.click_cell(
            page.table,
            page.model.row_number(charge.id),
            page.model.column_number("description"),
        )
        bot.waitUntil(lambda code=code: code in page.panel.rows, timeout=10_000)
        disputed = Decimal(page.panel.disputed.text().replace(",", ""))
        if not page.panel.rows[code].switch.isChecked():
            page.panel.ensureWidgetVisible(page.panel.rows[code])
            page.panel.rows[code].switch.setFocus()
            bot.keyClick(page.panel.rows[code].switch, Qt.Key.Key_Space)
            walk.settle()
            now = Decimal(page.panel.disputed.text().replace(",", ""))
            assert now > disputed, code
    assert walk.view.context.desk.undo_label.startswith("Ground")
    owed = walk.totals().owed
    walk.undo()
    walk.settle()
    assert walk.totals().owed > owed
    walk.redo()
    walk.settle()
    assert walk.totals().owed == owed


def read_the_reckoning(walk: Walk) -> None:
    page = walk.go(7)
    assert isinstance(page, ReckoningPage)
    walk.qtbot.waitUntil(lambda: page.model.rowCount() > 0, timeout=10_000)
    totals = reckon_claim(walk.claim).totals
    assert page.owed.text() == amount_text(totals.loss, "USD")
    assert page.disputed.text() == amount_text(totals.disputed, "USD")
    assert page.others.text() == amount_text(totals.paid_by_others, "USD")
    assert page.borne.text() == amount_text(totals.renter, "USD")
    assert totals.disputed > 0
    assert totals.policy > 0
    # By hand: three stands, 36 of 60 months old, 20 % residual: 185.00 − 148.00 × 36/60 = 96.20.
    assert reckon_claim(walk.claim).charges[0].owed == Decimal("288.60")
    page.tree.setFocus()
    page.tree.collapseAll()
    page.tree.setCurrentIndex(page.model.index(0, 0))
    words: list[str] = []
    for _ in range(40):
        walk.qtbot.keyClick(page.tree, Qt.Key.Key_Right)
        index = page.tree.currentIndex()
        words.append(str(index.data()))
        walk.qtbot.keyClick(page.tree, Qt.Key.Key_Down)
    charge = next(one for one in reckon_claim(walk.claim).charges if one.disputed)
    assert charge.working.label in words
    assert any(step.label in words for step in charge.working.steps)


def writes_all_the_same(box: QMessageBox) -> None:
    assert "not been weighed" in box.text()
    yes = next(one for one in box.buttons() if box.buttonRole(one).name == "AcceptRole")
    yes.click()


def write_dossiers(walk: Walk) -> None:
    person, bot = walk.person, walk.qtbot
    page = walk.go(8)
    assert isinstance(page, DossierPage)
    shown = "\n".join(label.text() for label in page.findChildren(Label))
    for caution in cautions_before_sending():
        assert caution in shown
    for number, version in ((0, "insurer"), (1, "dispute")):
        button = page.versions.button(number)
        person.click(button)
        assert button.isChecked()
        person.write(page.form.fields["date"], "2026-03-25")
        bot.waitUntil(lambda: bool(page.preview._sizes), timeout=30_000)
        bot.waitUntil(lambda: not walk.window.jobs.busy, timeout=30_000)
        bot.waitUntil(lambda: bool(page.preview._images), timeout=15_000)
        assert page._page_says.text().startswith("Page 1 of ")
        target = walk.folder / f"{version}.pdf"
        with ExitStack() as asked:
            asked.enter_context(person.answering(QFileDialog, person.names_file(target)))
            if version == "dispute":
                asked.enter_context(person.answering(QMessageBox, writes_all_the_same))
            person.click(page.side.write)
        bot.waitUntil(lambda target=target: page.written == (target,), timeout=30_000)
        compare_with_the_reckoning(walk.claim, target, version)


def compare_with_the_reckoning(claim: Claim, file: Path, version: str) -> None:
    """Read a written dossier with two independent readers."""
    done = subprocess.run(
        ["pdftotext", "-layout", str(file), "-"], check=True, capture_output=True, text=True
    )
    laid_out = done.stdout.replace("\u00a0", " ")
    read = " ".join(page.extract_text() for page in pypdf.PdfReader(file).pages)
    read = read.replace("\u00a0", " ")
    reckoning = reckon_claim(claim)
    totals = reckoning.totals
    amounts: list[Decimal | None] = [totals.billed, totals.disputed]
    for result in reckoning.charges:
        amounts += [result.billed, result.owed, result.disputed]
    if version == "insurer":
        amounts += [totals.loss, totals.policy, totals.renter]
        assert POLICY_NUMBER in laid_out
    else:
        amounts += [totals.owed]
        assert POLICY_NUMBER not in laid_out
        assert "Invented Mutual of Nowhere" not in laid_out
        for result in reckoning.charges:
            charge = next(c for c in claim.invoices[0].charges if c.id == result.charge)
            rows = [
                re.findall(r"\d[\d,]*\.\d\d", line)
                for line in laid_out.splitlines()
                if charge.description.split(",")[0] in line
            ]
            wanted = [printed(one, "USD") for one in (result.billed, result.owed, result.disputed)]
            assert wanted in rows, charge.description
    for amount in amounts:
        assert amount is not None
        assert printed(amount, "USD") in laid_out
        assert printed(amount, "USD") in read
    assert "Traceback" not in laid_out


def test_from_an_empty_library_to_the_dossier(walk: Walk) -> None:
    make_claim(walk)
    import_kit(walk)
    count_at_pickup(walk)
    count_at_return(walk)
    take_in_photos(walk)
    say_what_was_found(walk)
    enter_papers(walk)
    answer_the_invoice(walk)
    read_the_reckoning(walk)
    write_dossiers(walk)
    assert walk.window.register is not None
    assert walk.window.register._library.check_journal(walk.claim.id) == ()

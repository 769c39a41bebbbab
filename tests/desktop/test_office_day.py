"""The film-school office's day in the window, from the students' bundles to the term report.

One story, invented.  The office has kept its policy since last term: 500.00 USD deductible an
event, 2,000.00 USD a year.  Two students hand in a theft each, a third one's bundle was changed
on its way.
"""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import icalendar
import pypdf
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QApplication,
    QFileDialog,
    QMessageBox,
)
from pytestqt.qtbot import QtBot

from ldapp.casework.register import Register
from ldapp.casework.shared_policies import keep_party, keep_policy
from ldapp.desktop.dropped_files import DroppedFilesDialog
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.office_records import OfficeRecordsDialog
from ldapp.desktop.pages.charges import ChargesPage
from ldapp.desktop.pages.dossier import DossierPage
from ldapp.desktop.pages.findings import FindingsPage
from ldapp.desktop.pages.paper_parts.policy_panel import PolicyPanel
from ldapp.desktop.pages.paper_parts.shares_panel import SharesPanel
from ldapp.desktop.pages.papers import PapersPage
from ldapp.desktop.policies_page import PoliciesPage
from ldapp.desktop.report_page import ReportPage
from ldapp.desktop.wanted_papers_dialog import WantedPapersDialog
from tests.casework.school_claims import keep
from tests.desktop.office_walk import (
    ADAS,
    BENS,
    DEPARTMENT,
    LAST_TERM,
    Office,
    find_the_claim,
    pdf_text,
    take_bundles_in,
)
from tests.desktop.person import LEFT
from tests.desktop.test_whole_path import field_of


@pytest.fixture
def office(
    qtbot: QtBot, window: MainWindow, register: Register, qapp: QApplication, tmp_path: Path
) -> Iterator[Office]:
    # Qt's own file dialogs: those of a desktop cannot be typed into by a test.
    qapp.setAttribute(Qt.ApplicationAttribute.AA_DontUseNativeDialogs, True)
    # Last term's claim, and what the office has kept from it.
    keep(register, LAST_TERM)
    keep_policy(register, register.open(LAST_TERM.id))
    keep_party(register, DEPARTMENT)
    window.refresh_register()
    office = Office(qtbot, window, tmp_path)
    office.wait()
    yield office
    qapp.setAttribute(Qt.ApplicationAttribute.AA_DontUseNativeDialogs, False)


# --- the day ---------------------------------------------------------------------------------


def open_part(office: Office, part: str) -> Any:
    """Go to Papers and click one of its tabs."""
    page = office.go(1)
    assert isinstance(page, PapersPage)
    number = page._parts.index(part)
    box = page.tabs.tabRect(number)
    office.qtbot.mouseClick(page.tabs, LEFT, pos=box.center())
    office.settle()
    return page.panel(part)


def take_the_policy(office: Office) -> None:
    """The office's policy and department are copied into the claim; undone and done again."""
    panel = open_part(office, "policy")
    assert isinstance(panel, PolicyPanel)
    office.person.click(panel.empty.second_button)
    records = office.shown_dialog(OfficeRecordsDialog)
    assert records.policies.count() == 1
    office.click_item(records.policies, 0)
    office.person.click(office.button(records, "Policies: Take into this claim"))
    office.click_item(records.parties, 0)
    office.person.click(office.button(records, "Parties: Take into this claim"))
    office.person.click(office.button(records, "Close"))
    office.settle()
    policy = office.claim.policy
    assert policy is not None
    assert (policy.number, policy.terms.deductibles[0].amount) == ("FS-26", Decimal(500))
    assert any(one.role == "department" for one in office.claim.parties)
    # First place of undo: both are taken back, and come again.
    office.undo()
    office.undo()
    assert office.claim.policy is None
    office.redo()
    office.redo()
    office.settle()
    assert office.claim.policy == policy
    # By hand: 1,800 lost, 500 deductible.
    assert (office.totals().policy, office.totals().renter) == (Decimal(1300), Decimal(500))


def bring_the_papers(office: Office) -> None:
    """The checklist names four papers; one leads to its event, and is then handed in."""
    window = office.window
    office.pick("Claim", window.actions_of_window.wanted_papers)
    dialog = office.shown_dialog(WantedPapersDialog)
    # By hand: sworn statement, certificate, agreement; the police's report after a theft.
    assert dialog.summary.text() == "4 papers missing"
    row = next(n for n, one in enumerate(dialog.model.rows) if one.kind == "police_report")
    office.person.click_cell(dialog.table, row, 1)
    office.qtbot.keyClick(dialog.table, Qt.Key.Key_Return)
    office.qtbot.waitUntil(lambda: not dialog.isVisible(), timeout=5000)
    office.settle()
    page = office.view.page(office.view.current_page)
    assert isinstance(page, FindingsPage)
    assert page.occurrence_form.isVisible()
    assert page.occurrence_form.form.fields["title"].text() == "Van opened, left by Cora Cornfield"

    report = office.folder / "police report 2026-04-03.pdf"
    paper = pypdf.PdfWriter()
    paper.add_blank_page(595, 842)
    paper.write(report)

    def dropped(asked: DroppedFilesDialog) -> None:
        office.person.click(asked.buttons["documents"])

    with office.person.answering(DroppedFilesDialog, dropped):
        office.person.drop_files(window, [report])
    office.qtbot.waitUntil(lambda: len(office.claim.documents) == 1, timeout=10_000)
    office.settle()
    assert office.claim.documents[0].kind == "police_report"
    office.pick("Claim", window.actions_of_window.wanted_papers)
    again = office.shown_dialog(WantedPapersDialog)
    assert again.summary.text() == "3 papers missing"
    office.person.click(office.button(again, "Close"))


def share_the_deductible(office: Office) -> None:
    """The school's rule: the student bears 60 % of the deductible, at most 200.00."""
    person, bot = office.person, office.qtbot
    panel = open_part(office, "policy")
    assert isinstance(panel, PolicyPanel)
    assert panel.terms is not None
    rows = panel.terms.rows
    bot.waitUntil(lambda: "deductible_split" in rows, timeout=5000)
    row = rows["deductible_split"]
    department = next(one for one in office.claim.parties if one.role == "department")
    panel.ensureWidgetVisible(row)
    person.click(row.state_button)
    for name, value in (("first", "ada"), ("rest", department.id), ("form", "share")):
        person.choose(field_of(row, name), value)
    person.write(field_of(row, "rate"), "60")
    person.write(field_of(row, "maximum"), "200")
    person.write(row.items[0].clause.reference, "Handbook 4")
    office.settle()
    shares = open_part(office, "shares")
    assert isinstance(shares, SharesPanel)
    # By hand: 60 % of 500 are 300, at most 200; the department bears the other 300.
    parts = {shown.share.name: shown.share.amount for shown in shares.parts.rows}
    assert parts == {"Ada Aardvark": Decimal(200), "Department of Nowhere": Decimal(300)}
    assert "Together 500.00, paid 0.00, open 500.00 USD" in shares.says.text()

    number = next(n for n, one in enumerate(shares.parts.rows) if one.share.bearer == "ada")
    person.click_cell(shares.part_table, number, 0)
    person.click(shares.record_button)
    office.settle()
    column = shares.payments.column_number("amount")
    person.type_cell(shares.payment_table, 0, column, "80")
    office.settle()
    # Second place of undo: the whole part as proposed, then what was really paid.
    assert [one.paid for one in office.claim.correspondence] == [Decimal(80)]
    office.undo()
    assert [one.paid for one in office.claim.correspondence] == [Decimal(200)]
    office.redo()
    office.settle()
    assert [one.paid for one in office.claim.correspondence] == [Decimal(80)]
    assert office.claim.stage == "preparing", "what a student pays settles nothing"
    write_the_notice(office, shares, number)


def write_the_notice(office: Office, shares: SharesPanel, number: int) -> None:
    folder = office.folder / "notices"
    folder.mkdir()
    office.person.click_cell(shares.part_table, number, 0)
    office.person.write(shares.reply_by, "2026-12-09")
    with office.person.answering(QFileDialog, office.person.names_file(folder)):
        office.person.click(shares.notice_button)
    office.qtbot.waitUntil(shares.log_button.isEnabled, timeout=20_000)
    (file,) = folder.glob("*.pdf")
    says = pdf_text(file)
    # By hand: 200 to bear, 80 paid, 120 open.
    assert "Your part is USD 200.00. USD 80.00 of it has been paid; USD 120.00 is open." in says
    assert "Ada Aardvark" in says
    assert "60 % of the deductible" in says
    assert "9 December 2026" in says
    for other in ("Cora", "Cornfield", "Ben", "Dora", "Nowhere", "Invented Mutual", "300.00"):
        assert other not in says, other
    office.person.click(shares.log_button)
    office.settle()


def send_and_be_paid(office: Office) -> None:
    """The statement of loss goes out; the insurer decides and pays; the stage follows."""
    person, bot = office.person, office.qtbot
    page = office.go(8)
    assert isinstance(page, DossierPage)
    target = office.folder / "statement.pdf"
    with person.answering(QFileDialog, person.names_file(target)):
        person.click(page.side.write)
    bot.waitUntil(lambda: page.written == (target,), timeout=40_000)
    says = pdf_text(target)
    # By hand: 1,800 lost, 500 deductible, 1,300 from the policy.
    assert "1,800.00" in says
    assert "1,300.00" in says
    person.click(page.side.log_sent)
    office.settle()
    assert office.claim.stage == "sent"

    charges = office.go(6)
    assert isinstance(charges, ChargesPage)
    person.click(charges.after_sending)
    entries = charges.after.entries
    fields = entries.form.form.fields
    person.click(entries.log_buttons["reply"])
    person.write(fields["subject"], "The insurer's decision: covered")
    person.choose(fields["party"], "insurer")
    office.settle()
    decision = office.claim.correspondence[-1]
    assert (decision.direction, decision.party, decision.step) == ("received", "insurer", "reply")
    assert office.claim.stage == "answered"
    person.click(entries.log_buttons["payment"])
    person.choose(fields["direction"], "received")
    person.choose(fields["party"], "insurer")
    person.write(fields["subject"], "The insurer's payment")
    person.write(fields["paid"], "1300")
    office.settle()
    payment = office.claim.correspondence[-1]
    assert (payment.direction, payment.party, payment.paid) == (
        "received", "insurer", Decimal(1300),
    )  # fmt: skip
    assert office.claim.stage == "paid"
    person.click(charges.after.back)
    office.back()
    assert office.register_cell("2026-021", "stage") == "Paid"
    assert office.register_cell("2026-022", "stage") == "Preparing"
    # One of the four papers came.
    assert office.register_cell("2026-021", "papers_missing") == "! 3 missing"


def look_at_the_policy(office: Office) -> None:
    """The school's rule is kept for all; the annual limit is used in order of the events."""
    person = office.person
    person.click(office.window.register_page.page_buttons["policies"])
    office.wait()
    page = office.window.overview
    assert isinstance(page, PoliciesPage)
    office.click_tab(page.tabs, 1)
    assert states_of(page) == {"2026-001": "as kept", "2026-021": "differs", "2026-022": "differs"}
    # Ada's claim has the school's rule: the office keeps it so, and the others are brought to it.
    number = next(n for n, one in enumerate(page.members_model.rows) if one.claim == ADAS.id)
    person.click_cell(page.members, number, 0)
    person.click(page.keep_button)
    office.wait()
    assert states_of(page) == {"2026-001": "differs", "2026-021": "as kept", "2026-022": "differs"}
    asks = office.answers_yes("into 2 claims?")
    with person.answering(QMessageBox, asks):
        person.click(page.update_button)
    office.wait()
    assert set(states_of(page).values()) == {"as kept"}

    office.click_tab(page.tabs, 0)
    # By hand, 500 deductible each, in the order of the days: 15 January 600 - 500 = 100;
    # 10 March 640 - 500 = 140; 2 April 1,800 - 500 = 1,300.
    assert [
        (one.reference, one.used, one.used_so_far, one.left) for one in page.lines_model.rows
    ] == [
        ("2026-001", Decimal(100), Decimal(100), Decimal(1900)),
        ("2026-022", Decimal(140), Decimal(240), Decimal(1760)),
        ("2026-021", Decimal(1300), Decimal(1540), Decimal(460)),
    ]
    assert {name: one.text() for name, one in page.figures.items()} == {
        "limit": "2,000.00 USD", "used": "1,540.00 USD", "left": "460.00 USD",
    }  # fmt: skip
    assert "2026-021 states 0.00 used before it" in page.working.text()
    with person.answering(QMessageBox, office.answers_yes("each states what the claims before")):
        person.click(page.accept_button)
    office.wait()
    assert not page.accept_button.isEnabled()
    assert page.working.text() == ""
    register = office.window.register
    assert register is not None
    stated = {
        one: (policy.aggregate_used_before if policy else None)
        for one in (BENS.id, ADAS.id)
        for policy in [register.open(one).claim.policy]
    }
    assert stated == {BENS.id: Decimal(100), ADAS.id: Decimal(240)}
    office.back_from(page)


def states_of(page: PoliciesPage) -> dict[str, str]:
    return {one.reference: one.state for one in page.members_model.rows}


def write_the_deadlines(office: Office) -> None:
    """What is not done goes into a calendar; the claim that was paid needs no reminder."""
    target = office.folder / "deadlines.ics"
    # The claim that was open is still selected, and would be written alone.
    table = office.window.register_page.table
    table.setFocus()
    office.qtbot.keyClick(table, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    assert len(office.window.register_page.selected()) == 3
    actions = office.window.actions_of_window
    with office.person.answering(QFileDialog, office.person.names_file(target)):
        office.pick("Register", actions.calendar)
    office.wait()
    assert "2 deadlines written" in office.window.strip.text()
    events = icalendar.Calendar.from_ical(target.read_bytes()).walk("VEVENT")
    # By hand, ten days after the loss: 15 January + 10, 10 March + 10.
    assert {(str(one["summary"]), one.decoded("dtstart")) for one in events} == {
        ("2026-001: Tell the insurer", dt.date(2026, 1, 25)),
        ("2026-022: Tell the insurer", dt.date(2026, 3, 20)),
    }


def write_the_report(office: Office) -> None:
    """The term's figures, as PDF and as CSV, against the register and against sums by hand."""
    person, page = office.person, office.window.register_page
    asked = page.figures["asked"].text()
    person.click(page.page_buttons["report"])
    office.wait()
    report = office.window.overview
    assert isinstance(report, ReportPage)
    pdf, table = office.folder / "term.pdf", office.folder / "term.csv"
    for button, target in ((report.pdf_button, pdf), (report.csv_button, table)):
        with person.answering(QFileDialog, person.names_file(target)):
            person.click(button)
        office.qtbot.waitUntil(target.exists, timeout=20_000)
        office.wait()
        assert str(target) in office.window.strip.text()
    with table.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    amounts = {
        (row["Figure"], row["Part"]): Decimal(row["Amount"]) for row in rows if row["Amount"]
    }
    # By hand: 600 + 1,800 + 640 lost; 100 + 1,300 + 140 from the policy; nothing disputed.
    wanted = {
        ("Totals", "owed for losses"): "3040",
        ("Totals", "paid by others"): "1540",
        ("Totals", "disputed"): "0",
        ("By production", "Winter Light"): "1800",
        ("By production", "Salt Road"): "640",
        ("By production", "Thaw"): "600",
        # 60 % of 500 are 300, at most 200 a student; the department bears 300 three times.
        ("Part: to bear", "Ada Aardvark (S-1)"): "200",
        ("Part: paid", "Ada Aardvark (S-1)"): "80",
        ("Part: open", "Ada Aardvark (S-1)"): "120",
        ("Part: open", "Ben Bentwood (S-2)"): "200",
        ("Part: open", "Department of Nowhere"): "900",
    }
    assert {key: amounts[key] for key in wanted} == {
        key: Decimal(amount) for key, amount in wanted.items()
    }
    # The only claim that was sent is paid: nothing is waited for.
    (waiting,) = [row for row in rows if row["Part"] == "sent and not settled"]
    assert waiting["Claims"] == "0"
    limits = {figure: amount for (figure, _), amount in amounts.items() if "Policy" in figure}
    assert limits == {
        "Policy: annual limit": Decimal(2000),
        "Policy: used": Decimal(1540),
        "Policy: paid": Decimal(1540),
        "Policy: deductibles": Decimal(1500),
    }
    # All that the rental company billed was owed, so the register's sum is the report's.
    assert asked == f"{amounts['Totals', 'owed for losses']:,.2f} USD"
    says = pdf_text(pdf)
    for amount in ("3,040.00", "1,540.00", "1,800.00", "640.00", "900.00", "120.00", "2,000.00"):
        assert amount in says, amount
    for name in ("Winter Light", "Salt Road", "Thaw", "Ada Aardvark"):
        assert name in says, name
    office.back_from(report)
    assert sorted(office.register_rows()) == ["2026-001", "2026-021", "2026-022"]


def test_the_day_of_a_film_schools_office(office: Office) -> None:
    take_bundles_in(office)
    find_the_claim(office)
    take_the_policy(office)
    bring_the_papers(office)
    share_the_deductible(office)
    send_and_be_paid(office)
    look_at_the_policy(office)
    write_the_deadlines(office)
    write_the_report(office)
    register = office.window.register
    assert register is not None
    assert register.check().wrong == ()

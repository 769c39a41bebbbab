"""The Charges page: invoices in by hand, paste and file; grounds switched, amounts follow."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw
from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QAbstractButton, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from ldapp.casework.charges import arithmetic_faults
from ldapp.casework.places import Place
from ldapp.casework.reckoning import reckon_claim
from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_context import EVERYTHING
from ldapp.desktop.pages.charge_rows import ChargesModel, charge_rows, pasted_charges
from ldapp.desktop.pages.charges import ChargesPage
from ldapp.desktop.pages.invoice_import import alike_together
from ldapp.desktop.pages.record_chooser import Choice, RecordChooser
from ldapp.errors import LdappError
from ldapp.reckoning.proposals import propose_grounds

from .conftest import page_claim

Show = Callable[..., ChargesPage]
LEFT = Qt.MouseButton.LeftButton


def charge(page: ChargesPage, key: str) -> Charge:
    return next(
        one for invoice in page.context.claim.invoices for one in invoice.charges if one.id == key
    )


def choose_charge(qtbot: QtBot, page: ChargesPage, key: str) -> None:
    page.table.go_to_row(key)
    qtbot.waitUntil(lambda: page.panel.charge is not None and page.panel.charge.id == key)
    qtbot.waitUntil(lambda: bool(page._grounds), timeout=5000)
    # Rows of grounds are made anew while the claim is still being studied.
    qtbot.waitUntil(
        lambda: (
            page.context.up_to_date
            and not page.context.jobs.busy
            and not page._propose_soon.isActive()
        ),
        timeout=10_000,
    )


def shown(page: ChargesPage, key: str, column: str) -> str:
    row = page.model.row_number(key)
    return str(page.model.data(page.model.index(row, page.model.column_number(column))))


def test_the_model_keeps_qts_rules(qtmodeltester: ModelTester, qapp: Any) -> None:
    claim = page_claim()
    owner = QObject()
    model = ChargesModel(lambda edits: False, owner)
    model.set_rows(charge_rows(claim, reckon_claim(claim), "i1"))
    qtmodeltester.check(model)
    assert model.rowCount() == 3
    model.set_rows(charge_rows(claim, None, "none"))
    qtmodeltester.check(model)


def test_switching_a_ground_on_and_off_moves_owed_and_disputed(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(ChargesPage, page_claim())
    choose_charge(qtbot, page, "ch1")
    assert shown(page, "ch1", "owed") == "740.00"
    assert shown(page, "ch1", "answer") == "not weighed"
    row = page.panel.rows["depreciation"]
    assert "would take" in row.amount.text()
    row.switch.click()
    assert [one.code for one in charge(page, "ch1").grounds if one.on] == ["depreciation"]
    qtbot.waitUntil(lambda: shown(page, "ch1", "disputed") != "0.00", timeout=5000)
    result = next(one for one in page.context.reckoning.charges if one.charge == "ch1")
    assert shown(page, "ch1", "owed") == f"{result.owed}"
    qtbot.waitUntil(lambda: page.panel.disputed.text() == f"{result.disputed}")
    assert result.owed + result.disputed == Decimal("740.00")
    assert "disputed" in shown(page, "ch1", "answer")
    page.panel.rows["depreciation"].switch.click()
    qtbot.waitUntil(lambda: shown(page, "ch1", "disputed") == "0.00", timeout=5000)
    assert shown(page, "ch1", "answer") == "not disputed"
    assert page.context.desk.undo() == "Ground: depreciation"


def test_a_click_on_the_name_of_a_ground_switches_it(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    choose_charge(qtbot, page, "ch1")
    qtbot.mouseClick(page.panel.rows["depreciation"].name, LEFT)
    assert [one.code for one in charge(page, "ch1").grounds if one.on] == ["depreciation"]


def test_a_ground_says_what_it_rests_on_and_whether_it_is_strong(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(ChargesPage, page_claim())
    choose_charge(qtbot, page, "ch1")
    assert "strong" in page.panel.rows["quantity"].strength.text()
    assert "rests on" in page.panel.rows["depreciation"].strength.text()


def test_own_words_and_support_are_kept_with_the_ground(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(ChargesPage, page_claim())
    choose_charge(qtbot, page, "ch1")
    page.panel.rows["quantity"].details_asked.emit("quantity")
    words = page.panel.details.form.fields["words"]
    qtbot.keyClicks(words, "Three are gone, not four.")
    page.table.setFocus()
    qtbot.waitUntil(lambda: bool(charge(page, "ch1").grounds))
    assert charge(page, "ch1").grounds[0].words == "Three are gone, not four."
    monkeypatch.setattr(RecordChooser, "ask", classmethod(lambda *a: "c2"))
    page.panel.details._add_count()
    assert charge(page, "ch1").grounds[0].counts == ("c2",)
    page.panel.details.change_support("counts", "c2", add=False)
    assert charge(page, "ch1").grounds[0].counts == ()


def test_any_ground_of_the_closed_list_can_be_added_and_taken_off(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(ChargesPage, page_claim())
    choose_charge(qtbot, page, "ch3")
    monkeypatch.setattr(RecordChooser, "ask", classmethod(lambda *a: "fee_not_agreed"))
    qtbot.mouseClick(page.panel.add_ground, LEFT)
    assert [one.code for one in charge(page, "ch3").grounds] == ["fee_not_agreed"]
    page.panel.rows["fee_not_agreed"].removal_asked.emit("fee_not_agreed")
    assert charge(page, "ch3").grounds == ()


def test_a_charge_is_left_open_until_documented(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    choose_charge(qtbot, page, "ch3")
    page.panel.open_until.click()
    assert charge(page, "ch3").open_until_documented
    qtbot.waitUntil(lambda: shown(page, "ch3", "answer") == "open until documented", timeout=5000)


def test_matches_are_proposed_with_a_reason_and_accepted(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    qtbot.waitUntil(lambda: page.matches.model.rowCount() == 1, timeout=5000)
    assert "worded like line 3" in page.matches.model.rows[0].match.reason
    assert charge(page, "ch2").line is None
    page.matches.accept_all.click()
    assert charge(page, "ch2").line == "line-3"
    assert "worded like" in charge(page, "ch2").match_reason
    qtbot.waitUntil(page.matches.isHidden, timeout=5000)


def test_a_match_is_changed_by_hand(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(ChargesPage, page_claim())
    choose_charge(qtbot, page, "ch2")
    monkeypatch.setattr(RecordChooser, "ask", classmethod(lambda *a: "finding f2"))
    qtbot.mouseClick(page.panel.change_match, LEFT)
    assert (charge(page, "ch2").line, charge(page, "ch2").finding) == ("line-4", "f2")
    monkeypatch.setattr(RecordChooser, "ask", classmethod(lambda *a: ""))
    qtbot.mouseClick(page.panel.change_match, LEFT)
    assert (charge(page, "ch2").line, charge(page, "ch2").finding) == (None, None)


def test_what_does_not_add_up_is_marked_and_named(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    assert shown(page, "ch2", "amount") == "⚠ 150.00"
    row = page.model.row_number("ch2")
    tip = page.model.data(
        page.model.index(row, page.model.column_number("amount")), Qt.ItemDataRole.ToolTipRole
    )
    assert tip == "2 × 72.00 is 144.00, billed is 150.00"
    assert page.foot.faults.isVisible()


def test_sums_of_an_invoice_are_checked_with_and_without_a_tax_line() -> None:
    invoice = dataclasses.replace(
        page_claim().invoices[0],
        net=Decimal("1000.00"),
        tax=Decimal("80.00"),
        gross=Decimal("1135.00"),
    )
    says = [one.says for one in arithmetic_faults(invoice, "USD") if one.charge is None]
    assert says == ["the lines come to 1,055.00, printed is 1,000.00"]
    taxed = dataclasses.replace(
        invoice,
        net=None,
        charges=(
            *invoice.charges,
            Charge(id="t", number="4", description="Tax", kind="tax", amount=Decimal("90.00")),
        ),
    )
    says = [one.says for one in arithmetic_faults(taxed, "USD") if one.charge is None]
    assert says == [
        "the tax lines come to 90.00, printed is 80.00",
        "lines and tax come to 1,145.00, printed is 1,135.00",
    ]


def test_charges_are_typed_into_the_table(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    qtbot.mouseClick(page.new_charge, LEFT)
    assert len(page.context.claim.invoices[0].charges) == 4
    new = page.context.claim.invoices[0].charges[-1].id
    row = page.model.row_number(new)
    for column, text in (("description", "Freight"), ("kind", "freight"), ("amount", "45.5")):
        assert page.model.setData(page.model.index(row, page.model.column_number(column)), text)
    assert charge(page, new).amount == Decimal("45.50")
    assert charge(page, new).kind == "freight"
    with qtbot.waitSignal(page.context.failed) as failed:
        page.model.setData(page.model.index(row, page.model.column_number("amount")), "lots")
    assert "no number" in str(failed.args[0])
    assert charge(page, new).amount == Decimal("45.50")


def test_rows_from_a_spreadsheet_are_pasted_as_one_change(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    QGuiApplication.clipboard().setText(
        "Sandbag\t2\t38.00\t76.00\r\nCleaning\t30.00\n=cmd|x!A1\t1\t1,250.00\t1,250.00\n"
    )
    qtbot.mouseClick(page.paste, LEFT)
    new = page.context.claim.invoices[0].charges[3:]
    assert [(one.number, one.amount) for one in new] == [
        ("4", Decimal("76.00")),
        ("5", Decimal("30.00")),
        ("6", Decimal("1250.00")),
    ]
    assert new[2].description == "=cmd|x!A1"
    assert page.context.desk.undo() == "Add 3 charges"
    assert len(page.context.claim.invoices[0].charges) == 3


def test_a_paste_with_words_for_a_number_adds_nothing() -> None:
    with pytest.raises(LdappError, match="no number"):
        pasted_charges([["Stand", "2", "38.00", "76.00"], ["Flag", "many", "1", "2"]], "USD", 1)
    with pytest.raises(LdappError, match="description and an amount"):
        pasted_charges([["only words"]], "USD", 1)


def test_an_invoice_is_entered_by_hand_and_removed(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    qtbot.mouseClick(page.new_invoice, LEFT)
    assert page.tabs.count() == 2
    field = page.invoice_form.form.fields["number"]
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "LD-0999")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert page.context.claim.invoices[1].number == "LD-0999"
    assert page.tabs.tabText(1).startswith("LD-0999")
    qtbot.mouseClick(page.invoice_form.remove, LEFT)
    assert page.tabs.count() == 1


def test_a_spreadsheet_is_looked_at_and_then_added(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(ChargesPage, page_claim())
    table = tmp_path / "invoice.csv"
    table.write_text(
        "Invoice LD-1001,,,\nDate,2026-03-18,,\n"
        "Description,Qty,Unit price,Amount\n"
        "Sandbag heavy lost,2,38.00,76.00\n"
        "Cleaning of cables,1,30.00,30.00\n",
        encoding="utf-8",
    )
    page.take_files([table])
    qtbot.waitUntil(lambda: page.importer.model.rowCount() == 2, timeout=10000)
    assert page.importer.isVisible()
    assert len(page.context.claim.invoices) == 1
    page.importer.facts.fields["number"].set_value("LD-1001")
    page.importer.facts.fields["dated"].set_value(dt.date(2026, 3, 18))
    qtbot.mouseClick(page.importer.add, LEFT)
    qtbot.waitUntil(lambda: len(page.context.claim.invoices) == 2, timeout=10000)
    invoice = page.context.claim.invoices[1]
    assert [one.amount for one in invoice.charges] == [Decimal("76.00"), Decimal("30.00")]
    assert invoice.number == "LD-1001"
    paper = next(one for one in page.context.claim.documents if one.id == invoice.document)
    assert paper.name == "invoice.csv"
    qtbot.waitUntil(lambda: page.invoice_id == invoice.id)


def test_an_invoice_that_cannot_be_added_leaves_no_paper_behind(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(ChargesPage, page_claim())
    table = tmp_path / "undated.csv"
    table.write_text("Description,Qty,Amount\nSandbag heavy lost,2,76.00\n", encoding="utf-8")
    page.take_files([table])
    qtbot.waitUntil(lambda: page.importer.model.rowCount() == 1, timeout=10000)
    with qtbot.waitSignal(page.context.failed, timeout=10000) as failed:
        qtbot.mouseClick(page.importer.add, LEFT)
    assert "the date of the invoice was not found" in str(failed.args[0])
    assert not page.context.claim.documents
    qtbot.waitUntil(page.importer.add.isEnabled, timeout=5000)
    page.importer.facts.fields["dated"].set_value(dt.date(2026, 3, 18))
    qtbot.mouseClick(page.importer.add, LEFT)
    qtbot.waitUntil(lambda: len(page.context.claim.invoices) == 2, timeout=10000)
    assert [one.name for one in page.context.claim.documents] == ["undated.csv"]


def test_another_currency_is_said_before_anything_is_added(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(ChargesPage, page_claim())
    table = tmp_path / "pounds.csv"
    table.write_text(
        "Invoice LD-5,,\nDate,2026-03-18,\nDescription,Qty,Amount\nSandbag lost,2,£76.00\n",
        encoding="utf-8",
    )
    page.take_files([table])
    importer = page.importer
    qtbot.waitUntil(lambda: importer.model.rowCount() == 1, timeout=10000)
    assert "Invoice LD-5 is in GBP, the claim in USD." in importer.faults.text()
    assert not importer.add.isEnabled()
    # What is checked against the paper stands first, in sight at the least width.
    assert [one.name for one in importer.model.columns[:5]] == [
        "number",
        "description",
        "quantity",
        "price",
        "amount",
    ]


def test_a_file_that_is_no_invoice_is_refused_and_nothing_is_lost(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(ChargesPage, page_claim())
    empty = tmp_path / "empty.csv"
    empty.write_bytes(b"")
    with qtbot.waitSignal(page.context.failed, timeout=10000) as failed:
        page.take_files([empty])
    assert "empty.csv" in str(failed.args[0])
    qtbot.waitUntil(lambda: not page.importer.isVisible())
    assert len(page.context.claim.invoices) == 1


def test_what_is_to_be_looked_at_in_many_lines_is_said_once() -> None:
    many = [f"To look at: page 1, line {n}: no amount is printed" for n in range(4, 20)]
    counted = [f"page 2, charge {n}: the amount is missing" for n in ("1", "2.1", "A-3")]
    assert alike_together(counted) == [
        "page 2, charge 1: the amount is missing; the same in 2 more places"
    ]
    others = [
        "To look at: row 7: the tax is a guess",
        "the lines sum to 3.00, but 4.00 is printed.",
    ]
    assert alike_together([others[0], *many, others[1]]) == [
        others[0],
        "To look at: page 1, line 4: no amount is printed; the same in 15 more places",
        others[1],
    ]
    assert alike_together(many[:2]) == many[:2]


def test_an_empty_claim_says_what_belongs_here(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(ChargesPage, dataclasses.replace(page_claim(), invoices=()))
    assert page._empty.isVisible()
    qtbot.mouseClick(page._empty.second_button, LEFT)
    assert page.table.isVisible()


@pytest.mark.parametrize("name", ["Northlight Hire", ""])
def test_the_first_invoice_asks_who_sent_it(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    claim = Claim(
        id="new",
        reference="2026-001",
        title="",
        currency="USD",
        zone="America/Denver",
        opened=dt.date(2026, 3, 2),
    )
    page = show_page(ChargesPage, claim)
    monkeypatch.setattr("ldapp.desktop.pages.charges_sides.NameDialog.ask", lambda *given: name)
    qtbot.mouseClick(page._empty.second_button, LEFT)
    lessors = [one.name for one in page.context.claim.parties if one.role == "rental_company"]
    under = [one.agreement for one in page.context.claim.invoices]
    assert lessors == ([name] if name else [])
    assert under == [one.id for one in page.context.claim.agreements][: bool(name)]


def test_places_on_the_page_are_gone_to(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    page.show_place(Place("charges", "charge", "ch3"))
    assert page.panel.charge is not None
    assert page.panel.charge.id == "ch3"
    with qtbot.waitSignal(page.context.go_to) as gone:
        qtbot.mouseClick(page.panel.working, LEFT)
    assert gone.args[0] == Place("reckoning", "charge", "ch3")


def test_the_chooser_filters_as_one_types(qtbot: QtBot) -> None:
    from ldapp.desktop.pages.record_chooser import Choice

    owner = QWidget()
    qtbot.addWidget(owner)
    chooser = RecordChooser("Which", [Choice("a", "Sandbag"), Choice("b", "Flag", "cart 2")], owner)
    qtbot.addWidget(chooser)
    assert chooser.key == "a"
    qtbot.keyClicks(chooser.search, "cart")
    assert chooser.key == "b"
    chooser.search.clear()
    qtbot.keyClick(chooser.search, Qt.Key.Key_Down)
    assert chooser.key == "b"


def test_likely_answers_and_what_a_right_charge_comes_to(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    choose_charge(qtbot, page, "ch1")
    row = page.panel.rows["depreciation"]
    assert not row.answers.isVisible()
    page.panel.show_answers.click()
    assert row.answers.isVisible()
    assert row.answers.text().startswith("They may say: ")
    qtbot.waitUntil(lambda: "740.00 USD is to be paid as billed" in page.panel.accepting.text())
    assert "not advice" in page.panel.accepting.text()
    qtbot.mouseClick(page.about_invoice, LEFT)
    says = page.invoice_form.accepting.text()
    assert "3 of 3 charges are not disputed (3 of them not weighed yet)" in says


def test_a_scanned_invoice_is_entered_beside_the_picture_of_its_page(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    picture = Image.new("L", (850, 1100), 255)
    ImageDraw.Draw(picture).text((80, 80), "LOSS AND DAMAGE  Flag 72.00", fill=0)
    scan = tmp_path / "scan-17.pdf"
    picture.save(scan, "PDF")
    page = show_page(ChargesPage, page_claim())
    with qtbot.waitSignal(page.context.failed, timeout=10000) as failed:
        page.take_files([scan])
    assert "holds pictures of pages but no text" in str(failed.args[0])
    qtbot.waitUntil(lambda: len(page.context.claim.invoices) == 2, timeout=5000)
    invoice = page.context.claim.invoices[1]
    paper = next(one for one in page.context.claim.documents if one.id == invoice.document)
    qtbot.waitUntil(lambda: page.invoice_id == invoice.id)
    assert paper.name == "scan-17.pdf"
    qtbot.waitUntil(lambda: bool(page.paper.pages._images), timeout=10000)
    assert page.paper.isVisible()
    # A page that is to be read gets half of the width.
    assert page.paper.width() > 0.45 * page.width()
    qtbot.mouseClick(page.new_charge, LEFT)
    qtbot.waitUntil(lambda: page.model.rowCount() == 1)
    # The picture stays beside the line that is being entered.
    assert page.paper.isVisible()
    qtbot.mouseClick(page.paper.close_it, LEFT)
    assert page.panel.isVisible()
    assert page.panel.width() < 0.4 * page.width()
    qtbot.mouseClick(page.about_invoice, LEFT)
    qtbot.mouseClick(page.invoice_form.paper, LEFT)
    assert page.paper.isVisible()


def test_the_kind_of_all_chosen_charges_is_set_at_once(
    qtbot: QtBot, show_page: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = show_page(ChargesPage, page_claim())
    page.table.selectAll()
    monkeypatch.setattr(RecordChooser, "ask", classmethod(lambda *_: "replacement"))
    page.table.setFocus()
    modifiers = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    qtbot.keyClick(page.table, Qt.Key.Key_K, modifiers)
    assert {one.kind for one in page.context.claim.invoices[0].charges} == {"replacement"}
    assert page.context.desk.undo() == "Kind of 3 charges"


def test_no_two_keys_of_the_page_are_the_same(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ChargesPage, page_claim())
    choose_charge(qtbot, page, "ch1")
    qtbot.waitUntil(page.matches.isVisible)
    texts = [one.text() for one in page.findChildren(QAbstractButton) if one.isVisible()]
    keys = [text[text.index("&") + 1].casefold() for text in texts if "&" in text]
    assert len(keys) > 8
    assert sorted(keys) == sorted(set(keys))


def test_a_ground_that_takes_the_same_money_says_so(qtbot: QtBot, show_page: Show) -> None:
    claim = page_claim()
    (invoice,) = claim.invoices
    flags = dataclasses.replace(
        invoice.charges[1], line="line-3", grounds=(GroundChoice(code="depreciation"),)
    )
    charges = (invoice.charges[0], flags, invoice.charges[2])
    claim = dataclasses.replace(claim, invoices=(dataclasses.replace(invoice, charges=charges),))
    open_ones = {one.choice.code: one for one in propose_grounds(claim) if one.charge == "ch2"}
    for code, one in open_ones.items():
        chosen = dataclasses.replace(flags, grounds=(*flags.grounds, GroundChoice(code=code)))
        tried = dataclasses.replace(
            claim,
            invoices=(dataclasses.replace(invoice, charges=(charges[0], chosen, charges[2])),),
        )
        disputed = [
            next(each.disputed for each in reckon_claim(each_claim).charges if each.charge == "ch2")
            for each_claim in (claim, tried)
        ]
        assert one.beside == disputed[1] - disputed[0]
    assert all(one.beside is None for one in propose_grounds(claim) if one.charge != "ch2")
    page = show_page(ChargesPage, claim)
    choose_charge(qtbot, page, "ch2")
    assert open_ones["valuation_date"].beside == 0
    row = page.panel.rows["valuation_date"]
    assert row.amount.text() == "would take 0.00 more"
    assert row.strength.text().startswith("takes the same 6.00 as “depreciation not taken off”")


def test_the_first_charge_is_chosen_when_the_page_is_opened_and_keys_stay(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(ChargesPage, page_claim())
    page.import_file.setFocus()
    qtbot.waitUntil(lambda: page.panel.charge is not None, timeout=5000)
    assert page.panel.charge is not None
    assert page.panel.charge.id == page.model.rows[0].charge.id
    assert page.panel.isVisible()
    assert page.table.current_row() is page.model.rows[0]
    assert page.import_file.hasFocus()
    choose_charge(qtbot, page, page.model.rows[1].charge.id)
    page.refresh(EVERYTHING)
    qtbot.wait(100)
    assert page.panel.charge.id == page.model.rows[1].charge.id


def test_the_chooser_leaves_the_remark_the_room_that_titles_do_not_need(qtbot: QtBot) -> None:
    choices = [Choice("a", "never received", "proved by " + "a count, a note, a photo, " * 6)]
    chooser = RecordChooser("Add a ground", choices, None)
    qtbot.addWidget(chooser)
    chooser.show()
    assert chooser.list.columnWidth(1) > 3 * chooser.list.columnWidth(0)
    remark = chooser.list.rows_model().index(0, 1)
    assert remark.data(Qt.ItemDataRole.ToolTipRole) == choices[0].remark

"""The Reckoning page: large figures, the statement that unfolds, strong grounds, what-if."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from ldapp.casework.places import Place
from ldapp.casework.reckoning import reckon_claim, with_strong_grounds_alone
from ldapp.claim.charges import GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count
from ldapp.claim.terms import LossOfUse, StraightLine
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.both_readings import BothReadings, reading_rows
from ldapp.desktop.pages.reckoning import ReckoningPage
from ldapp.desktop.pages.statement import statement
from ldapp.desktop.pages.statement_entry import Entry, as_text, find_entry, step_entry
from ldapp.desktop.pages.working_tree import AMOUNT, StatementModel
from ldapp.desktop.widgets.values import amount_text
from ldapp.reckoning.result import Step, StepInput

from .conftest import page_claim

Show = Callable[..., ReckoningPage]
LEFT = Qt.MouseButton.LeftButton


def disputed_claim(acknowledged: bool = True) -> Claim:
    """The first charge is disputed by depreciation (a clause) and by the number of units."""
    claim = page_claim()
    invoice = claim.invoices[0]
    first = dataclasses.replace(
        invoice.charges[0],
        grounds=(GroundChoice(code="depreciation"), GroundChoice(code="quantity")),
    )
    counts: tuple[Count, ...] = claim.counts
    if not acknowledged:
        counts = tuple(dataclasses.replace(one, acknowledgement="none") for one in counts)
    return dataclasses.replace(
        claim,
        counts=counts,
        invoices=(dataclasses.replace(invoice, charges=(first, *invoice.charges[1:])),),
    )


def rows(model: StatementModel, above: QModelIndex | None = None) -> Iterator[QModelIndex]:
    parent = above or QModelIndex()
    for row in range(model.rowCount(parent)):
        index = model.index(row, 0, parent)
        yield index
        yield from rows(model, index)


def ready(qtbot: QtBot, page: ReckoningPage) -> None:
    qtbot.waitUntil(lambda: page.model.rowCount() > 0, timeout=10000)


def test_the_model_keeps_qts_rules(qtmodeltester: ModelTester, qapp: Any) -> None:
    claim = disputed_claim()
    model = StatementModel()
    qtmodeltester.check(model)
    model.show_statement(statement(claim, reckon_claim(claim)))
    qtmodeltester.check(model)
    assert sum(1 for _ in rows(model)) > 30


def test_the_large_figures_are_those_of_the_reckoning(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ReckoningPage, disputed_claim())
    ready(qtbot, page)
    totals = reckon_claim(disputed_claim()).totals
    assert page.owed.text() == amount_text(totals.loss, "USD")
    assert page.disputed.text() == amount_text(totals.disputed, "USD")
    assert page.others.text() == amount_text(totals.paid_by_others, "USD")
    assert page.borne.text() == amount_text(totals.renter, "USD")
    assert totals.disputed > 0


def test_every_charge_unfolds_to_its_grounds_and_its_working(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ReckoningPage, disputed_claim())
    ready(qtbot, page)
    page.show_place(Place("reckoning", "charge", "ch1"))
    entry = page.tree.current_entry()
    assert entry is not None
    assert entry.what == "1 · Combo stand, lost"
    result = page.context.reckoning.charges[0]
    falls = [one.what for one in entry.under if "strong" in one.how]
    assert falls == ["more units than are missing", "depreciation not taken off"]
    assert page.tree.isExpanded(page.tree.currentIndex())
    working = next(one for one in entry.under if one.what == result.working.label)
    assert [one.what for one in working.under if not one.what.startswith("⚠")] == [
        step.label for step in result.working.steps
    ]


@pytest.mark.parametrize("invoiced", [True, False])
def test_the_sections_sum_to_their_totals(invoiced: bool) -> None:
    claim = disputed_claim()
    if not invoiced:
        claim = dataclasses.replace(claim, invoices=())
    shown = statement(claim, reckon_claim(claim))
    owed = shown.sections[0]

    def number(entry: Entry) -> Decimal:
        return Decimal(entry.amount.replace(",", ""))

    lessors = [one for one in owed.under if one.key[0] == "party"]
    assert sum(number(one) for one in lessors) == number(owed)
    for lessor in lessors:
        assert sum(number(one) for one in lessor.under) == number(lessor)
    assert number(owed) > 0
    disputed = find_entry(shown.sections, ("section", "disputed"))
    assert (disputed is not None) == invoiced
    assert disputed is None or sum(number(one) for one in disputed.under) == number(disputed)
    both = find_entry(shown.sections, ("section", "readings"))
    assert (both is not None) == invoiced
    if both is not None:
        assert sum(number(one) for one in both.under) == number(both)
        for one in both.under:
            theirs, ours, strong = (number(reading) for reading in one.under)
            assert theirs - ours == number(one)
            assert ours <= strong <= theirs
    occurrence = find_entry(shown.sections, ("occurrence", "o1"))
    assert occurrence is not None
    parts = {one.what: one for one in occurrence.under}
    together = sum(
        number(parts[name])
        for name in ("Damage waiver", "Policy", "Other insurance", "Held back", "Left to bear")
    )
    assert together == number(occurrence)


def test_a_term_that_is_not_stated_is_said_below_its_step() -> None:
    step = Step(
        label="Unit value",
        rule="replacement cost less depreciation",
        inputs=(StepInput(name="cost", value="185.00"),),
        result="101.00",
        amount=Decimal("101.00"),
        not_stated="not stated in the agreement, taken as whole months",
    )
    entry = step_entry(step, "USD")
    assert entry.how == "replacement cost less depreciation: cost 185.00"
    assert entry.under[-1].what.endswith("taken as whole months")
    assert entry.under[-1].mark == "amber"


def test_strong_grounds_alone_are_a_second_reckoning(qtbot: QtBot, show_page: Show) -> None:
    claim = disputed_claim(acknowledged=False)
    page = show_page(ReckoningPage, claim)
    ready(qtbot, page)
    both = page.disputed.text()
    page.strong_grounds.click()
    strong = with_strong_grounds_alone(claim)
    wanted = amount_text(strong.totals.disputed, "USD")
    assert wanted != both
    qtbot.waitUntil(lambda: page.disputed.text() == wanted, timeout=5000)
    assert page.borne.text() == amount_text(strong.totals.renter, "USD")
    assert strong.totals.disputed == reckon_claim(claim).totals.strong_disputed
    assert "strong" in page.currency.text()
    page.all_grounds.click()
    qtbot.waitUntil(lambda: page.disputed.text() == both, timeout=5000)


def test_what_if_shows_the_difference_and_changes_nothing(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ReckoningPage, disputed_claim())
    ready(qtbot, page)
    before = page.context.claim
    qtbot.mouseClick(page._what_if_button, LEFT)
    field = page.what_if.form.fields["deductible"]
    qtbot.keyClicks(field, "400")
    qtbot.keyClick(field, Qt.Key.Key_Return)

    def policy() -> Any:
        return next((one for one in page.what_if.model.rows if one.name == "Policy pays"), None)

    qtbot.waitUntil(lambda: policy() is not None and policy().now != policy().then, timeout=5000)
    assert policy().then == policy().now - 150
    assert page.context.claim is before
    qtbot.mouseClick(page.what_if.clear, LEFT)
    qtbot.waitUntil(lambda: policy().now == policy().then, timeout=5000)


def test_an_amount_is_copied_with_its_working(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ReckoningPage, disputed_claim())
    ready(qtbot, page)
    page.show_place(Place("reckoning", "charge", "ch1"))
    qtbot.keyClick(page.tree, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    text = QGuiApplication.clipboard().text()
    assert text.startswith("1 · Combo stand, lost")
    assert "depreciation not taken off" in text
    assert text == as_text(page.tree.current_entry())
    assert "\n        " in text


def test_the_arrow_keys_unfold_and_fold(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ReckoningPage, disputed_claim())
    ready(qtbot, page)
    page.tree.collapseAll()
    page.tree.setCurrentIndex(page.model.index(0, 0))
    qtbot.keyClick(page.tree, Qt.Key.Key_Right)
    assert page.tree.isExpanded(page.model.index(0, 0))
    qtbot.keyClick(page.tree, Qt.Key.Key_Left)
    assert not page.tree.isExpanded(page.model.index(0, 0))


def test_what_was_unfolded_stays_unfolded_after_a_change(qtbot: QtBot, show_page: Show) -> None:
    from ldapp.casework.charges import switch_ground

    page = show_page(ReckoningPage, disputed_claim())
    ready(qtbot, page)
    page.show_place(Place("reckoning", "charge", "ch1"))
    before = page.owed.text()
    switch_ground(page.context.desk, "ch1", "depreciation", False)
    qtbot.waitUntil(lambda: page.owed.text() != before, timeout=10000)
    index = page.model.index_of(("charge", "ch1"))
    assert page.tree.isExpanded(index)
    assert page.model.data(index.siblingAtColumn(AMOUNT)) == "555.00"


def test_amounts_are_at_the_right_and_say_their_column(qapp: Any) -> None:
    claim = disputed_claim()
    model = StatementModel()
    model.show_statement(statement(claim, reckon_claim(claim)))
    amount = model.index(0, AMOUNT)
    alignment = Qt.AlignmentFlag(model.data(amount, int(Qt.ItemDataRole.TextAlignmentRole)))
    assert alignment & Qt.AlignmentFlag.AlignRight
    spoken = model.data(amount, int(Qt.ItemDataRole.AccessibleTextRole))
    assert spoken.startswith("Amount: ")


def test_a_claim_with_nothing_to_reckon_says_what_is_needed(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ReckoningPage, dataclasses.replace(page_claim(), findings=(), invoices=()))
    assert page._empty.isVisible()
    with qtbot.waitSignal(page.context.go_to) as gone:
        qtbot.mouseClick(page._empty.button, LEFT)
    assert gone.args[0] == Place("findings")


@pytest.mark.parametrize("acknowledged", [True, False])
def test_every_amount_in_the_statement_comes_from_the_reckoning(acknowledged: bool) -> None:
    claim = disputed_claim(acknowledged)
    reckoning = reckon_claim(claim)
    shown = statement(claim, reckoning)
    for result in reckoning.charges:
        entry = find_entry(shown.sections, ("charge", result.charge))
        assert entry is not None
        assert entry.amount == amount_text(result.owed, "USD")


def test_a_term_that_cannot_be_is_said_and_nothing_is_made_up(
    qtbot: QtBot, open_context: Callable[[Claim], ClaimContext]
) -> None:
    claim = page_claim()
    agreement = claim.agreements[0]
    terms = dataclasses.replace(agreement.terms, depreciation=StraightLine(life_months=0))
    agreement = dataclasses.replace(agreement, terms=terms)
    context = open_context(dataclasses.replace(claim, agreements=(agreement,)))
    page = ReckoningPage(context)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(page._impossible.isVisible, timeout=10000)
    assert context.reckoning is None
    assert any(
        point.gravity == "grave" and point.code == "cannot_be" for point in context.weak_points
    )


# --- both readings -----------------------------------------------------------------------


def loss_of_use_claim() -> Claim:
    """The second charge bills a loss of use of 14 days at 45.00; the terms say otherwise."""
    claim = page_claim()
    agreement, invoice = claim.agreements[0], claim.invoices[0]
    terms = dataclasses.replace(
        agreement.terms,
        loss_of_use=LossOfUse(
            days_from="stated",
            stated_days=Fraction(7),
            billed_days_per_week=Fraction(3),
            cap_days=Fraction(21),
        ),
    )
    charge = dataclasses.replace(
        invoice.charges[0],
        id="lou",
        number="9",
        kind="loss_of_use",
        description="Loss of use",
        quantity=Decimal(1),
        unit_price=Decimal(45),
        days=Decimal(14),
        amount=Decimal(630),
        grounds=(GroundChoice(code="loss_of_use_days"),),
    )
    return dataclasses.replace(
        claim,
        agreements=(dataclasses.replace(agreement, terms=terms),),
        invoices=(dataclasses.replace(invoice, charges=(*invoice.charges, charge)),),
    )


def rows_of(page: ReckoningPage) -> tuple[Entry, ...]:
    reckoning = page.context.reckoning
    assert reckoning is not None
    return statement(page.context.claim, reckoning).sections


def test_both_sides_read_each_charge_side_by_side(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ReckoningPage, disputed_claim())
    ready(qtbot, page)
    page.views.setCurrentIndex(1)
    panel = page.readings
    assert panel.isVisible()
    assert not page.all_grounds.isVisible()
    reckoning = page.context.reckoning
    assert reckoning is not None
    assert panel.rows.rowCount() == len(reckoning.charges)
    first = reckoning.charges[0]
    texts = [panel.rows.index(0, at).data() for at in range(panel.rows.columnCount())]
    assert texts[2] == amount_text(first.billed, "USD")
    assert texts[4] == amount_text(first.owed, "USD")
    assert texts[5] == amount_text(first.strong.owed, "USD")
    totals = panel.totals.text()
    assert f"all grounds {amount_text(reckoning.totals.owed, 'USD')}" in totals
    assert f"strong ones alone {amount_text(reckoning.totals.strong_owed, 'USD')}" in totals
    panel.table.go_to_row((first.invoice, first.charge))
    qtbot.keyClick(panel.table, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page.views.currentIndex() == 0)
    current = page.tree.current_entry()
    assert current is not None
    assert current.key == ("charge", first.charge)


def test_a_loss_of_use_shows_days_rate_and_caps_of_both_sides(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(ReckoningPage, loss_of_use_claim())
    ready(qtbot, page)
    page.views.setCurrentIndex(1)
    panel = page.readings
    panel.table.go_to_row(("i1", "lou"))
    elements = {one.name: one for one in panel.elements.all_rows}
    assert panel.element_table.isVisible()
    days = elements["Days out of service"]
    assert (days.theirs, days.ours, days.differs) == ("14", "7", True)
    assert elements["Days charged of these"].ours == "3"
    assert elements["At most, in days"].ours == "21"
    assert "≠" in panel.elements.index(0, 0).data()
    panel.table.go_to_row(("i1", "ch1"))
    assert not panel.element_table.isVisible()
    section = next(one for one in rows_of(page) if one.key == ("section", "readings"))
    entry = find_entry(section.under, ("charge", "lou"))
    assert entry is not None
    assert "theirs 14 · ours 7  ≠" in {one.how for one in entry.under}


def test_the_readings_models_keep_qts_rules(qtmodeltester: ModelTester, qapp: Any) -> None:
    claim = loss_of_use_claim()
    panel = BothReadings()
    panel.show_readings(claim, reading_rows(claim, reckon_claim(claim)))
    qtmodeltester.check(panel.rows)
    qtmodeltester.check(panel.elements)


def test_what_if_asks_for_width_and_gives_it_back(qtbot: QtBot, show_page: Show) -> None:
    page = show_page(ReckoningPage, disputed_claim())
    ready(qtbot, page)
    asked: list[bool] = []
    page.context.room_wanted.connect(asked.append)
    page._show_what_if()
    page._show_what_if()
    assert asked == [True, False]

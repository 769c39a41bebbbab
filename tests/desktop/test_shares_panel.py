"""Who bears the rest, with real widgets: rules typed, payments recorded, notices written."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from ldapp.casework import papers
from ldapp.casework.places import Place
from ldapp.casework.weak_points import find_weak_points
from ldapp.claim.documents import Split
from ldapp.claim.parties import Party
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.pages.paper_parts.shares_panel import SharesPanel
from ldapp.desktop.pages.papers import PapersPage
from ldapp.desktop.widgets.fields import SeveralField
from tests.desktop.fields import choose, type_into

LEFT = Qt.MouseButton.LeftButton
STUDENTS = (
    Party(id="ada", role="student", name="Ada Aardvark", reference="S-1"),
    Party(id="ben", role="student", name="Ben Bentwood", reference="S-2"),
)


@pytest.fixture
def panel(qtbot: QtBot, view: ClaimView) -> SharesPanel:
    view.show_page("papers")
    page = view.page("papers")
    assert isinstance(page, PapersPage)
    for one in STUDENTS:
        papers.put_party(page.context.desk, one)
    page.show_part("shares")
    panel = page.panel("shares")
    assert isinstance(panel, SharesPanel)
    settle(qtbot, panel)
    return panel


def settle(qtbot: QtBot, panel: SharesPanel) -> None:
    qtbot.waitUntil(lambda: panel.context.up_to_date, timeout=10_000)
    qtbot.wait(20)


def test_a_share_is_added_typed_and_taken_off(qtbot: QtBot, panel: SharesPanel) -> None:
    qtbot.mouseClick(panel.splits.add_button, LEFT)
    (split,) = panel.context.claim.splits
    assert split.party == "ada", "a student is proposed before others"
    settle(qtbot, panel)
    form = panel.splits.rows[split.id].form
    type_into(qtbot, form.fields["share_percent"], "50")
    type_into(qtbot, form.fields["at_most"], "750")
    type_into(qtbot, form.fields["note"], "Handbook 4")
    choose(form.fields["occurrence"], None)
    (split,) = panel.context.claim.splits
    assert split == Split(
        id=split.id, party="ada", share_percent=Decimal(50), at_most=Decimal(750), note="Handbook 4"
    )
    settle(qtbot, panel)
    assert panel.splits.rows[split.id].form is form, "typing goes on in the same row"
    qtbot.mouseClick(panel.splits.rows[split.id].take_off, LEFT)
    assert not panel.context.claim.splits
    panel.context.desk.undo()
    assert panel.context.claim.splits == (split,)


def test_a_group_is_added_and_bears_jointly(qtbot: QtBot, panel: SharesPanel) -> None:
    qtbot.mouseClick(panel.groups.add_button, LEFT)
    group = panel.context.claim.parties[-1]
    assert group.members == ("ada", "ben")
    settle(qtbot, panel)
    form = panel.groups.rows[group.id].form
    type_into(qtbot, form.fields["name"], "The crew")
    choose(form.fields["together"], "jointly")
    members = form.fields["members"]
    assert isinstance(members, SeveralField)
    assert members.text() == "Ada Aardvark, Ben Bentwood"
    made = panel.context.claim.parties[-1]
    assert (made.name, made.together) == ("The crew", "jointly")
    said: list[str] = []
    panel.context.failed.connect(lambda error: said.append(str(error)))
    papers.put_splits(panel.context.desk, (Split(id="s", party=group.id),))
    settle(qtbot, panel)
    row = panel.parts.row_at(panel.parts.index(0, 0))
    assert row is not None
    assert row.share.jointly
    qtbot.mouseClick(panel.groups.rows[group.id].take_off, LEFT)
    assert said, "a group that bears a share is not removed silently"


@pytest.fixture
def shared(qtbot: QtBot, panel: SharesPanel) -> SharesPanel:
    splits = (Split(id="s", party="ada", share_percent=Decimal(50)), Split(id="r", party="ben"))
    papers.put_splits(panel.context.desk, splits)
    settle(qtbot, panel)
    assert panel.parts.rowCount() == 2
    return panel


def test_a_payment_is_recorded_edited_and_undone(qtbot: QtBot, shared: SharesPanel) -> None:
    panel = shared
    row = panel.parts.row_at(panel.parts.index(0, 0))
    assert row is not None
    panel.part_table.go_to_row(row.share.key)
    said: list[str] = []
    panel.context.message.connect(said.append)
    qtbot.mouseClick(panel.record_button, LEFT)
    settle(qtbot, panel)
    (entry,) = panel.context.claim.correspondence
    assert (entry.party, entry.paid) == ("ada", row.share.amount)
    assert "paid" in said[-1], "what was taken for granted is said, so that it can be corrected"
    assert "enter amount and day in the table" in said[-1]
    assert not panel.payment_table.visibleRegion().isEmpty()
    column = panel.payments.column_number
    index = panel.payments.index(0, column("amount"))
    assert panel.payments.setData(index, "10")
    settle(qtbot, panel)
    after = panel.parts.row_at(panel.parts.index(0, 0))
    assert after is not None
    assert (after.share.paid, after.share.open) == (Decimal(10), row.share.amount - 10)
    assert panel.payments.setData(panel.payments.index(0, column("day")), "2026-03-20")
    assert panel.payments.setData(panel.payments.index(0, column("party")), "Ben Bentwood")
    (entry,) = panel.context.claim.correspondence
    assert (entry.at.date(), entry.party) == (dt.date(2026, 3, 20), "ben")
    with qtbot.waitSignal(panel.context.failed):
        panel.payments.setData(panel.payments.index(0, column("amount")), "0")
    for _ in range(4):
        panel.context.desk.undo()
    assert not panel.context.claim.correspondence


def test_notices_are_written_for_all_students_and_logged(
    qtbot: QtBot, shared: SharesPanel, tmp_path: Path
) -> None:
    panel = shared
    type_into(qtbot, panel.reply_by, "2026-12-09")
    assert not panel.log_button.isEnabled()
    panel.write_notices(tmp_path)
    qtbot.waitUntil(panel.log_button.isEnabled, timeout=10_000)
    files = sorted(tmp_path.glob("*.pdf"))
    assert [("S-1" in one.name, "S-2" in one.name) for one in files] == [
        (True, False),
        (False, True),
    ]
    text = " ".join(PdfReader(files[0]).pages[0].extract_text().split())
    assert "Ada Aardvark" in text
    assert "Ben" not in text
    assert "9 December 2026" in text
    qtbot.mouseClick(panel.log_button, LEFT)
    sent = panel.context.claim.correspondence
    assert {one.party for one in sent} == {"ada", "ben"}
    assert all(one.reply_by == dt.date(2026, 12, 9) and one.sha256 for one in sent)
    assert not panel.log_button.isEnabled()


def test_nothing_to_write_is_said(qtbot: QtBot, panel: SharesPanel, tmp_path: Path) -> None:
    assert "Nobody bears a part yet" in panel.says.text()
    assert not panel.notice_button.isEnabled()
    with qtbot.waitSignal(panel.context.message):
        panel.write_notices(tmp_path)
    assert not list(tmp_path.glob("*.pdf"))


def test_a_party_that_paid_or_belongs_to_a_group_is_not_removed(
    qtbot: QtBot, shared: SharesPanel
) -> None:
    said: list[str] = []
    shared.context.failed.connect(lambda error: said.append(str(error)))
    shared.groups.add()
    shared.context.attempt(lambda: papers.put_splits(shared.context.desk, ()))
    shared.context.attempt(lambda: papers.remove_party(shared.context.desk, "ada"))
    assert "the group Group of students" in said[-1]


def test_the_place_of_a_share_is_its_row(
    qtbot: QtBot, shared: SharesPanel, view: ClaimView
) -> None:
    view.show_place(Place("papers", "split", "r"))
    assert shared.splits.rows["r"].form.fields["party"].hasFocus()


def test_a_group_that_states_nothing_is_a_weak_point_until_it_does(
    qtbot: QtBot, panel: SharesPanel, view: ClaimView
) -> None:
    panel.groups.add()
    group = panel.context.claim.parties[-1].id
    papers.put_splits(panel.context.desk, (Split(id="s", party=group),))
    settle(qtbot, panel)

    def found() -> list[Place]:
        claim = panel.context.claim
        points = find_weak_points(claim, panel.context.reckoning, {}, dt.date(2026, 3, 1))
        return [one.place for one in points if one.code == "group_not_stated"]

    (place,) = found()
    view.show_place(place)
    field = panel.groups.rows[group].form.fields["together"]
    assert field.hasFocus()
    choose(field, "jointly")
    assert not found()

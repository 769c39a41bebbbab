"""Policies over all claims, in the window."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from decimal import Decimal

import pytest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from ldapp.casework import policy_use
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.register import Register
from ldapp.casework.shared_policies import certificates, keep_policy, shared_policies
from ldapp.claim.shared import Certificate
from ldapp.desktop import certificates_panel as certificates_module
from ldapp.desktop import policies_page as policies_module
from ldapp.desktop.certificate_dialog import CertificateDialog
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.office_records import OfficeRecordsDialog
from ldapp.desktop.pages.paper_parts.panel import FROM_RECORDS
from ldapp.desktop.pages.paper_parts.policy_panel import PolicyPanel
from ldapp.desktop.pages.papers import PapersPage
from ldapp.desktop.policies_page import PoliciesPage
from tests.casework.school_claims import keep, policy_of, school_claim, school_terms

MARCH, APRIL, MAY = dt.date(2026, 3, 1), dt.date(2026, 4, 1), dt.date(2026, 5, 1)


@pytest.fixture
def page(
    window: MainWindow,
    register: Register,
    idle: Callable[[], None],
    monkeypatch: pytest.MonkeyPatch,
) -> PoliciesPage:
    monkeypatch.setattr(policies_module, "ask", lambda *_: True)
    monkeypatch.setattr(certificates_module, "ask", lambda *_: True)
    keep(
        register,
        school_claim(1, "600", MAY),
        school_claim(2, "500", MARCH),
        school_claim(3, "300", APRIL, terms=school_terms(deductible="50")),
    )
    window.register_page.page_buttons["policies"].click()
    idle()
    page = window.overview
    assert isinstance(page, PoliciesPage)
    return page


def test_the_use_of_the_limit_is_shown_and_stated_in_the_claims_when_accepted(
    page: PoliciesPage, register: Register, idle: Callable[[], None]
) -> None:
    assert [line.reference for line in page.lines_model.rows] == [
        "2026-002", "2026-003", "2026-001",
    ]  # fmt: skip
    assert "2026-003 states 0 used before it" in page.working.text()
    assert page.figures["limit"].text() == "1,000.00 USD"
    page.accept_button.click()
    idle()
    idle()
    assert not page.accept_button.isEnabled()
    assert page.figures["left"].text() == "0.00 USD"
    assert policy_of(register.open("s1").claim).aggregate_used_before == Decimal("650.00")


def test_claims_that_differ_are_brought_to_the_offices_policy_only_when_asked(
    page: PoliciesPage, register: Register, idle: Callable[[], None]
) -> None:
    assert {one.state for one in page.members_model.rows} == {"no record"}
    page.members.go_to_row("s1")
    page.keep_button.click()
    idle()
    idle()
    states = {one.claim: one.state for one in page.members_model.rows}
    assert states == {"s1": "as kept", "s2": "as kept", "s3": "differs"}
    assert policy_of(register.open("s3").claim).terms == school_terms(deductible="50")
    page.update_button.click()
    idle()
    idle()
    assert policy_of(register.open("s3").claim).terms == school_terms()
    assert {one.state for one in page.members_model.rows} == {"as kept"}
    assert not page.update_button.isEnabled()


def test_a_certificate_is_entered_changed_and_removed(
    page: PoliciesPage,
    register: Register,
    idle: Callable[[], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    one = Certificate(
        id="x", student="Student A", policy_number="FS-26", begins=dt.date(2026, 1, 1),
        ends=dt.date(2026, 12, 31), limit=Decimal(800), currency="USD",
    )  # fmt: skip
    for entered in (one, dataclasses.replace(one, limit=Decimal(2000))):
        monkeypatch.setattr(CertificateDialog, "ask", lambda *_, entered=entered: entered)
        if page.certificates.model.rows:
            page.certificates.table.opened.emit(page.certificates.model.rows[0])
        else:
            page.certificates._new_certificate()
        idle()
        idle()
    (account,) = page.certificates.model.rows
    assert (account.certificate.limit, len(account.lines)) == (Decimal(2000), 3)
    page.certificates.table.selectRow(0)
    page.certificates.remove_button.click()
    idle()
    idle()
    assert certificates(register) == ()


def test_the_form_of_a_certificate_says_what_is_missing(qtbot: QtBot) -> None:
    dialog = CertificateDialog(None, "FS-26", "USD")
    qtbot.addWidget(dialog)
    dialog._on_save()
    assert "from when until when" in dialog.wrong.text()
    for name, text in (("begins", "2026-01-01"), ("ends", "2026-02-01"), ("student", "A"),
                       ("limit", "1,500.00")):  # fmt: skip
        field = dialog.fields[name]
        field.setFocus()
        qtbot.keyClicks(field, text)
        field.editingFinished.emit()
    dialog._on_save()
    assert dialog.entered is not None
    assert (dialog.entered.limit, dialog.entered.policy_number) == (Decimal("1500.00"), "FS-26")


def test_back_leads_to_the_register_and_enter_opens_a_claim(
    page: PoliciesPage, window: MainWindow, qtbot: QtBot
) -> None:
    page.lines.opened.emit(page.lines_model.rows[0])
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=10_000)
    window.back_to_register()
    assert window.stack.currentWidget() is window.register_page


def test_without_policies_it_says_where_they_come_from(
    window: MainWindow, idle: Callable[[], None]
) -> None:
    window.show_overview("policies")
    idle()
    page = window.overview
    assert isinstance(page, PoliciesPage)
    assert page._stack.currentWidget() is page.empty


def test_a_changed_policy_is_offered_to_the_others_and_never_given_silently(
    page: PoliciesPage, window: MainWindow, register: Register, qtbot: QtBot,
    idle: Callable[[], None],
) -> None:  # fmt: skip
    desk = register.open("s1")
    keep_policy(register, desk)
    window.open_claim("s1")
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=10_000)
    idle()
    view = window.claim_view
    assert view is not None
    newer = dataclasses.replace(policy_of(view.context.claim), terms=school_terms("2000"))
    view.context.desk.change("Newer", lambda claim: dataclasses.replace(claim, policy=newer))
    idle()
    window.back_to_register()
    idle()
    assert "no longer as the office keeps it" in window.strip.text()
    assert policy_of(register.open("s2").claim).terms == school_terms()
    window.strip._action.click()
    idle()
    assert window.overview is page


def test_the_offices_records_are_taken_into_a_claim_and_kept_from_it(
    window: MainWindow, register: Register, qtbot: QtBot, idle: Callable[[], None]
) -> None:
    keep(register, school_claim(1, "600", MAY))
    first = OfficeRecordsDialog(register, register.open("s1"), window)
    first.take_policy()
    assert "Choose a policy" in first.strip.text()
    first.keep_policy()
    first.keep_parties()
    assert (first.policies.count(), first.parties.count()) == (1, 3)
    desk = register.create("2026-900", "Next", "USD", "UTC")
    second = OfficeRecordsDialog(register, desk, window)
    second.policies.setCurrentRow(0)
    second.take_policy()
    second.parties.selectAll()
    second.take_parties()
    assert policy_of(desk.claim).number == "FS-26"
    assert {one.name for one in desk.claim.parties} == {
        "Invented Mutual", "Student A", "Invented Rentals",
    }  # fmt: skip
    second.parties.selectAll()
    second.remove_parties()
    assert second.parties.count() == 0
    second.policies.clearSelection()
    second.remove_policy()
    assert "Choose a policy" in second.strip.text()
    second.policies.setCurrentRow(0)
    second.remove_policy()
    assert (second.policies.count(), shared_policies(register)) == (0, ())
    assert policy_of(desk.claim).number == "FS-26"
    window.open_claim("s1")
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=10_000)
    window.actions_of_window.office_records.trigger()
    dialog = window.findChild(OfficeRecordsDialog)
    assert dialog is not None
    for one in window.findChildren(OfficeRecordsDialog):
        one.close()
    idle()


def test_work_that_is_stopped_leaves_what_is_done_and_shows_it(
    page: PoliciesPage,
    jobs: JobRunner,
    idle: Callable[[], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    accept = policy_use.accept_proposal

    def accept_and_stop(desk: OpenClaim, proposal: policy_use.Proposal) -> bool:
        done = accept(desk, proposal)
        for job in tuple(jobs._jobs):
            job.cancel()
        return done

    monkeypatch.setattr(policy_use, "accept_proposal", accept_and_stop)
    account = page.account()
    assert account is not None
    assert len(account.proposals) == 2
    page.accept_button.click()
    idle()
    account = page.account()
    assert account is not None
    assert [one.reference for one in account.proposals] == ["2026-001"]


def test_the_offices_records_are_offered_where_policy_and_parties_are_entered(
    window: MainWindow, register: Register, qtbot: QtBot, idle: Callable[[], None]
) -> None:
    keep(register, school_claim(1, "600", MAY))
    OfficeRecordsDialog(register, register.open("s1"), window).keep_policy()
    made = register.create("2026-900", "Next", "USD", "UTC")
    window.open_claim(made.claim.id)
    qtbot.waitUntil(lambda: window.claim_view is not None, timeout=10_000)
    idle()
    view = window.claim_view
    assert view is not None
    view.show_page("papers")
    page = view.page("papers")
    page.refresh_if_stale()
    assert isinstance(page, PapersPage)
    page.show_part("policy")
    policy = page.panel("policy")
    assert isinstance(policy, PolicyPanel)
    policy.empty.second_button.click()
    dialog = _dialog(window)
    dialog.policies.setCurrentRow(0)
    dialog.take_policy()
    dialog.close()
    idle()
    assert policy_of(view.context.claim).number == "FS-26"
    for part in ("policy", "parties"):
        page.show_part(part)
        (button,) = [
            one
            for one in page.panel(part).findChildren(QPushButton)
            if one.text() == FROM_RECORDS and one.isVisible()
        ]
        button.click()
        _dialog(window).close()
        idle()


def _dialog(window: MainWindow) -> OfficeRecordsDialog:
    (shown,) = [one for one in window.findChildren(OfficeRecordsDialog) if one.isVisible()]
    return shown

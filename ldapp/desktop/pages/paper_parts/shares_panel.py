"""Who bears what nobody else pays: the rules, each part with what is paid and open, notices."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import NamedTuple, TypedDict

from PySide6.QtCore import Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QWidget,
)

from ldapp.casework import shares, student_notices
from ldapp.casework.after_sending import now_in
from ldapp.casework.edit import find
from ldapp.casework.free_text import refuse_card_numbers
from ldapp.casework.places import Place
from ldapp.casework.shares import Share
from ldapp.claim.parties import Party
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.paper_parts.panel import PaperPanel
from ldapp.desktop.pages.paper_parts.share_rows import (
    PAYMENT_COLUMNS,
    SHARE_COLUMNS,
    PaymentRow,
    ShareRow,
    payment_rows,
)
from ldapp.desktop.pages.paper_parts.split_sections import GroupsSection, SplitsSection
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import date_field
from ldapp.desktop.widgets.pieces import Label, Section
from ldapp.desktop.widgets.table_model import CellEdit, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import amount_text, parse_date, parse_money
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of


class WrittenNotice(NamedTuple):
    """A notice that lies in a folder, not yet logged as sent."""

    path: Path
    recipient: Party


class SharesPanel(PaperPanel):
    """Shares and groups, what each bears, payments, notices."""

    kinds = frozenset(
        {"claim", "split", "party", "policy", "occurrence", "correspondence", "reckoning"}
    )
    spoken = marked("Who bears the rest")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._shares: tuple[Share, ...] = ()
        self._written: tuple[WrittenNotice, ...] = ()
        self.splits = SplitsSection(context)
        self.groups = GroupsSection(context)
        self.parts: RowsModel[ShareRow] = RowsModel(
            SHARE_COLUMNS, lambda row: row.share.key, parent=self
        )
        self.part_table = TableView(said("What each bears"))
        self.part_table.setModel(self.parts)
        self.part_table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.payments: RowsModel[PaymentRow] = RowsModel(
            PAYMENT_COLUMNS, lambda row: row.entry.id, writer=self._write, parent=self
        )
        self.payment_table = TableView(said("Payments of parts"))
        self.payment_table.setModel(self.payments)
        self.record_button = QPushButton(said("Record a &payment"))
        keep_icon(self.record_button, "add")
        self.remove_button = QPushButton(said("Re&move payment"))
        self.notice_button = QPushButton(said("Write &notices…"))
        keep_icon(self.notice_button, "mail")
        self.log_button = QPushButton(said("&Log as sent"))
        self.reply_by = date_field()
        self.says = Label("", muted=True, wrap=True)
        self._lay_out()
        self.record_button.clicked.connect(self._record)
        self.remove_button.clicked.connect(self._remove_chosen)
        self.notice_button.clicked.connect(self._ask_folder)
        self.log_button.clicked.connect(self._log)
        self.reply_by.refused.connect(context.refuse)
        self.payment_table.remove_wanted.connect(self._remove)
        for table in (self.part_table, self.payment_table):
            table.selectionModel().selectionChanged.connect(self._show_buttons)

    def _lay_out(self) -> None:
        parts = Section(said("What each bears"))
        due = QWidget()
        row = QHBoxLayout(due)
        row.setContentsMargins(0, 0, 0, 0)
        label = QLabel(said("Asked for &by"))
        label.setBuddy(self.reply_by)
        self.reply_by.setAccessibleName(said("Until when the notices ask for payment or an answer"))
        row.addWidget(label)
        row.addWidget(self.reply_by)
        parts.body.addWidget(
            self.buttons(self.record_button, self.notice_button, due, self.log_button)
        )
        self.part_table.setMinimumHeight(GRID * 22)
        parts.body.addWidget(self.part_table)
        parts.body.addWidget(self.says)
        paid = Section(said("Payments"))
        paid.body.addWidget(self.buttons(self.remove_button))
        self.payment_table.setMinimumHeight(GRID * 18)
        paid.body.addWidget(self.payment_table)
        paid.body.addWidget(
            Label(
                said(
                    "A notice tells a student its own part and payments. Other students are "
                    "named only to those who owe jointly with them, and then by name alone."
                ),
                muted=True,
                wrap=True,
            )
        )
        for section in (self.splits, self.groups, parts, paid):
            self.column.addWidget(section)
        self.column.addStretch(1)

    # --- showing -------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show rules, parts and payments as they stand."""
        claim, reckoning = self.context.claim, self.context.reckoning
        self.splits.refresh()
        self.groups.refresh()
        self._shares = shares.shares(claim, reckoning) if reckoning is not None else ()
        self.parts.set_rows(ShareRow(one, claim.currency) for one in self._shares)
        self.payments.set_rows(payment_rows(claim, shares.payments(claim)))
        self._say(reckoned=reckoning is not None)
        self._show_buttons()

    def _say(self, *, reckoned: bool) -> None:
        claim = self.context.claim
        if not self._shares:
            self.says.setText(
                said(
                    "Nobody bears a part yet: state a share above, or who bears the "
                    "deductible in the policy; what there is to bear follows from findings, "
                    "terms and charges."
                )
                if reckoned
                else said("Nothing is reckoned yet.")
            )
            return
        amount = sum((one.amount for one in self._shares), Decimal(0))
        paid = sum((one.paid for one in self._shares), Decimal(0))
        self.says.setText(
            said(
                "Together {amount}, paid {paid}, open {open} {currency}.",
                amount=amount_text(amount, claim.currency),
                paid=amount_text(paid, claim.currency),
                open=amount_text(amount - paid, claim.currency),
                currency=claim.currency,
            )
        )

    @Slot()
    def _show_buttons(self) -> None:
        self.record_button.setEnabled(bool(self._shares))
        self.notice_button.setEnabled(bool(self._shares))
        self.log_button.setEnabled(bool(self._written))
        self.remove_button.setEnabled(bool(self.payment_table.selected_rows()))

    def show_place(self, place: Place) -> None:
        """Bring a share or a payment into sight."""
        if place.key in self.splits.rows:
            self.bring(self.splits.rows[place.key].form.fields["party"])
        elif place.key in self.groups.rows:
            self.bring(self.groups.rows[place.key].form.fields["together"])
        elif self.payment_table.go_to_row(place.key):
            self.bring(self.payment_table)

    def _chosen(self) -> tuple[Share, ...]:
        rows: list[ShareRow] = self.part_table.selected_rows()
        return tuple(row.share for row in rows)

    # --- payments ------------------------------------------------------------------------

    @Slot()
    def _record(self) -> None:
        context = self.context
        chosen = self._chosen() or self._shares[:1]
        share = chosen[0]
        amount = share.open if share.open > 0 else share.amount
        payer = share.members[0].id
        if find(context.claim.parties, payer) is None:
            context.message.emit(
                said("{name} is no party of the claim yet. Enter it first.", name=share.name)
            )
            return
        entry = context.attempt(lambda: shares.record_payment(context.desk, payer, amount))
        if entry is not None:
            self.refresh()
            self.payment_table.go_to_row(entry.id, self.payments.column_number("amount"))
            self.bring(self.payment_table)
            currency = context.claim.currency
            context.message.emit(
                said(
                    "Recorded: {name} paid {amount} {currency} today. Where it was "
                    "otherwise, enter amount and day in the table.",
                    name=share.members[0].name,
                    amount=amount_text(amount, currency),
                    currency=currency,
                )
            )

    def _write(self, edits: Sequence[CellEdit]) -> bool:
        context = self.context
        done = True
        for edit in edits:
            row: PaymentRow = edit.row
            try:
                change = _change(row, edit.column, edit.text.strip())
            except LdappError as error:
                context.failed.emit(error)
                return False
            made = context.attempt(
                partial(shares.change_payment, context.desk, row.entry.id, **change)
            )
            done = done and made is not None
        return done

    @Slot()
    def _remove_chosen(self) -> None:
        self._remove(self.payment_table.selected_rows())

    @Slot(object)
    def _remove(self, rows: list[PaymentRow]) -> None:
        ids = [row.entry.id for row in rows]
        if ids:
            self.context.attempt(lambda: shares.remove_payments(self.context.desk, ids))

    # --- notices -------------------------------------------------------------------------

    @Slot()
    def _ask_folder(self) -> None:
        folder = QFileDialog.getExistingDirectory(self, said("Where the notices are written"))
        if folder:
            self.write_notices(Path(folder))

    def write_notices(self, folder: Path) -> None:
        """Write a notice for each who bears a chosen part; with none chosen, for all students."""
        claim = self.context.claim
        chosen = self._chosen() or tuple(
            one for one in self._shares if any(who.role == "student" for who in one.members)
        )
        date = now_in(claim).date()
        requests = [
            (
                folder / student_notices.notice_name(claim, member, date),
                member,
                student_notices.notice_request(claim, share, member, date, self.reply_by.value()),
            )
            for share in chosen
            for member in share.members
        ]
        if not requests:
            self.context.message.emit(
                said("No student bears a part. Choose a part to write a notice.")
            )
            return

        def write(progress: Progress) -> tuple[WrittenNotice, ...]:
            written = []
            for number, (path, member, request) in enumerate(requests):
                progress(number, len(requests), path.name)
                student_notices.write_student_notice(request, path)
                written.append(WrittenNotice(path, member))
            return tuple(written)

        self.context.run(said("Writing notices"), write, self._on_written)

    @Slot(object)
    def _on_written(self, written: tuple[WrittenNotice, ...]) -> None:
        self._written = written
        self._show_buttons()
        self.context.message.emit(
            said_of(
                len(written),
                "{count} notice written to {folder}. Once sent, press “Log as sent”.",
                "{count} notices written to {folder}. Once sent, press “Log as sent”.",
                folder=written[0].path.parent,
            )
        )

    @Slot()
    def _log(self) -> None:
        context = self.context
        for one in self._written:
            logged = context.attempt(
                partial(
                    student_notices.log_notice_sent,
                    context.desk,
                    one.path,
                    one.recipient,
                    self.reply_by.value(),
                )
            )
            if logged is None:
                return
        self._written = ()
        self._show_buttons()


class _Change(TypedDict, total=False):
    """What of a payment changes."""

    party: str
    amount: Decimal
    day: dt.date
    subject: str


def _change(row: PaymentRow, column: str, text: str) -> _Change:
    if column == "day":
        if not text:
            raise LdappError(said("A payment needs the day on which it was made."))
        return {"day": parse_date(text)}
    if column == "amount":
        amount = parse_money(text, row.currency) if text else None
        if amount is None or amount <= 0:
            raise LdappError(said("A payment is more than nothing. Remove the row to take it out."))
        return {"amount": amount}
    if column == "party":
        known = {key: key for key, _ in row.parties} | {name: key for key, name in row.parties}
        if text not in known:
            raise LdappError(
                said("“{text}” is no party that bears a part. Choose one from the list.", text=text)
            )
        return {"party": known[text]}
    return {"subject": refuse_card_numbers(text)}

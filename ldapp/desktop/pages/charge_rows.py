"""Charges of an invoice as rows: billed, owed, disputed, and our answer."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from PySide6.QtCore import QObject

from ldapp.casework.charges import ArithmeticFault, answer_says, arithmetic_faults
from ldapp.casework.open_claim import new_id
from ldapp.claim.charges import Charge, ChargeKind, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from ldapp.claim.record import with_fields
from ldapp.desktop.pages.charge_heading import charge_heading
from ldapp.desktop.pages.said import line_text
from ldapp.desktop.theme import Role
from ldapp.desktop.widgets.amount_column import amount_column
from ldapp.desktop.widgets.table_model import CellEdit, Column, RowsModel, Writer
from ldapp.desktop.widgets.values import amount_text, parse_decimal, parse_money, plain_number
from ldapp.errors import LdappError
from ldapp.language import marked, marked_in, said
from ldapp.reckoning.result import ChargeAnswer, Reckoning

KIND_NAMES: dict[ChargeKind, str] = {
    "missing": marked_in("kind of a charge", "missing"),
    "replacement": marked_in("kind of a charge", "replacement"),
    "repair": marked_in("kind of a charge", "repair"),
    "repair_labour": marked_in("kind of a charge", "repair labour"),
    "repair_parts": marked_in("kind of a charge", "repair parts"),
    "lamp": marked_in("kind of a charge", "lamp"),
    "cleaning": marked_in("kind of a charge", "cleaning"),
    "repack": marked_in("kind of a charge", "repack"),
    "loss_of_use": marked_in("kind of a charge", "loss of use"),
    "freight": marked_in("kind of a charge", "freight"),
    "sub_rental": marked_in("kind of a charge", "sub rental"),
    "administration": marked_in("kind of a charge", "administration"),
    "fee": marked_in("kind of a charge", "fee"),
    "interest": marked_in("kind of a charge", "interest"),
    "tax": marked_in("kind of a charge", "tax"),
    "credit": marked_in("kind of a charge", "credit"),
    "difference_in_addition": marked_in("kind of a charge", "difference in addition"),
    "other": marked_in("kind of a charge", "other"),
}
"""Said where they are shown."""


class Outcome(NamedTuple):
    """What the table shows of a reckoned charge; its working is looked up where it is read."""

    owed: Decimal
    disputed: Decimal
    answer: ChargeAnswer


class ChargeRow(NamedTuple):
    """One charge with what the table writes beside it."""

    charge: Charge
    invoice: Invoice
    line: KitLine | None
    result: Outcome | None
    fault: str
    currency: str


def charge_rows(claim: Claim, reckoning: Reckoning | None, invoice: str | None) -> list[ChargeRow]:
    """Return the charges of one invoice, or of all."""
    lines = {line.id: line for line in claim.kit}
    charges = reckoning.charges if reckoning else ()
    results = {one.charge: Outcome(one.owed, one.disputed, one.answer) for one in charges}
    rows = []
    for one in claim.invoices:
        if invoice is not None and one.id != invoice:
            continue
        faults: Mapping[str | None, ArithmeticFault] = {
            fault.charge: fault for fault in arithmetic_faults(one, claim.currency)
        }
        for charge in one.charges:
            fault = faults.get(charge.id)
            rows.append(
                ChargeRow(
                    charge,
                    one,
                    lines.get(charge.line or ""),
                    results.get(charge.id),
                    fault.says if fault else "",
                    claim.currency,
                )
            )
    return rows


def _owed(row: ChargeRow) -> Decimal | None:
    return None if row.result is None else row.result.owed


def _disputed(row: ChargeRow) -> Decimal | None:
    return None if row.result is None else row.result.disputed


def _answer(row: ChargeRow) -> str:
    return "" if row.result is None else answer_says(row.charge, row.result.answer)


def _matched(row: ChargeRow) -> str:
    return line_text(row.line) if row.line else said("nothing")


def _billed(row: ChargeRow) -> str:
    mark = "⚠ " if row.fault else ""
    return mark + amount_text(row.charge.amount, row.currency)


def _fault_role(row: ChargeRow) -> Role | None:
    return "amber" if row.fault else None


def _kinds(row: ChargeRow) -> Sequence[tuple[str, str]]:
    del row
    return [(kind, said(name)) for kind, name in KIND_NAMES.items()]


CHARGE_COLUMNS: tuple[Column[ChargeRow], ...] = (
    *charge_heading(lambda row: row.charge, width=18, editable=True),
    Column(
        name="quantity",
        title=marked("Units"),
        text=lambda row: plain_number(row.charge.quantity),
        key=lambda row: row.charge.quantity,
        editable=True,
        right=True,
        width=5,
    ),
    amount_column(
        "unit_price", marked("Price"), lambda row: row.charge.unit_price, editable=True, width=9
    ),
    Column(
        name="amount",
        title=marked("Billed"),
        text=_billed,
        key=lambda row: row.charge.amount,
        edit_text=lambda row: plain_number(row.charge.amount),
        editable=True,
        right=True,
        role=_fault_role,
        tip=lambda row: row.fault,
        spoken=lambda row: (
            said(
                "{amount}, does not add up: {fault}",
                amount=amount_text(row.charge.amount, row.currency),
                fault=row.fault,
            )
            if row.fault
            else amount_text(row.charge.amount, row.currency)
        ),
        width=10,
    ),
    amount_column("owed", marked("Owed"), _owed, width=9),
    amount_column("disputed", marked("Disputed"), _disputed, width=9),
    Column(name="answer", title=marked("Answer"), text=_answer, tip=_answer, width=15),
    Column(
        name="kind",
        title=marked("Kind"),
        text=lambda row: said(KIND_NAMES[row.charge.kind]),
        edit_text=lambda row: row.charge.kind,
        editable=True,
        choices=_kinds,
        width=13,
    ),
    Column(name="line", title=marked("Matches"), text=_matched, tip=_matched, width=24),
)


def edited(edit: CellEdit) -> Charge:
    """Return a row's charge with what was typed in a cell.

    Raises:
        LdappError: it is no number, or has more digits than the currency.
    """
    row: ChargeRow = edit.row
    text = edit.text.strip()
    match edit.column:
        case "quantity":
            return dataclasses.replace(row.charge, quantity=parse_decimal(text or "1"))
        case "unit_price":
            price = parse_money(text, row.currency) if text else None
            return dataclasses.replace(row.charge, unit_price=price)
        case "amount":
            return dataclasses.replace(row.charge, amount=parse_money(text or "0", row.currency))
        case "kind":
            if text not in KIND_NAMES:
                raise LdappError(
                    said(
                        "“{text}” is no kind of charge. Expected: one of {listed}.",
                        text=text,
                        listed=", ".join(said(name) for name in KIND_NAMES.values()),
                    )
                )
            return dataclasses.replace(row.charge, kind=text)
        case "number" | "description":
            return with_fields(row.charge, **{edit.column: text})
    return row.charge


def pasted_charges(
    table: Sequence[Sequence[str]], currency: str, first_number: int
) -> list[Charge]:
    """Read pasted rows: description, units, price, amount, or description and amount.

    Raises:
        LdappError: a cell that should be a number is none; nothing is added.
    """
    charges = []
    for offset, cells in enumerate(row for row in table if any(cell.strip() for cell in row)):
        texts = [cell.strip() for cell in cells]
        number = first_number + offset
        if len(texts) >= 4 and texts[0].isdecimal():
            number, texts = int(texts[0]), texts[1:]
        quantity, price = Decimal(1), None
        if len(texts) >= 4:
            quantity = parse_decimal(texts[1] or "1")
            price = parse_money(texts[2], currency) if texts[2] else None
        elif len(texts) == 3:
            quantity = parse_decimal(texts[1] or "1")
        elif len(texts) < 2:
            raise LdappError(
                said(
                    "A pasted charge needs a description and an amount beside each other: "
                    "description, units, price, amount."
                )
            )
        charges.append(
            Charge(
                id=new_id(),
                number=str(number),
                description=texts[0],
                quantity=quantity,
                unit_price=price,
                amount=parse_money(texts[-1] or "0", currency),
            )
        )
    return charges


SHOWN_ORDER = (
    "number",
    "description",
    "amount",
    "owed",
    "disputed",
    "answer",
    "line",
    "quantity",
    "unit_price",
    "kind",
)
"""What is asked first stands first; pasted cells keep an invoice's own order."""


class ChargesModel(RowsModel[ChargeRow]):
    """The charges of one invoice, or of all."""

    def __init__(self, writer: Writer, parent: QObject) -> None:
        super().__init__(CHARGE_COLUMNS, lambda row: row.charge.id, writer=writer, parent=parent)

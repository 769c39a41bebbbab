"""The columns of the tables on the page of policies and certificates."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import NamedTuple

from ldapp.casework.policy_use import CertificateAccount, PolicyAccount, UseLine
from ldapp.claim.shared import SharedPolicy
from ldapp.desktop.widgets.table_model import Column
from ldapp.desktop.widgets.values import amount_text, date_text
from ldapp.language import marked, marked_in, said, said_of
from ldapp.local_forms import local_number


class Member(NamedTuple):
    """A claim under a policy, and whether its terms are as the office keeps them."""

    claim: str
    reference: str
    title: str
    state: str
    """"as kept", "differs" or "no record"."""
    record: SharedPolicy | None


_STATES = {
    "as kept": marked("as the office keeps it"),
    "differs": marked("! differs from the office's"),
    "no record": marked("the office keeps none yet"),
}


def _day(at: dt.datetime | None) -> str:
    return "" if at is None else date_text(at.date())


def _money(amount: Decimal | None, currency: str) -> str:
    return "" if amount is None else amount_text(amount, currency)


def _alike(line: UseLine, amount: Decimal | None) -> str:
    """Return an amount with as many decimals as the line's others have; nought has none."""
    if amount is None:
        return ""
    digits = max(_places(one) for one in (line.policy, line.deductible, line.used))
    return local_number(f"{amount:,.{digits}f}")


def _places(amount: Decimal) -> int:
    """Return how many decimals an amount is written with."""
    return max(0, -int(amount.as_tuple().exponent))


def _amount(name: str, title: str, of: Callable[[UseLine], Decimal | None]) -> Column[UseLine]:
    return Column(
        name=name,
        title=title,
        text=lambda one: _alike(one, of(one)),
        key=of,
        right=True,
        width=14,
    )


def _to_state(number: int) -> str:
    return said_of(number, "! {count} to state", "! {count} to state") if number else ""


ACCOUNT_COLUMNS: tuple[Column[PolicyAccount], ...] = (
    Column(
        name="number",
        title=marked("Policy"),
        text=lambda one: one.number or said("no number"),
        width=18,
        bold=True,
    ),
    Column(name="insurer", title=marked("Insurer"), text=lambda one: one.insurer, width=24),
    Column(
        name="begins",
        title=marked_in("first day of a period", "From"),
        text=lambda one: _day(one.begins),
        width=12,
    ),
    Column(
        name="ends",
        title=marked_in("last day of a period", "Until"),
        text=lambda one: _day(one.ends),
        width=12,
    ),
    Column(
        name="claims",
        title=marked_in("how many", "Claims"),
        text=lambda one: str(len(one.claims)),
        key=lambda one: len(one.claims),
        right=True,
        width=9,
    ),
    Column(name="currency", title=marked("Currency"), text=lambda one: one.currency, width=10),
    Column(
        name="limit",
        title=marked("Annual limit"),
        text=lambda one: _money(one.limit, one.currency),
        key=lambda one: one.limit,
        right=True,
        width=16,
    ),
    Column(
        name="used",
        title=marked("Used"),
        text=lambda one: _money(one.used, one.currency),
        key=lambda one: one.used,
        right=True,
        width=16,
    ),
    Column(
        name="left",
        title=marked("Left"),
        text=lambda one: _money(one.left, one.currency),
        key=lambda one: one.left,
        right=True,
        width=16,
    ),
    Column(
        name="proposals",
        title=marked("To look at"),
        text=lambda one: _to_state(len(one.proposals)),
        key=lambda one: len(one.proposals),
        role=lambda one: "amber" if one.proposals else None,
        width=14,
    ),
)

LINE_COLUMNS: tuple[Column[UseLine], ...] = (
    Column(
        name="at",
        title=marked("Occurred"),
        text=lambda one: _day(one.at) or said("day not known"),
        key=lambda one: one.at,
        width=14,
    ),
    Column(
        name="reference", title=marked("Claim"), text=lambda one: one.reference, width=14, bold=True
    ),
    _amount("deductible", marked("Deductible"), lambda one: one.deductible),
    _amount("policy", marked("Policy pays"), lambda one: one.policy),
    _amount("used", marked("Used"), lambda one: one.used),
    _amount("used_so_far", marked("Used so far"), lambda one: one.used_so_far),
    _amount("left", marked("Left"), lambda one: one.left),
    Column(name="title", title=marked("Production"), text=lambda one: one.title, width=28),
)

MEMBER_COLUMNS: tuple[Column[Member], ...] = (
    Column(
        name="reference", title=marked("Claim"), text=lambda one: one.reference, width=16, bold=True
    ),
    Column(name="title", title=marked("Production"), text=lambda one: one.title, width=34),
    Column(
        name="state",
        title=marked("Its policy is"),
        text=lambda one: said(_STATES[one.state]),
        role=lambda one: "amber" if one.state == "differs" else None,
        width=32,
    ),
)


def _left(one: CertificateAccount) -> str:
    currency = one.certificate.currency
    if one.left < 0:
        return said("! {amount} over", amount=amount_text(-one.left, currency))
    return amount_text(one.left, currency)


CERTIFICATE_COLUMNS: tuple[Column[CertificateAccount], ...] = (
    Column(
        name="student",
        title=marked("Student"),
        text=lambda one: one.certificate.student,
        width=24,
        bold=True,
    ),
    Column(
        name="reference",
        title=marked("Number"),
        text=lambda one: one.certificate.reference,
        width=12,
    ),
    Column(
        name="policy",
        title=marked("Policy"),
        text=lambda one: one.certificate.policy_number,
        width=16,
    ),
    Column(
        name="begins",
        title=marked_in("first day of a period", "From"),
        text=lambda one: date_text(one.certificate.begins),
        width=12,
    ),
    Column(
        name="ends",
        title=marked_in("last day of a period", "Until"),
        text=lambda one: date_text(one.certificate.ends),
        width=12,
    ),
    Column(
        name="claims",
        title=marked_in("how many", "Claims"),
        text=lambda one: str(len({u.claim for u in one.lines})),
        key=lambda one: len(one.lines),
        right=True,
        width=9,
    ),
    Column(
        name="limit",
        title=marked("Up to"),
        key=lambda one: one.certificate.limit,
        right=True,
        width=16,
        text=lambda one: amount_text(one.certificate.limit, one.certificate.currency),
    ),
    Column(
        name="used",
        title=marked("Used"),
        key=lambda one: one.used,
        right=True,
        width=16,
        text=lambda one: amount_text(one.used, one.certificate.currency),
    ),
    Column(
        name="left",
        title=marked("Left"),
        key=lambda one: one.left,
        right=True,
        width=18,
        text=_left,
        role=lambda one: "red" if one.left < 0 else None,
    ),
    Column(
        name="currency",
        title=marked("Currency"),
        text=lambda one: one.certificate.currency,
        width=10,
    ),
)

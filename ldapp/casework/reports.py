"""What all claims come to: losses by cause, kind, stage and production, policies, settling.

Computed from the register's rows with their figures, in one currency; amounts of two
currencies are never added.
"""

from __future__ import annotations

import datetime as dt
import statistics
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from typing import Final, NamedTuple, cast

from ldapp.casework.figures import JOINTLY
from ldapp.casework.policy_use import PolicyAccount, policy_accounts
from ldapp.claim.causes import CAUSE_LABELS, Cause
from ldapp.claim.figures import LossFigure
from ldapp.claim.stages import ClaimStage
from ldapp.claim.summary import ClaimSummary
from ldapp.language import marked, said, said_of
from ldapp.local_forms import day_in_digits

KIND_LABELS: Final[dict[str, str]] = {
    "lighting": marked("lighting"),
    "discharge_lighting": marked("discharge lighting"),
    "grip": marked("grip"),
    "rigging": marked("rigging"),
    "electrical_distribution": marked("electrical distribution"),
    "battery": marked("batteries"),
    "camera": marked("camera"),
    "lens": marked("lenses"),
    "sound": marked("sound"),
    "vehicle": marked("vehicles"),
    "consumable": marked("consumables"),
    "other": marked("other"),
}
FOUND_LABELS: Final[dict[str, str]] = {
    "pickup": marked("at pickup"),
    "during": marked("during the job"),
    "return": marked("at return"),
    "check_in": marked("at the rental company's check-in"),
    "unknown": marked("by no count"),
}
STAGE_LABELS: Final[dict[ClaimStage, str]] = {
    "preparing": marked("preparing"),
    "sent": marked("sent"),
    "answered": marked("answered"),
    "offered": marked("offered"),
    "settled": marked("settled"),
    "paid": marked("paid"),
    "closed": marked("closed"),
}
SPANS: Final[tuple[tuple[int, int | None, str], ...]] = (
    (0, 30, marked("up to 30 days")),
    (31, 60, marked("31 to 60 days")),
    (61, 90, marked("61 to 90 days")),
    (91, 180, marked("91 to 180 days")),
    (181, None, marked("more than 180 days")),
)
_DECIDED: Final[frozenset[ClaimStage]] = frozenset(("settled", "paid", "closed"))
"""Stages at which nothing is waited for, whether a day of settlement was noted or not."""
_PRODUCTIONS = 15
"""How many productions stand by themselves; the rest is one line."""


class Part(NamedTuple):
    """One line of a figure: how many claims and units, and what they come to."""

    label: str
    claims: int
    units: int
    amount: Decimal
    is_rest: bool = False
    """Whether it stands for many that are not named: it is no bar among theirs."""


class PolicyPart(NamedTuple):
    """One policy period within the report's claims."""

    label: str
    claims: int
    limit: Decimal | None
    used: Decimal
    deductible: Decimal
    paid: Decimal


class BearerPart(NamedTuple):
    """What one bears of all claims of a period, what is paid of it and what is open."""

    label: str
    claims: int
    amount: Decimal
    paid: Decimal

    @property
    def open(self) -> Decimal:
        """What is left to pay; below 0 where too much was paid."""
        return self.amount - self.paid


class Report(NamedTuple):
    """All figures of the claims of a period in one currency."""

    starts: dt.date | None
    ends: dt.date | None
    currency: str
    currencies: tuple[str, ...]
    """Every currency that occurs in the period, the one with most claims first."""
    claims: int
    losses: int
    amount: Decimal
    without_amount: int
    """Losses whose amount cannot be computed yet; they are counted, and add nothing."""
    not_reckoned: int
    """Claims whose figures are not there yet."""
    disputed: Decimal
    paid_by_others: Decimal
    by_cause: tuple[Part, ...]
    by_kind: tuple[Part, ...]
    by_found: tuple[Part, ...]
    by_stage: tuple[Part, ...]
    by_production: tuple[Part, ...]
    policies: tuple[PolicyPart, ...]
    by_bearer: tuple[BearerPart, ...]
    """Students, the department and whoever else bears a part; most to pay first."""
    settling: tuple[Part, ...]
    median_days: int | None
    """From sending to settling; None where no claim has both days."""
    waiting: int
    """Claims that were sent and are not settled."""


def day_of(row: ClaimSummary) -> dt.date | None:
    """Return the day by which a claim belongs to a period: of its loss, else of its opening."""
    figures = row.figures
    if figures is not None and (figures.lost or figures.opened):
        return figures.lost or figures.opened
    return None if row.changed is None else row.changed.date()


def report_of(
    rows: Iterable[ClaimSummary],
    starts: dt.date | None,
    ends: dt.date | None,
    currency: str | None = None,
) -> Report:
    """Return the figures of the claims whose loss lies between two days, both included.

    ``currency`` None is the one with most claims.  A claim without any day belongs to a
    period only where that is open at both ends.
    """
    inside = [row for row in rows if _lies_in(day_of(row), starts, ends)]
    numbers: dict[str, int] = {}
    for row in inside:
        numbers[row.currency] = numbers.get(row.currency, 0) + 1
    currencies = tuple(sorted(numbers, key=lambda one: (-numbers[one], one)))
    used = currency if currency is not None else (currencies[0] if currencies else "USD")
    chosen = [row for row in inside if row.currency == used]
    pairs = [(row, loss) for row in chosen if row.figures for loss in row.figures.losses]
    days = [
        (row.figures.settled - row.figures.sent).days
        for row in chosen
        if row.figures and row.figures.sent and row.figures.settled
    ]
    days = [one for one in days if one >= 0]
    return Report(
        starts=starts,
        ends=ends,
        currency=used,
        currencies=currencies,
        claims=len(chosen),
        losses=len(pairs),
        amount=sum((loss.amount for _, loss in pairs if loss.amount is not None), Decimal(0)),
        without_amount=sum(loss.amount is None for _, loss in pairs),
        not_reckoned=sum(row.figures is None for row in chosen),
        disputed=sum((row.disputed for row in chosen if row.disputed), Decimal(0)),
        paid_by_others=sum(
            (row.paid_by_others for row in chosen if row.paid_by_others), Decimal(0)
        ),
        by_cause=_by_losses(pairs, lambda loss: said(CAUSE_LABELS[cast("Cause", loss.cause)])),
        by_kind=_by_losses(
            pairs,
            lambda loss: said(KIND_LABELS[loss.kind]) if loss.kind in KIND_LABELS else loss.kind,
        ),
        by_found=_by_losses(pairs, lambda loss: said(FOUND_LABELS[loss.found])),
        by_stage=_by_stage(chosen),
        by_production=_by_production(chosen),
        policies=_policies(chosen),
        by_bearer=_by_bearer(chosen),
        settling=_settling(days),
        median_days=round(statistics.median(days)) if days else None,
        waiting=sum(
            1
            for row in chosen
            if row.figures
            and row.figures.sent
            and row.figures.settled is None
            and row.stage not in _DECIDED
        ),
    )


def _lies_in(day: dt.date | None, starts: dt.date | None, ends: dt.date | None) -> bool:
    if day is None:
        return starts is None and ends is None
    return (starts is None or day >= starts) and (ends is None or day <= ends)


def _amount(row: ClaimSummary) -> Decimal:
    if row.figures is None:
        return Decimal(0)
    amounts = (one.amount for one in row.figures.losses if one.amount is not None)
    return sum(amounts, Decimal(0))


def _units(row: ClaimSummary) -> int:
    return 0 if row.figures is None else sum(one.units for one in row.figures.losses)


def _largest_first(parts: Iterable[Part]) -> tuple[Part, ...]:
    return tuple(sorted(parts, key=lambda part: (-part.amount, -part.units, part.label)))


def _by_losses(
    pairs: Sequence[tuple[ClaimSummary, LossFigure]], label: Callable[[LossFigure], str]
) -> tuple[Part, ...]:
    claims: dict[str, set[str]] = {}
    units: dict[str, int] = {}
    amounts: dict[str, Decimal] = {}
    for row, loss in pairs:
        name = label(loss)
        claims.setdefault(name, set()).add(row.claim)
        units[name] = units.get(name, 0) + loss.units
        amounts[name] = amounts.get(name, Decimal(0)) + (loss.amount or Decimal(0))
    return _largest_first(
        Part(name, len(claims[name]), units[name], amounts[name]) for name in claims
    )


def _by_stage(rows: Sequence[ClaimSummary]) -> tuple[Part, ...]:
    """Return the stages in the order of the work."""
    return tuple(
        Part(said(label), len(its), sum(map(_units, its)), sum(map(_amount, its), Decimal(0)))
        for stage, label in STAGE_LABELS.items()
        if (its := [row for row in rows if row.stage == stage])
    )


def _by_production(rows: Sequence[ClaimSummary]) -> tuple[Part, ...]:
    under: dict[str, list[ClaimSummary]] = {}
    for row in rows:
        under.setdefault(row.title or row.reference, []).append(row)
    parts = _largest_first(
        Part(title, len(its), sum(map(_units, its)), sum(map(_amount, its), Decimal(0)))
        for title, its in under.items()
    )
    if len(parts) <= _PRODUCTIONS:
        return parts
    rest = parts[_PRODUCTIONS:]
    return (
        *parts[:_PRODUCTIONS],
        Part(
            said_of(len(rest), "{count} other production", "{count} other productions"),
            sum(one.claims for one in rest),
            sum(one.units for one in rest),
            sum((one.amount for one in rest), Decimal(0)),
            is_rest=True,
        ),
    )


def _policy_label(account: PolicyAccount) -> str:
    parts = [account.number or said("no number"), account.insurer]
    if account.begins:
        parts.append(said("from {day}", day=day_in_digits(account.begins.date())))
    return ", ".join(one for one in parts if one)


def _policies(rows: Sequence[ClaimSummary]) -> tuple[PolicyPart, ...]:
    return tuple(
        PolicyPart(
            _policy_label(account),
            len(account.claims),
            account.limit,
            account.used,
            sum((line.deductible for line in account.lines), Decimal(0)),
            sum((line.policy for line in account.lines), Decimal(0)),
        )
        for account in policy_accounts(rows)
    )


def _by_bearer(rows: Sequence[ClaimSummary]) -> tuple[BearerPart, ...]:
    """Two of one name are two where their numbers differ."""
    found: dict[tuple[str, str], tuple[str, set[str], Decimal, Decimal]] = {}
    nothing = Decimal(0)
    for row in rows:
        for one in () if row.figures is None else row.figures.shares:
            key = (_plain(one.name), _plain(one.reference))
            name = _bearer_name(one.name)
            label = f"{name} ({one.reference})" if one.reference else name
            first, claims, amount, paid = found.get(key, (label, set(), nothing, nothing))
            claims.add(row.claim)
            found[key] = (first, claims, amount + one.amount, paid + one.paid)
    parts = [
        BearerPart(label, len(claims), amount, paid)
        for label, claims, amount, paid in found.values()
    ]
    return tuple(sorted(parts, key=lambda part: (-part.open, -part.amount, part.label)))


def _bearer_name(kept: str) -> str:
    """Return a bearer's name; who bears jointly is kept with a mark in English."""
    if kept.endswith(JOINTLY):
        return said("{names} jointly", names=kept.removesuffix(JOINTLY))
    return kept


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def _settling(days: Sequence[int]) -> tuple[Part, ...]:
    if not days:
        return ()
    return tuple(
        Part(said(label), sum(first <= one and (last is None or one <= last) for one in days), 0,
             Decimal(0))
        for first, last, label in SPANS
    )  # fmt: skip

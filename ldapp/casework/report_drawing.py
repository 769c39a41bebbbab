"""The report as a drawing: the same for the window and for the PDF."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from ldapp.casework.reports import BearerPart, Part, PolicyPart, Report
from ldapp.dossier.drawing import WIDTH, Bar, Rule, Section, Tone, Words
from ldapp.language import said, said_of
from ldapp.local_forms import day_in_digits, grouped, local_number
from ldapp.reckoning.money import minor_digits

__all__ = ["WIDTH", "Bar", "Rule", "Section", "Tone", "Words", "draw_report", "period_text"]

_LABEL = 146.0
_AMOUNT = 74.0
_COUNT = 84.0
_ROW = 17.0
_BAR = 9.0
_HEAD = 30.0
_GAP = 8.0
_BARS = WIDTH - _LABEL - _AMOUNT - _COUNT - 3 * _GAP

Item = Words | Bar | Rule


def money(amount: Decimal, currency: str) -> str:
    """Write an amount with thousands in the currency's digits."""
    return local_number(f"{amount:,.{minor_digits(currency)}f}".replace("-", "\u2212"))


def _claims(number: int) -> str:
    return said_of(number, "{count} claim", "{count} claims")


def period_text(report: Report) -> str:
    """Say which claims the report is about."""
    starts = day_in_digits(report.starts) if report.starts else ""
    ends = day_in_digits(report.ends) if report.ends else ""
    if starts and ends:
        return said("losses from {starts} to {ends}", starts=starts, ends=ends)
    if starts:
        return said("losses from {starts} on", starts=starts)
    if ends:
        return said("losses until {ends}", ends=ends)
    return said("all losses")


def draw_report(report: Report) -> tuple[Section, ...]:
    """Return the figures one below the other; those without anything to show are left out."""
    currency = report.currency
    sections = [
        _totals(report),
        _parts(said("Losses by cause"), report.by_cause, currency),
        _parts(said("Losses by kind of equipment"), report.by_kind, currency),
        _parts(said("Losses by where they were found"), report.by_found, currency),
        _parts(said("Losses by stage of the claim"), report.by_stage, currency),
        _parts(said("Losses by production"), report.by_production, currency),
        *_policy_sections(report.policies, currency),
        _bearers(report.by_bearer, currency),
        _settling(report),
    ]
    return tuple(one for one in sections if one is not None)


def _title(text: str, remark: str = "") -> list[Item]:
    items: list[Item] = [Words(0, 12, 300, text, 11, bold=True)]
    if remark:
        items.append(Words(300, 12, WIDTH - 300, remark, 7.5, "right", tone="quiet"))
    items.append(Rule(0, 18, WIDTH))
    return items


def _totals(report: Report) -> Section:
    currency = report.currency
    figures = (
        (said("Claims"), grouped(report.claims)),
        (said("Owed for losses, {currency}", currency=currency), money(report.amount, currency)),
        (said("Disputed, {currency}", currency=currency), money(report.disputed, currency)),
        (
            said("Paid by others, {currency}", currency=currency),
            money(report.paid_by_others, currency),
        ),
    )
    step = WIDTH / len(figures)
    items: list[Item] = []
    for place, (caption, number) in enumerate(figures):
        items.append(Words(place * step, 20, step - _GAP, number, 16))
        items.append(Words(place * step, 33, step - _GAP, caption, 7.5, tone="quiet"))
    remarks = [period_text(report)]
    if report.without_amount:
        remarks.append(
            said_of(
                report.without_amount,
                "{count} loss counted whose amount cannot be computed yet",
                "{count} losses counted whose amount cannot be computed yet",
            )
        )
    if report.not_reckoned:
        remarks.append(
            said_of(
                report.not_reckoned,
                "{count} claim not reckoned yet",
                "{count} claims not reckoned yet",
            )
        )
    items.append(Words(0, 50, WIDTH, "; ".join(remarks), 8, tone="quiet"))
    says = "; ".join(f"{caption}: {number}" for caption, number in figures)
    return Section(said("Totals"), 60, tuple(items), f"{says}; {'; '.join(remarks)}")


def _parts(title: str, parts: Sequence[Part], currency: str) -> Section | None:
    if not parts:
        return None
    largest = max(part.amount for part in parts if not part.is_rest) or Decimal(1)
    items = _title(title, said("units and claims; amounts in {currency}", currency=currency))
    says = []
    for place, part in enumerate(parts):
        top = _HEAD + place * _ROW
        count = said_of(
            part.claims,
            "{units} in {count} claim",
            "{units} in {count} claims",
            units=grouped(part.units),
        )
        amount = money(part.amount, currency)
        # The length is a drawing, no money: a float may carry it.
        has_bar = part.amount > 0 and not part.is_rest
        length = float(part.amount / largest) * _BARS if has_bar else 0.0
        items += _row(top, part.label, length, amount, count)
        says.append(f"{part.label}: {amount} {currency}, {count}")
    return Section(title, _HEAD + len(parts) * _ROW + 6, tuple(items), "; ".join(says))


def _row(
    top: float, label: str, length: float, amount: str, count: str, tone: Tone = "accent"
) -> Iterable[Item]:
    base = top + 8
    yield Words(0, base, _LABEL, label)
    if length > 0:
        yield Bar(_LABEL + _GAP, top, max(length, 0.8), _BAR, tone, f"{label}: {amount}")
    yield Words(WIDTH - _AMOUNT - _COUNT - _GAP, base, _AMOUNT, amount, align="right")
    yield Words(WIDTH - _COUNT, base, _COUNT, count, 7.5, "right", tone="quiet")


_POLICIES_A_SECTION = 8


def _policy_sections(policies: Sequence[PolicyPart], currency: str) -> Iterable[Section]:
    for start in range(0, len(policies), _POLICIES_A_SECTION):
        yield _policies(policies[start : start + _POLICIES_A_SECTION], currency, start > 0)


def _policies(policies: Sequence[PolicyPart], currency: str, goes_on: bool) -> Section:
    title = (
        said("Policies: annual limit and deductibles, continued")
        if goes_on
        else said("Policies: annual limit and deductibles")
    )
    items = _title(title, said("amounts in {currency}", currency=currency))
    says = []
    top = _HEAD
    whole = WIDTH
    for policy in policies:
        items.append(Words(0, top + 8, WIDTH - 120, policy.label, bold=True))
        claims = _claims(policy.claims)
        items.append(Words(WIDTH - 120, top + 8, 120, claims, 7.5, "right", tone="quiet"))
        used = money(policy.used, currency)
        if policy.limit is not None and policy.limit > 0:
            share = min(Decimal(1), policy.used / policy.limit)
            is_over = policy.used >= policy.limit
            items.append(Bar(0, top + 14, whole, _BAR, "pale", said("annual limit")))
            if share > 0:
                tone: Tone = "warning" if is_over else "accent"
                items.append(
                    Bar(
                        0,
                        top + 14,
                        float(share) * whole,
                        _BAR,
                        tone,
                        said("used {amount}", amount=used),
                    )
                )
            limit = money(policy.limit, currency)
            percent = int(policy.used / policy.limit * 100)
            line = (
                said(
                    "{used} of {limit} used ({percent} %, used up)",
                    used=used,
                    limit=limit,
                    percent=percent,
                )
                if is_over
                else said(
                    "{used} of {limit} used ({percent} %)",
                    used=used,
                    limit=limit,
                    percent=percent,
                )
            )
        else:
            line = said("{used} used; the policy states no annual limit", used=used)
        line += "; " + said(
            "policies paid {paid}; deductibles borne {deductible}",
            paid=money(policy.paid, currency),
            deductible=money(policy.deductible, currency),
        )
        items.append(Words(0, top + 33, WIDTH, line, 7.8, tone="quiet"))
        says.append(f"{policy.label}: {claims}, {line}")
        top += 44
    return Section(title, top + 6, tuple(items), "; ".join(says))


_BEARERS = 20
"""How many stand by themselves; the others are one line, and each has its line in the CSV."""
_SUM = 72.0
_SUM_GAP = 6.0
_SHARE_BARS = WIDTH - _LABEL - 2 * _GAP - 3 * _SUM - 2 * _SUM_GAP


def _bearers(parts: Sequence[BearerPart], currency: str) -> Section | None:
    if not parts:
        return None
    title = said("Parts of students and others")
    items = _title(title, said("amounts in {currency}", currency=currency))
    shown = [*parts[:_BEARERS], *_other_bearers(parts[_BEARERS:])]
    largest = max((part.amount for part in parts), default=Decimal(0)) or Decimal(1)
    columns = [WIDTH - place * (_SUM + _SUM_GAP) - _SUM for place in (2, 1, 0)]
    for left, head in zip(columns, (said("to bear"), said("paid"), said("open")), strict=True):
        items.append(Words(left, _HEAD + 6, _SUM, head, 7.5, "right", tone="quiet"))
    says = []
    for place, part in enumerate(shown):
        top = _HEAD + (place + 1) * _ROW
        items.append(Words(0, top + 8, _LABEL, part.label))
        if place < _BEARERS and part.amount > 0:
            # The lengths are a drawing, no money.
            whole = float(part.amount / largest) * _SHARE_BARS
            paid = float(min(part.paid, part.amount) / largest) * _SHARE_BARS
            items.append(Bar(_LABEL + _GAP, top, max(whole, 0.8), _BAR, "pale", part.label))
            if paid > 0:
                items.append(
                    Bar(_LABEL + _GAP, top, paid, _BAR, "accent", f"{part.label}: {said('paid')}")
                )
        amounts = [money(one, currency) for one in (part.amount, part.paid, part.open)]
        for left, amount in zip(columns, amounts, strict=True):
            items.append(Words(left, top + 8, _SUM, amount, align="right"))
        says.append(
            said(
                "{label}, {claims}: {amount} {currency} to bear, {paid} paid, {open} open",
                label=part.label,
                claims=_claims(part.claims),
                amount=amounts[0],
                currency=currency,
                paid=amounts[1],
                open=amounts[2],
            )
        )
    return Section(title, _HEAD + (len(shown) + 1) * _ROW + 6, tuple(items), "; ".join(says))


def _other_bearers(rest: Sequence[BearerPart]) -> Iterable[BearerPart]:
    if rest:
        yield BearerPart(
            said_of(len(rest), "{count} others", "{count} others"),
            sum(one.claims for one in rest),
            sum((one.amount for one in rest), Decimal(0)),
            sum((one.paid for one in rest), Decimal(0)),
        )


def _settling(report: Report) -> Section | None:
    if report.median_days is None and not report.waiting:
        return None
    title = said("Time from sending to settling")
    remark = (
        said("no claim is settled yet")
        if report.median_days is None
        else said_of(
            report.median_days,
            "half of them within {count} day",
            "half of them within {count} days",
        )
    )
    items = _title(title, remark)
    most = max((part.claims for part in report.settling), default=0) or 1
    says = [remark]
    rows = [(part.label, part.claims, "accent") for part in report.settling]
    if report.waiting:
        rows.append((said("sent and not settled"), report.waiting, "pale"))
        most = max(most, report.waiting)
    for place, (label, number, tone) in enumerate(rows):
        length = number / most * _BARS
        count = _claims(number)
        drawn: Tone = "pale" if tone == "pale" else "accent"
        items += _row(_HEAD + place * _ROW, label, length, "", count, drawn)
        says.append(f"{label}: {count}")
    return Section(title, _HEAD + len(rows) * _ROW + 6, tuple(items), "; ".join(says))

"""Facts of a claim that cannot be: amounts, quantities and invoices."""

from __future__ import annotations

from ldapp.claim.charges import Charge
from ldapp.claim.claim import Claim
from ldapp.claim.findings import Finding
from ldapp.claim.kit import KitLine
from ldapp.language import said, said_of
from ldapp.local_forms import local_number
from ldapp.reckoning.check_papers import Faults
from ldapp.reckoning.money import minor_digits, round_half_up


def check_currency(currency: str | None, claim: Claim, place: str, faults: Faults) -> None:
    """Refuse a paper in another currency than the claim's."""
    if currency is not None and currency != claim.currency:
        faults.add(
            place,
            said(
                "the currency is {currency}, the claim's is {claims}",
                currency=currency,
                claims=claim.currency,
            ),
            said("one currency in the whole claim; convert by hand and say at which rate"),
        )


def check_facts(claim: Claim, faults: Faults) -> None:
    """Check invoices, kit lines, findings and splits."""
    _check_invoices(claim, faults)
    for n, line in enumerate(claim.kit):
        _check_line(line, f"kit[{n}]", faults)
    for n, finding in enumerate(claim.findings):
        _check_finding(finding, f"findings[{n}]", faults)
    for n, split in enumerate(claim.splits):
        place = f"splits[{n}]"
        faults.not_negative(f"{place}.amount", split.amount)
        faults.not_negative(f"{place}.at_most", split.at_most)
        faults.not_negative(f"{place}.share_percent", split.share_percent)


def _check_invoices(claim: Claim, faults: Faults) -> None:
    digits = minor_digits(claim.currency)
    revises = {invoice.id: invoice.revises for invoice in claim.invoices}
    for n, invoice in enumerate(claim.invoices):
        check_currency(invoice.currency, claim, f"invoices[{n}].currency", faults)
        if _revises_itself(invoice.id, revises):
            faults.add(
                f"invoices[{n}].revises", said("an invoice revises itself"), said("another invoice")
            )
        for name, total in (("net", invoice.net), ("tax", invoice.tax), ("gross", invoice.gross)):
            faults.number(f"invoices[{n}].{name}", total)
        for m, charge in enumerate(invoice.charges):
            _check_charge(charge, f"invoices[{n}].charges[{m}]", claim.currency, digits, faults)


def _revises_itself(invoice: str, revises: dict[str, str | None]) -> bool:
    """Say whether the revisions that an invoice replaces lead back to it."""
    seen = {invoice}
    earlier = revises.get(invoice)
    while earlier is not None and earlier not in seen:
        seen.add(earlier)
        earlier = revises.get(earlier)
    return earlier == invoice


def _check_charge(charge: Charge, place: str, currency: str, digits: int, faults: Faults) -> None:
    amount = charge.amount
    if not amount.is_finite():
        faults.number(f"{place}.amount", amount)
    elif amount != round_half_up(amount, digits):
        faults.add(
            f"{place}.amount",
            said(
                "{amount} has more decimals than {currency} has",
                amount=local_number(str(amount)),
                currency=currency,
            ),
            said_of(digits, "an amount with {count} decimals", "an amount with {count} decimals"),
        )
    faults.number(f"{place}.unit_price", charge.unit_price)
    faults.not_negative(f"{place}.quantity", charge.quantity)
    faults.not_negative(f"{place}.days", charge.days)
    codes = [choice.code for choice in charge.grounds]
    for n, choice in enumerate(charge.grounds):
        if choice.code in codes[:n]:
            faults.add(
                f"{place}.grounds[{n}].code",
                said("the ground {code!r} stands twice", code=choice.code),
                said("each ground once"),
            )
        for name in ("quantity", "amount", "days", "rate"):
            faults.not_negative(f"{place}.grounds[{n}].{name}", getattr(choice, name))


def _check_line(line: KitLine, place: str, faults: Faults) -> None:
    faults.not_negative(f"{place}.replacement_cost", line.replacement_cost)
    if line.scheduled_value is not None:
        faults.not_negative(f"{place}.scheduled_value", line.scheduled_value)
    if line.day_rate is not None:
        faults.not_negative(f"{place}.day_rate", line.day_rate)
    for n, part in enumerate(line.parts):
        faults.not_negative(f"{place}.parts[{n}].replacement_cost", part.replacement_cost)
    for n, comparable in enumerate(line.comparables):
        faults.not_negative(f"{place}.comparables[{n}].price", comparable.price)
    for n, price in enumerate(line.prices):
        faults.not_negative(f"{place}.prices[{n}].price", price.price)
    for n, part in enumerate(line.parts):
        for m, price in enumerate(part.prices):
            faults.not_negative(f"{place}.parts[{n}].prices[{m}].price", price.price)


def _check_finding(finding: Finding, place: str, faults: Faults) -> None:
    for name in ("salvage", "stated_value", "set_value", "remainder_value", "replaced_for"):
        faults.not_negative(f"{place}.{name}", getattr(finding, name))
    faults.not_negative(f"{place}.rent_paid_days", finding.rent_paid_days)
    if finding.repair is not None:
        for name in ("parts", "labour", "labour_hours", "other", "discount"):
            faults.not_negative(f"{place}.repair.{name}", getattr(finding.repair, name))

"""Where the company's charge is right: what is owed, who bears it, whether to claim for it.

Hints, not advice: every amount comes from the reckoning, and the policy's own wording decides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import NamedTuple

from ldapp.casework.charges import is_weighed
from ldapp.casework.edit import get
from ldapp.claim.claim import Claim
from ldapp.reckoning.money import minor_digits
from ldapp.reckoning.result import OccurrenceResult, Reckoning

HINT = (
    "Whether the insurer must be told all the same, the policy says. A hint, not advice: the "
    "policy's wording decides; ask your broker."
)


class Acceptance(NamedTuple):
    """What raising no objection comes to, in sentences; amounts in the claim's currency."""

    owed: Decimal
    waiver: Decimal
    says: tuple[str, ...]


def _money(claim: Claim) -> Callable[[Decimal], str]:
    digits = minor_digits(claim.currency)
    return lambda amount: f"{amount:,.{digits}f} {claim.currency}"


def charge_accepted(claim: Claim, reckoning: Reckoning, charge: str) -> Acceptance | None:
    """Return what not disputing a charge comes to; None where it is not reckoned."""
    result = next((one for one in reckoning.charges if one.charge == charge), None)
    if result is None:
        return None
    money = _money(claim)
    says = []
    known = next(one for invoice in claim.invoices for one in invoice.charges if one.id == charge)
    if not result.disputed and not is_weighed(known):
        says.append(
            f"Not weighed yet: unless a ground is switched on, {money(result.owed)} is to be "
            "paid as billed."
        )
    elif not result.disputed:
        says.append(f"Not disputed: {money(result.owed)} is to be paid as billed.")
    else:
        says.append(f"Not disputed of it: {money(result.owed)}.")
    says.append(_waiver_says(claim, result.waiver, money))
    events = [one for one in reckoning.occurrences if charge in one.charges]
    if reckoning.unexplained is not None and charge in reckoning.unexplained.charges:
        events.append(reckoning.unexplained)
    says.extend(_claims_say(claim, events, money))
    return Acceptance(result.owed, result.waiver, tuple(one for one in says if one))


def invoice_accepted(claim: Claim, reckoning: Reckoning, invoice: str) -> Acceptance | None:
    """Return what an invoice comes to where nothing but the grounds in force is disputed."""
    result = next((one for one in reckoning.invoices if one.invoice == invoice), None)
    if result is None:
        return None
    money = _money(claim)
    lines = [one for one in reckoning.charges if one.invoice == invoice]
    right = sum(one.answer == "not_disputed" for one in lines)
    waiver = sum((one.waiver for one in lines), Decimal(0))
    ids = {one.charge for one in lines}
    weighed = {one.id for one in get(claim.invoices, invoice, "invoice").charges if is_weighed(one)}
    waiting = sum(one.answer == "not_disputed" and one.charge not in weighed for one in lines)
    not_yet = f" ({waiting} of them not weighed yet)" if waiting else ""
    says = [
        (
            f"{right} of {len(lines)} charges are not disputed{not_yet}; of "
            f"{money(result.billed)} billed, {money(result.owed)} is to be paid."
        ),
        _waiver_says(claim, waiver, money),
    ]
    events = [*reckoning.occurrences]
    if reckoning.unexplained is not None and reckoning.unexplained not in events:
        events.append(reckoning.unexplained)
    says.extend(_claims_say(claim, [one for one in events if ids & set(one.charges)], money))
    return Acceptance(result.owed, waiver, tuple(one for one in says if one))


def _waiver_says(claim: Claim, waiver: Decimal, money: Callable[[Decimal], str]) -> str:
    if waiver:
        return f"The damage waiver bears {money(waiver)} of that."
    taken = any(one.terms.waiver is not None and one.terms.waiver.taken for one in claim.agreements)
    return "The damage waiver bears nothing of that." if taken else ""


def _claims_say(
    claim: Claim, events: Iterable[OccurrenceResult], money: Callable[[Decimal], str]
) -> Iterator[str]:
    """Say of each event whether a claim on the policy would pay; the hint once, at the end."""
    known = {id(one): one for one in events}
    if claim.policy is None or not known:
        return
    if len(known) > 1:
        pays = sum((one.policy for one in known.values()), Decimal(0))
        stays = sum((one.renter for one in known.values()), Decimal(0))
        yield f"Claims on the policy would pay {money(pays)} in all; {money(stays)} stays with you:"
    for event in known.values():
        yield _event_says(claim, event, money, listed=len(known) > 1)
    yield HINT


def _event_says(
    claim: Claim, event: OccurrenceResult, money: Callable[[Decimal], str], *, listed: bool
) -> str:
    known = next((one for one in claim.occurrences if one.id == event.occurrence), None)
    name = f"“{known.title}”" if known is not None else "What no event explains"
    begin = f"• {name}: " if listed else f"A claim for {name[0].lower()}{name[1:]} would pay "
    if event.policy > 0:
        says = (
            f"{money(event.policy)} of {money(event.loss)}, after {money(event.deductible)} "
            f"deductible; {money(event.renter)} stays with you."
        )
        if any("worth" in one for one in event.hints):
            says += " It may not be worth a claim."
        return begin + says
    if event.reasons:
        why = "; ".join(event.reasons)
    elif event.loss <= event.deductible:
        why = f"the loss of {money(event.loss)} is within the deductible"
        why += f" of {money(event.deductible)}"
    else:
        why = f"of {money(event.loss)} everything stays with you"
    return f"{begin}nothing, for {why}. Hardly worth a claim."

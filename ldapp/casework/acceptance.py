"""Where the company's charge is right: what is owed, who bears it, whether to claim for it.

Hints, not advice: every amount comes from the reckoning, and the policy's own wording decides.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import NamedTuple

from ldapp.claim.claim import Claim
from ldapp.reckoning.money import minor_digits
from ldapp.reckoning.result import OccurrenceResult, Reckoning

HINT = "A hint, not advice: the policy's wording decides; ask your broker."


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
    if not result.disputed:
        says.append(f"Not disputed: {money(result.owed)} is to be paid as billed.")
    else:
        says.append(f"Not disputed of it: {money(result.owed)}.")
    says.append(_waiver_says(claim, result.waiver, money))
    events = [one for one in reckoning.occurrences if charge in one.charges]
    if reckoning.unexplained is not None and charge in reckoning.unexplained.charges:
        events.append(reckoning.unexplained)
    for event in dict.fromkeys(id(one) for one in events):
        found = next(one for one in events if id(one) == event)
        says.extend(_policy_says(claim, found, money))
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
    says = [
        (
            f"{right} of {len(lines)} charges are not disputed; of {money(result.billed)} billed, "
            f"{money(result.owed)} is to be paid."
        ),
        _waiver_says(claim, waiver, money),
    ]
    events = [*reckoning.occurrences]
    if reckoning.unexplained is not None and reckoning.unexplained not in events:
        events.append(reckoning.unexplained)
    for event in events:
        if ids & set(event.charges):
            says.extend(_policy_says(claim, event, money))
    return Acceptance(result.owed, waiver, tuple(one for one in says if one))


def _waiver_says(claim: Claim, waiver: Decimal, money: Callable[[Decimal], str]) -> str:
    if waiver:
        return f"The damage waiver bears {money(waiver)} of that."
    taken = any(one.terms.waiver is not None and one.terms.waiver.taken for one in claim.agreements)
    return "The damage waiver bears nothing of that." if taken else ""


def _policy_says(
    claim: Claim, event: OccurrenceResult, money: Callable[[Decimal], str]
) -> list[str]:
    if claim.policy is None:
        return []
    known = next((one for one in claim.occurrences if one.id == event.occurrence), None)
    name = f"“{known.title}”" if known is not None else "what no event explains"
    if event.policy > 0:
        says = (
            f"A claim for {name} would pay {money(event.policy)} of {money(event.loss)}, after "
            f"{money(event.deductible)} deductible; {money(event.renter)} stays with you."
        )
    else:
        says = (
            f"A claim for {name} would pay nothing: the loss is {money(event.loss)}, the "
            f"deductible {money(event.deductible)}"
            + (f" ({'; '.join(event.reasons)})" if event.reasons else "")
            + ". It is hardly worth a claim for its payment; whether the insurer must be told "
            "all the same, the policy says."
        )
    worth = [one for one in event.hints if "worth" in one]
    return [says, *(f"{one[0].upper()}{one[1:]}." for one in worth), HINT]

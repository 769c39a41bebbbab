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
from ldapp.language import marked, said
from ldapp.local_forms import local_number
from ldapp.reckoning.money import minor_digits
from ldapp.reckoning.result import OccurrenceResult, Reckoning

HINT = marked(
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
    return lambda amount: f"{local_number(f'{amount:,.{digits}f}')} {claim.currency}"


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
            said(
                "Not weighed yet: unless a ground is switched on, {owed} is to be paid as billed.",
                owed=money(result.owed),
            )
        )
    elif not result.disputed:
        says.append(said("Not disputed: {owed} is to be paid as billed.", owed=money(result.owed)))
    else:
        says.append(said("Not disputed of it: {owed}.", owed=money(result.owed)))
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
    says = [
        said(
            "{right} of {number} charges are not disputed ({waiting} of them not weighed yet); "
            "of {billed} billed, {owed} is to be paid.",
            right=right,
            number=len(lines),
            waiting=waiting,
            billed=money(result.billed),
            owed=money(result.owed),
        )
        if waiting
        else said(
            "{right} of {number} charges are not disputed; of {billed} billed, {owed} is to be "
            "paid.",
            right=right,
            number=len(lines),
            billed=money(result.billed),
            owed=money(result.owed),
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
        return said("The damage waiver bears {waiver} of that.", waiver=money(waiver))
    taken = any(one.terms.waiver is not None and one.terms.waiver.taken for one in claim.agreements)
    return said("The damage waiver bears nothing of that.") if taken else ""


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
        yield said(
            "Claims on the policy would pay {pays} in all; {stays} stays with you:",
            pays=money(pays),
            stays=money(stays),
        )
    for event in known.values():
        yield _event_says(claim, event, money, listed=len(known) > 1)
    yield said(HINT)


def _event_says(
    claim: Claim, event: OccurrenceResult, money: Callable[[Decimal], str], *, listed: bool
) -> str:
    says = _pays_says(claim, event, money)
    known = next((one for one in claim.occurrences if one.id == event.occurrence), None)
    if known is not None:
        name = said("“{title}”", title=known.title)
        if listed:
            return f"• {name}: {says}"
        return said("A claim for {event} would pay {says}", event=name, says=says)
    if listed:
        return said("• What no event explains: {says}", says=says)
    return said("A claim for what no event explains would pay {says}", says=says)


def _pays_says(claim: Claim, event: OccurrenceResult, money: Callable[[Decimal], str]) -> str:
    if event.policy > 0:
        says = said(
            "{policy} of {loss}, after {deductible} deductible; {renter} stays with you.",
            policy=money(event.policy),
            loss=money(event.loss),
            deductible=money(event.deductible),
            renter=money(event.renter),
        )
        least = None if claim.policy is None else claim.policy.terms.not_worth_claiming_below
        if least is not None and event.cover == "covered" and event.policy < least:
            says += " " + said("It may not be worth a claim.")
        return says
    if event.reasons:
        why = "; ".join(event.reasons)
    elif event.loss <= event.deductible:
        why = said(
            "the loss of {loss} is within the deductible of {deductible}",
            loss=money(event.loss),
            deductible=money(event.deductible),
        )
    else:
        why = said("of {loss} everything stays with you", loss=money(event.loss))
    return said("nothing, for {why}. Hardly worth a claim.", why=why)

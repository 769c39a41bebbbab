"""What a person does with the rental company's invoice."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import NamedTuple

from ldapp.casework.charge_matching import Match, kind_for
from ldapp.casework.code_words import code_words
from ldapp.casework.edit import find, get, put, without
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.claim.charges import Charge, ChargeKind, GroundChoice, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.grounds import GroundCode
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of
from ldapp.local_forms import local_number
from ldapp.reckoning.money import minor_digits, round_half_up
from ldapp.reckoning.proposals import ProposedGround, propose_grounds
from ldapp.reckoning.result import ChargeAnswer


def add_invoice(desk: OpenClaim, agreement: str, number: str, dated: dt.date) -> Invoice:
    """Add an invoice without charges; return it."""
    get(desk.claim.agreements, agreement, "agreement")
    invoice = Invoice(id=new_id(), agreement=agreement, number=number, dated=dated)
    put_invoice(desk, invoice)
    return invoice


def foreign_currency(claim: Claim, currency: str | None, number: str) -> str:
    """Say that an invoice is in another currency than the claim; empty where it is not."""
    if not currency or currency == claim.currency:
        return ""
    return said(
        "Invoice {number} is in {foreign}, the claim in {currency}. One claim "
        "has one currency: open another claim for it.",
        number=number,
        foreign=currency,
        currency=claim.currency,
    )


def put_invoice(desk: OpenClaim, invoice: Invoice, label: str = "") -> bool:
    """Add an invoice with its charges, or replace the one with its id.

    Raises:
        LdappError: the invoice is in another currency than the claim.
    """
    foreign = foreign_currency(desk.claim, invoice.currency, invoice.number)
    if foreign:
        raise LdappError(foreign)
    return desk.change(
        label or said("Invoice {number}", number=invoice.number),
        lambda claim: dataclasses.replace(claim, invoices=put(claim.invoices, invoice)),
    )


def remove_invoice(desk: OpenClaim, invoice: str) -> bool:
    """Remove an invoice with its charges."""
    return desk.change(
        said("Remove invoice"),
        lambda claim: dataclasses.replace(claim, invoices=without(claim.invoices, {invoice})),
    )


def _change_charges(
    desk: OpenClaim, charges: Iterable[str], label: str, make: Callable[[Charge], Charge]
) -> bool:
    ids = set(charges)

    def change(claim: Claim) -> Claim:
        return dataclasses.replace(
            claim,
            invoices=tuple(
                dataclasses.replace(
                    invoice,
                    charges=tuple(make(one) if one.id in ids else one for one in invoice.charges),
                )
                if any(one.id in ids for one in invoice.charges)
                else invoice
                for invoice in claim.invoices
            ),
        )

    return desk.change(label, change)


def add_charge(
    desk: OpenClaim, invoice: str, description: str = "", amount: Decimal = Decimal(0)
) -> Charge:
    """Add one charge at the end of an invoice; return it."""
    present = get(desk.claim.invoices, invoice, "invoice")
    numbers = [int(one.number) for one in present.charges if one.number.isdecimal()]
    charge = Charge(
        id=new_id(),
        number=str(max(numbers, default=0) + 1),
        description=description or said("New charge"),
        amount=amount,
    )
    put_invoice(
        desk, dataclasses.replace(present, charges=(*present.charges, charge)), said("Add charge")
    )
    return charge


def put_charge(desk: OpenClaim, charge: Charge, label: str = "") -> bool:
    """Replace one charge."""
    return _change_charges(
        desk,
        (charge.id,),
        label or said("Charge {number}", number=charge.number),
        lambda one: charge,
    )


def put_charges(desk: OpenClaim, charges: Iterable[Charge], label: str) -> bool:
    """Replace several charges as one change (a paste over cells)."""
    changed = {one.id: one for one in charges}
    return _change_charges(desk, changed, label, lambda one: changed[one.id])


def set_kind(desk: OpenClaim, charges: Iterable[str], kind: ChargeKind) -> bool:
    """Say of several charges at once what kind they are, as one change."""
    ids = tuple(charges)
    return _change_charges(
        desk,
        ids,
        said_of(len(ids), "Kind of {count} charge", "Kind of {count} charges"),
        lambda one: dataclasses.replace(one, kind=kind),
    )


def add_charges(desk: OpenClaim, invoice: str, charges: Iterable[Charge], label: str = "") -> bool:
    """Add several charges at the end of an invoice, as one change."""
    new = tuple(charges)
    present = get(desk.claim.invoices, invoice, "invoice")
    return put_invoice(
        desk,
        dataclasses.replace(present, charges=(*present.charges, *new)),
        label or said_of(len(new), "Add {count} charge", "Add {count} charges"),
    )


def remove_charges(desk: OpenClaim, charges: Iterable[str]) -> bool:
    """Remove charges from their invoices, as one change."""
    ids = set(charges)
    return desk.change(
        said_of(len(ids), "Remove {count} charge", "Remove {count} charges"),
        lambda claim: dataclasses.replace(
            claim,
            invoices=tuple(
                dataclasses.replace(invoice, charges=without(invoice.charges, ids))
                for invoice in claim.invoices
            ),
        ),
    )


def match_charge(
    desk: OpenClaim, charge: str, line: str | None, finding: str | None, reason: str
) -> bool:
    """Say which kit line and finding a charge is for."""
    return _change_charges(
        desk,
        (charge,),
        said("Match charge") if line else said("Charge matches nothing"),
        lambda one: dataclasses.replace(
            one,
            line=line,
            finding=finding,
            match_reason=reason,
            kind=kind_for(one, find(desk.claim.findings, finding)),
        ),
    )


def accept_matches(desk: OpenClaim, matches: Iterable[Match]) -> bool:
    """Accept proposed matches, as one change."""
    by_charge = {match.charge: match for match in matches}

    def make(charge: Charge) -> Charge:
        match = by_charge[charge.id]
        return dataclasses.replace(
            charge,
            line=match.line,
            finding=match.finding,
            match_reason=match.reason,
            kind=kind_for(charge, find(desk.claim.findings, match.finding)),
        )

    return _change_charges(
        desk,
        by_charge,
        said_of(len(by_charge), "Match {count} charge", "Match {count} charges"),
        make,
    )


def put_ground(desk: OpenClaim, charge: str, ground: GroundChoice) -> bool:
    """Add a ground to a charge, or replace the one with its code."""

    def make(one: Charge) -> Charge:
        others = tuple(other for other in one.grounds if other.code != ground.code)
        return dataclasses.replace(one, grounds=(*others, ground))

    return _change_charges(
        desk, (charge,), said("Ground: {ground}", ground=code_words(ground.code)), make
    )


def switch_ground(desk: OpenClaim, charge: str, code: GroundCode, on: bool) -> bool:
    """Switch a ground of a charge on or off; one that is new is added with no more than that."""
    present = find_charge(desk.claim, charge)
    ground = next((one for one in present.grounds if one.code == code), GroundChoice(code=code))
    return put_ground(desk, charge, dataclasses.replace(ground, on=on))


def remove_ground(desk: OpenClaim, charge: str, code: GroundCode) -> bool:
    """Take a ground off a charge."""
    return _change_charges(
        desk,
        (charge,),
        said("Remove ground"),
        lambda one: dataclasses.replace(
            one, grounds=tuple(other for other in one.grounds if other.code != code)
        ),
    )


def set_open_until_documented(desk: OpenClaim, charge: str, is_open: bool) -> bool:
    """Answer a charge with "open until documented", or take that back."""
    return _change_charges(
        desk,
        (charge,),
        said("Open until documented") if is_open else said("No longer open"),
        lambda one: dataclasses.replace(one, open_until_documented=is_open),
    )


def is_weighed(charge: Charge) -> bool:
    """Whether a person has looked at a charge: a ground switched on or off, left open, settled.

    Tax follows the lines above it, and what is credited takes nothing: neither is waited for.
    """
    return bool(
        charge.grounds
        or charge.open_until_documented
        or charge.settled is not None
        or charge.kind == "tax"
        or charge.amount <= 0
    )


def unweighed_charges(claim: Claim, agreement: str | None = None) -> tuple[Charge, ...]:
    """Return the charges that nobody has weighed, of one agreement or of all.

    Invoices that a revision replaces are left out.
    """
    replaced = {one.revises for one in claim.invoices}
    return tuple(
        charge
        for invoice in claim.invoices
        if invoice.id not in replaced and agreement in (None, invoice.agreement)
        for charge in invoice.charges
        if not is_weighed(charge)
    )


def conceded_unweighed(claim: Claim, agreement: str | None) -> str:
    """Say what an answer to a rental company would concede without anybody having weighed it."""
    several = len(unweighed_charges(claim, agreement))
    if not several:
        return ""
    return said_of(
        several,
        "1 charge has not been weighed: it will stand as not disputed. Write all the same?",
        "{count} charges have not been weighed: they will stand as not disputed. "
        "Write all the same?",
    )


ANSWER_WORDS: dict[ChargeAnswer, str] = {
    "not_disputed": marked("not disputed"),
    "disputed": marked("disputed"),
    "open_until_documented": marked("open until documented"),
}


def answer_says(charge: Charge, answer: ChargeAnswer) -> str:
    """Say in the window how a charge is answered; what nobody weighed is no answer yet."""
    if answer == "not_disputed" and not is_weighed(charge):
        return said("not weighed")
    return said(ANSWER_WORDS[answer])


def grounds_worth_weighing(
    claim: Claim, verdicts: Mapping[str, PhotoVerdict] | None = None
) -> tuple[ProposedGround, ...]:
    """Return grounds that would take something off a charge and that nobody has weighed yet.

    Runs in a worker.  Nothing is switched on by itself.
    """
    standings = {photo: verdict.standing for photo, verdict in (verdicts or {}).items()}
    return propose_grounds(claim, standings)


class ArithmeticFault(NamedTuple):
    """A figure of an invoice that does not follow from its others."""

    invoice: str
    charge: str | None
    """None where the totals are at fault."""
    says: str


def arithmetic_faults(invoice: Invoice, currency: str) -> tuple[ArithmeticFault, ...]:
    """Return what does not add up on an invoice, as printed; amounts in ``currency``.

    A line may be quantity times price, or that times its days.
    """
    digits = minor_digits(currency)

    def money(amount: Decimal) -> str:
        return local_number(f"{amount:,.{digits}f}")

    faults = []
    for charge in invoice.charges:
        if charge.unit_price is None:
            continue
        once = round_half_up(charge.quantity * charge.unit_price, digits)
        daily = None if charge.days is None else round_half_up(once * charge.days, digits)
        if charge.amount not in (once, daily):
            says = said(
                "{quantity} × {unit_price} is {once}, billed is {amount}",
                quantity=local_number(f"{charge.quantity.normalize():f}"),
                unit_price=money(charge.unit_price),
                once=money(once),
                amount=money(charge.amount),
            )
            faults.append(ArithmeticFault(invoice.id, charge.id, says))
    tax = sum((one.amount for one in invoice.charges if one.kind == "tax"), Decimal(0))
    net = sum((one.amount for one in invoice.charges if one.kind != "tax"), Decimal(0))
    sums: list[tuple[str, Decimal, Decimal | None]] = [
        (marked("the lines come to {added}, printed is {printed}"), net, invoice.net),
        (marked("the tax lines come to {added}, printed is {printed}"), tax, invoice.tax),
        (
            marked("lines and tax come to {added}, printed is {printed}"),
            net + tax,
            invoice.gross,
        ),
    ]
    if tax == 0 and invoice.tax:
        # Tax that is printed below the lines is no line of its own.
        with_printed = marked("lines and printed tax come to {added}, printed is {printed}")
        sums = [sums[0], (with_printed, net + invoice.tax, invoice.gross)]
    for sentence, added, printed in sums:
        if printed is not None and added != printed:
            says = said(sentence, added=money(added), printed=money(printed))
            faults.append(ArithmeticFault(invoice.id, None, says))
    return tuple(faults)


def find_charge(claim: Claim, charge: str) -> Charge:
    """Return a charge of any invoice; raises LdappError where it is gone."""
    for invoice in claim.invoices:
        found = find(invoice.charges, charge)
        if found is not None:
            return found
    raise LdappError(said("That charge is no longer in the claim: it was removed in the meantime."))

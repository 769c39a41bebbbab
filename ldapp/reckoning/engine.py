"""The one entry: from a claim to its reckoning."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal

from ldapp.claim.claim import Claim
from ldapp.claim.terms import Terms
from ldapp.collector import collector_held
from ldapp.errors import InputError
from ldapp.language import said
from ldapp.reckoning.bills import gather, is_credit
from ldapp.reckoning.charges import ChargeReckoner
from ldapp.reckoning.check import check_terms
from ldapp.reckoning.counts import count_lines, mix_ups
from ldapp.reckoning.deadlines import claim_deadlines
from ldapp.reckoning.defaults import unstated_terms
from ldapp.reckoning.findings import Reckoned, reckon_findings
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.loss import Item, make_groups, make_items
from ldapp.reckoning.money import round_half_up
from ldapp.reckoning.observations import observe
from ldapp.reckoning.occurrences import OccurrenceReckoner, would_help
from ldapp.reckoning.result import (
    Bearer,
    ChargeResult,
    FindingResult,
    InvoiceResult,
    OccurrenceResult,
    Reckoning,
    StrongRun,
    Totals,
)
from ldapp.reckoning.workings import (
    COMPARED_WITH,
    TAX_NO_LINE_CARRIES,
    charge_input,
    inputs,
    money_step,
)


def reckon(
    claim: Claim,
    photo_standings: Mapping[str, str] | None = None,
    as_of: dt.date | None = None,
) -> Reckoning:
    """Return everything that follows from the claim's facts, with workings.

    ``photo_standings`` gives the standing of a photo's time by the photo's id; without one
    a photo supports no ground strongly.  ``as_of`` is the day on which a time limit for proof
    of replacement is looked at; without it no limit has run out.  The same claim gives the
    same reckoning, character for character.

    Raises :class:`~ldapp.errors.InputError` with all faults at once where a term cannot be
    (a life of nought, a share above one, a period that ends before it starts, two currencies,
    a reference to nothing).
    """
    with collector_held():
        return _reckon(claim, photo_standings or {}, as_of)


def _reckon(claim: Claim, photo_standings: Mapping[str, str], as_of: dt.date | None) -> Reckoning:
    faults = check_terms(claim)
    if faults:
        raise InputError(faults)
    index = ClaimIndex(claim)
    counts = count_lines(index)
    found = reckon_findings(index, counts)
    bills = gather(index, found, counts, photo_standings)
    charges = ChargeReckoner(index, bills).results()
    items = make_items(bills, charges, found, index.digits)
    reckoner = OccurrenceReckoner(index, as_of)
    groups = make_groups(index, bills, charges, items)
    occurrences = [reckoner.result(group) for group in groups]
    charges = [
        dataclasses.replace(charge, waiver=reckoner.waiver_by_charge[charge.charge])
        if charge.charge in reckoner.waiver_by_charge
        else charge
        for charge in charges
    ]
    findings = tuple(_finding(item, index) for item in items.values())
    invoices = _invoices(index, charges)
    ordered = sorted(counts.values(), key=lambda c: (index.line_rank[c.line], c.part or ""))
    sisters = mix_ups(index, counts)
    return Reckoning(
        currency=claim.currency,
        as_of=as_of,
        findings=findings,
        occurrences=tuple(occurrences),
        charges=tuple(charges),
        invoices=invoices,
        totals=_totals(index, charges, occurrences, invoices, list(items.values())),
        counts=tuple(ordered),
        mix_ups=sisters,
        deadlines=claim_deadlines(index),
        not_stated=unstated_terms(claim),
        observations=observe(index, findings, found, charges, occurrences, invoices, sisters),
    )


def _finding(item: Item, index: ClaimIndex) -> FindingResult:
    found: Reckoned = item.found
    finding = found.finding
    known = item.not_yet_charged is not None
    owed = item.owed if known else None
    working = money_step(
        said("Owed for {label}", label=found.working.label),
        said("what its charges leave owed, and the reckoned value of what is not yet charged"),
        owed,
        inputs(
            *((charge_input(c.charge), c.owed) for c in item.charged),
            (said("not yet charged"), item.not_yet_charged),
        ),
        steps=[found.working],
    )
    uninsured = finding.kind == "missing" and finding.occurrence is None and found.quantity > 0
    salvage = found.terms.salvage
    passes = bool(found.damage and found.damage.total_loss) and (
        salvage is not None and salvage.kept_by == "renter"
    )
    return FindingResult(
        finding=finding.id,
        line=finding.line,
        kind=finding.kind,
        quantity=finding.quantity,
        reckoned_quantity=found.quantity,
        unit_value=found.unit.amount,
        reckoned=found.amount,
        owed=owed,
        not_yet_charged=item.not_yet_charged,
        occurrence=finding.occurrence,
        date_of_loss=found.date,
        total_loss=None if found.damage is None else found.damage.total_loss,
        title_passes=passes,
        probably_uninsured=uninsured,
        would_help=would_help() if uninsured else (),
        lacking=item.lacking,
        working=working,
    )


def _invoices(index: ClaimIndex, charges: Sequence[ChargeResult]) -> tuple[InvoiceResult, ...]:
    zero = round_half_up(0, index.digits)
    by_invoice: dict[str, list[ChargeResult]] = {}
    for charge in charges:
        by_invoice.setdefault(charge.invoice, []).append(charge)
    results = []
    for invoice in index.ordered_invoices:
        own = by_invoice.get(invoice.id, [])
        taxed = any(charge.kind == "tax" for charge in invoice.charges)
        printed = invoice.gross if taxed or not invoice.tax else invoice.net
        printed = None if printed is None else round_half_up(printed, index.digits)
        lines = sum((round_half_up(c.amount, index.digits) for c in invoice.charges), zero)
        footer_tax = None if taxed or not invoice.tax else round_half_up(invoice.tax, index.digits)
        credit = -sum(
            (round_half_up(c.amount, index.digits) for c in invoice.charges if is_credit(c)), zero
        )
        results.append(
            InvoiceResult(
                invoice=invoice.id,
                agreement=invoice.agreement,
                billed=sum((c.billed for c in own), zero),
                credits=abs(credit),
                printed=printed,
                difference=None if printed is None else printed - lines,
                owed=sum((c.owed for c in own), zero),
                disputed=sum((c.disputed for c in own), zero),
                strong=StrongRun(
                    owed=sum((c.strong.owed for c in own), zero),
                    disputed=sum((c.strong.disputed for c in own), zero),
                ),
                replaced_by=index.replaced_by.get(invoice.id),
                tax_without_charge=footer_tax,
                working=money_step(
                    said("Invoice {number} added up", number=invoice.number),
                    said("the sum of its lines, beside the total that it prints"),
                    lines,
                    inputs(
                        (said("printed net"), invoice.net),
                        (said("printed tax"), invoice.tax),
                        (said(TAX_NO_LINE_CARRIES), footer_tax),
                        (said("printed total"), invoice.gross),
                        (said(COMPARED_WITH), printed),
                    ),
                ),
            )
        )
    return tuple(results)


def _set_off(terms: Terms, owed: Decimal, digits: int) -> Decimal:
    """Return the rent that counts, at most what is owed, and the deposit."""
    amount = round_half_up(0, digits)
    credit = terms.rent_credit
    if credit is not None and credit.rule == "deducted" and credit.amount is not None:
        amount += min(round_half_up(credit.amount, digits), max(Decimal(0), owed))
    deposit = terms.deposit
    if deposit is not None and deposit.set_off != "rent_first" and deposit.amount is not None:
        amount += round_half_up(deposit.amount, digits)
    return amount


def _totals(
    index: ClaimIndex,
    charges: Sequence[ChargeResult],
    occurrences: Sequence[OccurrenceResult],
    invoices: Sequence[InvoiceResult],
    items: Sequence[Item],
) -> Totals:
    zero = round_half_up(0, index.digits)

    def add(amounts: Sequence[Decimal]) -> Decimal:
        return sum(amounts, zero)

    owed = add([c.owed for c in charges])
    waiver = add([o.waiver for o in occurrences])
    policy = add([o.policy for o in occurrences])
    other = add([o.other_insurance for o in occurrences])
    offsets = zero
    to_pay = zero
    owed_by_agreement: dict[str, Decimal] = {}
    for invoice in invoices:
        if invoice.replaced_by is None:
            offsets += invoice.credits
            net = invoice.owed - invoice.credits
            # The total owed never exceeds the printed total.
            net = net if invoice.printed is None else min(net, invoice.printed)
            owed_before = owed_by_agreement.get(invoice.agreement, zero)
            owed_by_agreement[invoice.agreement] = owed_before + net
    for agreement in index.claim.agreements:
        net = owed_by_agreement.get(agreement.id, zero)
        held = _set_off(agreement.terms, net, index.digits)
        offsets += held
        to_pay += net - held
    bearers: dict[str | None, Decimal] = {}
    for occurrence in occurrences:
        for bearer in occurrence.borne_by:
            bearers[bearer.party] = bearers.get(bearer.party, zero) + bearer.amount
    return Totals(
        billed=add([c.billed for c in charges]),
        owed=owed,
        disputed=add([c.disputed for c in charges]),
        strong_owed=add([c.strong.owed for c in charges]),
        strong_disputed=add([c.strong.disputed for c in charges]),
        not_yet_charged=add([i.not_yet_charged for i in items if i.not_yet_charged is not None]),
        loss=add([o.loss for o in occurrences]),
        waiver=waiver,
        policy=policy,
        other_insurance=other,
        held_back=add([o.held_back for o in occurrences]),
        paid_by_others=waiver + policy + other,
        renter=add([o.renter for o in occurrences]),
        offsets=offsets,
        to_pay_to_lessors=to_pay,
        borne_by=tuple(Bearer(party=party, amount=amount) for party, amount in bearers.items()),
        complete=not any(o.lacking for o in occurrences)
        and not any(i.tax_without_charge for i in invoices if i.replaced_by is None),
    )

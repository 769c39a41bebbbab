"""The damage waiver: it bears the loss above the renter's share, after all grounds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.terms import WaiverTerm
from ldapp.language import marked, said, said_in
from ldapp.reckoning.figures import percent_text
from ldapp.reckoning.findings import Reckoned
from ldapp.reckoning.loss import Item
from ldapp.reckoning.money import ZERO, allocate, round_half_up
from ldapp.reckoning.result import Step
from ldapp.reckoning.valuation import belongs
from ldapp.reckoning.workings import inputs, money_step

_PER_WORDS = {
    "incident": marked("{share} per incident"),
    "line": marked("{share} per line"),
    "unit": marked("{share} per unit"),
}


def waiver_covers(term: WaiverTerm, found: Reckoned) -> bool:
    """Say whether a waiver that was taken covers a finding's cause and category."""
    if not term.taken:
        return False
    if term.repair_only and (found.damage is None or found.lost):
        return False
    cause = found.cause
    if cause is None and found.finding.kind == "missing":
        cause = "unexplained"
    if cause in term.excluded_causes:
        return False
    return not any(belongs(found.line, each, None) for each in term.excluded_categories)


def waived(term: WaiverTerm, items: Sequence[Item], digits: int) -> tuple[list[Decimal], Step]:
    """Return what the waiver bears of each covered item of one incident, with the working.

    All items stand under the same agreement.  The share is taken once per incident, or per
    kit line or unit; the limit bounds the incident.
    """
    bases = [_base(term, item) for item in items]
    groups: dict[str, list[int]] = defaultdict(list)
    for position, item in enumerate(items):
        groups["" if term.per == "incident" else item.found.line.id].append(position)
    by_position: dict[int, Decimal] = {}
    steps = []
    for positions in groups.values():
        loss = sum((bases[i] for i in positions), ZERO)
        share, how = _renters_share(term, [items[i] for i in positions], loss)
        renter = round_half_up(min(loss, share), digits)
        pays = round_half_up(loss, digits) - renter
        parts = allocate(pays, [bases[i] for i in positions], digits)
        by_position.update(zip(positions, parts, strict=True))
        steps.append(
            money_step(
                said("Renter's share"),
                how,
                renter,
                inputs((said_in("working", "loss"), loss)),
                clause=term.clause,
            )
        )
    borne = [by_position[position] for position in range(len(items))]
    total = sum(borne, round_half_up(0, digits))
    if term.limit is not None and total > term.limit:
        total = round_half_up(term.limit, digits)
        borne = list(allocate(total, [Fraction(each) for each in borne], digits))
    step = money_step(
        said("Damage waiver"),
        said("bears the loss above the renter's share, up to its limit"),
        total,
        inputs((said_in("working", "limit"), term.limit)),
        clause=term.clause,
        steps=steps,
    )
    return borne, step


def _base(term: WaiverTerm, item: Item) -> Fraction:
    base = item.thing
    if term.covers_loss_of_use:
        base += item.loss_of_use
    return Fraction(base)


def _renters_share(term: WaiverTerm, items: Sequence[Item], loss: Fraction) -> tuple[Fraction, str]:
    items = [item for item in items if _base(term, item)]
    by_value = term.share_form in ("percentage_of_value", "bands")
    if by_value and any(item.found.unit.amount is None for item in items):
        return loss, said("of the value, which is not known yet")
    units = sum(max(1, item.found.quantity) for item in items)
    times = max(1, units) if term.per == "unit" else 1
    value = sum(
        (Fraction(item.found.unit.amount or 0) * max(1, item.found.quantity) for item in items),
        ZERO,
    )
    if term.share_form == "flat":
        share, how = Fraction(term.share_amount or 0), said("a flat share")
    elif term.share_form == "bands":
        base = value / times
        band = next((b for b in term.share_bands if b.up_to is None or base <= b.up_to), None)
        share, how = Fraction(0 if band is None else band.amount), said("by bands of the value")
        if band is None:
            return loss, said("above every band of the share")
    else:
        rate = term.share_rate or ZERO
        of_loss = term.share_form == "percentage_of_loss"
        share = (loss if of_loss else value) / times * rate
        percent = percent_text(rate)
        how = (
            said("{rate} of the loss", rate=percent)
            if of_loss
            else said("{rate} of the value", rate=percent)
        )
    if term.share_minimum is not None:
        share = max(share, Fraction(term.share_minimum))
    if term.share_maximum is not None:
        share = min(share, Fraction(term.share_maximum))
    return share * times, said(_PER_WORDS[term.per], share=how)

"""Each occurrence: its loss, what the waiver and the insurers pay, and who bears the rest."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.documents import Split
from ldapp.claim.policy import DeductibleSplit
from ldapp.claim.terms import WaiverTerm
from ldapp.language import marked, said, said_in
from ldapp.reckoning.figures import said_amount
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.insurance import Outcome, insure, value_at_risk
from ldapp.reckoning.loss import Group, Item
from ldapp.reckoning.money import ZERO, allocate, round_half_up
from ldapp.reckoning.result import Bearer, OccurrenceResult, Step
from ldapp.reckoning.waiver import waived, waiver_covers
from ldapp.reckoning.workings import inputs, money_step

_WOULD_HELP = (
    marked("a record of when it was last seen, and where"),
    marked("the day on which it went"),
    marked("signs of forced entry"),
    marked("a police report"),
)
"""What commonly moves a shortage out of the exclusion of unexplained losses."""


def would_help() -> tuple[str, ...]:
    """Say what commonly moves a shortage out of the exclusion of unexplained losses."""
    return tuple(said(each) for each in _WOULD_HELP)


class OccurrenceReckoner:
    """Reckons the occurrences in their order; the annual aggregate runs through them."""

    def __init__(self, index: ClaimIndex, as_of: dt.date | None = None) -> None:
        self._index = index
        self._as_of = as_of
        self._zero = round_half_up(0, index.digits)
        self._used = self._zero
        self.waiver_by_charge: dict[str, Decimal] = {}
        policy = index.claim.policy
        stated = policy is not None and policy.terms.insurance_to_value is not None
        self._blanket = value_at_risk(index) if stated else Fraction(0)

    def result(self, group: Group) -> OccurrenceResult:
        """Return one occurrence (or the group of what none explains) reckoned."""
        waivers, waiver_steps = self._waive(group)
        outcome = self._insure(group, waivers)
        loss = group.loss + self._zero
        waiver = sum(waivers, self._zero)
        renter = loss - waiver - outcome.policy - outcome.others - outcome.held_back
        occurrence = group.occurrence
        missing = any(item.found.finding.kind == "missing" for item in group.items)
        uninsured = occurrence is None and missing
        policy = self._index.claim.policy
        hints = []
        worth = None if policy is None else policy.terms.not_worth_claiming_below
        if worth is not None and outcome.says == "covered" and outcome.policy < worth:
            hints.append(
                said(
                    "the policy pays {policy}, less than {worth}: it may not be worth a claim",
                    policy=said_amount(outcome.policy),
                    worth=said_amount(worth),
                )
            )
        lacking = [f"{i.found.finding.id}: {each}" for i in group.items for each in i.lacking]
        return OccurrenceResult(
            occurrence=None if occurrence is None else occurrence.id,
            findings=tuple(item.found.finding.id for item in group.items),
            charges=tuple(dict.fromkeys(group.charges)),
            loss=loss,
            waiver=waiver,
            policy=outcome.policy,
            other_insurance=outcome.others,
            held_back=outcome.held_back,
            renter=renter,
            deductible=outcome.deductible,
            policy_by_line=outcome.by_line,
            other_by_insurer=outcome.by_insurer,
            cover="no_policy" if policy is None else outcome.says,
            reasons=outcome.reasons,
            probably_uninsured=uninsured,
            aggregate_used=outcome.used,
            borne_by=self._borne(group, outcome, loss, renter),
            hints=(*hints, *(would_help() if uninsured else ())),
            lacking=(*lacking, *outcome.lacking),
            working=self._working(group, loss, waiver, waiver_steps, outcome, renter),
        )

    def _insure(self, group: Group, waivers: Sequence[Decimal]) -> Outcome:
        policy = self._index.claim.policy
        zero = self._zero
        if policy is None:
            return Outcome(
                says="no_policy",
                policy=zero,
                others=zero,
                held_back=zero,
                deductible=zero,
                used=zero,
            )
        outcome = insure(
            self._index, policy, group, waivers, self._blanket, self._used, self._as_of
        )
        self._used += outcome.used
        return outcome

    def _waive(self, group: Group) -> tuple[list[Decimal], list[Step]]:
        """Return the waiver's part of each item; what no occurrence explains stands alone."""
        parts = [self._zero] * len(group.items)
        steps = []
        incidents: dict[tuple[str, str], tuple[WaiverTerm, list[int]]] = {}
        for position, item in enumerate(group.items):
            term = item.found.terms.waiver
            if term is not None and waiver_covers(term, item.found):
                alone = "" if group.occurrence is not None else item.found.finding.id
                key = (item.found.line.agreement, alone)
                incidents.setdefault(key, (term, []))[1].append(position)
        for term, positions in incidents.values():
            items = [group.items[i] for i in positions]
            borne, step = waived(term, items, self._index.digits)
            steps.append(step)
            for position, item, part in zip(positions, items, borne, strict=True):
                parts[position] = part
                self._share_with_charges(item, part)
        return parts, steps

    def _share_with_charges(self, item: Item, part: Decimal) -> None:
        """Spread the waiver's part of a finding over its charges and what is not yet charged."""
        weights = [Fraction(charge.owed) for charge in item.charged]
        weights.append(Fraction(item.not_yet_charged or 0))
        shares = allocate(part, weights, self._index.digits)
        for charge, share in zip(item.charged, shares[:-1], strict=True):
            self.waiver_by_charge[charge.charge] = share

    # --- who bears the rest -------------------------------------------------------------

    def _borne(
        self, group: Group, outcome: Outcome, loss: Decimal, renter: Decimal
    ) -> tuple[Bearer, ...]:
        bearers: dict[str | None, Decimal] = {}
        left = renter
        policy = self._index.claim.policy
        split = None if policy is None else policy.terms.deductible_split
        if split is not None and outcome.says == "covered":
            deductible = min(outcome.deductible, left)
            first = min(self._first_part(split, deductible, loss), deductible)
            bearers[split.first] = first
            bearers[split.rest] = bearers.get(split.rest, self._zero) + deductible - first
            left -= deductible
        for party, amount in share_out(_splits_for(self._index, group), left, self._index.digits):
            if amount or not bearers:
                bearers[party] = bearers.get(party, self._zero) + amount
        return tuple(Bearer(party=party, amount=amount) for party, amount in bearers.items())

    def _first_part(self, split: DeductibleSplit, deductible: Decimal, loss: Decimal) -> Decimal:
        if split.form == "flat":
            part = Fraction(split.amount or 0)
        else:
            base = deductible if split.form == "share" else loss
            part = Fraction(base) * (split.rate or ZERO)
        if split.minimum is not None:
            part = max(part, Fraction(split.minimum))
        if split.maximum is not None:
            part = min(part, Fraction(split.maximum))
        return round_half_up(part, self._index.digits)

    def _working(
        self,
        group: Group,
        loss: Decimal,
        waiver: Decimal,
        waiver_steps: Sequence[Step],
        outcome: Outcome,
        renter: Decimal,
    ) -> Step:
        title = said("What no occurrence explains")
        if group.occurrence is not None:
            title = group.occurrence.title
        loss_step = money_step(
            said_in("working", "Loss"),
            said("owed for the charges of its findings and the value of what is not yet charged"),
            loss,
            inputs(
                *((i.found.working.label, i.owed) for i in group.items),
                (said("fees and interest"), group.fees or None),
                (said_in("working", "tax"), group.tax or None),
                (said("charges that match no finding"), group.unmatched or None),
            ),
        )
        steps = [loss_step, *waiver_steps]
        if outcome.step is not None:
            steps.append(outcome.step)
        return money_step(
            said("Borne by the renter: {title}", title=title),
            said("loss − waiver − policy − other insurance − held back"),
            renter,
            inputs(
                (said_in("working", "loss"), loss),
                (said_in("working", "waiver"), waiver),
                (said_in("working", "policy"), outcome.policy),
                (said("other insurance"), outcome.others),
                (said_in("working", "held back"), outcome.held_back),
            ),
            steps=steps,
        )


def _splits_for(index: ClaimIndex, group: Group) -> list[Split]:
    """Return the splits of the occurrence, else those that stand for all of them."""
    own = None if group.occurrence is None else group.occurrence.id
    splits = index.claim.splits
    mine = [split for split in splits if split.occurrence is not None and split.occurrence == own]
    return mine or [split for split in splits if split.occurrence is None]


def share_out(
    splits: Sequence[Split], amount: Decimal, digits: int
) -> list[tuple[str | None, Decimal]]:
    """Share ``amount`` by the splits in their order; what none takes stays with the renter.

    A split takes its amount, else its percentage of what is left, never above ``at_most``; one
    with neither takes the rest.
    """
    shares: list[tuple[str | None, Decimal]] = []
    left = amount
    for split in splits:
        if split.amount is not None:
            part = round_half_up(split.amount, digits)
        elif split.share_percent is not None:
            part = round_half_up(Fraction(left) * Fraction(split.share_percent) / 100, digits)
        else:
            part = left
        if split.at_most is not None:
            part = min(part, round_half_up(split.at_most, digits))
        part = min(part, left)
        shares.append((split.party, part))
        left -= part
    if left or not shares:
        shares.append((None, left))
    return shares

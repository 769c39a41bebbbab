"""Each finding under the agreement: how many units, since when, and worth what."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.causes import Cause
from ldapp.claim.findings import Finding, Occurrence
from ldapp.claim.grounds import GroundCode
from ldapp.claim.kit import KitLine, Part
from ldapp.claim.terms import Terms
from ldapp.language import marked, said, said_in
from ldapp.reckoning.answerable import OnFinding, answerable_units
from ldapp.reckoning.custody import CustodyWindow, custody_window
from ldapp.reckoning.depreciation import depreciation_rate
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.money import round_half_up
from ldapp.reckoning.repair import Damage, damage
from ldapp.reckoning.result import Bracket, DateOfLoss, LineCounts, Step
from ldapp.reckoning.times import occurrence_time, time_text
from ldapp.reckoning.valuation import (
    UnitFacts,
    UnitValue,
    ValueRules,
    agreement_rules,
    depreciation_lacks,
    unit_value,
)
from ldapp.reckoning.workings import inputs, money_step, plain_step

LineKey = tuple[str, str | None]


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Reckoned:
    """A finding with everything that its charges, the waiver and the policy need of it."""

    finding: Finding
    line: KitLine
    part: Part | None
    occurrence: Occurrence | None
    cause: Cause | None
    terms: Terms
    rules: ValueRules
    facts: UnitFacts
    counts: LineCounts | None
    brackets: tuple[Bracket, ...]
    date: DateOfLoss
    quantity: int
    """The units that the counts and the custody leave on the renter."""
    outside: int
    """Units lost before custody began or after it ended."""
    custody_open: bool
    excused: GroundCode | None
    """The ground on which the terms leave nothing of it to the renter."""
    presumed: bool
    """Whether the terms ask for the renter's fault and nobody has said whose it was."""
    unit: UnitValue
    damage: Damage | None
    amount: Decimal | None
    """The value of all reckoned units, or the repair."""
    lacking: tuple[str, ...]
    working: Step

    @property
    def lost(self) -> bool:
        """Whether the thing is gone or beyond repair."""
        return self.damage is None or bool(self.damage.total_loss)


def effective_cause(finding: Finding, occurrence: Occurrence | None) -> Cause | None:
    """Return the finding's own cause, else its occurrence's."""
    if finding.cause is not None:
        return finding.cause
    return None if occurrence is None else occurrence.cause


def reckon_findings(index: ClaimIndex, counts: Mapping[LineKey, LineCounts]) -> dict[str, Reckoned]:
    """Return every finding reckoned, by its id, in the order of lines."""
    windows = {
        agreement.id: custody_window(agreement, index.ordered_counts)
        for agreement in index.claim.agreements
    }
    result: dict[str, Reckoned] = {}
    for line_id in sorted(index.findings_by_line, key=index.line_rank.__getitem__):
        findings = index.findings_by_line[line_id]
        line = index.lines[line_id]
        shares = _share_brackets(index, findings, counts)
        for finding in findings:
            result[finding.id] = _reckon(
                index, finding, line, counts, shares.get(finding.id), windows[line.agreement]
            )
    return result


def _share_brackets(
    index: ClaimIndex, findings: list[Finding], counts: Mapping[LineKey, LineCounts]
) -> dict[str, tuple[Bracket, ...]]:
    """Give each missing finding its units' brackets: by serial, by its event, then in order.

    A finding whose line was never counted back is left out.
    """
    shares: dict[str, list[Bracket]] = {}
    left: dict[LineKey, list[Bracket]] = {}
    wanting = []
    for finding in findings:
        key = (finding.line, finding.part)
        line_counts = counts.get(key)
        if finding.kind == "missing" and line_counts and line_counts.missing is not None:
            shares[finding.id] = []
            left.setdefault(key, list(line_counts.brackets))
            wanting.append((finding, key))

    def take(finding: Finding, key: LineKey, fits: list[Bracket]) -> None:
        for bracket in fits:
            if len(shares[finding.id]) < finding.quantity:
                shares[finding.id].append(bracket)
                left[key].remove(bracket)

    for finding, key in wanting:
        take(finding, key, [b for b in left[key] if b.serial and b.serial in finding.serials])
    for finding, key in wanting:
        occurrence = index.occurrences.get(finding.occurrence or "")
        at = None if occurrence is None else occurrence_time(occurrence, index.zone)
        if at is not None:
            take(finding, key, [b for b in left[key] if contains(b, at)])
    for finding, key in wanting:
        take(finding, key, list(left[key]))
    return {finding_id: tuple(brackets) for finding_id, brackets in shares.items()}


def contains(bracket: Bracket, at: dt.datetime) -> bool:
    """Say whether an instant lies inside a bracket, as far as its ends are known."""
    seen = None if bracket.last_seen is None else bracket.last_seen.at
    return (seen is None or seen <= at) and (bracket.gone.at is None or at <= bracket.gone.at)


def _reckon(
    index: ClaimIndex,
    finding: Finding,
    line: KitLine,
    counts: Mapping[LineKey, LineCounts],
    brackets: tuple[Bracket, ...] | None,
    window: CustodyWindow,
) -> Reckoned:
    terms = index.terms_of(line)
    part = next((p for p in line.parts if p.id == finding.part), None)
    line_counts = counts.get((line.id, finding.part))
    occurrence = index.occurrences.get(finding.occurrence or "")
    cause = effective_cause(finding, occurrence)
    date = _date_of_loss(index, finding, line, occurrence, brackets, line_counts)
    at_most = len(brackets) if brackets is not None else _received(line_counts)
    answerable = answerable_units(
        OnFinding(finding, terms, occurrence, cause, index.agreements[line.agreement], line_counts),
        date,
        brackets,
        at_most,
        window,
    )
    quantity = answerable.units
    facts = UnitFacts(line, part, finding, date.day)
    rules = agreement_rules(terms, line)
    unit = unit_value(facts, rules, index.digits)
    hurt = None
    lacking: tuple[str, ...] = ()
    zero = round_half_up(0, index.digits)
    amount: Decimal | None = zero
    steps = [_date_step(date), answerable.step]
    if finding.kind == "damaged":
        rate = _rate(rules, facts)
        hurt = damage(finding, quantity or finding.quantity, unit, rate, terms, index.digits)
        steps.append(hurt.step)
        if quantity:
            amount, lacking = hurt.owed, hurt.lacking
    elif finding.kind == "missing":
        steps.append(unit.step)
        if quantity:
            amount = None if unit.amount is None else unit.amount * quantity
            lacking = unit.lacking
    working = money_step(
        said(
            _LABELS[finding.kind],
            thing=line.description if part is None else part.description,
        ),
        said("units × value of one unit") if hurt is None else said("what the damage comes to"),
        amount,
        inputs((said_in("working", "units"), quantity), (said_in("working", "line"), line.number)),
        steps=steps,
    )
    return Reckoned(
        finding=finding,
        line=line,
        part=part,
        occurrence=occurrence,
        cause=cause,
        terms=terms,
        rules=rules,
        facts=facts,
        counts=line_counts,
        brackets=brackets or (),
        date=date,
        quantity=quantity,
        outside=answerable.outside,
        custody_open=answerable.custody_open,
        excused=answerable.excused,
        presumed=answerable.presumed,
        unit=unit,
        damage=hurt,
        amount=amount,
        lacking=lacking,
        working=working,
    )


def _rate(rules: ValueRules, facts: UnitFacts) -> Fraction | None:
    """Return the depreciation rate of a damaged unit, where one can be computed."""
    rule = rules.depreciation
    if rule is None or depreciation_lacks(rule, facts.age):
        return None
    return depreciation_rate(rule, facts.age)[0]


_LABELS = {
    "missing": marked("Missing: {thing}"),
    "damaged": marked("Damaged: {thing}"),
    "short_at_pickup": marked("Short at pickup: {thing}"),
    "exchanged": marked("Exchanged: {thing}"),
    "over": marked("Over: {thing}"),
}


def _date_of_loss(
    index: ClaimIndex,
    finding: Finding,
    line: KitLine,
    occurrence: Occurrence | None,
    brackets: tuple[Bracket, ...] | None,
    counts: LineCounts | None,
) -> DateOfLoss:
    """Return the occurrence's time, else the end of the bracket, the last count, the due date."""
    at = None if occurrence is None else occurrence_time(occurrence, index.zone)
    if at is not None:
        return DateOfLoss(at=at, day=_day(index, at), known_from="occurrence")
    found = [b.gone.at for b in brackets or () if b.gone.at is not None]
    if found:
        at = max(found)
        return DateOfLoss(at=at, day=_day(index, at), known_from="bracket")
    closing = None if counts is None else counts.return_count or counts.check_in_count
    count = index.counts.get(closing or "")
    if count is not None and count.at is not None:
        return DateOfLoss(at=count.at, day=_day(index, count.at), known_from="last_count")
    at = index.agreements[line.agreement].ends
    if at is not None:
        return DateOfLoss(at=at, day=_day(index, at), known_from="rental_end")
    return DateOfLoss(at=None, day=None, known_from="nothing")


def _day(index: ClaimIndex, at: dt.datetime) -> dt.date:
    return at.astimezone(index.zone).date()


_DATE_WORDS = {
    "occurrence": marked("the occurrence's"),
    "bracket": marked("found: the count at which it was gone"),
    "last_count": marked("found: the closing count"),
    "rental_end": marked("found: the day the return was due"),
    "nothing": marked("no count, occurrence or due date gives one"),
}


def _date_step(date: DateOfLoss) -> Step:
    return plain_step(said("Date of loss"), said(_DATE_WORDS[date.known_from]), time_text(date.at))


def _received(counts: LineCounts | None) -> int | None:
    """Return how many can be missing or damaged at all where a pickup count says so."""
    if counts is None or counts.received_from == "list":
        return None
    return max(0, counts.expected)

"""What the counts and terms suggest: findings and grounds for a person to confirm.

Nothing here is entered by itself.  A proposal says why, and what it rests on.
"""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Callable, Mapping, Set
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.charges import Charge, GroundChoice, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Condition, Stage
from ldapp.claim.findings import Finding, FindingKind
from ldapp.claim.grounds import GROUND_BY_CODE, GroundCode
from ldapp.claim.record import record
from ldapp.language import marked, said
from ldapp.reckoning.bills import Bill, gather
from ldapp.reckoning.charges import ChargeReckoner
from ldapp.reckoning.check import check_terms, hangs_together
from ldapp.reckoning.counts import count_lines
from ldapp.reckoning.findings import reckon_findings
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import Bracket, ChargeResult, LineCounts
from ldapp.reckoning.times import said_time


@record
class ProposedFinding:
    """A finding as the counts show it; its ``finding.id`` is free to be replaced."""

    finding: Finding
    reason: str


@record
class ProposedGround:
    """A ground that would take ``amount`` off a charge, and what it rests on."""

    invoice: str
    charge: str
    choice: GroundChoice
    amount: Decimal
    strong: bool
    reason: str
    rests_on: tuple[str, ...] = ()
    beside: Decimal | None = None
    """What it would add to what is disputed beside the grounds in force; None without any."""


def propose_findings(claim: Claim) -> tuple[ProposedFinding, ...]:
    """Return what the counts show and no finding says yet, in the order of the lines.

    Units that went between different counts become findings of their own.  A claim whose
    references or times are not sound gets no proposal; the reckoning names its faults.
    """
    if not hangs_together(claim):
        return ()
    index = ClaimIndex(claim)
    counts = count_lines(index)
    known: dict[tuple[str, str | None, FindingKind], int] = defaultdict(int)
    for finding in claim.findings:
        known[finding.line, finding.part, finding.kind] += finding.quantity
    proposals: list[ProposedFinding] = []
    ordered = sorted(counts.values(), key=lambda c: (index.line_rank[c.line], c.part or ""))
    for line in ordered:
        proposals += _of_line(line, known)
    proposals += _damaged(index, known)
    return tuple(proposals)


def _of_line(
    counts: LineCounts, known: Mapping[tuple[str, str | None, FindingKind], int]
) -> list[ProposedFinding]:
    def already(kind: FindingKind) -> int:
        return known.get((counts.line, counts.part, kind), 0)

    proposals = []
    short = counts.short_at_pickup - already("short_at_pickup")
    if short > 0:
        reason = said(
            "{listed} on the list, {received} at the pickup count",
            listed=counts.listed,
            received=counts.received,
        )
        proposals.append(_propose(counts, "short_at_pickup", short, reason))
    missing = (counts.missing or 0) - already("missing")
    if missing > 0:
        spans: dict[tuple[str | None, str], list[Bracket]] = defaultdict(list)
        for bracket in counts.brackets[-missing:]:
            seen = bracket.last_seen
            spans[None if seen is None else seen.count, bracket.gone.count].append(bracket)
        for brackets in spans.values():
            serials = tuple(b.serial for b in brackets if b.serial is not None)
            reason = said(
                "{expected} expected, {back} back; {span}",
                expected=counts.expected,
                back=counts.back,
                span=_span(brackets[0]),
            )
            proposals.append(_propose(counts, "missing", len(brackets), reason, serials))
    over = (counts.over or 0) - already("over")
    if over > 0:
        reason = said(
            "{expected} expected, {back} back: perhaps of another order",
            expected=counts.expected,
            back=counts.back,
        )
        proposals.append(_propose(counts, "over", over, reason))
    strange = counts.strange_serials[already("exchanged") :]
    if strange:
        reason = said(
            "serial numbers came back that were not sent out: {serials}", serials=", ".join(strange)
        )
        proposals.append(_propose(counts, "exchanged", len(strange), reason, strange))
    return proposals


def _span(bracket: Bracket) -> str:
    gone = said_time(bracket.gone.at)
    if bracket.last_seen is None:
        return said("gone at the count of {gone}, seen at none before", gone=gone)
    return said("last seen {seen}, gone {gone}", seen=said_time(bracket.last_seen.at), gone=gone)


def _propose(
    counts: LineCounts,
    kind: FindingKind,
    quantity: int,
    reason: str,
    serials: tuple[str, ...] = (),
) -> ProposedFinding:
    tail = f"-{serials[0]}" if serials else f"-{quantity}"
    part = f"-{counts.part}" if counts.part else ""
    return ProposedFinding(
        finding=Finding(
            id=f"{counts.line}{part}-{kind}{tail}",
            line=counts.line,
            part=counts.part,
            kind=kind,
            quantity=quantity,
            serials=serials,
        ),
        reason=reason,
    )


_CONDITION_WORDS: dict[Condition, str] = {
    "damaged": marked("damaged"),
    "not_working": marked("not working"),
}
_NOTED_AT: dict[Stage, str] = {
    "return": marked("noted as {condition} at the return count; say how many units"),
    "check_in": marked("noted as {condition} at the check-in count; say how many units"),
}


def _damaged(
    index: ClaimIndex, known: Mapping[tuple[str, str | None, FindingKind], int]
) -> list[ProposedFinding]:
    """Propose damage where a return count or check-in notes it and the pickup count does not.

    A finding on a part of the line may be what the count saw: then nothing is proposed.
    """
    before: set[str] = set()
    noted: dict[str, tuple[Condition, Stage]] = {}
    for count in index.ordered_counts:
        for entry in count.entries:
            if count.stage == "pickup":
                if entry.condition in ("damaged_before", "damaged", "not_working"):
                    before.add(entry.line)
            elif count.stage != "during" and entry.condition in ("damaged", "not_working"):
                noted.setdefault(entry.line, (entry.condition, count.stage))
    entered = {
        line
        for (line, part, kind), units in known.items()
        if units and (kind == "damaged" or part is not None)
    }
    proposals = []
    for line_id in sorted(noted, key=index.line_rank.__getitem__):
        if line_id not in before and line_id not in entered:
            finding = Finding(id=f"{line_id}-damaged", line=line_id, kind="damaged", quantity=1)
            condition, stage = noted[line_id]
            reason = said(_NOTED_AT[stage], condition=said(_CONDITION_WORDS[condition]))
            proposals.append(ProposedFinding(finding=finding, reason=reason))
    return proposals


def propose_grounds(
    claim: Claim, photo_standings: Mapping[str, str] | None = None
) -> tuple[ProposedGround, ...]:
    """Return the grounds that would take something off a charge and that nobody has weighed yet.

    Each fitting ground is tried in its order beside those already chosen; one that takes
    nothing is not proposed.  A wrong product is tried by itself as well: nothing is easier to
    prove, and a ground that comes before it would hide it.  A claim that the reckoning refuses
    gets no proposal.
    """
    if check_terms(claim):
        return ()
    standings = photo_standings or {}
    index = ClaimIndex(claim)
    counts = count_lines(index)
    tried: dict[str, frozenset[GroundCode]] = {}
    wrong: dict[str, frozenset[GroundCode]] = {}
    bills = gather(index, reckon_findings(index, counts), counts, standings)
    for bill in bills:
        fitting = frozenset(_fitting(index, bill)) - {c.code for c in bill.charge.grounds}
        tried[bill.charge.id] = fitting
        if "arithmetic" in fitting and _product_is_less(bill):
            wrong[bill.charge.id] = frozenset({"arithmetic"})

    def answered(codes: Mapping[str, frozenset[GroundCode]]) -> tuple[ChargeResult, ...]:
        trial = dataclasses.replace(
            claim, invoices=tuple(_with_grounds(invoice, codes) for invoice in claim.invoices)
        )
        trial_index = ClaimIndex(trial)
        trial_bills = gather(trial_index, reckon_findings(trial_index, counts), counts, standings)
        return tuple(ChargeReckoner(trial_index, trial_bills).results())

    def taken(codes: Mapping[str, frozenset[GroundCode]]) -> dict[str, list[ProposedGround]]:
        return {
            one.charge: _proposed(one, codes.get(one.charge, frozenset()))
            for one in answered(codes)
        }

    alone = taken(wrong) if wrong else {}
    proposals: list[ProposedGround] = []
    for charge, found in taken(tried).items():
        hidden = not any(one.choice.code == "arithmetic" for one in found)
        proposals += (*(alone.get(charge, ()) if hidden else ()), *found)
    in_force = {one.charge.id for one in bills if any(c.on for c in one.charge.grounds)}
    return _beside_those_in_force(proposals, in_force, answered)


def _beside_those_in_force(
    proposals: list[ProposedGround],
    in_force: Set[str],
    answered: Callable[[Mapping[str, frozenset[GroundCode]]], tuple[ChargeResult, ...]],
) -> tuple[ProposedGround, ...]:
    """Try each ground of a charge by itself beside those in force: it may take the same money."""
    waiting: dict[str, list[GroundCode]] = defaultdict(list)
    for one in proposals:
        if one.charge in in_force:
            waiting[one.charge].append(one.choice.code)
    if not waiting:
        return tuple(proposals)
    without = {one.charge: one.disputed for one in answered({})}
    more: dict[tuple[str, GroundCode], Decimal] = {}
    for turn in range(max(map(len, waiting.values()))):
        tried = {charge: codes[turn] for charge, codes in waiting.items() if turn < len(codes)}
        for result in answered({charge: frozenset({code}) for charge, code in tried.items()}):
            if result.charge in tried:
                key = (result.charge, tried[result.charge])
                more[key] = result.disputed - without[result.charge]
    return tuple(
        dataclasses.replace(one, beside=more.get((one.charge, one.choice.code)))
        for one in proposals
    )


def _product_is_less(bill: Bill) -> bool:
    price = bill.charge.unit_price
    return price is not None and Fraction(price) * bill.quantity * (bill.days or 1) < bill.billed


def _proposed(result: ChargeResult, tried: Set[GroundCode]) -> list[ProposedGround]:
    return [
        ProposedGround(
            invoice=result.invoice,
            charge=result.charge,
            choice=GroundChoice(code=ground.code),
            amount=ground.amount,
            strong=ground.strong,
            reason=(
                said(
                    "{ground}; proved by {proof}",
                    ground=said(GROUND_BY_CODE[ground.code].label),
                    proof=said(GROUND_BY_CODE[ground.code].proof),
                )
            ),
            rests_on=ground.rests_on,
        )
        for ground in result.grounds
        if ground.amount and ground.code in tried
    ]


def _with_grounds(invoice: Invoice, tried: Mapping[str, frozenset[GroundCode]]) -> Invoice:
    def extended(charge: Charge) -> Charge:
        more = tuple(GroundChoice(code=code) for code in sorted(tried.get(charge.id, ())))
        return dataclasses.replace(charge, grounds=(*charge.grounds, *more)) if more else charge

    return dataclasses.replace(invoice, charges=tuple(extended(c) for c in invoice.charges))


def _fitting(index: ClaimIndex, bill: Bill) -> set[GroundCode]:
    """Return the grounds whose facts the claim itself holds for this charge."""
    if bill.family == "unit":
        codes = _fitting_units(bill)
    elif bill.family == "repair":
        codes = {"repair_undocumented", "repair_cheaper", "betterment", "schedule_exceeded"}
    elif bill.family == "use":
        codes = {"loss_of_use_days", "loss_of_use_cap", "loss_of_use_rate", "rent_already_paid"}
        codes |= {"loss_of_use_unproved", "fee_not_agreed"}
    elif bill.family == "fee":
        codes = {"fee_not_agreed"} if bill.terms.fees else set()
    elif bill.family == "tax":
        codes = {"tax_not_due"} if bill.terms.tax is not None else set()
    else:
        codes = {"arithmetic"} if bill.family == "difference" else set()
    if bill.family in ("repair", "fee") and bill.charge.unit_price is not None:
        codes.add("arithmetic")
    found = bill.reckoned
    if found is not None and found.excused is not None:
        codes.add(found.excused)
    if found is not None and found.finding.kind == "damaged":
        if found.cause == "breakdown":
            codes.add("breakdown")
        if found.line.id in index.noted_at_pickup:
            codes.add("prior_damage")
    return codes


def _fitting_units(bill: Bill) -> set[GroundCode]:
    if bill.line is None:
        return {"unexplained_charge"}
    codes: set[GroundCode] = {"never_received", "returned", "outside_custody", "quantity"}
    codes |= {"billed_twice", "arithmetic", "valuation_date", "set_billed_for_part"}
    bases = () if bill.rules.rule is None else bill.rules.rule.bases
    if bases == ("actual_cash_value",):
        codes.add("depreciation")
    elif bases != ("replacement_cost",) and bases:
        codes.add("value_basis")
        codes.discard("valuation_date")
    if bill.rules.ceiling is not None or "scheduled_value" in bases:
        codes.add("schedule_exceeded")
    if bill.rules.discount is not None:
        codes.add("lessors_discount")
    if bill.reckoned is not None and bill.reckoned.damage is not None:
        codes.add("salvage_credit" if bill.reckoned.lost else "repair_cheaper")
    return codes

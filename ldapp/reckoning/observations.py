"""What of a reckoning somebody should look at: defaults taken, what is open or lacking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ldapp.claim.grounds import GROUND_BY_CODE
from ldapp.language import said, said_of
from ldapp.reckoning.contradictions import facts_that_differ
from ldapp.reckoning.figures import said_amount
from ldapp.reckoning.findings import Reckoned
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import (
    ChargeResult,
    FindingResult,
    InvoiceResult,
    MixUp,
    Observation,
    ObservationCode,
    OccurrenceResult,
)
from ldapp.reckoning.workings import defaults_taken


def observe(
    index: ClaimIndex,
    findings: Sequence[FindingResult],
    found: Mapping[str, Reckoned],
    charges: Sequence[ChargeResult],
    occurrences: Sequence[OccurrenceResult],
    invoices: Sequence[InvoiceResult],
    sisters: Sequence[MixUp],
) -> tuple[Observation, ...]:
    """Return the observations in the order of findings, charges, occurrences and invoices."""
    seen: list[Observation] = []
    for finding in findings:
        seen += _of_finding(index, finding, found[finding.finding])
    for charge in charges:
        for text in defaults_taken(charge.working):
            seen.append(_observation("not_stated", "charge", charge.charge, text))
        for ground in charge.grounds:
            label = said(GROUND_BY_CODE[ground.code].label)
            if ground.amount and ground.against:
                says = said(
                    "against the ground “{label}” the agreement says: {against}",
                    label=label,
                    against=ground.against,
                )
                seen.append(_observation("clause_against", "charge", charge.charge, says))
            if not ground.amount:
                says = said("the ground “{label}” is on and takes nothing", label=label)
                seen.append(_observation("ground_takes_nothing", "charge", charge.charge, says))
    for occurrence in occurrences:
        place = occurrence.occurrence or ""
        for text in defaults_taken(occurrence.working):
            seen.append(_observation("not_stated", "occurrence", place, text))
    for invoice in invoices:
        seen += _of_invoice(invoice)
    for sister in sisters:
        other = index.lines[sister.over_line]
        says = said_of(
            sister.units,
            "{count} short here, and as many over in line {number}, {description}: mixed up?",
            "{count} short here, and as many over in line {number}, {description}: mixed up?",
            count=sister.units,
            number=other.number,
            description=other.description,
        )
        seen.append(_observation("sister_line", "kit_line", sister.short_line, says))
    seen += facts_that_differ(index, found, charges, occurrences)
    return tuple(dict.fromkeys(seen))


def _of_finding(index: ClaimIndex, finding: FindingResult, found: Reckoned) -> list[Observation]:
    place = finding.finding
    seen = [
        _observation("not_stated", "finding", place, text)
        for text in defaults_taken(finding.working)
    ]
    counted = len(found.brackets) if found.counts is not None else None
    by_counts = found.counts is not None and found.counts.missing is not None
    if finding.kind == "missing" and by_counts and counted != finding.quantity:
        says = said(
            "the finding says {quantity}, the counts leave {counted} for it",
            quantity=finding.quantity,
            counted=counted,
        )
        seen.append(_observation("finding_above_counts", "finding", place, says))
    if found.custody_open:
        says = said("a boundary of custody lies inside the time in which it was lost")
        seen.append(_observation("custody_open", "finding", place, says))
    if found.presumed:
        says = said(
            "the renter answers for fault alone; nobody has said whose it was, so it is presumed"
        )
        seen.append(_observation("fault_presumed", "finding", place, says))
    if found.counts is not None and found.counts.back_from == "check_in":
        says = said("only the rental company counted it back: one side, theirs")
        closing = found.terms.closing_count
        if closing is not None and closing.rule == "joint":
            says = said(
                "only the rental company counted it back: one side, theirs; the agreement asks for "
                "a joint count"
            )
        elif found.counts.return_count is not None:
            says = said(
                "the rental company's own count decides by the agreement; ours is "
                "acknowledged by one side alone"
            )
        seen.append(_observation("one_sided_check_in", "finding", place, says))
    if finding.lacking:
        says = said("cannot be computed yet: {lacking}", lacking=", ".join(finding.lacking))
        seen.append(_observation("cannot_compute", "finding", place, says))
    if finding.kind == "damaged" and found.quantity and finding.line in index.noted_at_pickup:
        says = said("damage was noted on this line at pickup: is it the same?")
        seen.append(_observation("noted_at_pickup", "finding", place, says))
    if found.damage is not None and found.damage.unchecked:
        says = said("whether the repair is above the value could not be checked")
        seen.append(_observation("unchecked_repair", "finding", place, says))
    return seen


def _of_invoice(result: InvoiceResult) -> list[Observation]:
    seen = []
    if result.difference:
        says = said(
            "the printed total differs from its lines by {difference}",
            difference=said_amount(result.difference),
        )
        seen.append(_observation("printed_total_differs", "invoice", result.invoice, says))
    if result.tax_without_charge and result.replaced_by is None:
        says = said(
            "the invoice prints {tax} of tax that no charge "
            "carries, so it is neither owed nor disputed; enter it as a charge",
            tax=said_amount(result.tax_without_charge),
        )
        seen.append(_observation("tax_without_charge", "invoice", result.invoice, says))
    return seen


def _observation(code: ObservationCode, kind: str, place: str, says: str) -> Observation:
    return Observation(code=code, kind=kind, place=place, says=says)

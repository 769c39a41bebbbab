"""What is odd about a kit line, as a person sees it beside the line."""

from __future__ import annotations

from collections import Counter

from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from ldapp.language import said, said_of


def faults_by_line(claim: Claim) -> dict[str, tuple[str, ...]]:
    """Return a few words for everything that is odd about each line; most lines have none."""
    numbers = Counter((line.agreement, line.number) for line in claim.kit)
    serials = Counter(serial for line in claim.kit for serial in line.serials)
    agreements = {agreement.id for agreement in claim.agreements}
    found: dict[str, tuple[str, ...]] = {}
    for line in claim.kit:
        faults = _faults(line, numbers, serials, agreements)
        if faults:
            found[line.id] = faults
    return found


def _faults(
    line: KitLine,
    numbers: Counter[tuple[str, str]],
    serials: Counter[str],
    agreements: set[str],
) -> tuple[str, ...]:
    faults = []
    if line.agreement not in agreements:
        faults.append(said("under no agreement"))
    if not line.number:
        faults.append(said("no line number"))
    elif numbers[line.agreement, line.number] > 1:
        faults.append(said("line number given twice"))
    if line.quantity == 0:
        faults.append(said("quantity 0"))
    if line.serials and len(line.serials) != line.quantity:
        faults.append(
            said_of(
                len(line.serials),
                "{count} serial number for {quantity} units",
                "{count} serial numbers for {quantity} units",
                quantity=line.quantity,
            )
        )
    twice = [serial for serial in line.serials if serials[serial] > 1]
    if twice:
        faults.append(said("serial number {serial} stands twice", serial=twice[0]))
    if line.replacement_cost is None and line.scheduled_value is None and line.kind != "consumable":
        faults.append(said("no value"))
    return tuple(faults)

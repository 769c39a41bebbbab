"""What is odd about a kit line, as a person sees it beside the line."""

from __future__ import annotations

from collections import Counter

from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine


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
        faults.append("under no agreement")
    if not line.number:
        faults.append("no line number")
    elif numbers[line.agreement, line.number] > 1:
        faults.append("line number given twice")
    if line.quantity == 0:
        faults.append("quantity 0")
    if line.serials and len(line.serials) != line.quantity:
        given = len(line.serials)
        word = "serial number" if given == 1 else "serial numbers"
        faults.append(f"{given} {word} for {line.quantity} units")
    twice = [serial for serial in line.serials if serials[serial] > 1]
    if twice:
        faults.append(f"serial number {twice[0]} stands twice")
    if line.replacement_cost is None and line.scheduled_value is None and line.kind != "consumable":
        faults.append("no value")
    return tuple(faults)

"""What a person does with findings and occurrences."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from ldapp.casework.edit import get, put, without
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.claim.claim import Claim
from ldapp.claim.findings import Finding, FindingKind, Occurrence
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of
from ldapp.reckoning.proposals import ProposedFinding, propose_findings

FINDING_NAMES: dict[FindingKind, str] = {
    "missing": marked("missing"),
    "damaged": marked("damaged"),
    "short_at_pickup": marked("short at pickup"),
    "exchanged": marked("exchanged"),
    "over": marked("more than expected"),
}


def proposals(claim: Claim) -> tuple[ProposedFinding, ...]:
    """What the counts say that no finding of the claim says yet; nothing is added."""
    return propose_findings(claim)


def accept_proposals(desk: OpenClaim, findings: Iterable[Finding]) -> bool:
    """Confirm proposed findings, as one change."""
    new = tuple(dataclasses.replace(one, id=new_id()) for one in findings)
    return desk.change(
        said_of(len(new), "Accept {count} finding", "Accept {count} findings"),
        lambda claim: dataclasses.replace(claim, findings=(*claim.findings, *new)),
    )


def add_finding(
    desk: OpenClaim, line: str, kind: FindingKind, quantity: int = 1, narrative: str = ""
) -> Finding:
    """Enter a finding by hand; return it.

    Raises:
        LdappError: the quantity is below 1, or the line is gone.
    """
    if quantity < 1:
        raise LdappError(said("A finding concerns at least one unit."))
    get(desk.claim.kit, line, "kit line")
    finding = Finding(id=new_id(), line=line, kind=kind, quantity=quantity, narrative=narrative)
    desk.change(
        said("Finding: {kind}", kind=said(FINDING_NAMES[kind])),
        lambda claim: dataclasses.replace(claim, findings=(*claim.findings, finding)),
    )
    return finding


def put_finding(desk: OpenClaim, finding: Finding, label: str = "") -> bool:
    """Replace one finding.

    Raises:
        LdappError: a value stated by hand has no reason beside it.
    """
    if finding.stated_value is not None and not finding.stated_value_reason.strip():
        raise LdappError(said("A value stated by hand needs its reason: what is it based on?"))
    return desk.change(
        label or said("Finding: {kind}", kind=said(FINDING_NAMES[finding.kind])),
        lambda claim: dataclasses.replace(claim, findings=put(claim.findings, finding)),
    )


def put_findings(desk: OpenClaim, findings: Iterable[Finding], label: str) -> bool:
    """Replace several findings as one change (a paste over cells)."""
    changed = {one.id: one for one in findings}
    return desk.change(
        label,
        lambda claim: dataclasses.replace(
            claim, findings=tuple(changed.get(one.id, one) for one in claim.findings)
        ),
    )


def remove_findings(desk: OpenClaim, findings: Iterable[str]) -> bool:
    """Remove findings; charges and photos that named them lose the link, as one change."""
    ids = set(findings)

    def make(claim: Claim) -> Claim:
        invoices = tuple(
            dataclasses.replace(
                invoice,
                charges=tuple(
                    dataclasses.replace(charge, finding=None) if charge.finding in ids else charge
                    for charge in invoice.charges
                ),
            )
            if any(charge.finding in ids for charge in invoice.charges)
            else invoice
            for invoice in claim.invoices
        )
        photos = tuple(
            dataclasses.replace(
                photo,
                pairings=tuple(
                    dataclasses.replace(pairing, finding=None)
                    if pairing.finding in ids
                    else pairing
                    for pairing in photo.pairings
                ),
            )
            if any(pairing.finding in ids for pairing in photo.pairings)
            else photo
            for photo in claim.photos
        )
        return dataclasses.replace(
            claim, findings=without(claim.findings, ids), invoices=invoices, photos=photos
        )

    return desk.change(
        said_of(len(ids), "Remove {count} finding", "Remove {count} findings"),
        make,
    )


def add_occurrence(desk: OpenClaim, title: str) -> Occurrence:
    """Add an event; return it."""
    occurrence = Occurrence(id=new_id(), title=title.strip() or said("New occurrence"))
    put_occurrence(desk, occurrence)
    return occurrence


def put_occurrence(desk: OpenClaim, occurrence: Occurrence) -> bool:
    """Add an event, or replace the one with its id."""
    return desk.change(
        said("Occurrence {title}", title=occurrence.title),
        lambda claim: dataclasses.replace(claim, occurrences=put(claim.occurrences, occurrence)),
    )


def remove_occurrence(desk: OpenClaim, occurrence: str) -> bool:
    """Remove an event; its findings stay, explained by none."""

    def make(claim: Claim) -> Claim:
        return dataclasses.replace(
            claim,
            occurrences=without(claim.occurrences, {occurrence}),
            findings=tuple(
                dataclasses.replace(one, occurrence=None) if one.occurrence == occurrence else one
                for one in claim.findings
            ),
            splits=without(
                claim.splits, {one.id for one in claim.splits if one.occurrence == occurrence}
            ),
        )

    return desk.change(said("Remove occurrence"), make)


def assign_to_occurrence(desk: OpenClaim, findings: Iterable[str], occurrence: str | None) -> bool:
    """Say which event caused these findings, or that none explains them."""
    ids = set(findings)

    def make(claim: Claim) -> Claim:
        if occurrence is not None:
            get(claim.occurrences, occurrence, "occurrence")
        return dataclasses.replace(
            claim,
            findings=tuple(
                dataclasses.replace(one, occurrence=occurrence) if one.id in ids else one
                for one in claim.findings
            ),
        )

    return desk.change(
        said_of(
            len(ids),
            "Put {count} finding under an occurrence",
            "Put {count} findings under an occurrence",
        ),
        make,
    )

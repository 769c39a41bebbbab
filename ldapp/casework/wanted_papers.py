"""The papers that a policy asks for, which are there and which are missing.

What an insurer asks for stands in its policy; where the policy does not say, the usual
papers are asked for (common practice, no source).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

from ldapp.casework.code_words import code_words
from ldapp.casework.edit import find
from ldapp.casework.places import Place
from ldapp.claim.causes import Cause
from ldapp.claim.claim import Claim
from ldapp.claim.documents import DocumentKind
from ldapp.claim.policy import WantedPaper
from ldapp.errors import LdappError
from ldapp.language import marked, said

if TYPE_CHECKING:
    from ldapp.casework.open_claim import OpenClaim

THEFT: Final[frozenset[Cause]] = frozenset(("theft", "theft_from_vehicle", "robbery", "vandalism"))
USUAL_PAPERS: Final[tuple[WantedPaper, ...]] = (
    WantedPaper(kind="proof_of_loss"),
    WantedPaper(kind="certificate_of_insurance"),
    WantedPaper(kind="agreement"),
    WantedPaper(kind="police_report", when="theft"),
    WantedPaper(kind="repair_estimate", when="damage"),
    WantedPaper(kind="receipt", when="replacement"),
)
PAPER_NAMES: Final[dict[DocumentKind, str]] = {
    "proof_of_loss": marked("Sworn statement in proof of loss"),
    "certificate_of_insurance": marked("Certificate of insurance"),
    "agreement": marked("Signed rental agreement"),
    "police_report": marked("Police report"),
    "repair_estimate": marked("Repair estimate or bill"),
    "receipt": marked("Receipt for the replacement"),
    "incident_report": marked("Incident report"),
    "replacement_quote": marked("Replacement quote"),
    "proof_of_payment": marked("Proof of payment"),
    "invoice": marked("L&D invoice"),
    "policy": marked("Policy"),
    "pickup_sheet": marked("Pickup sheet"),
    "return_sheet": marked("Return sheet"),
}
_STANDS_FOR: Final[dict[DocumentKind, tuple[DocumentKind, ...]]] = {
    "repair_estimate": ("repair_estimate", "repair_invoice"),
    "receipt": ("receipt", "proof_of_payment"),
}

Subject = tuple[str, Place, tuple[str, ...]]
"""For what a paper is wanted, where that is shown, and the documents named there."""


class PaperState(NamedTuple):
    """One paper that is asked for: for what, and whether it is there."""

    kind: DocumentKind
    what: str
    concerns: str
    """What it is wanted for; empty for the whole claim."""
    state: Literal["there", "missing"]
    title: str
    """The document that is there."""
    place: Place
    clause: str


def paper_states(claim: Claim) -> tuple[PaperState, ...]:
    """Return every paper that the claim's policy asks for; none where there is no policy."""
    if claim.policy is None:
        return ()
    wanted = claim.policy.terms.papers or USUAL_PAPERS
    return tuple(state for one in wanted for state in _states(claim, one))


def papers_missing(claim: Claim) -> int:
    """Return how many papers that the policy asks for are not there."""
    return sum(one.state == "missing" for one in paper_states(claim))


def paper_name(kind: DocumentKind) -> str:
    """Return what a kind of paper is called where it is asked for."""
    if kind in PAPER_NAMES:
        return said(PAPER_NAMES[kind])
    words = code_words(kind)
    return words[:1].upper() + words[1:]


def _states(claim: Claim, wanted: WantedPaper) -> Iterator[PaperState]:
    kinds = _STANDS_FOR.get(wanted.kind, (wanted.kind,))
    there = {one.id: one for one in claim.documents if one.kind in kinds}
    subjects = tuple(_subjects(claim, wanted))
    for concerns, place, documents in subjects:
        named = next((there[one] for one in documents if one in there), None)
        # A paper of its kind that is tied to nothing answers where there is but one question.
        if named is None and (wanted.when == "always" or len(subjects) == 1):
            named = next(iter(there.values()), None)
        yield PaperState(
            wanted.kind,
            paper_name(wanted.kind),
            concerns,
            "missing" if named is None else "there",
            "" if named is None else named.title,
            place,
            "" if wanted.clause is None else wanted.clause.reference,
        )


def _subjects(claim: Claim, wanted: WantedPaper) -> Iterator[Subject]:
    if wanted.when == "always":
        yield "", Place("papers"), ()
    elif wanted.when == "theft":
        for event in claim.occurrences:
            if event.cause in THEFT:
                yield event.title, Place("findings", "occurrence", event.id), event.documents
    else:
        for finding in claim.findings:
            repair = finding.repair
            named = finding.documents
            if repair is not None and repair.document is not None:
                named = (repair.document, *named)
            is_wanted = (
                finding.kind == "damaged" and finding.replaced_for is None
                if wanted.when == "damage"
                else finding.replaced_for is not None
            )
            if is_wanted:
                line = find(claim.kit, finding.line)
                says = line.description if line is not None else finding.line
                yield says, Place("findings", "finding", finding.id), named


def state_wanted_papers(desk: OpenClaim, papers: tuple[WantedPaper, ...]) -> bool:
    """Say which papers the policy asks for; none is "not stated", the usual ones then.

    Raises:
        LdappError: the claim has no policy.
    """
    if desk.claim.policy is None:
        raise LdappError(said("This claim has no policy yet. Add it first, under Papers."))

    def make(claim: Claim) -> Claim:
        policy = claim.policy
        if policy is None:
            return claim
        terms = dataclasses.replace(policy.terms, papers=papers)
        return dataclasses.replace(claim, policy=dataclasses.replace(policy, terms=terms))

    return desk.change(said("State which papers the insurer asks for"), make)

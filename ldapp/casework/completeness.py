"""What an adjuster usually asks for, and whether the claim has it (common practice, no source)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple, TypeAlias

from ldapp.claim.claim import Claim
from ldapp.claim.documents import DocumentKind
from ldapp.language import marked, said, said_of

Presence: TypeAlias = Literal["present", "partly", "missing", "not_needed"]


class Asked(NamedTuple):
    """One thing that is usually asked for, and how far it is there."""

    what: str
    presence: Presence
    says: str = ""


def _paper(what: str, *kinds: DocumentKind) -> Callable[[Claim], Asked]:
    def check(claim: Claim) -> Asked:
        titles = [one.title for one in claim.documents if one.kind in kinds]
        return Asked(said(what), "present" if titles else "missing", "; ".join(titles))

    return check


def _police_report(claim: Claim) -> Asked:
    thefts = [
        one
        for one in claim.occurrences
        if one.cause in ("theft", "theft_from_vehicle", "robbery", "vandalism")
    ]
    what = said("Police report (theft, vandalism)")
    if not thefts:
        return Asked(what, "not_needed")
    reported = [one for one in thefts if one.police_report]
    attached = any(one.kind == "police_report" for one in claim.documents)
    if len(reported) == len(thefts) and attached:
        return Asked(what, "present", "; ".join(one.police_report for one in reported))
    if reported or attached:
        return Asked(what, "partly", said("The number or the report itself is missing."))
    return Asked(what, "missing")


def _incident_report(claim: Claim) -> Asked:
    what = said("Incident report with narrative and witnesses")
    if not claim.occurrences:
        return Asked(what, "missing", said("No occurrence is described."))
    told = [one for one in claim.occurrences if one.narrative.strip() and one.persons]
    if len(told) == len(claim.occurrences):
        return Asked(what, "present")
    return Asked(
        what, "partly" if told else "missing", said("A narrative or the persons are missing.")
    )


def _photos(claim: Claim) -> Asked:
    what = said("Dated photos before and after, serial number visible")
    damaged = {one.line for one in claim.findings if one.kind == "damaged"}
    if not damaged:
        return Asked(what, "not_needed")
    shown = {pairing.line for photo in claim.photos for pairing in photo.pairings} & damaged
    if shown == damaged:
        return Asked(what, "present", said("{number} photos", number=len(claim.photos)))
    return Asked(
        what,
        "partly" if shown else "missing",
        said_of(
            len(damaged - shown),
            "1 damaged line is shown by no photo.",
            "{count} damaged lines are shown by no photo.",
        ),
    )


def _values(claim: Claim) -> Asked:
    what = said("Age, purchase price and date of each item, where its value is depreciated")
    lines = {one.line for one in claim.findings}
    kit = [line for line in claim.kit if line.id in lines]
    known = [line for line in kit if line.acquired or line.age_months is not None]
    if not kit:
        return Asked(what, "not_needed")
    if len(known) == len(kit):
        return Asked(what, "present")
    return Asked(
        what,
        "partly" if known else "missing",
        said_of(
            len(kit) - len(known),
            "1 line has neither age nor date of purchase.",
            "{count} lines have neither age nor date of purchase.",
        ),
    )


def _repair_papers(claim: Claim) -> Asked:
    what = said("Repair estimate or bill with fault finding")
    repaired = [one for one in claim.findings if one.kind == "damaged"]
    if not repaired:
        return Asked(what, "not_needed")
    shown = [one for one in repaired if one.repair and one.repair.document]
    if len(shown) == len(repaired):
        return Asked(what, "present")
    return Asked(what, "partly" if shown else "missing")


def _custody(claim: Claim) -> Asked:
    what = said("Custody log: counts with place, time, counter and acknowledgement")
    signed = [one for one in claim.counts if one.acknowledgement not in ("none", "one_side")]
    if not claim.counts:
        return Asked(what, "missing")
    if len(signed) == len(claim.counts):
        return Asked(what, "present", said("{number} counts", number=len(claim.counts)))
    return Asked(
        what,
        "partly",
        said(
            "{signed} of {counts} counts are acknowledged.",
            signed=len(signed),
            counts=len(claim.counts),
        ),
    )


def _loss_payee(claim: Claim) -> Asked:
    what = said("Loss payee with name and address")
    policy = claim.policy
    if policy is None:
        return Asked(what, "not_needed")
    named = policy.loss_payee is not None or bool(policy.terms.loss_payees)
    return Asked(what, "present" if named else "missing")


QUESTIONS: tuple[Callable[[Claim], Asked], ...] = (
    _paper(marked("Policy or certificate of insurance"), "policy", "certificate_of_insurance"),
    _paper(marked("Signed rental agreement"), "agreement"),
    _paper(marked("Order or quote"), "quote", "purchase_order"),
    _paper(
        marked("Out-ticket and later tickets"), "pickup_sheet", "delivery_ticket", "movement_ticket"
    ),
    _paper(
        marked("Return sheet, missing and damaged list"),
        "return_sheet",
        "check_in_sheet",
        "missing_and_damaged_list",
    ),
    _incident_report,
    _police_report,
    _photos,
    _custody,
    _repair_papers,
    _paper(marked("Replacement quotes"), "replacement_quote"),
    _values,
    _paper(marked("L&D invoice"), "invoice"),
    _paper(marked("Proof of payment or balance"), "proof_of_payment"),
    _paper(marked("Correspondence"), "message"),
    _loss_payee,
    _paper(marked("Sworn proof of loss"), "proof_of_loss"),
)


def completeness_of(claim: Claim) -> tuple[Asked, ...]:
    """Return what is usually asked for, in the order of an adjuster's list."""
    return tuple(question(claim) for question in QUESTIONS)

"""What an adjuster or the other side would attack: computed from the claim, never typed.

Each check is a small function over the same facts; adding one is adding a function to
``CHECKS``.  The weights follow the questions of an adjuster's checklist (common
practice, no source).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from typing import Literal, NamedTuple

from ldapp.casework.edit import find
from ldapp.casework.findings import proposals
from ldapp.casework.places import Page, Place
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count
from ldapp.claim.findings import Finding
from ldapp.claim.kit import KitLine
from ldapp.claim.photo_facts import STANDING_SAYS, PhotoVerdict
from ldapp.claim.photos import Photo
from ldapp.reckoning.result import Reckoning

Gravity = Literal["grave", "weak", "note"]
"""``grave``: the claim or answer is likely to fail there; ``weak``: it will be asked;
``note``: worth a look."""

GRAVITIES: tuple[Gravity, ...] = ("grave", "weak", "note")
_SOON = dt.timedelta(days=7)


class WeakPoint(NamedTuple):
    """One point of attack: what it is, why it matters, what cures it, and where it is."""

    code: str
    gravity: Gravity
    place: Place
    says: str
    why: str
    cure: str


class Facts:
    """What the checks look at, with the look-ups that several of them need."""

    def __init__(
        self,
        claim: Claim,
        reckoning: Reckoning | None,
        verdicts: Mapping[str, PhotoVerdict],
        today: dt.date,
    ) -> None:
        self.claim = claim
        self.reckoning = reckoning
        self.verdicts = verdicts
        self.today = today
        self.lines: dict[str, KitLine] = {line.id: line for line in claim.kit}
        self.counts: dict[str, Count] = {count.id: count for count in claim.counts}
        self.photos_of_line: dict[str, list[Photo]] = {}
        for photo in claim.photos:
            for line in {pairing.line for pairing in photo.pairings}:
                self.photos_of_line.setdefault(line, []).append(photo)

    def line_name(self, line: str) -> str:
        """Return "line 7, C-stand 40 in"."""
        one = self.lines.get(line)
        return f"line {one.number}, {one.description}" if one else "a line that was removed"

    def name_of(self, kind: str, key: str) -> str:
        """Return what a record is called, with a colon, to stand before a sentence about it."""
        if kind == "kit_line":
            return f"{self.line_name(key)}: "
        if kind == "finding":
            finding = find(self.claim.findings, key)
            return f"{self.line_name(finding.line)}: " if finding else ""
        if kind == "occurrence":
            occurrence = find(self.claim.occurrences, key)
            return f"“{occurrence.title}”: " if occurrence else ""
        if kind == "charge":
            for invoice in self.claim.invoices:
                charge = find(invoice.charges, key)
                if charge:
                    return f"charge {charge.number} “{charge.description}”: "
        if kind == "agreement":
            agreement = find(self.claim.agreements, key)
            return f"agreement {agreement.reference}: " if agreement else ""
        return ""


Check = Callable[[Facts], Iterator[WeakPoint]]


def find_weak_points(
    claim: Claim,
    reckoning: Reckoning | None,
    verdicts: Mapping[str, PhotoVerdict],
    today: dt.date,
) -> tuple[WeakPoint, ...]:
    """Return every weak point, gravest first, then in the order of the work."""
    facts = Facts(claim, reckoning, verdicts, today)
    found = [point for check in CHECKS for point in check(facts)]
    found.sort(key=lambda point: GRAVITIES.index(point.gravity))
    return tuple(found)


def open_points_by_page(points: tuple[WeakPoint, ...]) -> dict[Page, int]:
    """Return how many points are open on each page; notes are not counted."""
    counted: dict[Page, int] = {}
    for point in points:
        if point.gravity != "note":
            counted[point.place.page] = counted.get(point.place.page, 0) + 1
    return counted


def _papers(facts: Facts) -> Iterator[WeakPoint]:
    claim = facts.claim
    if not claim.agreements:
        yield WeakPoint(
            "no_agreement",
            "grave",
            Place("papers"),
            "No rental agreement is entered.",
            "What is owed is decided by the signed agreement and by nothing else.",
            "Add the agreement and its terms on the Papers page.",
        )
    kinds = {document.kind for document in claim.documents}
    for agreement in claim.agreements:
        place = Place("papers", "agreement", agreement.id)
        name = agreement.reference or "without a reference"
        if agreement.document is None and "agreement" not in kinds:
            yield WeakPoint(
                "agreement_not_attached",
                "weak",
                place,
                f"Agreement {name}: the signed paper is not attached.",
                "Clauses that are quoted and not shown are easily denied.",
                "Take the signed agreement in as a document.",
            )
        if agreement.terms.valuation is None and not agreement.terms.valuation_overrides:
            yield WeakPoint(
                "basis_not_stated",
                "grave",
                place._replace(field="valuation"),
                f"Agreement {name}: on what basis a missing unit is valued is not stated.",
                "Without a basis no amount can be computed; each side will take its own.",
                "Read the clause on loss and enter its basis, or agree on one in writing.",
            )
    if claim.policy is not None and not kinds & {"certificate_of_insurance", "policy"}:
        yield WeakPoint(
            "certificate_missing",
            "note",
            Place("papers", "policy"),
            "Neither the policy nor a certificate of insurance is attached.",
            "The insurer and the loss payee are identified by it.",
            "Ask the broker for the certificate and take it in.",
        )


def _counts(facts: Facts) -> Iterator[WeakPoint]:
    claim = facts.claim
    if not claim.kit:
        yield WeakPoint(
            "no_kit",
            "grave",
            Place("kit"),
            "There is no kit list.",
            "Every count, photo and charge refers to a line of it.",
            "Import the rental company's list, or enter the lines.",
        )
        return
    stages = {count.stage for count in claim.counts}
    if "pickup" not in stages:
        yield WeakPoint(
            "no_pickup_count",
            "grave",
            Place("counts"),
            "There is no pickup count.",
            "The list then stands as written, against the renter (common practice, no source).",
            "Enter the count that was made at pickup, with the ticket.",
        )
    if "return" not in stages:
        yield WeakPoint(
            "no_return_count",
            "weak",
            Place("counts"),
            "There is no return count of our own.",
            "The rental company's check-in then stands alone.",
            "Count at return with the company's person present, and have it signed.",
        )
    for count in claim.counts:
        yield from _one_count(facts, count)


def _one_count(facts: Facts, count: Count) -> Iterator[WeakPoint]:
    place = Place("counts", "count", count.id)
    name = {
        "pickup": "pickup count",
        "during": "count during the job",
        "return": "return count",
        "check_in": "company's check-in",
    }[count.stage]
    if count.at is None:
        yield WeakPoint(
            "count_without_time",
            "weak",
            place._replace(field="at"),
            f"The {name} has no time.",
            "A loss can only be placed between counts that have one.",
            "Enter when it was held.",
        )
    if count.stage in ("pickup", "return") and count.acknowledgement in ("none", "one_side"):
        yield WeakPoint(
            "count_not_acknowledged",
            "grave" if count.stage == "pickup" else "weak",
            place._replace(field="acknowledgement"),
            f"Nobody of the other side acknowledged the {name}.",
            "It is one side's word against the other's.",
            "Have it signed, write it on the company's ticket, or e-mail it the same day.",
        )
    counted = sum(entry.quantity is not None for entry in count.entries)
    covered = [
        line
        for line in facts.claim.kit
        if not count.agreements or line.agreement in count.agreements
    ]
    if count.stage in ("pickup", "return") and counted < len(covered):
        yield WeakPoint(
            "count_incomplete",
            "weak",
            place,
            f"The {name} covers {counted} of {len(covered)} lines.",
            "A line that was not counted proves nothing.",
            "Count the rest, or say why it could not be counted.",
        )


def _photos(facts: Facts) -> Iterator[WeakPoint]:
    for photo in facts.claim.photos:
        if photo.left_out:
            continue
        place = Place("photos", "photo", photo.id)
        verdict = facts.verdicts.get(photo.id)
        if verdict is not None and verdict.standing in ("contradicted", "open", "none"):
            first = verdict.reasons[0].says if verdict.reasons else ""
            yield WeakPoint(
                f"photo_{verdict.standing}",
                "grave" if verdict.standing == "contradicted" else "weak",
                place,
                f"{photo.name}: {STANDING_SAYS[verdict.standing]}.",
                first or "Its date will be doubted.",
                "Ask for the original file, photograph a trusted clock with the same camera, "
                "or have the picture confirmed by the other side.",
            )
        if not photo.pairings:
            yield WeakPoint(
                "photo_not_paired",
                "note",
                place,
                f"{photo.name} is paired with no kit line.",
                "A photo that shows nothing in particular proves nothing.",
                "Pair it with its line, or leave it out.",
            )


def _damage_photos(facts: Facts) -> Iterator[WeakPoint]:
    stage_of = {count.id: count.stage for count in facts.claim.counts}
    for finding in facts.claim.findings:
        if finding.kind != "damaged":
            continue
        place = Place("findings", "finding", finding.id)
        photos = facts.photos_of_line.get(finding.line, [])
        pairings = [
            pairing
            for photo in photos
            for pairing in photo.pairings
            if pairing.line == finding.line
        ]
        name = facts.line_name(finding.line)
        if not photos:
            yield WeakPoint(
                "damage_without_photo",
                "grave",
                place,
                f"Damage to {name} is shown by no photo.",
                "An adjuster asks for dated pictures first.",
                "Photograph the whole thing and the damage now, while it can still be done.",
            )
            continue
        if not any(pairing.close_up for pairing in pairings):
            yield WeakPoint(
                "damage_without_close_up",
                "weak",
                place,
                f"Damage to {name} has no close-up.",
                "From a distance wear and damage look alike.",
                "Take a close-up with something beside it for scale, and mark it as such.",
            )
        if not any(stage_of.get(pairing.count or "") == "pickup" for pairing in pairings):
            yield WeakPoint(
                "no_photo_before",
                "weak",
                place,
                f"There is no photo of {name} from pickup.",
                "Without one it is open whether the damage was there before.",
                "Look for one on the phones and cards of the pickup day.",
            )


def _findings(facts: Facts) -> Iterator[WeakPoint]:
    claim = facts.claim
    new = proposals(claim)
    if new:
        yield WeakPoint(
            "proposals_open",
            "weak",
            Place("findings"),
            f"The counts say {len(new)} more thing{'s' if len(new) != 1 else ''} "
            "than the findings do.",
            "What is not a finding is neither claimed nor answered.",
            "Look at the proposals on the Findings page and accept or dismiss them.",
        )
    for finding in claim.findings:
        yield from _one_finding(facts, finding)
    for occurrence in claim.occurrences:
        place = Place("findings", "occurrence", occurrence.id)
        theft = occurrence.cause in ("theft", "theft_from_vehicle", "robbery", "vandalism")
        if theft and not occurrence.police_report:
            yield WeakPoint(
                "no_police_report",
                "grave",
                place._replace(field="police_report"),
                f"“{occurrence.title}” has no police report number.",
                "Policies commonly ask for one for theft (common practice, no source).",
                "Report it, and enter the number and the agency.",
            )
        if not occurrence.narrative.strip():
            yield WeakPoint(
                "no_narrative",
                "weak",
                place._replace(field="narrative"),
                f"“{occurrence.title}”: nobody has written down what happened.",
                "The first question is always: what happened, when, where, who saw it?",
                "Write it down in a few plain sentences: facts, no guilt.",
            )


def _one_finding(facts: Facts, finding: Finding) -> Iterator[WeakPoint]:
    place = Place("findings", "finding", finding.id)
    name = facts.line_name(finding.line)
    if finding.kind == "damaged" and finding.repair is None and not finding.beyond_repair:
        yield WeakPoint(
            "no_estimate",
            "weak",
            place._replace(field="repair"),
            f"Damage to {name}: there is no repair estimate.",
            "Without one neither side can say what it costs.",
            "Ask for a written estimate with labour and parts apart.",
        )
    elif finding.repair is not None and finding.repair.document is None:
        yield WeakPoint(
            "repair_undocumented",
            "weak",
            place._replace(field="repair"),
            f"Repair of {name} is entered without its paper.",
            "An undocumented repair is a ground to dispute it.",
            "Take the estimate or invoice in and name it here.",
        )
    if finding.kind == "missing" and finding.occurrence is None and facts.claim.policy:
        yield WeakPoint(
            "unexplained",
            "weak",
            place._replace(field="occurrence"),
            f"{finding.quantity} × {name}: no event explains the loss.",
            "A shortage found at a count is commonly excluded by the policy.",
            "Find the day, the last one who saw it, signs of forced entry, a report.",
        )


def _charges(facts: Facts) -> Iterator[WeakPoint]:
    for invoice in facts.claim.invoices:
        for charge in invoice.charges:
            place = Place("charges", "charge", charge.id)
            if charge.line is None and charge.kind in (
                "missing",
                "replacement",
                "repair",
                "repair_labour",
                "repair_parts",
                "lamp",
            ):
                yield WeakPoint(
                    "charge_not_matched",
                    "weak",
                    place,
                    f"Charge {charge.number} “{charge.description}” is matched with no kit line.",
                    "It cannot be set against counts and photos.",
                    "Match it, or dispute it as unexplained.",
                )
            for ground in charge.grounds:
                proof = ground.documents or ground.photos or ground.counts or ground.clause
                if ground.on and not proof:
                    yield WeakPoint(
                        "ground_without_proof",
                        "weak",
                        place,
                        f"Charge {charge.number}: “{ground.code.replace('_', ' ')}” rests on "
                        "nothing that is named.",
                        "A ground that shows no proof is easily waved aside.",
                        "Name the clause, paper, count or photo that shows it.",
                    )


_OBSERVATION_PLACES: dict[str, Page] = {
    "agreement": "papers",
    "policy": "papers",
    "kit_line": "kit",
    "count": "counts",
    "finding": "findings",
    "occurrence": "findings",
    "invoice": "charges",
    "charge": "charges",
}
_OBSERVATION_WHY: dict[str, tuple[Gravity, str, str]] = {
    "not_stated": (
        "note",
        "A default stands in for a term that the paper does not state.",
        "Read the agreement again; enter the clause, or leave it if there is none.",
    ),
    "finding_above_counts": (
        "weak",
        "It says more than the counts do.",
        "Correct the finding, or enter the count that shows it.",
    ),
    "custody_open": (
        "weak",
        "In whose custody it was lost cannot be said.",
        "Enter when custody began and ended, or a count in between.",
    ),
    "cannot_compute": (
        "grave",
        "What cannot be computed is neither claimed nor answered.",
        "Enter what is missing; the sentence names it.",
    ),
    "sister_line": (
        "note",
        "A surplus beside a shortage often means that two sizes were mixed up.",
        "Compare both lines before you pay for one.",
    ),
    "printed_total_differs": (
        "weak",
        "An invoice that does not add up is owed only as far as it does.",
        "Ask for a corrected invoice.",
    ),
    "facts_differ": (
        "grave",
        "Two papers that tell one fact differently destroy each other.",
        "Make them agree before anything is sent.",
    ),
}


def _reckoning(facts: Facts) -> Iterator[WeakPoint]:
    if facts.reckoning is None:
        return
    yield from _not_stated(facts, facts.reckoning)
    for seen in facts.reckoning.observations:
        if seen.code == "not_stated":
            continue
        gravity, why, cure = _OBSERVATION_WHY.get(
            seen.code, ("note", "It changes what is owed.", "Look at it.")
        )
        page = _OBSERVATION_PLACES.get(seen.kind, "reckoning")
        says = f"{facts.name_of(seen.kind, seen.place)}{seen.says}".rstrip(".") + "."
        yield WeakPoint(
            seen.code,
            gravity,
            Place(page, seen.kind, seen.place),
            says[0].upper() + says[1:],
            why,
            cure,
        )


def _not_stated(facts: Facts, reckoning: Reckoning) -> Iterator[WeakPoint]:
    """One point for each default that stands in, however many amounts rest on it."""
    resting: dict[str, int] = {}
    for seen in reckoning.observations:
        if seen.code == "not_stated":
            resting[seen.says] = resting.get(seen.says, 0) + 1
    gravity, why, cure = _OBSERVATION_WHY["not_stated"]
    first = facts.claim.agreements[0].id if facts.claim.agreements else ""
    for says, amounts in resting.items():
        number = f"{amounts} amount{'s' if amounts != 1 else ''} rest{'s' if amounts == 1 else ''}"
        yield WeakPoint(
            "not_stated",
            gravity,
            Place("papers", "agreement", first),
            f"{says[0].upper()}{says[1:].rstrip('.')}; {number} on it.",
            why,
            cure,
        )


def _deadlines(facts: Facts) -> Iterator[WeakPoint]:
    if facts.reckoning is None or facts.claim.stage in ("settled", "paid", "closed"):
        return
    for deadline in facts.reckoning.deadlines:
        if deadline.due is None or deadline.binds != "us":
            continue
        left = deadline.due - facts.today
        if left > _SOON:
            continue
        days = left.days
        if days < 0:
            when = f"was due {-days} day{'s' if days != -1 else ''} ago"
        elif days == 0:
            when = "is due today"
        else:
            when = f"is due in {days} day{'s' if days != 1 else ''}"
        yield WeakPoint(
            "deadline",
            "grave" if days <= 2 else "weak",
            Place("reckoning", "deadline", deadline.code),
            f"“{deadline.title}” {when} ({deadline.due.isoformat()}).",
            "A deadline that passes can cost the whole claim.",
            deadline.needs or "Check your own paper, and act now.",
        )


CHECKS: tuple[Check, ...] = (
    _deadlines,
    _papers,
    _counts,
    _photos,
    _damage_photos,
    _findings,
    _charges,
    _reckoning,
)

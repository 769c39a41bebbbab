"""Weak points of papers, counts, photos, findings and charges."""

from __future__ import annotations

from collections.abc import Iterator

from ldapp.casework.counter_codes import cameras_without_code
from ldapp.casework.findings import proposals
from ldapp.casework.places import Place
from ldapp.casework.weak_point_facts import Facts, WeakPoint
from ldapp.claim.counts import Count
from ldapp.claim.findings import Finding
from ldapp.claim.grounds import GROUND_BY_CODE
from ldapp.claim.photo_facts import STANDING_SAYS
from ldapp.claim.signed_counts import changed_words


def check_papers(facts: Facts) -> Iterator[WeakPoint]:
    """Agreements without a paper or a basis of value, a policy without its certificate."""
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
        name = facts.agreement_name(agreement)
        if agreement.document is None and "agreement" not in kinds:
            yield WeakPoint(
                "agreement_not_attached",
                "weak",
                place,
                f"{name}: the signed paper is not attached.",
                "Clauses that are quoted and not shown are easily denied.",
                "Take the signed agreement in as a document.",
            )
        if agreement.terms.valuation is None and not agreement.terms.valuation_overrides:
            yield WeakPoint(
                "basis_not_stated",
                "grave",
                place._replace(field="valuation"),
                f"{name}: on what basis a missing unit is valued is not stated.",
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


def check_counts(facts: Facts) -> Iterator[WeakPoint]:
    """Counts that are missing, have no time, are incomplete or not acknowledged."""
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
    changed = changed_words(count, facts.claim.kit)
    if changed:
        yield WeakPoint(
            "count_changed_after_signing",
            "grave",
            place,
            f"The {name} was {changed}.",
            "The signatures stand under another state; for these lines it is one side's word.",
            "Undo the change, or have the count as it is now signed anew.",
        )
    yield from _cameras_without_code(facts, count, name)
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


def _cameras_without_code(facts: Facts, count: Count, name: str) -> Iterator[WeakPoint]:
    for camera in cameras_without_code(facts.claim, count):
        standings = {
            verdict.standing
            for one in camera.photos
            if (verdict := facts.verdicts.get(one)) is not None
        }
        # Where another clock agrees the code would only say the same again.
        backed = standings <= {"backed", "corrected"}
        number = len(camera.photos)
        yield WeakPoint(
            "camera_without_code",
            "note" if backed or not facts.claim.issued_codes else "weak",
            Place("photos", "photo", camera.photos[0]),
            f"{camera.name} took {number} photo{'s' if number != 1 else ''} at the {name} and "
            "no picture of the counter's code.",
            "Its clock is then only its own word, and nothing says that the photos were not "
            "taken before.",
            "Show the counter's code in the counter view and photograph it with this camera, "
            "on the same day; later a picture of a trusted clock still checks its clock.",
        )


def check_photos(facts: Facts) -> Iterator[WeakPoint]:
    """Photos whose time does not stand, or that show no line."""
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


def check_damage_photos(facts: Facts) -> Iterator[WeakPoint]:
    """Damage that no photo shows, near and far, before and after."""
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


def check_findings(facts: Facts) -> Iterator[WeakPoint]:
    """What the counts say and no finding does; findings and events without what proves them."""
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


def check_charges(facts: Facts) -> Iterator[WeakPoint]:
    """Charges that match nothing, and grounds that rest on nothing named."""
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
                        f"Charge {charge.number}: “{GROUND_BY_CODE[ground.code].label}” rests on "
                        "nothing that is named.",
                        "A ground that shows no proof is easily waved aside.",
                        "Name the clause, paper, count or photo that shows it.",
                    )

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
from ldapp.language import said, said_of


def check_papers(facts: Facts) -> Iterator[WeakPoint]:
    """Agreements without a paper or a basis of value, a policy without its certificate."""
    claim = facts.claim
    if not claim.agreements:
        yield WeakPoint(
            "no_agreement",
            "grave",
            Place("papers"),
            said("No rental agreement is entered."),
            said("What is owed is decided by the signed agreement and by nothing else."),
            said("Add the agreement and its terms on the Papers page."),
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
                said("{name}: the signed paper is not attached.", name=name),
                said("Clauses that are quoted and not shown are easily denied."),
                said("Take the signed agreement in as a document."),
            )
        if agreement.terms.valuation is None and not agreement.terms.valuation_overrides:
            yield WeakPoint(
                "basis_not_stated",
                "grave",
                place._replace(field="valuation"),
                said("{name}: on what basis a missing unit is valued is not stated.", name=name),
                said("Without a basis no amount can be computed; each side will take its own."),
                said("Read the clause on loss and enter its basis, or agree on one in writing."),
            )
    if claim.policy is not None and not kinds & {"certificate_of_insurance", "policy"}:
        yield WeakPoint(
            "certificate_missing",
            "note",
            Place("papers", "policy"),
            said("Neither the policy nor a certificate of insurance is attached."),
            said("The insurer and the loss payee are identified by it."),
            said("Ask the broker for the certificate and take it in."),
        )


def check_counts(facts: Facts) -> Iterator[WeakPoint]:
    """Counts that are missing, have no time, are incomplete or not acknowledged."""
    claim = facts.claim
    if not claim.kit:
        yield WeakPoint(
            "no_kit",
            "grave",
            Place("kit"),
            said("There is no kit list."),
            said("Every count, photo and charge refers to a line of it."),
            said("Import the rental company's list, or enter the lines."),
        )
        return
    stages = {count.stage for count in claim.counts}
    if "pickup" not in stages:
        yield WeakPoint(
            "no_pickup_count",
            "grave",
            Place("counts"),
            said("There is no pickup count."),
            said(
                "The list then stands as written, against the renter (common practice, no source)."
            ),
            said("Enter the count that was made at pickup, with the ticket."),
        )
    if "return" not in stages:
        yield WeakPoint(
            "no_return_count",
            "weak",
            Place("counts"),
            said("There is no return count of our own."),
            said("The rental company's check-in then stands alone."),
            said("Count at return with the company's person present, and have it signed."),
        )
    for count in claim.counts:
        yield from _one_count(facts, count)


def _one_count(facts: Facts, count: Count) -> Iterator[WeakPoint]:
    place = Place("counts", "count", count.id)
    name = {
        "pickup": said("pickup count"),
        "during": said("count during the job"),
        "return": said("return count"),
        "check_in": said("company's check-in"),
    }[count.stage]
    if count.at is None:
        yield WeakPoint(
            "count_without_time",
            "weak",
            place._replace(field="at"),
            said("The {name} has no time.", name=name),
            said("A loss can only be placed between counts that have one."),
            said("Enter when it was held."),
        )
    if count.stage in ("pickup", "return") and count.acknowledgement in ("none", "one_side"):
        yield WeakPoint(
            "count_not_acknowledged",
            "grave" if count.stage == "pickup" else "weak",
            place._replace(field="acknowledgement"),
            said("Nobody of the other side acknowledged the {name}.", name=name),
            said("It is one side's word against the other's."),
            said("Have it signed, write it on the company's ticket, or e-mail it the same day."),
        )
    changed = changed_words(count, facts.claim.kit)
    if changed:
        yield WeakPoint(
            "count_changed_after_signing",
            "grave",
            place,
            said("The {name} was {changed}.", name=name, changed=changed),
            said(
                "The signatures stand under another state; for these lines it is one side's word."
            ),
            said("Undo the change, or have the count as it is now signed anew."),
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
            said(
                "The {name} covers {counted} of {lines} lines.",
                name=name,
                counted=counted,
                lines=len(covered),
            ),
            said("A line that was not counted proves nothing."),
            said("Count the rest, or say why it could not be counted."),
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
        yield WeakPoint(
            "camera_without_code",
            "note" if backed or not facts.claim.issued_codes else "weak",
            Place("photos", "photo", camera.photos[0]),
            said_of(
                len(camera.photos),
                "{camera} took {count} photo at the {name} and no picture of the counter's code.",
                "{camera} took {count} photos at the {name} and no picture of the counter's code.",
                camera=camera.name,
                name=name,
            ),
            said(
                "Its clock is then only its own word, and nothing says that the photos "
                "were not taken before."
            ),
            said(
                "Show the counter's code in the counter view and photograph it with this "
                "camera, on the same day; later a picture of a trusted clock still "
                "checks its clock."
            ),
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
                f"{photo.name}: {said(STANDING_SAYS[verdict.standing])}.",
                first or said("Its date will be doubted."),
                said(
                    "Ask for the original file, photograph a trusted clock with the same "
                    "camera, or have the picture confirmed by the other side."
                ),
            )
        if not photo.pairings:
            yield WeakPoint(
                "photo_not_paired",
                "note",
                place,
                said("{name} is paired with no kit line.", name=photo.name),
                said("A photo that shows nothing in particular proves nothing."),
                said("Pair it with its line, or leave it out."),
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
                said("Damage to {name} is shown by no photo.", name=name),
                said("An adjuster asks for dated pictures first."),
                said("Photograph the whole thing and the damage now, while it can still be done."),
            )
            continue
        if not any(pairing.close_up for pairing in pairings):
            yield WeakPoint(
                "damage_without_close_up",
                "weak",
                place,
                said("Damage to {name} has no close-up.", name=name),
                said("From a distance wear and damage look alike."),
                said("Take a close-up with something beside it for scale, and mark it as such."),
            )
        if not any(stage_of.get(pairing.count or "") == "pickup" for pairing in pairings):
            yield WeakPoint(
                "no_photo_before",
                "weak",
                place,
                said("There is no photo of {name} from pickup.", name=name),
                said("Without one it is open whether the damage was there before."),
                said("Look for one on the phones and cards of the pickup day."),
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
            said_of(
                len(new),
                "The counts say {count} more thing than the findings do.",
                "The counts say {count} more things than the findings do.",
            ),
            said("What is not a finding is neither claimed nor answered."),
            said("Look at the proposals on the Findings page and accept or dismiss them."),
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
                said("“{title}” has no police report number.", title=occurrence.title),
                said("Policies commonly ask for one for theft (common practice, no source)."),
                said("Report it, and enter the number and the agency."),
            )
        if not occurrence.narrative.strip():
            yield WeakPoint(
                "no_narrative",
                "weak",
                place._replace(field="narrative"),
                said("“{title}”: nobody has written down what happened.", title=occurrence.title),
                said("The first question is always: what happened, when, where, who saw it?"),
                said("Write it down in a few plain sentences: facts, no guilt."),
            )


def _one_finding(facts: Facts, finding: Finding) -> Iterator[WeakPoint]:
    place = Place("findings", "finding", finding.id)
    name = facts.line_name(finding.line)
    if finding.kind == "damaged" and finding.repair is None and not finding.beyond_repair:
        yield WeakPoint(
            "no_estimate",
            "weak",
            place._replace(field="repair"),
            said("Damage to {name}: there is no repair estimate.", name=name),
            said("Without one neither side can say what it costs."),
            said("Ask for a written estimate with labour and parts apart."),
        )
    elif finding.repair is not None and finding.repair.document is None:
        yield WeakPoint(
            "repair_undocumented",
            "weak",
            place._replace(field="repair"),
            said("Repair of {name} is entered without its paper.", name=name),
            said("An undocumented repair is a ground to dispute it."),
            said("Take the estimate or invoice in and name it here."),
        )
    if finding.kind == "missing" and finding.occurrence is None and facts.claim.policy:
        yield WeakPoint(
            "unexplained",
            "weak",
            place._replace(field="occurrence"),
            said(
                "{quantity} × {name}: no event explains the loss.",
                quantity=finding.quantity,
                name=name,
            ),
            said("A shortage found at a count is commonly excluded by the policy."),
            said("Find the day, the last one who saw it, signs of forced entry, a report."),
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
                    said(
                        "Charge {number} “{description}” is matched with no kit line.",
                        number=charge.number,
                        description=charge.description,
                    ),
                    said("It cannot be set against counts and photos."),
                    said("Match it, or dispute it as unexplained."),
                )
            for ground in charge.grounds:
                proof = ground.documents or ground.photos or ground.counts or ground.clause
                if ground.on and not proof:
                    yield WeakPoint(
                        "ground_without_proof",
                        "weak",
                        place,
                        said(
                            "Charge {number}: “{label}” rests on nothing that is named.",
                            number=charge.number,
                            label=said(GROUND_BY_CODE[ground.code].label),
                        ),
                        said("A ground that shows no proof is easily waved aside."),
                        said("Name the clause, paper, count or photo that shows it."),
                    )

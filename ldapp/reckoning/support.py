"""What a ground rests on, and whether that is strong.

A ground is strong if it rests only on a clause, on arithmetic, on a document signed by the
other side, on a count that both acknowledged, or on photos whose standing is backed or
corrected.  Each ground needs certain kinds of support; one strong support of each kind is
enough, so that adding support never makes a ground weaker.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

from ldapp.claim.charges import Charge, GroundChoice
from ldapp.claim.clause import Clause
from ldapp.claim.grounds import GroundCode
from ldapp.claim.terms import Terms
from ldapp.language import marked, said
from ldapp.reckoning.custody import acknowledged_by_both
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.objections import Objection, objection
from ldapp.reckoning.result import LineCounts
from ldapp.reckoning.times import said_time
from ldapp.reckoning.valuation import ValueRules

Need = Literal["clause", "fact"]

_CLAUSE: tuple[frozenset[Need], ...] = (frozenset({"clause"}),)
_FACT: tuple[frozenset[Need], ...] = (frozenset({"fact"}),)
_BOTH: tuple[frozenset[Need], ...] = (*_CLAUSE, *_FACT)
_EITHER: tuple[frozenset[Need], ...] = (frozenset({"clause", "fact"}),)

NEEDS: dict[GroundCode, tuple[frozenset[Need], ...]] = {
    "never_received": _FACT,
    "returned": _FACT,
    "other_owner": _FACT,
    "outside_custody": _BOTH,
    "ordinary_wear": _BOTH,
    "prior_damage": _FACT,
    "breakdown": _FACT,
    "used_up": _BOTH,
    "not_liable": _BOTH,
    "outside_notice_window": _CLAUSE,
    "unexplained_charge": _FACT,
    "quantity": _FACT,
    "value_basis": _CLAUSE,
    "valuation_date": _CLAUSE,
    "depreciation": _CLAUSE,
    "schedule_exceeded": _CLAUSE,
    "lessors_discount": _CLAUSE,
    "set_billed_for_part": _EITHER,
    "repair_cheaper": _BOTH,
    "salvage_credit": _BOTH,
    "repair_undocumented": _EITHER,
    "betterment": _CLAUSE,
    "not_out_of_service": _FACT,
    "loss_of_use_days": _CLAUSE,
    "loss_of_use_cap": _CLAUSE,
    "loss_of_use_rate": _EITHER,
    "rent_already_paid": _FACT,
    "loss_of_use_unproved": _CLAUSE,
    "fee_not_agreed": _CLAUSE,
    "tax_not_due": _CLAUSE,
    "billed_twice": (),
    "arithmetic": (),
}

GOOD_STANDINGS = frozenset({"backed", "corrected"})

ACKNOWLEDGED_WORDS = {
    "signed_by_both": marked("signed by both"),
    "on_company_ticket": marked("on the company's own ticket"),
    "one_side_with_photos": marked("by one side with photos"),
    "emailed_same_day": marked("e-mailed the same day"),
    "one_side": marked("by one side"),
    "refused_to_sign": marked("refused to sign"),
    "none": marked("not acknowledged"),
}

_COUNT_WORDS = {
    "pickup": marked("pickup count of {at}, {acknowledged}"),
    "during": marked("during count of {at}, {acknowledged}"),
    "return": marked("return count of {at}, {acknowledged}"),
    "check_in": marked("check-in count of {at}, {acknowledged}"),
}
_STANDING_WORDS = {
    "backed": marked("backed"),
    "corrected": marked("corrected"),
    "camera_only": marked("camera only"),
    "open": marked("open"),
    "contradicted": marked("contradicted"),
    "none": marked("none"),
}


class BearsOn(NamedTuple):
    """What a charge bears on: the agreement, its terms, the line with its rules and counts."""

    agreement: str
    terms: Terms
    rules: ValueRules
    line: str | None
    counts: LineCounts | None


class Strength(NamedTuple):
    """Whether a ground is strong, on what it rests, what is not stated, what is against it."""

    strong: bool
    rests_on: tuple[str, ...]
    not_stated: str = ""
    against: Objection | None = None


def clause_of(code: GroundCode, terms: Terms, rules: ValueRules, charge: Charge) -> Clause | None:
    """Return the clause of the agreement that a ground rests on, where the terms have one."""
    rule = rules.rule
    if code == "depreciation":
        return _first(rules.depreciation, rule)
    if code == "schedule_exceeded":
        return _first(terms.ceiling, rule)
    if code == "outside_custody":
        return _first(terms.custody_end, terms.custody_start)
    if code == "fee_not_agreed":
        kind = FEE_KINDS.get(charge.kind, "other")
        return _first(*(fee for fee in terms.fees if fee.kind == kind))
    if code == "value_basis":
        return _first(rule)
    term = _TERM_OF_GROUND.get(code)
    return None if term is None else _first(getattr(terms, term))


_TERM_OF_GROUND: dict[GroundCode, str] = {
    "ordinary_wear": "wear_excepted",
    "used_up": "burn_outs",
    "not_liable": "liability",
    "valuation_date": "valuation_date",
    "lessors_discount": "lessors_discount",
    "set_billed_for_part": "pair_or_set",
    "repair_cheaper": "repair_decision",
    "salvage_credit": "salvage",
    "betterment": "betterment",
    "loss_of_use_days": "loss_of_use",
    "loss_of_use_cap": "loss_of_use",
    "loss_of_use_rate": "loss_of_use",
    "loss_of_use_unproved": "loss_of_use",
    "tax_not_due": "tax",
}
"""The term whose clause a ground rests on."""

FEE_KINDS = {
    "administration": "administration",
    "cleaning": "cleaning",
    "freight": "freight",
    "repack": "repacking",
}


def _first(*terms: object) -> Clause | None:
    for term in terms:
        clause = getattr(term, "clause", None)
        if isinstance(clause, Clause):
            return clause
    return None


def strength(
    index: ClaimIndex,
    charge: Charge,
    choice: GroundChoice,
    bears_on: BearsOn,
    standings: Mapping[str, str],
) -> Strength:
    """Return how strongly a ground is supported by clause, papers, counts and photos."""
    needs = NEEDS[choice.code]
    if not needs:
        return Strength(True, (said("arithmetic"),))
    terms, counts = bears_on.terms, bears_on.counts
    rests_on: list[str] = []
    has: set[Need] = set()
    signed = False
    clause = clause_of(choice.code, terms, bears_on.rules, charge)
    if choice.clause:
        has.add("clause")
        rests_on.append(clause_text(choice.clause))
    elif clause is not None:
        has.add("clause")
        rests_on.append(clause_text(clause.reference))
    for document_id in choice.documents:
        document = index.documents.get(document_id)
        if document is not None and document.signed_by_other_side:
            signed = True
            has.update(("clause", "fact"))
            rests_on.append(
                said("document {title}, signed by the other side", title=document.title)
            )
        elif document is not None:
            rests_on.append(said("document {title}", title=document.title))
    for photo_id in choice.photos:
        photo = index.photos.get(photo_id)
        if photo is None:
            continue
        standing = standings.get(photo_id, "open")
        if standing in GOOD_STANDINGS:
            has.add("fact")
        rests_on.append(
            said("photo {name}, {standing}", name=photo.name, standing=_standing_words(standing))
        )
    for count_id in choice.counts:
        if _add_counts(index, (count_id,), bears_on.line, rests_on):
            has.add("fact")
    own = counts_behind(choice.code, counts, index, bears_on.line)
    if own and _add_counts(index, own, bears_on.line, rests_on):
        has.add("fact")
    strong = all(need & has for need in needs)
    not_stated = ""
    if not strong and any(need == frozenset({"clause"}) and not need & has for need in needs):
        not_stated = said("no clause of the agreement is recorded for it")
    against = objection(choice.code, terms, index, bears_on.agreement, bears_on.line, counts)
    if against is not None and against.weakens and not signed:
        strong = False
    return Strength(strong, tuple(dict.fromkeys(rests_on)), not_stated, against)


def against_text(against: Objection) -> str:
    """Write what the agreement says against a ground, with its clause."""
    if against.clause is None:
        return against.says
    return f"{against.says} ({clause_text(against.clause.reference)})"


def clause_text(reference: str) -> str:
    """Name a clause once: papers write "9.2" or "clause 9.2"."""
    named = said("clause {reference}", reference=reference)
    kind = named.removesuffix(reference).strip().casefold()
    begins = reference.casefold()
    return reference if begins.startswith(("clause", kind)) else named


def _standing_words(standing: str) -> str:
    return said(_STANDING_WORDS.get(standing, standing.replace("_", " ")))


def _add_counts(
    index: ClaimIndex, count_ids: tuple[str, ...], line: str | None, rests_on: list[str]
) -> bool:
    """Add the counts to what a ground rests on; say whether both acknowledged all of them.

    What was changed after signing has one side behind it, as far as it bears on the line.
    """
    good = True
    for count_id in count_ids:
        count = index.counts.get(count_id)
        if count is None:
            good = False
            continue
        as_signed = index.is_as_signed(count_id, line)
        good = good and acknowledged_by_both(count) and as_signed
        acknowledged = said(ACKNOWLEDGED_WORDS[count.acknowledgement])
        if not as_signed:
            # Its signatures stand under another number for this line.
            acknowledged = said(
                "{acknowledged}, but changed after signing", acknowledged=acknowledged
            )
        rests_on.append(
            said(_COUNT_WORDS[count.stage], at=said_time(count.at), acknowledged=acknowledged)
        )
    return good


def counts_behind(
    code: GroundCode, counts: LineCounts | None, index: ClaimIndex, line: str | None
) -> tuple[str, ...]:
    """Return the counts of the line that a ground rests on by itself."""
    if code == "unexplained_charge" and counts is None:
        closing = [c for c in index.ordered_counts if c.stage in ("return", "check_in")]
        agreed = (c for c in closing if acknowledged_by_both(c) and index.is_as_signed(c.id, line))
        return tuple(c.id for c in agreed)[-1:]
    if counts is None:
        return ()
    pickup = counts.pickup_count if counts.received_from == "pickup_count" else None
    closing_count = counts.return_count or counts.check_in_count
    if counts.back_from == "check_in":
        closing_count = counts.check_in_count
    behind: list[str | None] = []
    if code == "never_received":
        behind = [pickup]
    elif code == "prior_damage":
        noted = index.noted_at_pickup.get(line or "")
        behind = [None if noted is None else noted.id]
    elif code == "returned":
        behind = [counts.return_count]
    elif code in ("quantity", "unexplained_charge"):
        behind = [closing_count]
        if counts.received < counts.listed:
            behind.append(pickup)
    elif code == "outside_custody":
        for bracket in counts.brackets:
            if bracket.custody in ("before", "after"):
                seen = bracket.last_seen
                behind += [bracket.gone.count, None if seen is None else seen.count]
    return tuple(dict.fromkeys(each for each in behind if each is not None))

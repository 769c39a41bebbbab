"""Weak points of what the papers do not state: defaults that amounts rest on, and the rest."""

from __future__ import annotations

from collections.abc import Iterator

from ldapp.casework.places import Place
from ldapp.casework.weak_point_facts import Facts, WeakPoint
from ldapp.claim.agreement import Agreement
from ldapp.reckoning.defaults import TERM_WORDS
from ldapp.reckoning.result import Reckoning, Unstated

_WHY = "A default stands in for a term that the paper does not state."
_CURE = "Read the paper again; enter the term with its clause, or leave it if there is none."

BEGINNINGS: tuple[tuple[str, str], ...] = (
    ("ordinary wear", "wear_excepted"),
    ("salvage", "salvage"),
    ("repair or total loss", "repair_decision"),
    ("valuation date", "valuation_date"),
    ("pair or set", "pair_or_set"),
    ("not stated whether taxable", "tax"),
    ("renter", "renter"),
    ("period", "period"),
    ("deductible", "deductibles"),
    ("form of the limit", "limit_form"),
    ("limit", "limit"),
    ("how several insurers share", "other_insurance_shares"),
)
"""How the sentence of a default begins, and the field that it is about."""


def check_not_stated(facts: Facts) -> Iterator[WeakPoint]:
    """Defaults that stand in for terms: those that amounts rest on first, paper by paper."""
    reckoning = facts.reckoning
    if reckoning is None:
        return
    resting = _resting(reckoning)
    named: set[str] = set()
    for says, amounts in resting.items():
        term = next((term for words, term in BEGINNINGS if says.startswith(words)), "")
        named.add(term)
        number = f"{amounts} amount{'s' if amounts != 1 else ''} rest{'s' if amounts == 1 else ''}"
        yield WeakPoint(
            "not_stated",
            "note",
            _place(facts, term, says),
            f"{says[0].upper()}{says[1:].rstrip('.')}; {number} on it.",
            _WHY,
            _CURE,
        )
    for agreement in facts.claim.agreements:
        name = facts.agreement_name(agreement)
        place = Place("papers", "agreement", agreement.id)
        yield from _of_paper(reckoning, agreement.id, name, place, named)
    policy = facts.claim.policy
    if policy is not None:
        yield from _of_paper(reckoning, policy.id, "The policy", Place("papers", "policy"), named)


def _resting(reckoning: Reckoning) -> dict[str, int]:
    """Return each default that amounts rest on, and on how many."""
    resting: dict[str, int] = {}
    for seen in reckoning.observations:
        if seen.code == "not_stated":
            resting[seen.says] = resting.get(seen.says, 0) + 1
    return resting


def _place(facts: Facts, term: str, says: str) -> Place:
    """Return the field of the first paper that does not state the term."""
    if "in the policy" in says:
        return Place("papers", "policy", "", term)
    silent = next(
        (one for one in facts.claim.agreements if not _states(one, term)),
        next(iter(facts.claim.agreements), None),
    )
    return Place("papers", "agreement", silent.id if silent is not None else "", term)


def _states(agreement: Agreement, term: str) -> bool:
    return bool(getattr(agreement, term, None) or getattr(agreement.terms, term, None))


def _of_paper(
    reckoning: Reckoning, paper: str, name: str, place: Place, named: set[str]
) -> Iterator[WeakPoint]:
    silent = [one for one in reckoning.not_stated if one.paper == paper and one.term not in named]
    for one in silent:
        # The basis of value has a point of its own, whether anything is reckoned or not.
        if one.blocks and one.term != "valuation":
            yield WeakPoint(
                "not_stated",
                "weak",
                place._replace(field=one.term),
                f"{name} does not state {TERM_WORDS[one.term]}; {one.taken}.",
                "Without it the amounts that rest on it cannot be computed.",
                _CURE,
            )
    quiet = [one for one in silent if not one.blocks]
    if quiet:
        yield WeakPoint(
            "terms_not_stated",
            "note",
            place._replace(field=quiet[0].term),
            _quiet_says(name, quiet),
            "What a paper leaves open each side will read in its own way.",
            "Look at each under “Not stated” on the Papers page; enter those that the paper has.",
        )


def _quiet_says(name: str, quiet: list[Unstated]) -> str:
    words = [TERM_WORDS[one.term] for one in quiet]
    if len(words) == 1:
        return f"{name} does not state {words[0]}; {quiet[0].taken}."
    shown = ", ".join(words[:4])
    more = f" and {len(words) - 4} more" if len(words) > 4 else ""
    return f"{name} leaves {len(words)} terms not stated: {shown}{more}."


def check_groups(facts: Facts) -> Iterator[WeakPoint]:
    """Groups that bear a part while nobody has stated how."""
    claim = facts.claim
    split = claim.policy.terms.deductible_split if claim.policy is not None else None
    bearing = {one.party for one in claim.splits}
    if split is not None:
        bearing |= {split.first, split.rest}
    for group in claim.parties:
        if group.members and group.together is None and group.id in bearing:
            yield WeakPoint(
                "group_not_stated",
                "note",
                Place("papers", "split", group.id),
                f"{group.name or 'A group'}: how it bears its part is not stated; taken as equal "
                "parts.",
                "Whether each owes its part or each owes all decides what a notice may ask.",
                "Read the school's rule, and state it under Shares on the Papers page.",
            )

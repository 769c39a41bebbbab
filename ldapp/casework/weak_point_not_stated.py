"""Weak points of what the papers do not state: defaults that amounts rest on, and the rest."""

from __future__ import annotations

from collections.abc import Iterator

from ldapp.casework.places import Place
from ldapp.casework.weak_point_facts import Facts, WeakPoint
from ldapp.claim.agreement import Agreement
from ldapp.language import marked, said, said_of
from ldapp.reckoning.defaults import TERM_WORDS
from ldapp.reckoning.result import Reckoning, Unstated

_WHY = marked("A default stands in for a term that the paper does not state.")
_CURE = marked(
    "Read the paper again; enter the term with its clause, or leave it if there is none."
)

BEGINNINGS: tuple[tuple[str, str], ...] = (
    (marked("ordinary wear not stated in the agreement, taken as not owed"), "wear_excepted"),
    (marked("salvage not stated in the agreement, taken as kept by the lessor"), "salvage"),
    (
        marked("repair or total loss not stated in the agreement, taken as the lesser of both"),
        "repair_decision",
    ),
    (
        marked("valuation date not stated in the agreement, taken as the price documented"),
        "valuation_date",
    ),
    (
        marked("pair or set not stated in the agreement, taken as the difference in value"),
        "pair_or_set",
    ),
    (marked("not stated whether taxable, taken as not: {components}"), "tax"),
    (marked("renter not stated in the agreement, taken as insured"), "renter"),
    (marked("period not stated in the policy, taken as in force"), "period"),
    (marked("deductible not stated in the policy, taken as none"), "deductibles"),
    (
        marked("form of the limit not stated in the policy, taken as one limit over all"),
        "limit_form",
    ),
    (marked("limit not stated in the policy, taken as none"), "limit"),
    (
        marked("how several insurers share not stated in the policy, taken as equal shares"),
        "other_insurance_shares",
    ),
)
"""Defaults as the reckoning says them, and the field that each is about."""
_INSURED = marked("insured person not stated in the policy, taken as the renter")
_OF_POLICY = frozenset(("period", "deductibles", "limit_form", "limit", "other_insurance_shares"))


def check_not_stated(facts: Facts) -> Iterator[WeakPoint]:
    """Defaults that stand in for terms: those that amounts rest on first, paper by paper."""
    reckoning = facts.reckoning
    if reckoning is None:
        return
    resting = _resting(reckoning)
    named: set[str] = set()
    for says, amounts in resting.items():
        term = next((term for words, term in BEGINNINGS if _begins(says, words)), "")
        named.add(term)
        yield WeakPoint(
            "not_stated",
            "note",
            _place(facts, term, says),
            said_of(
                amounts,
                "{default}; {count} amount rests on it.",
                "{default}; {count} amounts rest on it.",
                default=says[0].upper() + says[1:].rstrip("."),
            ),
            said(_WHY),
            said(_CURE),
        )
    for agreement in facts.claim.agreements:
        name = facts.agreement_name(agreement)
        place = Place("papers", "agreement", agreement.id)
        yield from _of_paper(reckoning, agreement.id, name, place, named)
    policy = facts.claim.policy
    if policy is not None:
        yield from _of_paper(
            reckoning, policy.id, said("The policy"), Place("papers", "policy"), named
        )


def _begins(says: str, default: str) -> bool:
    """Whether a sentence is this default, in the language spoken, up to the first value in it."""
    return says.startswith(said(default).partition("{")[0])


def _resting(reckoning: Reckoning) -> dict[str, int]:
    """Return each default that amounts rest on, and on how many."""
    resting: dict[str, int] = {}
    for seen in reckoning.observations:
        if seen.code == "not_stated":
            resting[seen.says] = resting.get(seen.says, 0) + 1
    return resting


def _place(facts: Facts, term: str, says: str) -> Place:
    """Return the field of the first paper that does not state the term."""
    if term in _OF_POLICY or _begins(says, _INSURED):
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
                said(
                    "{name} does not state {term}; {taken}.",
                    name=name,
                    term=said(TERM_WORDS[one.term]),
                    taken=one.taken,
                ),
                said("Without it the amounts that rest on it cannot be computed."),
                said(_CURE),
            )
    quiet = [one for one in silent if not one.blocks]
    if quiet:
        yield WeakPoint(
            "terms_not_stated",
            "note",
            place._replace(field=quiet[0].term),
            _quiet_says(name, quiet),
            said("What a paper leaves open each side will read in its own way."),
            said(
                "Look at each under “Not stated” on the Papers page; enter those that "
                "the paper has."
            ),
        )


def _quiet_says(name: str, quiet: list[Unstated]) -> str:
    words = [said(TERM_WORDS[one.term]) for one in quiet]
    if len(words) == 1:
        return said(
            "{name} does not state {term}; {taken}.", name=name, term=words[0], taken=quiet[0].taken
        )
    shown = ", ".join(words[:4])
    if len(words) > 4:
        return said(
            "{name} leaves {number} terms not stated: {shown} and {more} more.",
            name=name,
            number=len(words),
            shown=shown,
            more=len(words) - 4,
        )
    return said(
        "{name} leaves {number} terms not stated: {shown}.",
        name=name,
        number=len(words),
        shown=shown,
    )


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
                said(
                    "{name}: how it bears its part is not stated; taken as equal parts.",
                    name=group.name or said("A group"),
                ),
                said("Whether each owes its part or each owes all decides what a notice may ask."),
                said("Read the school's rule, and state it under Shares on the Papers page."),
            )

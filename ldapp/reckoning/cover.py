"""Whether a policy covers a finding: period, cause and category."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import NamedTuple

from ldapp.claim.agreement import Policy
from ldapp.language import said
from ldapp.reckoning.findings import Reckoned
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import CoverSays
from ldapp.reckoning.times import said_time
from ldapp.reckoning.valuation import belongs
from ldapp.reckoning.words import CAUSE_WORDS, category_words


class Cover(NamedTuple):
    """What the policy says of one finding, and why where it does not cover it."""

    says: CoverSays
    reason: str = ""


def insured_parties(policy: Policy) -> frozenset[str]:
    """Return the ids of the parties that a policy insures; empty where it names none."""
    also = policy.terms.also_insured
    named = () if policy.insured is None else (policy.insured,)
    return frozenset((*named, *(() if also is None else also.parties)))


def who_is_insured(policy: Policy, renters: Iterable[str | None]) -> str:
    """Say what is taken where a policy or an agreement names nobody; empty where all is named."""
    if not insured_parties(policy):
        return said("insured person not stated in the policy, taken as the renter")
    if None in set(renters):
        return said("renter not stated in the agreement, taken as insured")
    return ""


def cover_of(index: ClaimIndex, policy: Policy, found: Reckoned) -> Cover:
    """Return whether a policy covers a finding: person, cause and category, date of loss.

    A loss that only a bracket dates lies inside the period if last seen not before its start
    and gone not after its end; one that a boundary cuts cannot be said, until an occurrence
    dates it.
    """
    terms = policy.terms
    renter = index.agreements[found.line.agreement].renter
    insured = insured_parties(policy)
    if renter is not None and insured and renter not in insured:
        names = {party.id: party.name for party in index.claim.parties}
        return Cover(
            "not_covered", said("not insured by the policy: {name}", name=names.get(renter, renter))
        )
    for exclusion in terms.exclusions:
        if exclusion.component is not None:
            continue
        if exclusion.cause is not None and exclusion.cause != found.cause:
            continue
        if exclusion.category is not None and not belongs(found.line, exclusion.category, None):
            continue
        cause = None if exclusion.cause is None else said(CAUSE_WORDS[exclusion.cause])
        category = None if exclusion.category is None else category_words(exclusion.category)
        what = ", ".join(each for each in (cause, category) if each is not None)
        return Cover("not_covered", said("excluded: {what}", what=what))
    if terms.period is None:
        return Cover("covered")
    begins, ends = terms.period.begins, terms.period.ends
    if found.date.known_from == "occurrence" and found.date.at is not None:
        if begins <= found.date.at <= ends:
            return Cover("covered")
        return Cover(
            "not_covered", said("lost outside the policy period: {at}", at=said_time(found.date.at))
        )
    return _by_brackets(found, begins, ends)


def _by_brackets(found: Reckoned, begins: dt.datetime, ends: dt.datetime) -> Cover:
    says = set()
    for bracket in found.brackets:
        seen = None if bracket.last_seen is None else bracket.last_seen.at
        gone = bracket.gone.at
        if seen is not None and gone is not None and begins <= seen and gone <= ends:
            says.add("inside")
        elif (gone is not None and gone < begins) or (seen is not None and seen > ends):
            says.add("outside")
        else:
            says.add("cut")
    if says == {"inside"}:
        return Cover("covered")
    if says == {"outside"}:
        return Cover("not_covered", said("lost outside the policy period"))
    return Cover(
        "cannot_be_said",
        said(
            "the counts do not show that it was lost inside the policy period; an "
            "occurrence with its day would date it"
        ),
    )

"""What the reckoning takes where a paper states nothing: one sentence for each term."""

from __future__ import annotations

from ldapp.claim.policy import PolicyTerms
from ldapp.claim.record import record
from ldapp.claim.terms import Terms


@record
class Unstated:
    """A term that a paper does not state, and what is taken in its place.

    ``blocks`` is set where there is no default: amounts cannot be computed without it.
    """

    term: str
    taken: str
    blocks: bool = False


_AGREEMENT: dict[str, tuple[str, bool]] = {
    "custody_start": ("custody is taken to begin with the event dated in the agreement", False),
    "custody_end": ("custody is taken to end with the event dated in the agreement", False),
    "wear_excepted": ("ordinary wear is taken as not owed", False),
    "valuation": ("the basis of value has no default", True),
    "valuation_date": ("the price documented is taken, whatever its day", False),
    "pair_or_set": ("a part of a pair or set is taken at the difference in value", False),
    "repair_decision": ("the lesser of repair and value is taken", False),
    "betterment": ("nothing is taken off for new parts", False),
    "labour_depreciated": ("labour is taken as not depreciated", False),
    "salvage": ("the lessor is taken to keep the wreck", False),
    "loss_of_use": ("loss of use is taken as not agreed", False),
    "tax": ("loss charges are taken as not taxable", False),
}
_POLICY: dict[str, tuple[str, bool]] = {
    "period": ("the policy is taken to be in force", False),
    "limit": ("no limit is taken", False),
    "deductibles": ("no deductible is taken", False),
    "valuation": ("the policy is taken to follow what is owed", False),
    "aggregate": ("no annual limit is taken", False),
}


def unstated_in_agreement(terms: Terms) -> tuple[Unstated, ...]:
    """Return what an agreement does not state, in the order of its sentences."""
    found = [_unstated(terms, name, *said) for name, said in _AGREEMENT.items()]
    if _needs_life(terms) and terms.depreciation is None:
        found.append(Unstated(term="depreciation", taken="the life has no default", blocks=True))
    return tuple(each for each in found if each is not None)


def _needs_life(terms: Terms) -> bool:
    rules = [terms.valuation, *(override.rule for override in terms.valuation_overrides)]
    return any(rule is not None and "actual_cash_value" in rule.bases for rule in rules)


def unstated_in_policy(terms: PolicyTerms) -> tuple[Unstated, ...]:
    """Return what a policy does not state, in the order of its sentences."""
    found = [_unstated(terms, name, *said) for name, said in _POLICY.items()]
    return tuple(each for each in found if each is not None)


def _unstated(terms: Terms | PolicyTerms, name: str, taken: str, blocks: bool) -> Unstated | None:
    if getattr(terms, name):
        return None
    return Unstated(term=name, taken=taken, blocks=blocks)

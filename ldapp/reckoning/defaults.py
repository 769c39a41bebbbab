"""What the reckoning takes where a paper states nothing: one sentence for each term."""

from __future__ import annotations

from ldapp.claim.claim import Claim
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import Terms
from ldapp.reckoning.result import Unstated

_AGREEMENT: dict[str, tuple[str, bool]] = {
    "custody_start": ("custody is taken to begin with the event dated in the agreement", False),
    "custody_end": ("custody is taken to end with the event dated in the agreement", False),
    "opening_condition": ("what was noted or is seen in a pickup photo is not owed", False),
    "closing_count": ("the larger of both closing counts is taken", False),
    "invoice_conclusive": ("the invoice is taken to prove nothing by itself", False),
    "wear_excepted": ("ordinary wear is taken as not owed", False),
    "liability": ("the renter is taken to answer for any cause", False),
    "burn_outs": ("a lamp that burned out is taken as free where it comes back", False),
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

TERM_WORDS: dict[str, str] = {
    "custody_start": "when risk begins",
    "custody_end": "when risk ends",
    "opening_condition": "the condition at pickup",
    "closing_count": "whose closing count decides",
    "invoice_conclusive": "whether the invoice is proof",
    "wear_excepted": "ordinary wear",
    "liability": "for what the renter answers",
    "burn_outs": "lamps that burn out",
    "valuation": "the basis of value",
    "valuation_date": "the day of the price",
    "depreciation": "depreciation",
    "pair_or_set": "pairs and sets",
    "repair_decision": "repair or total loss",
    "betterment": "betterment",
    "labour_depreciated": "whether labour is depreciated",
    "salvage": "who keeps the wreck",
    "loss_of_use": "loss of use",
    "tax": "tax on loss charges",
    "period": "the policy period",
    "limit": "the limit",
    "deductibles": "the deductible",
    "aggregate": "the annual limit",
}
"""What a term is called in a sentence."""


def unstated_terms(claim: Claim) -> tuple[Unstated, ...]:
    """Return what the claim's agreements and its policy do not state, paper by paper."""
    found: list[Unstated] = []
    for agreement in claim.agreements:
        found += unstated_in_agreement(agreement.terms, agreement.id)
    if claim.policy is not None:
        found += unstated_in_policy(claim.policy.terms, claim.policy.id)
    return tuple(found)


def unstated_in_agreement(terms: Terms, paper: str = "") -> tuple[Unstated, ...]:
    """Return what an agreement does not state, in the order of its sentences."""
    found = _unstated(terms, paper, _AGREEMENT)
    if _needs_life(terms) and terms.depreciation is None:
        taken = "the life has no default"
        found.append(Unstated(paper=paper, term="depreciation", taken=taken, blocks=True))
    return tuple(found)


def _needs_life(terms: Terms) -> bool:
    rules = [terms.valuation, *(override.rule for override in terms.valuation_overrides)]
    return any(rule is not None and "actual_cash_value" in rule.bases for rule in rules)


def unstated_in_policy(terms: PolicyTerms, paper: str = "") -> tuple[Unstated, ...]:
    """Return what a policy does not state, in the order of its sentences."""
    return tuple(_unstated(terms, paper, _POLICY))


def _unstated(
    terms: Terms | PolicyTerms, paper: str, defaults: dict[str, tuple[str, bool]]
) -> list[Unstated]:
    return [
        Unstated(paper=paper, term=term, taken=taken, blocks=blocks)
        for term, (taken, blocks) in defaults.items()
        if not getattr(terms, term)
    ]

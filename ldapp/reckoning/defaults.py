"""What the reckoning takes where a paper states nothing: one sentence for each term."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction

from ldapp.claim.claim import Claim
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import Terms, ValuationRule
from ldapp.language import marked, said
from ldapp.reckoning.result import Unstated
from ldapp.reckoning.words import FEE_WORDS

_AGREEMENT: dict[str, tuple[str, bool]] = {
    "custody_start": (
        marked("custody is taken to begin with the event dated in the agreement"),
        False,
    ),
    "custody_end": (marked("custody is taken to end with the event dated in the agreement"), False),
    "opening_condition": (marked("what was noted or is seen in a pickup photo is not owed"), False),
    "closing_count": (marked("the larger of both closing counts is taken"), False),
    "invoice_conclusive": (marked("the invoice is taken to prove nothing by itself"), False),
    "wear_excepted": (marked("ordinary wear is taken as not owed"), False),
    "liability": (marked("the renter is taken to answer for any cause"), False),
    "burn_outs": (marked("a lamp that burned out is taken as free where it comes back"), False),
    "valuation": (marked("the basis of value has no default"), True),
    "valuation_date": (marked("the price documented is taken, whatever its day"), False),
    "pair_or_set": (marked("a part of a pair or set is taken at the difference in value"), False),
    "repair_decision": (marked("the lesser of repair and value is taken"), False),
    "betterment": (marked("nothing is taken off for new parts"), False),
    "labour_depreciated": (marked("labour is taken as not depreciated"), False),
    "salvage": (marked("the lessor is taken to keep the wreck"), False),
    "loss_of_use": (marked("loss of use is taken as not agreed"), False),
    "tax": (marked("loss charges are taken as not taxable"), False),
}
_POLICY: dict[str, tuple[str, bool]] = {
    "period": (marked("the policy is taken to be in force"), False),
    "limit": (marked("no limit is taken"), False),
    "deductibles": (marked("no deductible is taken"), False),
    "valuation": (marked("the policy is taken to follow what is owed"), False),
    "aggregate": (marked("no annual limit is taken"), False),
}

TERM_WORDS: dict[str, str] = {
    "custody_start": marked("when risk begins"),
    "custody_end": marked("when risk ends"),
    "opening_condition": marked("the condition at pickup"),
    "closing_count": marked("whose closing count decides"),
    "invoice_conclusive": marked("whether the invoice is proof"),
    "wear_excepted": marked("ordinary wear"),
    "liability": marked("for what the renter answers"),
    "burn_outs": marked("lamps that burn out"),
    "valuation": marked("the basis of value"),
    "valuation_date": marked("the day of the price"),
    "depreciation": marked("depreciation"),
    "pair_or_set": marked("pairs and sets"),
    "repair_decision": marked("repair or total loss"),
    "betterment": marked("betterment"),
    "labour_depreciated": marked("whether labour is depreciated"),
    "salvage": marked("who keeps the wreck"),
    "loss_of_use": marked("loss of use"),
    "tax": marked("tax on loss charges"),
    "fees": marked("a fee in full"),
    "waiver": marked("the waiver in full"),
    "insurance_to_value": marked("how much must be insured"),
    "period": marked("the policy period"),
    "limit": marked("the limit"),
    "deductibles": marked("the deductible"),
    "aggregate": marked("the annual limit"),
}
"""What a term is called in a sentence; said where it is shown."""


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
    found = _unstated(terms, paper, _AGREEMENT, _agreement_left_open(terms))
    if _needs_life(terms) and terms.depreciation is None:
        taken = said("the life has no default")
        found.append(Unstated(paper=paper, term="depreciation", taken=taken, blocks=True))
    return tuple(found)


def _needs_life(terms: Terms) -> bool:
    rules = [terms.valuation, *(override.rule for override in terms.valuation_overrides)]
    return any(rule is not None and "actual_cash_value" in rule.bases for rule in rules)


def unstated_in_policy(terms: PolicyTerms, paper: str = "") -> tuple[Unstated, ...]:
    """Return what a policy does not state, in the order of its sentences."""
    return tuple(_unstated(terms, paper, _POLICY, _policy_left_open(terms)))


def _agreement_left_open(terms: Terms) -> Iterator[tuple[str, str, bool]]:
    """Yield the sentences of an agreement in which the figure is lacking."""
    rules = (terms.valuation, *(override.rule for override in terms.valuation_overrides))
    if any(map(_lacks_share, rules)):
        yield "valuation", said("the share of the replacement cost has no default"), True
    decision, pair, waiver = terms.repair_decision, terms.pair_or_set, terms.waiver
    if decision is not None and decision.rule == "threshold" and decision.threshold is None:
        yield (
            "repair_decision",
            said("without a threshold the lesser of repair and value is taken"),
            False,
        )
    if pair is not None and pair.rule == "stated_share" and pair.share is None:
        yield "pair_or_set", said("without a share the difference in value is taken"), False
    for fee in terms.fees:
        if _lacks_figure(fee.form, fee.amount, fee.rate):
            taken = said("the fee for {kind} is taken as nought", kind=said(FEE_WORDS[fee.kind]))
            yield "fees", taken, False
    if waiver is not None and waiver.taken:
        if waiver.share_form == "bands" and not waiver.share_bands:
            yield "waiver", said("without a band the waiver is taken to bear nothing"), False
        elif _lacks_figure(waiver.share_form, waiver.share_amount, waiver.share_rate):
            yield "waiver", said("the renter's share of the waiver is taken as nought"), False


def _policy_left_open(terms: PolicyTerms) -> Iterator[tuple[str, str, bool]]:
    """Yield the sentences of a policy in which the figure is lacking."""
    for rule in terms.deductibles:
        if _lacks_figure(rule.form, rule.amount, rule.rate):
            yield "deductibles", said("a deductible without a figure is taken as nought"), False
    value = terms.insurance_to_value
    if value is not None and value.required_share is None and value.agreed_value is None:
        yield "insurance_to_value", said("the whole value is taken as what must be insured"), False
    if _lacks_share(terms.valuation):
        yield "valuation", said("the share of the replacement cost has no default"), True


def _lacks_share(rule: ValuationRule | None) -> bool:
    return rule is not None and "share_of_replacement" in rule.bases and rule.share is None


def _lacks_figure(form: str, amount: Decimal | None, rate: Fraction | None) -> bool:
    return (form == "flat" and amount is None) or (form.startswith("percentage") and rate is None)


def _unstated(
    terms: Terms | PolicyTerms,
    paper: str,
    defaults: dict[str, tuple[str, bool]],
    left_open: Iterable[tuple[str, str, bool]],
) -> list[Unstated]:
    silent = [
        (term, said(taken), blocks)
        for term, (taken, blocks) in defaults.items()
        if not getattr(terms, term)
    ]
    return [
        Unstated(paper=paper, term=term, taken=taken, blocks=blocks)
        for term, taken, blocks in dict.fromkeys((*silent, *left_open))
    ]

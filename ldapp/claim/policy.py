"""The terms of an insurance policy as recorded choices.

Money is in the claim's currency, rates are exact fractions, the period is a pair of
instants.  ``None`` is *not stated*; ``clause`` says where a sentence is written.
"""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from ldapp.claim.causes import Cause
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule, HolidayCalendar
from ldapp.claim.documents import DocumentKind
from ldapp.claim.record import record
from ldapp.claim.terms import DepreciationOverride, DepreciationRule, ValuationRule


@record
class PolicyPeriod:
    """From ``begins`` to ``ends``; often that is 12:01 a.m. of the day that is written."""

    begins: datetime
    ends: datetime
    clause: Clause | None = None


@record
class PolicyLimit:
    """The most the policy pays for one occurrence: one limit over all, or one per item."""

    amount: Decimal
    clause: Clause | None = None


@record
class ItemLimit:
    """A separate limit for one kit line (by its id) or one category."""

    amount: Decimal
    line: str | None = None
    category: str | None = None
    clause: Clause | None = None


@record
class Sublimit:
    """A narrower cap: for one unit, one line, one category or one cause."""

    per: Literal["unit", "line", "category", "cause"]
    amount: Decimal
    category: str | None = None
    cause: Cause | None = None
    clause: Clause | None = None


@record
class Deductible:
    """What the insured bears of each occurrence before the policy pays.

    ``form`` and ``per`` choose how it is computed; ``causes`` and ``categories`` narrow when
    it applies (empty: always).  Where several apply, the largest stands alone.
    """

    form: Literal["flat", "percentage_of_loss", "percentage_of_value", "percentage_of_limit"]
    per: Literal["occurrence", "line", "unit"] = "occurrence"
    amount: Decimal | None = None
    rate: Fraction | None = None
    minimum: Decimal | None = None
    maximum: Decimal | None = None
    bounds_per: Literal["occurrence", "line"] = "occurrence"
    causes: tuple[Cause, ...] = ()
    categories: tuple[str, ...] = ()
    abroad: bool = False
    """Applies only to losses abroad."""
    clause: Clause | None = None


@record
class DeductibleSplit:
    """Who bears the deductible: a party's part by its own formula up to a cap, the rest another.

    With ``form`` "share" the first party bears ``rate`` of the deductible; with
    "percentage_of_loss" it bears that share of the loss, bounded by minimum and maximum.
    """

    first: str
    rest: str
    form: Literal["flat", "share", "percentage_of_loss"]
    amount: Decimal | None = None
    rate: Fraction | None = None
    minimum: Decimal | None = None
    maximum: Decimal | None = None
    clause: Clause | None = None


@record
class InsuranceToValue:
    """The share of the value at risk that must be insured, or an agreed value in its place."""

    required_share: Fraction | None = None
    agreed_value: Decimal | None = None
    value_at_risk: Decimal | None = None
    blanket: bool = True
    clause: Clause | None = None


@record
class Participation:
    """The share of the loss after the deductible that the insured keeps."""

    insured_share: Fraction
    clause: Clause | None = None


@record
class Exclusion:
    """A cause or a category of equipment that the policy does not cover."""

    cause: Cause | None = None
    category: str | None = None
    component: Literal["loss_of_use", "fees", "tax"] | None = None
    clause: Clause | None = None


@record
class Holdback:
    """Depreciation is held back until replacement is proved, then released."""

    proof_within_days: int | None = None
    clause: Clause | None = None


@record
class OtherInsurance:
    """Another insurer of the same loss, its limit, and how the insurers share."""

    insurer: str
    limit: Decimal
    clause: Clause | None = None


@record
class Aggregate:
    """The most the policy pays in a year over all claims."""

    amount: Decimal
    clause: Clause | None = None


@record
class LossPayee:
    """Who is paid first or jointly, as its interest appears."""

    name: str
    clause: Clause | None = None


@record
class AlsoInsured:
    """Parties that the policy insures beside the named insured (each by its id)."""

    parties: tuple[str, ...]
    clause: Clause | None = None


@record
class WantedPaper:
    """A paper that the insurer asks for: with every claim, or where something happened.

    "theft" is theft, robbery and vandalism; "damage" one for each damaged finding;
    "replacement" one for each that has been replaced.
    """

    kind: DocumentKind
    when: Literal["always", "theft", "damage", "replacement"] = "always"
    clause: Clause | None = None


@record
class PolicyTerms:
    """Every choice of one policy; ``None`` or an empty tuple is "not stated"."""

    currency: str | None = None
    period: PolicyPeriod | None = None
    also_insured: AlsoInsured | None = None
    limit_form: Literal["one_limit", "separate_limits"] | None = None
    limit_form_clause: Clause | None = None
    limit: PolicyLimit | None = None
    item_limits: tuple[ItemLimit, ...] = ()
    sublimits: tuple[Sublimit, ...] = ()
    deductibles: tuple[Deductible, ...] = ()
    deductible_split: DeductibleSplit | None = None
    insurance_to_value: InsuranceToValue | None = None
    participation: Participation | None = None
    exclusions: tuple[Exclusion, ...] = ()
    valuation: ValuationRule | None = None
    depreciation: DepreciationRule | None = None
    depreciation_overrides: tuple[DepreciationOverride, ...] = ()
    holdback: Holdback | None = None
    other_insurance: tuple[OtherInsurance, ...] = ()
    other_insurance_shares: Literal["equal_shares", "by_limits"] | None = None
    other_insurance_shares_clause: Clause | None = None
    aggregate: Aggregate | None = None
    loss_payees: tuple[LossPayee, ...] = ()
    not_worth_claiming_below: Decimal | None = None
    deadlines: tuple[DeadlineRule, ...] = ()
    papers: tuple[WantedPaper, ...] = ()
    """What the insurer asks for; empty is not stated: the usual papers then."""
    holidays: HolidayCalendar | None = None

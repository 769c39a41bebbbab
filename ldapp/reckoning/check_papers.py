"""Terms of agreements and policies that cannot be."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.policy import PolicyTerms
from ldapp.claim.terms import (
    DepreciationOverride,
    DepreciationRule,
    StraightLine,
    Terms,
    ValuationRule,
)
from ldapp.errors import Fault
from ldapp.language import marked, said
from ldapp.local_forms import local_number
from ldapp.reckoning.figures import percent_text

Number = Decimal | Fraction | int | None

MOST_DAYS = 36_525
MOST_HOURS = 24 * MOST_DAYS
FIRST_YEAR, LAST_YEAR = 1900, 2200
_CENTURY = marked("a hundred years")
_VALUED_TWICE = marked("the basis of value of {name!r} stands twice")
_TAXED_TWICE = marked("the tax of {name!r} stands twice")
_DEPRECIATED_TWICE = marked("the depreciation of {name!r} stands twice")


def _shown(value: Number) -> str:
    return local_number(str(value))


class Faults:
    """Collects faults of one file; each check is one sentence with its place."""

    def __init__(self, file: str) -> None:
        self._file = file
        self._found: list[Fault] = []

    def all(self) -> tuple[Fault, ...]:
        """Return the faults in the order in which they were found."""
        return tuple(self._found)

    def add(self, place: str, wrong: str, expected: str) -> None:
        """Add one fault."""
        self._found.append(Fault(self._file, place, wrong, expected))

    def share(self, place: str, value: Fraction | None) -> None:
        """Refuse a share that is not between 0 and 100 %."""
        if value is not None and not 0 <= value <= 1:
            self.add(
                place,
                said("{percent} is no share", percent=percent_text(value)),
                said("a share between 0 and 100 %"),
            )

    def number(self, place: str, value: Decimal | None) -> None:
        """Refuse what is no number."""
        if value is not None and not value.is_finite():
            self.add(place, said("{value} is no number", value=value), said("a number"))

    def not_negative(self, place: str, value: Number) -> None:
        """Refuse a negative number."""
        if isinstance(value, Decimal) and not value.is_finite():
            self.number(place, value)
        elif value is not None and value < 0:
            self.add(
                place, said("{value} is negative", value=_shown(value)), said("nought or more")
            )

    def at_most(self, place: str, value: int | None, most: int, what: str) -> None:
        """Refuse a negative number and one above ``most``, which ``what`` (marked) names."""
        self.not_negative(place, value)
        if value is not None and value > most:
            self.add(
                place,
                said("{value} is above {what}", value=value, what=said(what)),
                said("at most {most}", most=most),
            )

    def above_nought(self, place: str, value: Number) -> None:
        """Refuse nought and less."""
        if value is not None and value <= 0:
            self.add(
                place,
                said("{value} is not above nought", value=_shown(value)),
                said("a number above nought"),
            )

    def day(self, place: str, day: dt.date | None) -> None:
        """Refuse a day on which nothing of a claim can have happened."""
        if day is not None and not FIRST_YEAR <= day.year <= LAST_YEAR:
            self.add(
                place,
                said("the year {year}", year=day.year),
                said("a year from {first} to {last}", first=FIRST_YEAR, last=LAST_YEAR),
            )

    def in_order(self, place: str, low: Number, high: Number) -> None:
        """Refuse a minimum above its maximum."""
        if low is not None and high is not None and Fraction(low) > Fraction(high):
            self.add(
                place,
                said(
                    "the minimum {low} is above the maximum {high}",
                    low=_shown(low),
                    high=_shown(high),
                ),
                said("the lesser first"),
            )


def check_agreement_terms(terms: Terms, place: str, faults: Faults) -> None:
    """Check every choice of an agreement."""
    if terms.valuation is not None:
        _check_valuation(terms.valuation, f"{place}.valuation", faults)
    for n, valuation in enumerate(terms.valuation_overrides):
        _check_valuation(valuation.rule, f"{place}.valuation_overrides[{n}].rule", faults)
    named = [(each.line, each.category) for each in terms.valuation_overrides]
    _check_once(named, f"{place}.valuation_overrides", _VALUED_TWICE, faults)
    _check_depreciation_once(terms.depreciation_overrides, place, faults)
    if terms.lessors_discount is not None:
        faults.share(f"{place}.lessors_discount.rate", terms.lessors_discount.rate)
    if terms.ceiling is not None:
        faults.not_negative(f"{place}.ceiling.amount", terms.ceiling.amount)
        faults.not_negative(
            f"{place}.ceiling.share_of_replacement", terms.ceiling.share_of_replacement
        )
    if terms.replacement_tax is not None:
        faults.share(f"{place}.replacement_tax.rate", terms.replacement_tax.rate)
    if terms.depreciation is not None:
        check_depreciation(terms.depreciation, f"{place}.depreciation", faults)
    for n, depreciation in enumerate(terms.depreciation_overrides):
        check_depreciation(depreciation.rule, f"{place}.depreciation_overrides[{n}].rule", faults)
    if terms.opening_condition is not None:
        faults.at_most(
            f"{place}.opening_condition.hours", terms.opening_condition.hours, MOST_HOURS, _CENTURY
        )
    if terms.burn_outs is not None:
        faults.not_negative(
            f"{place}.burn_outs.short_rental_days", terms.burn_outs.short_rental_days
        )
    if terms.recovery is not None:
        faults.not_negative(f"{place}.recovery.within_days", terms.recovery.within_days)
    if terms.pair_or_set is not None:
        faults.share(f"{place}.pair_or_set.share", terms.pair_or_set.share)
    if terms.repair_decision is not None:
        faults.share(f"{place}.repair_decision.threshold", terms.repair_decision.threshold)
    _check_charges(terms, place, faults)
    _check_deadlines(terms.deadlines, f"{place}.deadlines", faults)


def _check_charges(terms: Terms, place: str, faults: Faults) -> None:
    use = terms.loss_of_use
    if use is not None:
        here = f"{place}.loss_of_use"
        for name in ("rate_share", "discount", "utilisation", "cap_share_of_value"):
            faults.share(f"{here}.{name}", getattr(use, name))
        for name in ("stated_days", "administrative_days", "cap_days", "cap_amount"):
            faults.not_negative(f"{here}.{name}", getattr(use, name))
        week = use.billed_days_per_week
        if week is not None and not 0 < week <= 7:
            faults.add(
                f"{here}.billed_days_per_week",
                said("{number} days in a week", number=_shown(week)),
                said("above 0, up to 7"),
            )
    for n, fee in enumerate(terms.fees):
        here = f"{place}.fees[{n}]"
        faults.share(f"{here}.rate", fee.rate)
        for name in ("amount", "minimum", "maximum"):
            faults.not_negative(f"{here}.{name}", getattr(fee, name))
        faults.in_order(f"{here}.minimum", fee.minimum, fee.maximum)
        _check_bands([band.up_to for band in fee.bands], f"{here}.bands", faults)
        if fee.form == "bands" and not fee.bands:
            faults.add(f"{here}.bands", said("there is no band"), said("at least one band"))
    if terms.tax is not None:
        for n, rate in enumerate(terms.tax.rates):
            faults.share(f"{place}.tax.rates[{n}]", rate)
        taxed = [(each.component, None) for each in terms.tax.components]
        _check_once(taxed, f"{place}.tax.components", _TAXED_TWICE, faults)
    if terms.rent_credit is not None:
        faults.not_negative(f"{place}.rent_credit.amount", terms.rent_credit.amount)
    if terms.deposit is not None:
        faults.not_negative(f"{place}.deposit.amount", terms.deposit.amount)
        faults.at_most(
            f"{place}.deposit.release_days", terms.deposit.release_days, MOST_DAYS, _CENTURY
        )
    if terms.interest is not None:
        faults.share(f"{place}.interest.yearly_rate", terms.interest.yearly_rate)
        faults.not_negative(f"{place}.interest.after_days", terms.interest.after_days)
    waiver = terms.waiver
    if waiver is not None:
        here = f"{place}.waiver"
        faults.share(f"{here}.share_rate", waiver.share_rate)
        for name in ("share_amount", "share_minimum", "share_maximum", "limit"):
            faults.not_negative(f"{here}.{name}", getattr(waiver, name))
        faults.in_order(f"{here}.share_minimum", waiver.share_minimum, waiver.share_maximum)
        _check_bands([band.up_to for band in waiver.share_bands], f"{here}.share_bands", faults)


def _check_bands(tops: Sequence[Decimal | None], place: str, faults: Faults) -> None:
    closed = [top for top in tops if top is not None]
    if closed != sorted(set(closed)) or None in tops[:-1]:
        faults.add(place, said("the bands do not rise"), said("bands that rise, an open one last"))


def _check_once(
    named: Sequence[tuple[str | None, str | None]], place: str, twice: str, faults: Faults
) -> None:
    """Refuse two sentences on the same line, category or component: they contradict."""
    for n, each in enumerate(named):
        if any(each) and each in named[:n]:
            name = each[0] or each[1]
            faults.add(f"{place}[{n}]", said(twice, name=name), said("one sentence on it"))


def _check_depreciation_once(
    overrides: Sequence[DepreciationOverride], place: str, faults: Faults
) -> None:
    named = [(each.line, each.category) for each in overrides]
    _check_once(named, f"{place}.depreciation_overrides", _DEPRECIATED_TWICE, faults)


def _check_valuation(rule: ValuationRule, place: str, faults: Faults) -> None:
    if not rule.bases:
        faults.add(
            f"{place}.bases", said("no basis is chosen"), said("at least one basis of value")
        )
    faults.not_negative(f"{place}.share", rule.share)


def check_depreciation(rule: DepreciationRule, place: str, faults: Faults) -> None:
    """Check a life or a table, and the residual."""
    faults.share(f"{place}.residual_share", rule.residual_share)
    faults.not_negative(f"{place}.residual_amount", rule.residual_amount)
    if isinstance(rule, StraightLine):
        faults.above_nought(f"{place}.life_months", rule.life_months)
        return
    if not rule.by_year:
        faults.add(
            f"{place}.by_year", said("the table is empty"), said("one percentage for each year")
        )
    for n, percent in enumerate(rule.by_year):
        faults.share(f"{place}.by_year[{n}]", percent)
    if rule.shows == "percent_good":
        if any(later > earlier for earlier, later in pairwise(rule.by_year)):
            faults.add(
                f"{place}.by_year",
                said("a later year is worth more"),
                said("percentages that fall"),
            )
    elif sum(rule.by_year, Fraction(0)) > 1:
        faults.add(
            f"{place}.by_year", said("the years add up to more than 100 %"), said("at most 100 %")
        )


def check_policy_terms(terms: PolicyTerms, place: str, faults: Faults) -> None:
    """Check every choice of a policy but its period."""
    if terms.valuation is not None:
        _check_valuation(terms.valuation, f"{place}.valuation", faults)
    if terms.depreciation is not None:
        check_depreciation(terms.depreciation, f"{place}.depreciation", faults)
    for n, depreciation in enumerate(terms.depreciation_overrides):
        check_depreciation(depreciation.rule, f"{place}.depreciation_overrides[{n}].rule", faults)
    _check_depreciation_once(terms.depreciation_overrides, place, faults)
    if terms.limit is not None:
        faults.not_negative(f"{place}.limit.amount", terms.limit.amount)
    for n, limit in enumerate(terms.item_limits):
        faults.not_negative(f"{place}.item_limits[{n}].amount", limit.amount)
    for n, sublimit in enumerate(terms.sublimits):
        faults.not_negative(f"{place}.sublimits[{n}].amount", sublimit.amount)
    for n, deductible in enumerate(terms.deductibles):
        here = f"{place}.deductibles[{n}]"
        faults.share(f"{here}.rate", deductible.rate)
        for name in ("amount", "minimum", "maximum"):
            faults.not_negative(f"{here}.{name}", getattr(deductible, name))
        faults.in_order(f"{here}.minimum", deductible.minimum, deductible.maximum)
    split = terms.deductible_split
    if split is not None:
        here = f"{place}.deductible_split"
        faults.share(f"{here}.rate", split.rate)
        faults.in_order(f"{here}.minimum", split.minimum, split.maximum)
        for name in ("amount", "minimum", "maximum"):
            faults.not_negative(f"{here}.{name}", getattr(split, name))
    value = terms.insurance_to_value
    if value is not None:
        faults.share(f"{place}.insurance_to_value.required_share", value.required_share)
        faults.above_nought(f"{place}.insurance_to_value.agreed_value", value.agreed_value)
        faults.not_negative(f"{place}.insurance_to_value.value_at_risk", value.value_at_risk)
    if terms.participation is not None:
        faults.share(f"{place}.participation.insured_share", terms.participation.insured_share)
    if terms.holdback is not None:
        faults.at_most(
            f"{place}.holdback.proof_within_days",
            terms.holdback.proof_within_days,
            MOST_DAYS,
            _CENTURY,
        )
    if terms.not_worth_claiming_below is not None:
        faults.not_negative(f"{place}.not_worth_claiming_below", terms.not_worth_claiming_below)
    for n, other in enumerate(terms.other_insurance):
        faults.not_negative(f"{place}.other_insurance[{n}].limit", other.limit)
    if terms.aggregate is not None:
        faults.not_negative(f"{place}.aggregate.amount", terms.aggregate.amount)
    _check_deadlines(terms.deadlines, f"{place}.deadlines", faults)


def _check_deadlines(rules: Sequence[DeadlineRule], place: str, faults: Faults) -> None:
    for n, rule in enumerate(rules):
        most = MOST_HOURS if rule.unit == "hours" else MOST_DAYS
        faults.at_most(f"{place}[{n}].length", rule.length, most, _CENTURY)
        faults.day(f"{place}[{n}].start_on", rule.start_on)

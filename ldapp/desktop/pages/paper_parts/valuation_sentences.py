"""Value, depreciation and deadlines as sentences: the terms that agreement and policy share."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from ldapp.claim.deadline_rules import DeadlineRule, HolidayCalendar
from ldapp.claim.terms import (
    DepreciationOverride,
    DepreciationTable,
    StraightLine,
    ValuationOverride,
    ValuationRule,
)
from ldapp.desktop.pages.paper_parts.term_specs import (
    FieldSpec,
    Sentence,
    TermSpec,
    Values,
    Variant,
    attributes_of,
    plain_term,
    record_of,
    term,
    variant,
)
from ldapp.desktop.pages.paper_parts.words import DEADLINE_STARTS, DEADLINE_UNITS
from ldapp.language import marked, marked_in

VALUATION_FIELDS = (
    FieldSpec("bases", marked("Basis of value"), "bases", required=True),
    FieldSpec(
        "of_several",
        marked("Which of several bases"),
        "choice",
        (("lesser", marked("whichever is least")), ("greater", marked("whichever is most"))),
    ),
    FieldSpec("share", marked("Share of the replacement cost"), "percent"),
)
VALUATION_SENTENCES = (
    Sentence(marked("Missing and totalled units are charged at [bases]")),
    Sentence(marked("Of these it is [of_several]."), lambda got: len(got.get("bases") or ()) > 1),
    Sentence(
        marked("The share is [share] % of the replacement cost."),
        lambda got: "share_of_replacement" in (got.get("bases") or ()),
    ),
)

_RESIDUAL = (
    FieldSpec("residual_share", marked("Residual as a share of the replacement cost"), "percent"),
    FieldSpec("residual_amount", marked("Residual as an amount"), "money"),
)
_STRAIGHT_FIELDS = (
    FieldSpec("life_months", marked("Life in months"), "whole"),
    *_RESIDUAL,
    FieldSpec(
        "age",
        marked("How age is counted"),
        "choice",
        (
            ("whole_months", marked("whole months")),
            ("whole_years", marked("whole years")),
            ("days_over_365", marked("days over 365")),
        ),
    ),
    FieldSpec(
        "half_year",
        marked("Half-year convention"),
        "choice",
        (
            (False, marked("no half-year convention")),
            (True, marked("half a year for the first and last year")),
        ),
    ),
)
_TABLE_FIELDS = (
    FieldSpec(
        "shows",
        marked("What the table shows"),
        "choice",
        (
            ("percent_of_year", marked("percent depreciated each year")),
            ("percent_good", marked("percent good")),
        ),
        True,
    ),
    FieldSpec("by_year", marked("Percentages, first year first"), "percents", required=True),
    FieldSpec(
        "year",
        marked("How years are counted"),
        "choice",
        (
            ("calendar_years", marked("calendar years")),
            ("years_completed", marked("years completed")),
            ("years_begun", marked("years begun")),
        ),
    ),
    *_RESIDUAL,
    FieldSpec("source", marked("Source of the table"), "phrase"),
)


def depreciation_variants() -> tuple[Variant, ...]:
    """Return the ways in which depreciation can be stated."""
    return (
        variant(
            marked("Straight line"),
            StraightLine,
            (
                (
                    marked(
                        "Value falls in a straight line over [life_months] months (empty: the life "
                        "is not stated), never under [residual_share] % of the replacement cost or "
                        "[residual_amount]."
                    )
                ),
                marked("Age is counted in [age], with [half_year]."),
            ),
            _STRAIGHT_FIELDS,
        ),
        variant(
            marked("By a printed table"),
            DepreciationTable,
            (
                (
                    marked(
                        "The printed table shows [shows], first year first: [by_year] (percent, "
                        "separated by blanks)."
                    )
                ),
                (
                    marked(
                        "It is read by [year], never under [residual_share] % of the replacement "
                        "cost or [residual_amount]."
                    )
                ),
                marked("The table comes from [source]."),
            ),
            _TABLE_FIELDS,
        ),
    )


def depreciation_term(title: str = marked("Depreciation")) -> TermSpec:
    """Return the depreciation of actual cash value."""
    return TermSpec(
        "depreciation",
        title,
        marked(
            "Not stated: an actual cash value cannot be computed yet; there is no default life."
        ),
        depreciation_variants(),
    )


_FOR_WHAT = (
    FieldSpec("category", marked("Category of equipment"), "text"),
    FieldSpec("line", marked("Kit line"), "line"),
)


def _split_override(override: Any) -> Values:
    return {**attributes_of(override.rule), "category": override.category, "line": override.line}


def _joins_override(override: type[Any], rule: type[Any]) -> Callable[[Values], Any]:
    def join(values: Values) -> Any:
        if not values.get("category") and not values.get("line"):
            # Without either it would apply to nothing.
            return None
        return override(
            rule=record_of(rule, values), category=values.get("category"), line=values.get("line")
        )

    return join


def valuation_overrides_term() -> TermSpec:
    """Return other bases for a category or a line."""
    return TermSpec(
        "valuation_overrides",
        marked("Another basis for some equipment"),
        marked("Not stated: one basis for all."),
        (
            variant(
                "",
                ValuationRule,
                (
                    marked("For the category [category] or the kit line [line]:"),
                    *VALUATION_SENTENCES,
                ),
                (*_FOR_WHAT, *VALUATION_FIELDS),
                split=_split_override,
                join=_joins_override(ValuationOverride, ValuationRule),
                matches=lambda one: isinstance(one, ValuationOverride),
            ),
        ),
        many=True,
        add_label=marked("Add another basis"),
    )


def _rule_is(rule: type[Any]) -> Callable[[Any], bool]:
    return lambda override: isinstance(override.rule, rule)


def depreciation_overrides_term() -> TermSpec:
    """Return other depreciations for a category or a line."""
    return TermSpec(
        "depreciation_overrides",
        marked("Another depreciation for some equipment"),
        marked("Not stated: one depreciation for all."),
        tuple(
            variant(
                one.name,
                one.record,
                (marked("For the category [category] or the kit line [line]:"), *one.sentences),
                (*_FOR_WHAT, *one.fields),
                split=_split_override,
                join=_joins_override(DepreciationOverride, one.record),
                matches=_rule_is(one.record),
            )
            for one in depreciation_variants()
        ),
        many=True,
        add_label=marked("Add another depreciation"),
    )


def deadlines_term(not_stated: str) -> TermSpec:
    """Return the periods that a paper sets; ``not_stated`` names the paper."""
    return TermSpec(
        "deadlines",
        marked("Deadlines"),
        not_stated,
        (variant("", DeadlineRule, _DEADLINE_SENTENCES, _DEADLINE_FIELDS, join=_deadline_of),),
        many=True,
        add_label=marked("Add a deadline"),
    )


def holidays_term() -> TermSpec:
    """Return the days that business days leave out."""
    return term(
        "holidays",
        marked("Business days"),
        marked("Not stated: business days are Monday to Friday, without holidays."),
        HolidayCalendar,
        (
            marked("Business days are Monday to Friday without the holidays of [place]:"),
            "[days]",
            marked("Source: [source], [from_memory]."),
        ),
        (
            FieldSpec("place", marked("Place whose holidays they are"), "text"),
            FieldSpec("days", marked("Days that are no business days"), "days", required=True),
            FieldSpec("source", marked("Where the holidays are written"), "phrase"),
            _FROM_MEMORY,
        ),
    )


_FROM_MEMORY = FieldSpec(
    "from_memory",
    marked("Whether the source was seen"),
    "choice",
    ((False, marked("seen")), (True, marked("from memory: check it"))),
)
_DEADLINE_SENTENCES = (
    marked("[title] is due within [length] [unit] from [starts]."),
    marked("That day is [start_on], else as the claim's records say; it is of [agreement]."),
    marked("It binds [binds]; a last day that is no business day [rolls]."),
    marked("It needs [needs]."),
    marked("Source: [source], [from_memory]."),
)
_DEADLINE_FIELDS = (
    FieldSpec("title", marked("What is due"), "text", required=True),
    FieldSpec("length", marked("Length of the period"), "whole", required=True),
    FieldSpec("unit", marked("Unit of the period"), "choice", DEADLINE_UNITS),
    FieldSpec("starts", marked("What starts the period"), "choice", DEADLINE_STARTS, True),
    FieldSpec("start_on", marked("Day of the event, by hand"), "date"),
    FieldSpec("agreement", marked("Which agreement the period is of"), "agreement"),
    FieldSpec(
        "binds",
        marked("Whom it binds"),
        "choice",
        (
            ("us", marked_in("whom a deadline binds", "us")),
            ("lessor", marked_in("whom a deadline binds", "the rental company")),
            ("insurer", marked_in("whom a deadline binds", "the insurer")),
        ),
    ),
    FieldSpec(
        "rolls",
        marked("Whether it moves to the next business day"),
        "choice",
        ((False, marked("stays")), (True, marked("moves to the next one"))),
    ),
    FieldSpec("needs", marked("What it needs"), "phrase"),
    FieldSpec("source", marked("Where the rule is written"), "phrase"),
    _FROM_MEMORY,
)


def _deadline_of(values: Values) -> DeadlineRule:
    code = values.get("code") or re.sub(r"\W+", "-", str(values["title"]).lower()).strip("-")
    rule: DeadlineRule = record_of(DeadlineRule, {**values, "code": code or "deadline"})
    return rule


def currency_term(sentence: str, label: str) -> TermSpec:
    """Return the currency in which a paper states its amounts; both texts name the paper."""
    return plain_term(
        marked("Currency"),
        marked("Not stated: taken as the claim's own."),
        sentence,
        FieldSpec("currency", label, "currency", required=True),
    )


VALUATION = term(
    "valuation",
    marked("Basis of value"),
    marked("Not stated: no amount for a missing unit can be computed yet; there is no default."),
    ValuationRule,
    VALUATION_SENTENCES,
    VALUATION_FIELDS,
)

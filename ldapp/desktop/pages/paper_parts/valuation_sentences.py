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

VALUATION_FIELDS = (
    FieldSpec("bases", "Basis of value", "bases", required=True),
    FieldSpec(
        "of_several",
        "Which of several bases",
        "choice",
        (("lesser", "whichever is least"), ("greater", "whichever is most")),
    ),
    FieldSpec("share", "Share of the replacement cost", "percent"),
)
VALUATION_SENTENCES = (
    Sentence("Missing and totalled units are charged at [bases]"),
    Sentence("Of these it is [of_several].", lambda got: len(got.get("bases") or ()) > 1),
    Sentence(
        "The share is [share] % of the replacement cost.",
        lambda got: "share_of_replacement" in (got.get("bases") or ()),
    ),
)

_RESIDUAL = (
    FieldSpec("residual_share", "Residual as a share of the replacement cost", "percent"),
    FieldSpec("residual_amount", "Residual as an amount", "money"),
)
_STRAIGHT_FIELDS = (
    FieldSpec("life_months", "Life in months", "whole"),
    *_RESIDUAL,
    FieldSpec(
        "age",
        "How age is counted",
        "choice",
        (
            ("whole_months", "whole months"),
            ("whole_years", "whole years"),
            ("days_over_365", "days over 365"),
        ),
    ),
    FieldSpec(
        "half_year",
        "Half-year convention",
        "choice",
        ((False, "no half-year convention"), (True, "half a year for the first and last year")),
    ),
)
_TABLE_FIELDS = (
    FieldSpec(
        "shows",
        "What the table shows",
        "choice",
        (("percent_of_year", "percent depreciated each year"), ("percent_good", "percent good")),
        True,
    ),
    FieldSpec("by_year", "Percentages, first year first", "percents", required=True),
    FieldSpec(
        "year",
        "How years are counted",
        "choice",
        (
            ("calendar_years", "calendar years"),
            ("years_completed", "years completed"),
            ("years_begun", "years begun"),
        ),
    ),
    *_RESIDUAL,
    FieldSpec("source", "Source of the table", "phrase"),
)


def depreciation_variants() -> tuple[Variant, ...]:
    """Return the ways in which depreciation can be stated."""
    return (
        variant(
            "Straight line",
            StraightLine,
            (
                (
                    "Value falls in a straight line over [life_months] months (empty: the life is "
                    "not stated), never under [residual_share] % of the replacement cost or "
                    "[residual_amount]."
                ),
                "Age is counted in [age], with [half_year].",
            ),
            _STRAIGHT_FIELDS,
        ),
        variant(
            "By a printed table",
            DepreciationTable,
            (
                (
                    "The printed table shows [shows], first year first: [by_year] (percent, "
                    "separated by blanks)."
                ),
                (
                    "It is read by [year], never under [residual_share] % of the replacement cost "
                    "or [residual_amount]."
                ),
                "The table comes from [source].",
            ),
            _TABLE_FIELDS,
        ),
    )


def depreciation_term(title: str = "Depreciation") -> TermSpec:
    """Return the depreciation of actual cash value."""
    return TermSpec(
        "depreciation",
        title,
        "Not stated: an actual cash value cannot be computed yet; there is no default life.",
        depreciation_variants(),
    )


_FOR_WHAT = (
    FieldSpec("category", "Category of equipment", "text"),
    FieldSpec("line", "Kit line", "line"),
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
        "Another basis for some equipment",
        "Not stated: one basis for all.",
        (
            variant(
                "",
                ValuationRule,
                ("For the category [category] or the kit line [line]:", *VALUATION_SENTENCES),
                (*_FOR_WHAT, *VALUATION_FIELDS),
                split=_split_override,
                join=_joins_override(ValuationOverride, ValuationRule),
                matches=lambda one: isinstance(one, ValuationOverride),
            ),
        ),
        many=True,
        add_label="Add another basis",
    )


def _rule_is(rule: type[Any]) -> Callable[[Any], bool]:
    return lambda override: isinstance(override.rule, rule)


def depreciation_overrides_term() -> TermSpec:
    """Return other depreciations for a category or a line."""
    return TermSpec(
        "depreciation_overrides",
        "Another depreciation for some equipment",
        "Not stated: one depreciation for all.",
        tuple(
            variant(
                one.name,
                one.record,
                ("For the category [category] or the kit line [line]:", *one.sentences),
                (*_FOR_WHAT, *one.fields),
                split=_split_override,
                join=_joins_override(DepreciationOverride, one.record),
                matches=_rule_is(one.record),
            )
            for one in depreciation_variants()
        ),
        many=True,
        add_label="Add another depreciation",
    )


def deadlines_term(who: str) -> TermSpec:
    """Return the periods that a paper sets."""
    return TermSpec(
        "deadlines",
        "Deadlines",
        f"Not stated: no period from {who} is watched.",
        (variant("", DeadlineRule, _DEADLINE_SENTENCES, _DEADLINE_FIELDS, join=_deadline_of),),
        many=True,
        add_label="Add a deadline",
    )


def holidays_term() -> TermSpec:
    """Return the days that business days leave out."""
    return term(
        "holidays",
        "Business days",
        "Not stated: business days are Monday to Friday, without holidays.",
        HolidayCalendar,
        (
            "Business days are Monday to Friday without the holidays of [place]:",
            "[days]",
            "Source: [source], [from_memory].",
        ),
        (
            FieldSpec("place", "Place whose holidays they are", "text"),
            FieldSpec("days", "Days that are no business days", "days", required=True),
            FieldSpec("source", "Where the holidays are written", "phrase"),
            _FROM_MEMORY,
        ),
    )


_FROM_MEMORY = FieldSpec(
    "from_memory",
    "Whether the source was seen",
    "choice",
    ((False, "seen"), (True, "from memory: check it")),
)
_DEADLINE_SENTENCES = (
    "[title] is due within [length] [unit] from [starts].",
    "That day is [start_on], else as the claim's records say; it is of [agreement].",
    "It binds [binds]; a last day that is no business day [rolls].",
    "It needs [needs].",
    "Source: [source], [from_memory].",
)
_DEADLINE_FIELDS = (
    FieldSpec("title", "What is due", "text", required=True),
    FieldSpec("length", "Length of the period", "whole", required=True),
    FieldSpec("unit", "Unit of the period", "choice", DEADLINE_UNITS),
    FieldSpec("starts", "What starts the period", "choice", DEADLINE_STARTS, True),
    FieldSpec("start_on", "Day of the event, by hand", "date"),
    FieldSpec("agreement", "Which agreement the period is of", "agreement"),
    FieldSpec(
        "binds",
        "Whom it binds",
        "choice",
        (("us", "us"), ("lessor", "the rental company"), ("insurer", "the insurer")),
    ),
    FieldSpec(
        "rolls",
        "Whether it moves to the next business day",
        "choice",
        ((False, "stays"), (True, "moves to the next one")),
    ),
    FieldSpec("needs", "What it needs", "phrase"),
    FieldSpec("source", "Where the rule is written", "phrase"),
    _FROM_MEMORY,
)


def _deadline_of(values: Values) -> DeadlineRule:
    code = values.get("code") or re.sub(r"\W+", "-", str(values["title"]).lower()).strip("-")
    rule: DeadlineRule = record_of(DeadlineRule, {**values, "code": code or "deadline"})
    return rule


def currency_term(paper: str) -> TermSpec:
    """Return the currency in which a paper states its amounts."""
    return plain_term(
        "Currency",
        "Not stated: taken as the claim's own.",
        f"Amounts in {paper} are in [currency]; nothing is ever converted.",
        FieldSpec("currency", f"Currency of {paper}", "currency", required=True),
    )


VALUATION = term(
    "valuation",
    "Basis of value",
    "Not stated: no amount for a missing unit can be computed yet; there is no default.",
    ValuationRule,
    VALUATION_SENTENCES,
    VALUATION_FIELDS,
)

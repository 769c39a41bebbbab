"""Tax on what a rental company charges, as sentences: one rule, with a clause for each part."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from ldapp.claim.terms import TaxComponent, TaxComponentRule, TaxRule
from ldapp.desktop.pages.paper_parts.term_specs import (
    FieldSpec,
    Sentence,
    TermSpec,
    Values,
    attributes_of,
    record_of,
    variant,
)
from ldapp.language import marked


class _TaxWords(NamedTuple):
    """What is said of one component of a charge."""

    component: TaxComponent
    whether: str
    clause: str
    where: str


TAX_COMPONENTS = (
    _TaxWords(
        "replacement",
        marked("Whether replacement is taxable"),
        marked("Clause on the tax of replacement"),
        marked("Replacement: that stands in [replacement_clause]"),
    ),
    _TaxWords(
        "parts",
        marked("Whether repair parts are taxable"),
        marked("Clause on the tax of repair parts"),
        marked("Repair parts: that stands in [parts_clause]"),
    ),
    _TaxWords(
        "labour",
        marked("Whether repair labour is taxable"),
        marked("Clause on the tax of repair labour"),
        marked("Repair labour: that stands in [labour_clause]"),
    ),
    _TaxWords(
        "loss_of_use",
        marked("Whether loss of use is taxable"),
        marked("Clause on the tax of loss of use"),
        marked("Loss of use: that stands in [loss_of_use_clause]"),
    ),
    _TaxWords(
        "fees",
        marked("Whether fees are taxable"),
        marked("Clause on the tax of fees"),
        marked("Fees: that stands in [fees_clause]"),
    ),
)


def _is_said(component: str) -> Callable[[Values], bool]:
    return lambda got: got.get(component) is not None


_TAX_SENTENCES: tuple[Sentence | str, ...] = (
    marked("Tax is [rates] % together, rounded [rounded]."),
    (
        marked(
            "Taxable: replacement [replacement], repair parts [parts], repair labour [labour], "
            "loss of use [loss_of_use], fees [fees]."
        )
    ),
    *(Sentence(one.where, _is_said(one.component)) for one in TAX_COMPONENTS),
)
_TAX_FIELDS = (
    FieldSpec("rates", marked("Rates of tax"), "percents", required=True),
    FieldSpec(
        "rounded",
        marked("Where tax is rounded"),
        "choice",
        (("per_invoice", marked("once per invoice")), ("per_line", marked("line by line"))),
    ),
    *(
        FieldSpec(
            one.component,
            one.whether,
            "choice",
            ((None, marked("(not stated)")), (True, marked("yes")), (False, marked("no"))),
        )
        for one in TAX_COMPONENTS
    ),
    *(FieldSpec(f"{one.component}_clause", one.clause, "clause") for one in TAX_COMPONENTS),
)


def _split_tax(rule: TaxRule) -> Values:
    return {
        **attributes_of(rule),
        **{one.component: one.taxable for one in rule.components},
        **{f"{one.component}_clause": one.clause for one in rule.components},
    }


def _join_tax(values: Values) -> TaxRule:
    components = tuple(
        TaxComponentRule(
            component=one.component,
            taxable=values[one.component],
            clause=values.get(f"{one.component}_clause"),
        )
        for one in TAX_COMPONENTS
        if values.get(one.component) is not None
    )
    rule: TaxRule = record_of(TaxRule, {**values, "components": components})
    return rule


TAX = TermSpec(
    "tax",
    marked("Tax"),
    marked("Not stated: whether a loss charge is taxable depends on the place; none is computed."),
    (
        variant(
            "",
            TaxRule,
            _TAX_SENTENCES,
            _TAX_FIELDS,
            split=_split_tax,
            join=_join_tax,
        ),
    ),
)

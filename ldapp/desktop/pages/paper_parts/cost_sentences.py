"""Loss of use, fees, tax and credits of a rental agreement as sentences."""

from __future__ import annotations

from collections.abc import Callable

from ldapp.claim.terms import (
    BurnOutTerm,
    DepositTerm,
    FeeRule,
    Interest,
    LossOfUse,
    RecoveryTerm,
    RentCredit,
    TaxComponentRule,
    TaxRule,
)
from ldapp.desktop.pages.paper_parts.term_specs import (
    FieldSpec,
    Sentence,
    TermGroup,
    TermSpec,
    Values,
    attributes_of,
    record_of,
    term,
    variant,
)
from ldapp.desktop.pages.paper_parts.words import FEE_KINDS, TAX_COMPONENTS

LOSS_OF_USE = TermGroup(
    "Loss of use",
    (
        term(
            "loss_of_use",
            "Loss of use",
            "Not stated: none is owed.",
            LossOfUse,
            (
                (
                    "While [applies_to] equipment is out of service rent goes on; its days are "
                    "[days_from]."
                ),
                Sentence(
                    "They run from [starts] until it is [ends_when_damaged] when damaged, "
                    "[ends_when_lost] when lost; the last day [last_day_counts].",
                    lambda got: got.get("days_from") == "dates",
                ),
                Sentence(
                    "[administrative_days] administrative days are added.",
                    lambda got: got.get("days_from") == "hours_over_4",
                ),
                Sentence(
                    "[stated_days] days are stated.",
                    lambda got: got.get("days_from") == "stated",
                ),
                (
                    "Each week counts [billed_days_per_week] days at [rate_share] % of the day "
                    "rate, less the agreement's discount of [discount] %, at [utilisation] % use."
                ),
                "At most [cap_days] days, [cap_amount], or [cap_share_of_value] % of the value.",
                "Rent already paid [rent_paid_counts]; proof of a lost rental [proof_required].",
            ),
            (
                FieldSpec(
                    "applies_to",
                    "For which equipment",
                    "choice",
                    (("damaged", "damaged"), ("damaged_and_lost", "damaged or lost")),
                ),
                FieldSpec(
                    "days_from",
                    "How days are counted",
                    "choice",
                    (
                        ("dates", "counted by dates"),
                        ("hours_over_8", "labour hours over 8"),
                        ("hours_over_4", "labour hours over 4 with weekends"),
                        ("stated", "a stated number"),
                    ),
                ),
                FieldSpec(
                    "starts",
                    "From when",
                    "choice",
                    (
                        (None, "(not stated)"),
                        ("notice", "the notice"),
                        ("return_due", "the day the return is due"),
                        ("day_after_return_due", "the day after the return is due"),
                        ("check_in", "the check-in"),
                    ),
                ),
                FieldSpec(
                    "ends_when_damaged",
                    "Until when, damaged",
                    "choice",
                    (
                        (None, "(not stated)"),
                        ("repaired", "repaired"),
                        ("replaced", "replaced"),
                        ("paid", "paid"),
                    ),
                ),
                FieldSpec(
                    "ends_when_lost",
                    "Until when, lost",
                    "choice",
                    (
                        (None, "(not stated)"),
                        ("repaired", "repaired"),
                        ("replaced", "replaced"),
                        ("paid", "paid"),
                    ),
                ),
                FieldSpec(
                    "last_day_counts",
                    "Whether the last day counts",
                    "choice",
                    ((None, "(not stated)"), (True, "counts"), (False, "does not count")),
                ),
                FieldSpec("administrative_days", "Administrative days", "whole"),
                FieldSpec("stated_days", "Stated days", "number"),
                FieldSpec("billed_days_per_week", "Billed days in a week", "number"),
                FieldSpec("rate_share", "Share of the day rate", "percent"),
                FieldSpec("discount", "Discount of the agreement", "percent"),
                FieldSpec("utilisation", "Share of days in use", "percent"),
                FieldSpec("cap_days", "Most days", "number"),
                FieldSpec("cap_amount", "Most in money", "money"),
                FieldSpec("cap_share_of_value", "Most as a share of the value", "percent"),
                FieldSpec(
                    "rent_paid_counts",
                    "Whether rent paid comes off",
                    "choice",
                    ((None, "(not stated)"), (True, "comes off"), (False, "does not come off")),
                ),
                FieldSpec(
                    "proof_required",
                    "Whether proof is required",
                    "choice",
                    ((None, "(not stated)"), (True, "is required"), (False, "is not required")),
                ),
            ),
        ),
    ),
)


def _is_said(component: str) -> Callable[[Values], bool]:
    return lambda got: got.get(component) is not None


_TAX_SENTENCES: tuple[Sentence | str, ...] = (
    "Tax is [rates] % together, rounded [rounded].",
    (
        "Taxable: replacement [replacement], repair parts [parts], repair labour [labour], "
        "loss of use [loss_of_use], fees [fees]."
    ),
    *(
        Sentence(f"{words.capitalize()}: that stands in [{name}_clause]", _is_said(name))
        for name, words in TAX_COMPONENTS
    ),
)
_TAX_FIELDS = (
    FieldSpec("rates", "Rates of tax", "percents", required=True),
    FieldSpec(
        "rounded",
        "Where tax is rounded",
        "choice",
        (("per_invoice", "once per invoice"), ("per_line", "line by line")),
    ),
    *(
        FieldSpec(
            name,
            f"Whether {words} is taxable",
            "choice",
            ((None, "(not stated)"), (True, "yes"), (False, "no")),
        )
        for name, words in TAX_COMPONENTS
    ),
    *(
        FieldSpec(f"{name}_clause", f"Clause on the tax of {words}", "clause")
        for name, words in TAX_COMPONENTS
    ),
)


def _split_tax(rule: TaxRule) -> Values:
    return {
        **attributes_of(rule),
        **{one.component: one.taxable for one in rule.components},
        **{f"{one.component}_clause": one.clause for one in rule.components},
    }


def _join_tax(values: Values) -> TaxRule:
    components = tuple(
        TaxComponentRule(component=name, taxable=values[name], clause=values.get(f"{name}_clause"))
        for name, _ in TAX_COMPONENTS
        if values.get(name) is not None
    )
    rule: TaxRule = record_of(TaxRule, {**values, "components": components})
    return rule


FEES = TermGroup(
    "Fees, tax and credits",
    (
        term(
            "fees",
            "Fees",
            "Not stated: none is owed.",
            FeeRule,
            (
                "For [kind] there is a fee, [form].",
                Sentence(
                    "It is [amount].", lambda got: got.get("form") in ("flat", "as_documented")
                ),
                Sentence(
                    "It is [rate] % of the [base], at least [minimum], at most [maximum].",
                    lambda got: got.get("form") == "percentage",
                ),
                Sentence(
                    "By the [base]: [bands] (up to = fee, the last without a limit).",
                    lambda got: got.get("form") == "bands",
                ),
            ),
            (
                FieldSpec("kind", "Kind of fee", "choice", FEE_KINDS, True),
                FieldSpec(
                    "form",
                    "How the fee is computed",
                    "choice",
                    (
                        ("flat", "flat"),
                        ("percentage", "as a percentage"),
                        ("bands", "in bands"),
                        ("as_documented", "as documented"),
                    ),
                    True,
                ),
                FieldSpec("amount", "Amount of the fee", "money"),
                FieldSpec("rate", "Rate of the fee", "percent"),
                FieldSpec(
                    "base",
                    "What the fee is computed from",
                    "choice",
                    (("loss", "loss"), ("repair", "repair"), ("invoice", "invoice")),
                ),
                FieldSpec("minimum", "Least fee", "money"),
                FieldSpec("maximum", "Most fee", "money"),
                FieldSpec("bands", "Bands of the fee", "fee_bands"),
            ),
            many=True,
            add_label="Add a fee",
        ),
        TermSpec(
            "tax",
            "Tax",
            "Not stated: whether a loss charge is taxable depends on the place; none is computed.",
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
        ),
        term(
            "interest",
            "Interest",
            "Not stated: none is owed.",
            Interest,
            ("What is overdue bears [yearly_rate] % a year after [after_days] days.",),
            (
                FieldSpec("yearly_rate", "Yearly rate", "percent", required=True),
                FieldSpec("after_days", "Days before interest", "whole"),
            ),
        ),
        term(
            "rent_credit",
            "Rent paid",
            "Not stated: rent paid does not come off the replacement.",
            RentCredit,
            ("Rent already paid, [amount], [rule] the replacement charge.",),
            (
                FieldSpec("amount", "Rent paid for what is charged now", "money"),
                FieldSpec(
                    "rule",
                    "Whether rent paid comes off",
                    "choice",
                    (
                        ("deducted", "comes off"),
                        ("not_deducted", "does not come off"),
                        ("by_approval", "comes off by approval"),
                    ),
                    True,
                ),
            ),
        ),
        term(
            "deposit",
            "Deposit",
            "Not stated: no deposit is set off.",
            DepositTerm,
            (
                (
                    "A deposit of [amount] is [form], set off against [set_off], released after "
                    "[release_days] days."
                ),
            ),
            (
                FieldSpec("amount", "Deposit", "money"),
                FieldSpec(
                    "form",
                    "How the deposit is taken",
                    "choice",
                    (("held", "held"), ("charged", "charged")),
                    True,
                ),
                FieldSpec(
                    "set_off",
                    "What it is set off against first",
                    "choice",
                    (
                        (None, "(not stated)"),
                        ("loss_first", "the loss first"),
                        ("rent_first", "the rent first"),
                    ),
                ),
                FieldSpec("release_days", "Days until release", "whole"),
            ),
        ),
        term(
            "recovery",
            "Found again",
            "Not stated: nothing is agreed for an item that turns up later.",
            RecoveryTerm,
            ("When a paid item turns up within [within_days] days, [refund].",),
            (
                FieldSpec(
                    "refund",
                    "What is refunded",
                    "choice",
                    (
                        ("full", "it is refunded in full"),
                        ("less_rent", "it is refunded less rent"),
                        ("none", "nothing is refunded"),
                    ),
                    True,
                ),
                FieldSpec("within_days", "Days", "whole"),
            ),
        ),
        term(
            "burn_outs",
            "Lamps that burn out",
            "Not stated: nothing is presumed.",
            BurnOutTerm,
            (
                "A lamp that burns out in use is [rule].",
                Sentence(
                    "A short rental is one of at most [short_rental_days] days.",
                    lambda got: got.get("rule") == "free_on_short_rental",
                ),
            ),
            (
                FieldSpec(
                    "rule",
                    "Who bears burnt-out lamps",
                    "choice",
                    (
                        ("free_if_returned", "free if it is returned"),
                        ("free_on_short_rental", "free on a short rental"),
                        ("renter", "the renter's"),
                    ),
                    True,
                ),
                FieldSpec("short_rental_days", "Days of a short rental", "whole"),
            ),
        ),
    ),
)

"""The terms of an insurance policy as sentences."""

from __future__ import annotations

from ldapp.claim.policy import (
    Aggregate,
    AlsoInsured,
    Deductible,
    DeductibleSplit,
    Exclusion,
    Holdback,
    InsuranceToValue,
    ItemLimit,
    LossPayee,
    OtherInsurance,
    Participation,
    PolicyLimit,
    PolicyPeriod,
    Sublimit,
    WantedPaper,
)
from ldapp.desktop.pages.paper_parts.term_specs import (
    FieldSpec,
    Sentence,
    TermGroup,
    Values,
    plain_term,
    term,
)
from ldapp.desktop.pages.paper_parts.valuation_sentences import (
    VALUATION,
    currency_term,
    deadlines_term,
    depreciation_overrides_term,
    depreciation_term,
    holidays_term,
)
from ldapp.desktop.pages.paper_parts.words import DOCUMENT_KINDS, NO_CAUSE


def _applies(values: Values, form: str) -> bool:
    return str(values.get("form")).startswith(form)


PERIOD_AND_LIMITS = TermGroup(
    "Period and limits",
    (
        term(
            "period",
            "Policy period",
            "Not stated: whether a loss lies in the period cannot be said.",
            PolicyPeriod,
            (
                (
                    "The policy runs from [begins] to [ends]; often that is 12:01 a.m. of the day "
                    "that is written."
                ),
            ),
            (
                FieldSpec("begins", "Policy begins", "instant", required=True),
                FieldSpec("ends", "Policy ends", "instant", required=True),
            ),
        ),
        term(
            "also_insured",
            "Also insured",
            "Not stated: the named insured alone.",
            AlsoInsured,
            ("Beside the named insured the policy insures [parties].",),
            (FieldSpec("parties", "Who is insured too", "parties", required=True),),
        ),
        currency_term("the policy"),
        plain_term(
            "Form of the limit",
            "Not stated: taken as one limit.",
            "There is [limit_form].",
            FieldSpec(
                "limit_form",
                "Form of the limit",
                "choice",
                (("one_limit", "one limit over all"), ("separate_limits", "a limit per item")),
                True,
            ),
            clause_attribute="limit_form_clause",
        ),
        term(
            "limit",
            "Limit",
            "Not stated: no limit is applied.",
            PolicyLimit,
            ("For one occurrence the policy pays at most [amount].",),
            (FieldSpec("amount", "Limit", "money", required=True),),
        ),
        term(
            "item_limits",
            "Limits per item",
            "Not stated: none.",
            ItemLimit,
            ("For the kit line [line] or the category [category] at most [amount].",),
            (
                FieldSpec("line", "Kit line", "line"),
                FieldSpec("category", "Category", "text"),
                FieldSpec("amount", "Limit of the item", "money", required=True),
            ),
            many=True,
            add_label="Add a limit per item",
        ),
        term(
            "sublimits",
            "Sublimits",
            "Not stated: none.",
            Sublimit,
            (
                "For each [per] at most [amount].",
                Sentence("The category is [category].", lambda got: got.get("per") == "category"),
                Sentence("The cause is [cause].", lambda got: got.get("per") == "cause"),
            ),
            (
                FieldSpec(
                    "per",
                    "What the sublimit is for",
                    "choice",
                    (
                        ("unit", "unit"),
                        ("line", "kit line"),
                        ("category", "category"),
                        ("cause", "cause"),
                    ),
                    True,
                ),
                FieldSpec("amount", "Sublimit", "money", required=True),
                FieldSpec("category", "Category", "text"),
                FieldSpec("cause", "Cause", "choice", NO_CAUSE),
            ),
            many=True,
            add_label="Add a sublimit",
        ),
        term(
            "aggregate",
            "Annual limit",
            "Not stated: no annual limit is applied.",
            Aggregate,
            ("In a year the policy pays at most [amount] over all claims.",),
            (FieldSpec("amount", "Annual limit", "money", required=True),),
        ),
    ),
)

DEDUCTIBLES = TermGroup(
    "Deductible and participation",
    (
        term(
            "deductibles",
            "Deductibles",
            "Not stated: taken as none.",
            Deductible,
            (
                "The insured bears [form] per [per].",
                Sentence("That is [amount].", lambda got: got.get("form") == "flat"),
                Sentence(
                    "That is [rate] %, at least [minimum], at most [maximum] per [bounds_per].",
                    lambda got: _applies(got, "percentage"),
                ),
                (
                    "It applies to these causes only: [causes]; these categories only: "
                    "[categories]; [abroad]."
                ),
            ),
            (
                FieldSpec(
                    "form",
                    "Form of the deductible",
                    "choice",
                    (
                        ("flat", "a flat amount"),
                        ("percentage_of_loss", "a percentage of the loss"),
                        ("percentage_of_value", "a percentage of the value"),
                        ("percentage_of_limit", "a percentage of the limit"),
                    ),
                    True,
                ),
                FieldSpec(
                    "per",
                    "What the deductible is for",
                    "choice",
                    (("occurrence", "occurrence"), ("line", "kit line"), ("unit", "unit")),
                ),
                FieldSpec("amount", "Deductible", "money"),
                FieldSpec("rate", "Deductible in percent", "percent"),
                FieldSpec("minimum", "Least deductible", "money"),
                FieldSpec("maximum", "Most deductible", "money"),
                FieldSpec(
                    "bounds_per",
                    "What the bounds are for",
                    "choice",
                    (("occurrence", "occurrence"), ("line", "kit line")),
                ),
                FieldSpec("causes", "Causes", "causes"),
                FieldSpec("categories", "Categories", "words"),
                FieldSpec(
                    "abroad",
                    "Where it applies",
                    "choice",
                    ((False, "everywhere"), (True, "abroad only")),
                ),
            ),
            many=True,
            add_label="Add a deductible",
        ),
        term(
            "deductible_split",
            "Who bears the deductible",
            "Not stated: the renter as a whole.",
            DeductibleSplit,
            (
                "[first] bears [form] of the deductible, [rest] the rest.",
                Sentence("That is [amount].", lambda got: got.get("form") == "flat"),
                Sentence(
                    "That is [rate] %, at least [minimum], at most [maximum].",
                    lambda got: got.get("form") in ("share", "percentage_of_loss"),
                ),
            ),
            (
                FieldSpec("first", "Who bears the first part", "bearer", required=True),
                FieldSpec("rest", "Who bears the rest", "bearer", required=True),
                FieldSpec(
                    "form",
                    "How the part is computed",
                    "choice",
                    (
                        ("flat", "a flat part"),
                        ("share", "a share"),
                        ("percentage_of_loss", "a percentage of the loss"),
                    ),
                    True,
                ),
                FieldSpec("amount", "Flat part", "money"),
                FieldSpec("rate", "Share", "percent"),
                FieldSpec("minimum", "Least part", "money"),
                FieldSpec("maximum", "Most part", "money"),
            ),
        ),
        term(
            "participation",
            "Participation",
            "Not stated: none.",
            Participation,
            ("After the deductible the insured keeps [insured_share] % of the loss.",),
            (FieldSpec("insured_share", "Insured's share", "percent", required=True),),
        ),
        term(
            "insurance_to_value",
            "Insurance to value",
            "Not stated: no requirement.",
            InsuranceToValue,
            (
                (
                    "[required_share] % of the value at risk of [value_at_risk] must be insured, "
                    "or an agreed value of [agreed_value] stands in its place; it is [blanket]."
                ),
            ),
            (
                FieldSpec("required_share", "Share to be insured", "percent"),
                FieldSpec("value_at_risk", "Value at risk", "money"),
                FieldSpec("agreed_value", "Agreed value", "money"),
                FieldSpec(
                    "blanket",
                    "Blanket or by item",
                    "choice",
                    ((True, "over all items together"), (False, "item by item")),
                ),
            ),
        ),
    ),
)

COVER = TermGroup(
    "What is covered, and at which value",
    (
        term(
            "exclusions",
            "Exclusions",
            "Not stated: nothing is excluded.",
            Exclusion,
            ("Not covered: the cause [cause], the category [category], [component].",),
            (
                FieldSpec("cause", "Cause not covered", "choice", NO_CAUSE),
                FieldSpec("category", "Category not covered", "text"),
                FieldSpec(
                    "component",
                    "Component not covered",
                    "choice",
                    (
                        (None, "no component"),
                        ("loss_of_use", "loss of use"),
                        ("fees", "fees"),
                        ("tax", "tax"),
                    ),
                ),
            ),
            many=True,
            add_label="Add an exclusion",
        ),
        VALUATION,
        depreciation_term(),
        depreciation_overrides_term(),
        term(
            "holdback",
            "Holdback",
            "Not stated: nothing is held back.",
            Holdback,
            (
                (
                    "Depreciation is held back until replacement is proved within "
                    "[proof_within_days] days."
                ),
            ),
            (FieldSpec("proof_within_days", "Days for the proof", "whole"),),
        ),
    ),
)

OTHERS = TermGroup(
    "Others",
    (
        term(
            "other_insurance",
            "Other insurance",
            "Not stated: no other insurer.",
            OtherInsurance,
            ("[insurer] insures the same loss up to [limit].",),
            (
                FieldSpec("insurer", "Other insurer", "text", required=True),
                FieldSpec("limit", "Limit of the other insurer", "money", required=True),
            ),
            many=True,
            add_label="Add another insurer",
        ),
        plain_term(
            "Shares of several insurers",
            "Not stated: taken in equal shares.",
            "Several insurers share [other_insurance_shares].",
            FieldSpec(
                "other_insurance_shares",
                "How insurers share",
                "choice",
                (("equal_shares", "in equal shares"), ("by_limits", "by their limits")),
                True,
            ),
            clause_attribute="other_insurance_shares_clause",
        ),
        term(
            "loss_payees",
            "Loss payees",
            "Not stated: the insured is paid.",
            LossPayee,
            ("[name] is paid first or jointly, as its interest appears.",),
            (FieldSpec("name", "Loss payee", "text", required=True),),
            many=True,
            add_label="Add a loss payee",
        ),
        plain_term(
            "Not worth a claim",
            "Not stated: no hint is given.",
            "If claiming pays less than [not_worth_claiming_below], say so (a hint, not advice).",
            FieldSpec(
                "not_worth_claiming_below", "Not worth claiming below", "money", required=True
            ),
        ),
    ),
)

PAPERS = TermGroup(
    "Papers",
    (
        term(
            "papers",
            "Papers asked for",
            "Not stated: the usual papers are asked for.",
            WantedPaper,
            ("The insurer asks for: [kind], [when].",),
            (
                FieldSpec("kind", "Paper", "choice", DOCUMENT_KINDS, True),
                FieldSpec(
                    "when",
                    "When it is asked for",
                    "choice",
                    (
                        ("always", "with every claim"),
                        ("theft", "after theft, robbery or vandalism"),
                        ("damage", "for each damaged finding"),
                        ("replacement", "for each that has been replaced"),
                    ),
                ),
            ),
            many=True,
            add_label="Add a paper",
        ),
    ),
)

POLICY_GROUPS: tuple[TermGroup, ...] = (
    PERIOD_AND_LIMITS,
    DEDUCTIBLES,
    COVER,
    OTHERS,
    PAPERS,
    TermGroup("Deadlines", (deadlines_term("the policy"), holidays_term())),
)
"""Every term of ldapp.claim.policy.PolicyTerms, once (a test holds this)."""

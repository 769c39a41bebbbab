"""The terms of an insurance policy as sentences."""

from __future__ import annotations

from ldapp.claim.policy import (
    Aggregate,
    AlsoInsured,
    Exclusion,
    Holdback,
    ItemLimit,
    LossPayee,
    OtherInsurance,
    PolicyLimit,
    PolicyPeriod,
    Sublimit,
    WantedPaper,
)
from ldapp.desktop.pages.paper_parts.deductible_sentences import DEDUCTIBLES
from ldapp.desktop.pages.paper_parts.term_specs import (
    FieldSpec,
    Sentence,
    TermGroup,
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
from ldapp.language import marked

PERIOD_AND_LIMITS = TermGroup(
    marked("Period and limits"),
    (
        term(
            "period",
            marked("Policy period"),
            marked("Not stated: whether a loss lies in the period cannot be said."),
            PolicyPeriod,
            (
                (
                    marked(
                        "The policy runs from [begins] to [ends]; often that is 12:01 a.m. of the "
                        "day that is written."
                    )
                ),
            ),
            (
                FieldSpec("begins", marked("Policy begins"), "instant", required=True),
                FieldSpec("ends", marked("Policy ends"), "instant", required=True),
            ),
        ),
        term(
            "also_insured",
            marked("Also insured"),
            marked("Not stated: the named insured alone."),
            AlsoInsured,
            (marked("Beside the named insured the policy insures [parties]."),),
            (FieldSpec("parties", marked("Who is insured too"), "parties", required=True),),
        ),
        currency_term(
            marked("Amounts in the policy are in [currency]; nothing is ever converted."),
            marked("Currency of the policy"),
        ),
        plain_term(
            marked("Form of the limit"),
            marked("Not stated: taken as one limit."),
            marked("There is [limit_form]."),
            FieldSpec(
                "limit_form",
                marked("Form of the limit"),
                "choice",
                (
                    ("one_limit", marked("one limit over all")),
                    ("separate_limits", marked("a limit per item")),
                ),
                True,
            ),
            clause_attribute="limit_form_clause",
        ),
        term(
            "limit",
            marked("Limit"),
            marked("Not stated: no limit is applied."),
            PolicyLimit,
            (marked("For one occurrence the policy pays at most [amount]."),),
            (FieldSpec("amount", marked("Limit"), "money", required=True),),
        ),
        term(
            "item_limits",
            marked("Limits per item"),
            marked("Not stated: none."),
            ItemLimit,
            (marked("For the kit line [line] or the category [category] at most [amount]."),),
            (
                FieldSpec("line", marked("Kit line"), "line"),
                FieldSpec("category", marked("Category"), "text"),
                FieldSpec("amount", marked("Limit of the item"), "money", required=True),
            ),
            many=True,
            add_label=marked("Add a limit per item"),
        ),
        term(
            "sublimits",
            marked("Sublimits"),
            marked("Not stated: none."),
            Sublimit,
            (
                marked("For each [per] at most [amount]."),
                Sentence(
                    marked("The category is [category]."), lambda got: got.get("per") == "category"
                ),
                Sentence(marked("The cause is [cause]."), lambda got: got.get("per") == "cause"),
            ),
            (
                FieldSpec(
                    "per",
                    marked("What the sublimit is for"),
                    "choice",
                    (
                        ("unit", marked("unit")),
                        ("line", marked("kit line")),
                        ("category", marked("category")),
                        ("cause", marked("cause")),
                    ),
                    True,
                ),
                FieldSpec("amount", marked("Sublimit"), "money", required=True),
                FieldSpec("category", marked("Category"), "text"),
                FieldSpec("cause", marked("Cause"), "choice", NO_CAUSE),
            ),
            many=True,
            add_label=marked("Add a sublimit"),
        ),
        term(
            "aggregate",
            marked("Annual limit"),
            marked("Not stated: no annual limit is applied."),
            Aggregate,
            (marked("In a year the policy pays at most [amount] over all claims."),),
            (FieldSpec("amount", marked("Annual limit"), "money", required=True),),
        ),
    ),
)

COVER = TermGroup(
    marked("What is covered, and at which value"),
    (
        term(
            "exclusions",
            marked("Exclusions"),
            marked("Not stated: nothing is excluded."),
            Exclusion,
            (marked("Not covered: the cause [cause], the category [category], [component]."),),
            (
                FieldSpec("cause", marked("Cause not covered"), "choice", NO_CAUSE),
                FieldSpec("category", marked("Category not covered"), "text"),
                FieldSpec(
                    "component",
                    marked("Component not covered"),
                    "choice",
                    (
                        (None, marked("no component")),
                        ("loss_of_use", marked("loss of use")),
                        ("fees", marked("fees")),
                        ("tax", marked("tax")),
                    ),
                ),
            ),
            many=True,
            add_label=marked("Add an exclusion"),
        ),
        VALUATION,
        depreciation_term(),
        depreciation_overrides_term(),
        term(
            "holdback",
            marked("Holdback"),
            marked("Not stated: nothing is held back."),
            Holdback,
            (
                (
                    marked(
                        "Depreciation is held back until replacement is proved within "
                        "[proof_within_days] days."
                    )
                ),
            ),
            (FieldSpec("proof_within_days", marked("Days for the proof"), "whole"),),
        ),
    ),
)

OTHERS = TermGroup(
    marked("Others"),
    (
        term(
            "other_insurance",
            marked("Other insurance"),
            marked("Not stated: no other insurer."),
            OtherInsurance,
            (marked("[insurer] insures the same loss up to [limit]."),),
            (
                FieldSpec("insurer", marked("Other insurer"), "text", required=True),
                FieldSpec("limit", marked("Limit of the other insurer"), "money", required=True),
            ),
            many=True,
            add_label=marked("Add another insurer"),
        ),
        plain_term(
            marked("Shares of several insurers"),
            marked("Not stated: taken in equal shares."),
            marked("Several insurers share [other_insurance_shares]."),
            FieldSpec(
                "other_insurance_shares",
                marked("How insurers share"),
                "choice",
                (
                    ("equal_shares", marked("in equal shares")),
                    ("by_limits", marked("by their limits")),
                ),
                True,
            ),
            clause_attribute="other_insurance_shares_clause",
        ),
        term(
            "loss_payees",
            marked("Loss payees"),
            marked("Not stated: the insured is paid."),
            LossPayee,
            (marked("[name] is paid first or jointly, as its interest appears."),),
            (FieldSpec("name", marked("Loss payee"), "text", required=True),),
            many=True,
            add_label=marked("Add a loss payee"),
        ),
        plain_term(
            marked("Not worth a claim"),
            marked("Not stated: no hint is given."),
            marked(
                "If claiming pays less than [not_worth_claiming_below], say so (a hint, not "
                "advice)."
            ),
            FieldSpec(
                "not_worth_claiming_below",
                marked("Not worth claiming below"),
                "money",
                required=True,
            ),
        ),
    ),
)

PAPERS = TermGroup(
    marked("Papers"),
    (
        term(
            "papers",
            marked("Papers asked for"),
            marked("Not stated: the usual papers are asked for."),
            WantedPaper,
            (marked("The insurer asks for: [kind], [when]."),),
            (
                FieldSpec("kind", marked("Paper"), "choice", DOCUMENT_KINDS, True),
                FieldSpec(
                    "when",
                    marked("When it is asked for"),
                    "choice",
                    (
                        ("always", marked("with every claim")),
                        ("theft", marked("after theft, robbery or vandalism")),
                        ("damage", marked("for each damaged finding")),
                        ("replacement", marked("for each that has been replaced")),
                    ),
                ),
            ),
            many=True,
            add_label=marked("Add a paper"),
        ),
    ),
)

POLICY_GROUPS: tuple[TermGroup, ...] = (
    PERIOD_AND_LIMITS,
    DEDUCTIBLES,
    COVER,
    OTHERS,
    PAPERS,
    TermGroup(
        marked("Deadlines"),
        (
            deadlines_term(marked("Not stated: no period from the policy is watched.")),
            holidays_term(),
        ),
    ),
)
"""Every term of ldapp.claim.policy.PolicyTerms, once (a test holds this)."""

"""The terms of a rental agreement as sentences, in the order in which agreements have them."""

from __future__ import annotations

from ldapp.claim.terms import (
    ClosingCount,
    CustodyEnd,
    CustodyStart,
    LessorsDiscount,
    Liability,
    OpeningCondition,
    PairOrSet,
    Provision,
    RepairDecision,
    ReplacementTax,
    Salvage,
    ValuationDate,
    ValueCeiling,
)
from ldapp.desktop.pages.paper_parts.cost_sentences import FEES, LOSS_OF_USE
from ldapp.desktop.pages.paper_parts.term_specs import (
    FieldSpec,
    Sentence,
    TermGroup,
    TermSpec,
    term,
)
from ldapp.desktop.pages.paper_parts.valuation_sentences import (
    VALUATION,
    currency_term,
    deadlines_term,
    depreciation_overrides_term,
    depreciation_term,
    holidays_term,
    valuation_overrides_term,
)
from ldapp.desktop.pages.paper_parts.waiver_sentences import WAIVER


def _provision(
    attribute: str, title: str, not_stated: str, words: str, yes: str, no: str
) -> TermSpec:
    return term(
        attribute,
        title,
        not_stated,
        Provision,
        (words,),
        (FieldSpec("applies", title, "choice", ((True, yes), (False, no)), True),),
    )


CUSTODY = TermGroup(
    "Custody, counts and condition",
    (
        term(
            "custody_start",
            "Risk begins",
            "Not stated: taken from the pickup.",
            CustodyStart,
            ("The renter's risk begins when the equipment [event].",),
            (
                FieldSpec(
                    "event",
                    "When the risk begins",
                    "choice",
                    (
                        ("set_aside", "is set aside for the renter"),
                        ("accepted_after_testing", "is accepted after testing"),
                        ("left_premises", "leaves the premises"),
                        ("delivered", "is delivered to the renter"),
                    ),
                    True,
                ),
            ),
        ),
        term(
            "custody_end",
            "Risk ends",
            "Not stated: taken to the return.",
            CustodyEnd,
            ("The renter's risk ends when the equipment [event].",),
            (
                FieldSpec(
                    "event",
                    "When the risk ends",
                    "choice",
                    (
                        ("handed_over", "is handed over"),
                        ("accepted_in_hours", "is accepted in business hours"),
                        ("check_in_complete", "is checked in item by item"),
                    ),
                    True,
                ),
            ),
        ),
        term(
            "opening_condition",
            "Condition at pickup",
            "Not stated: nothing is presumed; the counts and photos speak.",
            OpeningCondition,
            (
                "At pickup the equipment is taken as [rule].",
                Sentence(
                    "A remark may come within [hours] hours.",
                    lambda got: got.get("rule") == "noted_within_hours",
                ),
            ),
            (
                FieldSpec(
                    "rule",
                    "Presumed condition",
                    "choice",
                    (
                        ("good_unless_noted_at_delivery", "good unless noted at delivery"),
                        ("noted_within_hours", "good unless noted within some hours"),
                        ("as_is", "rented as it is"),
                    ),
                    True,
                ),
                FieldSpec("hours", "Hours for a remark", "whole"),
            ),
        ),
        term(
            "closing_count",
            "Closing count",
            "Not stated: the better of both counts is taken.",
            ClosingCount,
            ("At the end [rule].",),
            (
                FieldSpec(
                    "rule",
                    "Whose count decides",
                    "choice",
                    (
                        ("joint", "both sides count together"),
                        ("lessor_controls", "the rental company's count decides"),
                        ("silent", "no count is agreed"),
                    ),
                    True,
                ),
            ),
        ),
        _provision(
            "invoice_conclusive",
            "Invoice as proof",
            "Not stated: the invoice proves nothing by itself.",
            "The rental company's invoice [applies] as proof of the loss.",
            "is conclusive",
            "is not conclusive",
        ),
        _provision(
            "wear_excepted",
            "Ordinary wear",
            "Not stated: taken as not owed.",
            "Ordinary wear [applies].",
            "is excepted",
            "is owed",
        ),
        term(
            "liability",
            "Liability",
            "Not stated: taken as any cause.",
            Liability,
            (
                "The renter answers for [rule].",
                Sentence(
                    "The waived perils are [perils].",
                    lambda got: got.get("rule") == "waived_perils",
                ),
            ),
            (
                FieldSpec("perils", "Perils that are waived", "causes"),
                FieldSpec(
                    "rule",
                    "For what the renter answers",
                    "choice",
                    (
                        ("any_cause", "loss from any cause"),
                        ("fault_only", "its own fault only"),
                        ("waived_perils", "everything but waived perils"),
                    ),
                    True,
                ),
            ),
        ),
    ),
)

VALUE = TermGroup(
    "What a unit is worth",
    (
        VALUATION,
        currency_term("the agreement"),
        term(
            "valuation_date",
            "Day of the price",
            "Not stated: taken as the price documented.",
            ValuationDate,
            ("The price counts as of [event].",),
            (
                FieldSpec(
                    "event",
                    "Day of the price",
                    "choice",
                    (
                        ("delivery", "the delivery"),
                        ("loss", "the loss"),
                        ("purchase", "the purchase of the replacement"),
                        ("invoice", "the invoice"),
                    ),
                    True,
                ),
            ),
        ),
        term(
            "lessors_discount",
            "Lessor's discount",
            "Not stated: no discount comes off the price.",
            LessorsDiscount,
            ("The rental company passes on its own discount of [rate] %.",),
            (FieldSpec("rate", "Lessor's discount", "percent", required=True),),
        ),
        term(
            "ceiling",
            "Ceiling",
            "Not stated: no ceiling.",
            ValueCeiling,
            (
                (
                    "No unit is worth more than [amount] or [share_of_replacement] % of its "
                    "replacement cost."
                ),
            ),
            (
                FieldSpec("amount", "Ceiling as an amount", "money"),
                FieldSpec("share_of_replacement", "Ceiling as a share", "percent"),
            ),
        ),
        term(
            "replacement_tax",
            "Tax in the replacement cost",
            "Not stated: no tax is counted into it.",
            ReplacementTax,
            ("The replacement cost includes tax of [rate] %.",),
            (FieldSpec("rate", "Tax in the replacement cost", "percent", required=True),),
        ),
        depreciation_term(),
        _provision(
            "labour_depreciated",
            "Labour",
            "Not stated: labour is not depreciated.",
            "Labour [applies].",
            "is depreciated too",
            "is not depreciated",
        ),
        term(
            "pair_or_set",
            "Pair or set",
            "Not stated: taken as the difference in value.",
            PairOrSet,
            (
                "For a part of a pair or set [rule] is owed.",
                Sentence(
                    "The share is [share] % of the set.",
                    lambda got: got.get("rule") == "stated_share",
                ),
            ),
            (
                FieldSpec(
                    "rule",
                    "What a part of a set is worth",
                    "choice",
                    (
                        ("part_only", "the part alone"),
                        ("difference_in_value", "the difference in value of the set"),
                        ("stated_share", "a stated share of the set"),
                    ),
                    True,
                ),
                FieldSpec("share", "Share of the set", "percent"),
            ),
        ),
        valuation_overrides_term(),
        depreciation_overrides_term(),
    ),
)

REPAIR = TermGroup(
    "Repair or total loss",
    (
        term(
            "repair_decision",
            "Repair or total loss",
            "Not stated: taken as the lesser of both.",
            RepairDecision,
            (
                "Damage is settled at [rule].",
                Sentence(
                    "At [threshold] % of the value or more it is a total loss.",
                    lambda got: got.get("rule") == "threshold",
                ),
            ),
            (
                FieldSpec(
                    "rule",
                    "Repair or total loss",
                    "choice",
                    (
                        ("lesser", "the lesser of repair and value"),
                        ("threshold", "the repair below a threshold"),
                    ),
                    True,
                ),
                FieldSpec("threshold", "Threshold of a total loss", "percent"),
            ),
        ),
        _provision(
            "betterment",
            "Betterment",
            "Not stated: nothing is deducted for new parts.",
            "New parts for old [applies].",
            "are reduced by betterment",
            "are owed in full",
        ),
        term(
            "salvage",
            "Wreck",
            "Not stated: taken as kept by the lessor.",
            Salvage,
            ("The wreck of a total loss is kept by [kept_by].",),
            (
                FieldSpec(
                    "kept_by",
                    "Who keeps the wreck",
                    "choice",
                    (
                        ("lessor", "the rental company"),
                        ("renter", "the renter"),
                        ("insurer", "the insurer who paid for it"),
                    ),
                    True,
                ),
            ),
        ),
    ),
)

DEADLINES = TermGroup("Deadlines", (deadlines_term("the agreement"), holidays_term()))

AGREEMENT_GROUPS: tuple[TermGroup, ...] = (
    CUSTODY,
    VALUE,
    REPAIR,
    LOSS_OF_USE,
    FEES,
    WAIVER,
    DEADLINES,
)
"""Every term of ldapp.claim.terms.Terms, once (a test holds this)."""

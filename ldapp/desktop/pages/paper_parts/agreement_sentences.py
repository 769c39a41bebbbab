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
from ldapp.language import marked, marked_in


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
    marked("Custody, counts and condition"),
    (
        term(
            "custody_start",
            marked("Risk begins"),
            marked("Not stated: taken from the pickup."),
            CustodyStart,
            (marked("The renter's risk begins when the equipment [event]."),),
            (
                FieldSpec(
                    "event",
                    marked("When the risk begins"),
                    "choice",
                    (
                        ("set_aside", marked("is set aside for the renter")),
                        ("accepted_after_testing", marked("is accepted after testing")),
                        ("left_premises", marked("leaves the premises")),
                        ("delivered", marked("is delivered to the renter")),
                    ),
                    True,
                ),
            ),
        ),
        term(
            "custody_end",
            marked("Risk ends"),
            marked("Not stated: taken to the return."),
            CustodyEnd,
            (marked("The renter's risk ends when the equipment [event]."),),
            (
                FieldSpec(
                    "event",
                    marked("When the risk ends"),
                    "choice",
                    (
                        ("handed_over", marked("is handed over")),
                        ("accepted_in_hours", marked("is accepted in business hours")),
                        ("check_in_complete", marked("is checked in item by item")),
                    ),
                    True,
                ),
            ),
        ),
        term(
            "opening_condition",
            marked("Condition at pickup"),
            marked("Not stated: nothing is presumed; the counts and photos speak."),
            OpeningCondition,
            (
                marked("At pickup the equipment is taken as [rule]."),
                Sentence(
                    marked("A remark may come within [hours] hours."),
                    lambda got: got.get("rule") == "noted_within_hours",
                ),
            ),
            (
                FieldSpec(
                    "rule",
                    marked("Presumed condition"),
                    "choice",
                    (
                        ("good_unless_noted_at_delivery", marked("good unless noted at delivery")),
                        ("noted_within_hours", marked("good unless noted within some hours")),
                        ("as_is", marked("rented as it is")),
                    ),
                    True,
                ),
                FieldSpec("hours", marked("Hours for a remark"), "whole"),
            ),
        ),
        term(
            "closing_count",
            marked("Closing count"),
            marked("Not stated: the better of both counts is taken."),
            ClosingCount,
            (marked("At the end [rule]."),),
            (
                FieldSpec(
                    "rule",
                    marked("Whose count decides"),
                    "choice",
                    (
                        ("joint", marked("both sides count together")),
                        ("lessor_controls", marked("the rental company's count decides")),
                        ("silent", marked("no count is agreed")),
                    ),
                    True,
                ),
            ),
        ),
        _provision(
            "invoice_conclusive",
            marked("Invoice as proof"),
            marked("Not stated: the invoice proves nothing by itself."),
            marked("The rental company's invoice [applies] as proof of the loss."),
            marked("is conclusive"),
            marked("is not conclusive"),
        ),
        _provision(
            "wear_excepted",
            marked("Ordinary wear"),
            marked("Not stated: taken as not owed."),
            marked("Ordinary wear [applies]."),
            marked("is excepted"),
            marked("is owed"),
        ),
        term(
            "liability",
            marked("Liability"),
            marked("Not stated: taken as any cause."),
            Liability,
            (
                marked("The renter answers for [rule]."),
                Sentence(
                    marked("The waived perils are [perils]."),
                    lambda got: got.get("rule") == "waived_perils",
                ),
            ),
            (
                FieldSpec("perils", marked("Perils that are waived"), "causes"),
                FieldSpec(
                    "rule",
                    marked("For what the renter answers"),
                    "choice",
                    (
                        ("any_cause", marked("loss from any cause")),
                        ("fault_only", marked("its own fault only")),
                        ("waived_perils", marked("everything but waived perils")),
                    ),
                    True,
                ),
            ),
        ),
    ),
)

VALUE = TermGroup(
    marked("What a unit is worth"),
    (
        VALUATION,
        currency_term(
            marked("Amounts in the agreement are in [currency]; nothing is ever converted."),
            marked("Currency of the agreement"),
        ),
        term(
            "valuation_date",
            marked("Day of the price"),
            marked("Not stated: taken as the price documented."),
            ValuationDate,
            (marked("The price counts as of [event]."),),
            (
                FieldSpec(
                    "event",
                    marked("Day of the price"),
                    "choice",
                    (
                        ("delivery", marked_in("day of the price", "the delivery")),
                        ("loss", marked_in("day of the price", "the loss")),
                        (
                            "purchase",
                            marked_in("day of the price", "the purchase of the replacement"),
                        ),
                        ("invoice", marked_in("day of the price", "the invoice")),
                    ),
                    True,
                ),
            ),
        ),
        term(
            "lessors_discount",
            marked("Lessor's discount"),
            marked("Not stated: no discount comes off the price."),
            LessorsDiscount,
            (marked("The rental company passes on its own discount of [rate] %."),),
            (FieldSpec("rate", marked("Lessor's discount"), "percent", required=True),),
        ),
        term(
            "ceiling",
            marked("Ceiling"),
            marked("Not stated: no ceiling."),
            ValueCeiling,
            (
                (
                    marked(
                        "No unit is worth more than [amount] or [share_of_replacement] % of its "
                        "replacement cost."
                    )
                ),
            ),
            (
                FieldSpec("amount", marked("Ceiling as an amount"), "money"),
                FieldSpec("share_of_replacement", marked("Ceiling as a share"), "percent"),
            ),
        ),
        term(
            "replacement_tax",
            marked("Tax in the replacement cost"),
            marked("Not stated: no tax is counted into it."),
            ReplacementTax,
            (marked("The replacement cost includes tax of [rate] %."),),
            (FieldSpec("rate", marked("Tax in the replacement cost"), "percent", required=True),),
        ),
        depreciation_term(),
        _provision(
            "labour_depreciated",
            marked("Labour"),
            marked("Not stated: labour is not depreciated."),
            marked("Labour [applies]."),
            marked("is depreciated too"),
            marked("is not depreciated"),
        ),
        term(
            "pair_or_set",
            marked("Pair or set"),
            marked("Not stated: taken as the difference in value."),
            PairOrSet,
            (
                marked("For a part of a pair or set [rule] is owed."),
                Sentence(
                    marked("The share is [share] % of the set."),
                    lambda got: got.get("rule") == "stated_share",
                ),
            ),
            (
                FieldSpec(
                    "rule",
                    marked("What a part of a set is worth"),
                    "choice",
                    (
                        ("part_only", marked("the part alone")),
                        ("difference_in_value", marked("the difference in value of the set")),
                        ("stated_share", marked("a stated share of the set")),
                    ),
                    True,
                ),
                FieldSpec("share", marked("Share of the set"), "percent"),
            ),
        ),
        valuation_overrides_term(),
        depreciation_overrides_term(),
    ),
)

REPAIR = TermGroup(
    marked("Repair or total loss"),
    (
        term(
            "repair_decision",
            marked("Repair or total loss"),
            marked("Not stated: taken as the lesser of both."),
            RepairDecision,
            (
                marked("Damage is settled at [rule]."),
                Sentence(
                    marked("At [threshold] % of the value or more it is a total loss."),
                    lambda got: got.get("rule") == "threshold",
                ),
            ),
            (
                FieldSpec(
                    "rule",
                    marked("Repair or total loss"),
                    "choice",
                    (
                        ("lesser", marked("the lesser of repair and value")),
                        ("threshold", marked("the repair below a threshold")),
                    ),
                    True,
                ),
                FieldSpec("threshold", marked("Threshold of a total loss"), "percent"),
            ),
        ),
        _provision(
            "betterment",
            marked("Betterment"),
            marked("Not stated: nothing is deducted for new parts."),
            marked("New parts for old [applies]."),
            marked("are reduced by betterment"),
            marked("are owed in full"),
        ),
        term(
            "salvage",
            marked("Wreck"),
            marked("Not stated: taken as kept by the lessor."),
            Salvage,
            (marked("The wreck of a total loss is kept by [kept_by]."),),
            (
                FieldSpec(
                    "kept_by",
                    marked("Who keeps the wreck"),
                    "choice",
                    (
                        ("lessor", marked_in("who keeps the wreck", "the rental company")),
                        ("renter", marked_in("who keeps the wreck", "the renter")),
                        (
                            "insurer",
                            marked_in("who keeps the wreck", "the insurer who paid for it"),
                        ),
                    ),
                    True,
                ),
            ),
        ),
    ),
)

DEADLINES = TermGroup(
    marked("Deadlines"),
    (
        deadlines_term(marked("Not stated: no period from the agreement is watched.")),
        holidays_term(),
    ),
)

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

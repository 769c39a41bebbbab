"""Loss of use, fees, tax and credits of a rental agreement as sentences."""

from __future__ import annotations

from ldapp.claim.terms import (
    BurnOutTerm,
    DepositTerm,
    FeeRule,
    Interest,
    LossOfUse,
    RecoveryTerm,
    RentCredit,
)
from ldapp.desktop.pages.paper_parts.tax_sentences import TAX
from ldapp.desktop.pages.paper_parts.term_specs import FieldSpec, Sentence, TermGroup, term
from ldapp.desktop.pages.paper_parts.words import FEE_KINDS
from ldapp.language import marked, marked_in

LOSS_OF_USE = TermGroup(
    marked("Loss of use"),
    (
        term(
            "loss_of_use",
            marked("Loss of use"),
            marked("Not stated: none is owed."),
            LossOfUse,
            (
                (
                    marked(
                        "While [applies_to] equipment is out of service rent goes on; its days are "
                        "[days_from]."
                    )
                ),
                Sentence(
                    marked(
                        "They run from [starts] until it is [ends_when_damaged] when damaged, "
                        "[ends_when_lost] when lost; the last day [last_day_counts]."
                    ),
                    lambda got: got.get("days_from") == "dates",
                ),
                Sentence(
                    marked("[administrative_days] administrative days are added."),
                    lambda got: got.get("days_from") == "hours_over_4",
                ),
                Sentence(
                    marked("[stated_days] days are stated."),
                    lambda got: got.get("days_from") == "stated",
                ),
                (
                    marked(
                        "Each week counts [billed_days_per_week] days at [rate_share] % of the day "
                        "rate, less the agreement's discount of [discount] %, at [utilisation] % "
                        "use."
                    )
                ),
                marked(
                    "At most [cap_days] days, [cap_amount], or [cap_share_of_value] % of the value."
                ),
                marked(
                    "Rent already paid [rent_paid_counts]; proof of a lost rental [proof_required]."
                ),
            ),
            (
                FieldSpec(
                    "applies_to",
                    marked("For which equipment"),
                    "choice",
                    (
                        ("damaged", marked("damaged")),
                        ("damaged_and_lost", marked("damaged or lost")),
                    ),
                ),
                FieldSpec(
                    "days_from",
                    marked("How days are counted"),
                    "choice",
                    (
                        ("dates", marked("counted by dates")),
                        ("hours_over_8", marked("labour hours over 8")),
                        ("hours_over_4", marked("labour hours over 4 with weekends")),
                        ("stated", marked("a stated number")),
                    ),
                ),
                FieldSpec(
                    "starts",
                    marked("From when"),
                    "choice",
                    (
                        (None, marked("(not stated)")),
                        ("notice", marked_in("what starts loss of use", "the notice")),
                        (
                            "return_due",
                            marked_in("what starts loss of use", "the day the return is due"),
                        ),
                        (
                            "day_after_return_due",
                            marked_in("what starts loss of use", "the day after the return is due"),
                        ),
                        ("check_in", marked_in("what starts loss of use", "the check-in")),
                    ),
                ),
                FieldSpec(
                    "ends_when_damaged",
                    marked("Until when, damaged"),
                    "choice",
                    (
                        (None, marked("(not stated)")),
                        ("repaired", marked("repaired")),
                        ("replaced", marked("replaced")),
                        ("paid", marked("paid")),
                    ),
                ),
                FieldSpec(
                    "ends_when_lost",
                    marked("Until when, lost"),
                    "choice",
                    (
                        (None, marked("(not stated)")),
                        ("repaired", marked("repaired")),
                        ("replaced", marked("replaced")),
                        ("paid", marked("paid")),
                    ),
                ),
                FieldSpec(
                    "last_day_counts",
                    marked("Whether the last day counts"),
                    "choice",
                    (
                        (None, marked("(not stated)")),
                        (True, marked_in("the last day", "counts")),
                        (False, marked("does not count")),
                    ),
                ),
                FieldSpec("administrative_days", marked("Administrative days"), "whole"),
                FieldSpec("stated_days", marked("Stated days"), "number"),
                FieldSpec("billed_days_per_week", marked("Billed days in a week"), "number"),
                FieldSpec("rate_share", marked("Share of the day rate"), "percent"),
                FieldSpec("discount", marked("Discount of the agreement"), "percent"),
                FieldSpec("utilisation", marked("Share of days in use"), "percent"),
                FieldSpec("cap_days", marked("Most days"), "number"),
                FieldSpec("cap_amount", marked("Most in money"), "money"),
                FieldSpec("cap_share_of_value", marked("Most as a share of the value"), "percent"),
                FieldSpec(
                    "rent_paid_counts",
                    marked("Whether rent paid comes off"),
                    "choice",
                    (
                        (None, marked("(not stated)")),
                        (True, marked("comes off")),
                        (False, marked("does not come off")),
                    ),
                ),
                FieldSpec(
                    "proof_required",
                    marked("Whether proof is required"),
                    "choice",
                    (
                        (None, marked("(not stated)")),
                        (True, marked("is required")),
                        (False, marked("is not required")),
                    ),
                ),
            ),
        ),
    ),
)


FEES = TermGroup(
    marked("Fees, tax and credits"),
    (
        term(
            "fees",
            marked("Fees"),
            marked("Not stated: none is owed."),
            FeeRule,
            (
                marked("For [kind] there is a fee, [form]."),
                Sentence(
                    marked("It is [amount]."),
                    lambda got: got.get("form") in ("flat", "as_documented"),
                ),
                Sentence(
                    marked("It is [rate] % of the [base], at least [minimum], at most [maximum]."),
                    lambda got: got.get("form") == "percentage",
                ),
                Sentence(
                    marked("By the [base]: [bands] (up to = fee, the last without a limit)."),
                    lambda got: got.get("form") == "bands",
                ),
            ),
            (
                FieldSpec("kind", marked("Kind of fee"), "choice", FEE_KINDS, True),
                FieldSpec(
                    "form",
                    marked("How the fee is computed"),
                    "choice",
                    (
                        ("flat", marked("flat")),
                        ("percentage", marked("as a percentage")),
                        ("bands", marked("in bands")),
                        ("as_documented", marked("as documented")),
                    ),
                    True,
                ),
                FieldSpec("amount", marked("Amount of the fee"), "money"),
                FieldSpec("rate", marked("Rate of the fee"), "percent"),
                FieldSpec(
                    "base",
                    marked("What the fee is computed from"),
                    "choice",
                    (
                        ("loss", marked("loss")),
                        ("repair", marked("repair")),
                        ("invoice", marked("invoice")),
                    ),
                ),
                FieldSpec("minimum", marked("Least fee"), "money"),
                FieldSpec("maximum", marked("Most fee"), "money"),
                FieldSpec("bands", marked("Bands of the fee"), "fee_bands"),
            ),
            many=True,
            add_label=marked("Add a fee"),
        ),
        TAX,
        term(
            "interest",
            marked("Interest"),
            marked("Not stated: none is owed."),
            Interest,
            (marked("What is overdue bears [yearly_rate] % a year after [after_days] days."),),
            (
                FieldSpec("yearly_rate", marked("Yearly rate"), "percent", required=True),
                FieldSpec("after_days", marked("Days before interest"), "whole"),
            ),
        ),
        term(
            "rent_credit",
            marked("Rent paid"),
            marked("Not stated: rent paid does not come off the replacement."),
            RentCredit,
            (marked("Rent already paid, [amount], [rule] the replacement charge."),),
            (
                FieldSpec("amount", marked("Rent paid for what is charged now"), "money"),
                FieldSpec(
                    "rule",
                    marked("Whether rent paid comes off"),
                    "choice",
                    (
                        ("deducted", marked("comes off")),
                        ("not_deducted", marked("does not come off")),
                        ("by_approval", marked("comes off by approval")),
                    ),
                    True,
                ),
            ),
        ),
        term(
            "deposit",
            marked("Deposit"),
            marked("Not stated: no deposit is set off."),
            DepositTerm,
            (
                (
                    marked(
                        "A deposit of [amount] is [form], set off against [set_off], released "
                        "after [release_days] days."
                    )
                ),
            ),
            (
                FieldSpec("amount", marked("Deposit"), "money"),
                FieldSpec(
                    "form",
                    marked("How the deposit is taken"),
                    "choice",
                    (
                        ("held", marked_in("how a deposit is taken", "held")),
                        ("charged", marked_in("how a deposit is taken", "charged")),
                    ),
                    True,
                ),
                FieldSpec(
                    "set_off",
                    marked("What it is set off against first"),
                    "choice",
                    (
                        (None, marked("(not stated)")),
                        ("loss_first", marked("the loss first")),
                        ("rent_first", marked("the rent first")),
                    ),
                ),
                FieldSpec("release_days", marked("Days until release"), "whole"),
            ),
        ),
        term(
            "recovery",
            marked("Found again"),
            marked("Not stated: nothing is agreed for an item that turns up later."),
            RecoveryTerm,
            (marked("When a paid item turns up within [within_days] days, [refund]."),),
            (
                FieldSpec(
                    "refund",
                    marked("What is refunded"),
                    "choice",
                    (
                        ("full", marked("it is refunded in full")),
                        ("less_rent", marked("it is refunded less rent")),
                        ("none", marked("nothing is refunded")),
                    ),
                    True,
                ),
                FieldSpec("within_days", marked("Days"), "whole"),
            ),
        ),
        term(
            "burn_outs",
            marked("Lamps that burn out"),
            marked("Not stated: nothing is presumed."),
            BurnOutTerm,
            (
                marked("A lamp that burns out in use is [rule]."),
                Sentence(
                    marked("A short rental is one of at most [short_rental_days] days."),
                    lambda got: got.get("rule") == "free_on_short_rental",
                ),
            ),
            (
                FieldSpec(
                    "rule",
                    marked("Who bears burnt-out lamps"),
                    "choice",
                    (
                        ("free_if_returned", marked("free if it is returned")),
                        ("free_on_short_rental", marked("free on a short rental")),
                        ("renter", marked("the renter's")),
                    ),
                    True,
                ),
                FieldSpec("short_rental_days", marked("Days of a short rental"), "whole"),
            ),
        ),
    ),
)

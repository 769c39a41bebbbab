"""The damage waiver of a rental agreement as sentences."""

from __future__ import annotations

from ldapp.claim.terms import WaiverTerm
from ldapp.desktop.pages.paper_parts.term_specs import FieldSpec, Sentence, TermGroup, term

WAIVER = TermGroup(
    "Damage waiver",
    (
        term(
            "waiver",
            "Damage waiver",
            "Not stated: taken as none.",
            WaiverTerm,
            (
                "A damage waiver [taken].",
                Sentence(
                    "Of each [per] the renter pays [share_form].",
                    lambda got: bool(got.get("taken")),
                ),
                Sentence(
                    "That is [share_amount].",
                    lambda got: bool(got.get("taken")) and got.get("share_form") == "flat",
                ),
                Sentence(
                    "That is [share_rate] %, at least [share_minimum], at most [share_maximum].",
                    lambda got: (
                        bool(got.get("taken"))
                        and str(got.get("share_form")).startswith("percentage")
                    ),
                ),
                Sentence(
                    "By value: [share_bands] (up to = share, the last without a limit).",
                    lambda got: bool(got.get("taken")) and got.get("share_form") == "bands",
                ),
                Sentence(
                    "The waiver bears at most [limit]; it covers [repair_only] and "
                    "[covers_loss_of_use].",
                    lambda got: bool(got.get("taken")),
                ),
                Sentence(
                    "It does not cover these causes: [excluded_causes], nor these categories: "
                    "[excluded_categories].",
                    lambda got: bool(got.get("taken")),
                ),
            ),
            (
                FieldSpec(
                    "taken",
                    "Whether a waiver was taken",
                    "choice",
                    ((True, "was taken"), (False, "was not taken")),
                    True,
                ),
                FieldSpec(
                    "share_form",
                    "How the renter's share is computed",
                    "choice",
                    (
                        ("flat", "a flat amount"),
                        ("percentage_of_loss", "a percentage of the loss"),
                        ("percentage_of_value", "a percentage of the value"),
                        ("bands", "an amount by value"),
                    ),
                ),
                FieldSpec(
                    "per",
                    "What the share is paid for",
                    "choice",
                    (("incident", "incident"), ("unit", "unit"), ("line", "kit line")),
                ),
                FieldSpec("share_amount", "Renter's share", "money"),
                FieldSpec("share_rate", "Renter's share in percent", "percent"),
                FieldSpec("share_minimum", "Least share", "money"),
                FieldSpec("share_maximum", "Most share", "money"),
                FieldSpec("share_bands", "Bands of the share", "share_bands"),
                FieldSpec("limit", "Limit of the waiver", "money"),
                FieldSpec(
                    "repair_only",
                    "Whether it covers total losses",
                    "choice",
                    ((False, "repair and total loss"), (True, "repair only")),
                ),
                FieldSpec(
                    "covers_loss_of_use",
                    "Whether it covers loss of use",
                    "choice",
                    ((True, "loss of use"), (False, "no loss of use")),
                ),
                FieldSpec("excluded_causes", "Causes not covered", "causes"),
                FieldSpec("excluded_categories", "Categories not covered", "words"),
            ),
        ),
    ),
)

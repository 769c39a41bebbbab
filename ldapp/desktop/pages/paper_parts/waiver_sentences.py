"""The damage waiver of a rental agreement as sentences."""

from __future__ import annotations

from ldapp.claim.terms import WaiverTerm
from ldapp.desktop.pages.paper_parts.term_specs import FieldSpec, Sentence, TermGroup, term
from ldapp.language import marked

WAIVER = TermGroup(
    marked("Damage waiver"),
    (
        term(
            "waiver",
            marked("Damage waiver"),
            marked("Not stated: taken as none."),
            WaiverTerm,
            (
                marked("A damage waiver [taken]."),
                Sentence(
                    marked("Of each [per] the renter pays [share_form]."),
                    lambda got: bool(got.get("taken")),
                ),
                Sentence(
                    marked("That is [share_amount]."),
                    lambda got: bool(got.get("taken")) and got.get("share_form") == "flat",
                ),
                Sentence(
                    marked(
                        "That is [share_rate] %, at least [share_minimum], at most [share_maximum]."
                    ),
                    lambda got: (
                        bool(got.get("taken"))
                        and str(got.get("share_form")).startswith("percentage")
                    ),
                ),
                Sentence(
                    marked("By value: [share_bands] (up to = share, the last without a limit)."),
                    lambda got: bool(got.get("taken")) and got.get("share_form") == "bands",
                ),
                Sentence(
                    marked(
                        "The waiver bears at most [limit]; it covers [repair_only] and "
                        "[covers_loss_of_use]."
                    ),
                    lambda got: bool(got.get("taken")),
                ),
                Sentence(
                    marked(
                        "It does not cover these causes: [excluded_causes], nor these categories: "
                        "[excluded_categories]."
                    ),
                    lambda got: bool(got.get("taken")),
                ),
            ),
            (
                FieldSpec(
                    "taken",
                    marked("Whether a waiver was taken"),
                    "choice",
                    ((True, marked("was taken")), (False, marked("was not taken"))),
                    True,
                ),
                FieldSpec(
                    "share_form",
                    marked("How the renter's share is computed"),
                    "choice",
                    (
                        ("flat", marked("a flat amount")),
                        ("percentage_of_loss", marked("a percentage of the loss")),
                        ("percentage_of_value", marked("a percentage of the value")),
                        ("bands", marked("an amount by value")),
                    ),
                ),
                FieldSpec(
                    "per",
                    marked("What the share is paid for"),
                    "choice",
                    (
                        ("incident", marked("incident")),
                        ("unit", marked("unit")),
                        ("line", marked("kit line")),
                    ),
                ),
                FieldSpec("share_amount", marked("Renter's share"), "money"),
                FieldSpec("share_rate", marked("Renter's share in percent"), "percent"),
                FieldSpec("share_minimum", marked("Least share"), "money"),
                FieldSpec("share_maximum", marked("Most share"), "money"),
                FieldSpec("share_bands", marked("Bands of the share"), "share_bands"),
                FieldSpec("limit", marked("Limit of the waiver"), "money"),
                FieldSpec(
                    "repair_only",
                    marked("Whether it covers total losses"),
                    "choice",
                    ((False, marked("repair and total loss")), (True, marked("repair only"))),
                ),
                FieldSpec(
                    "covers_loss_of_use",
                    marked("Whether it covers loss of use"),
                    "choice",
                    ((True, marked("loss of use")), (False, marked("no loss of use"))),
                ),
                FieldSpec("excluded_causes", marked("Causes not covered"), "causes"),
                FieldSpec("excluded_categories", marked("Categories not covered"), "words"),
            ),
        ),
    ),
)

"""What of a loss the insured bears by a policy, as sentences."""

from __future__ import annotations

from ldapp.claim.policy import Deductible, DeductibleSplit, InsuranceToValue, Participation
from ldapp.desktop.pages.paper_parts.term_specs import (
    FieldSpec,
    Sentence,
    TermGroup,
    Values,
    term,
)
from ldapp.language import marked


def _applies(values: Values, form: str) -> bool:
    return str(values.get("form")).startswith(form)


DEDUCTIBLES = TermGroup(
    marked("Deductible and participation"),
    (
        term(
            "deductibles",
            marked("Deductibles"),
            marked("Not stated: taken as none."),
            Deductible,
            (
                marked("The insured bears [form] per [per]."),
                Sentence(marked("That is [amount]."), lambda got: got.get("form") == "flat"),
                Sentence(
                    marked(
                        "That is [rate] %, at least [minimum], at most [maximum] per [bounds_per]."
                    ),
                    lambda got: _applies(got, "percentage"),
                ),
                (
                    marked(
                        "It applies to these causes only: [causes]; these categories only: "
                        "[categories]; [abroad]."
                    )
                ),
            ),
            (
                FieldSpec(
                    "form",
                    marked("Form of the deductible"),
                    "choice",
                    (
                        ("flat", marked("a flat amount")),
                        ("percentage_of_loss", marked("a percentage of the loss")),
                        ("percentage_of_value", marked("a percentage of the value")),
                        ("percentage_of_limit", marked("a percentage of the limit")),
                    ),
                    True,
                ),
                FieldSpec(
                    "per",
                    marked("What the deductible is for"),
                    "choice",
                    (
                        ("occurrence", marked("occurrence")),
                        ("line", marked("kit line")),
                        ("unit", marked("unit")),
                    ),
                ),
                FieldSpec("amount", marked("Deductible"), "money"),
                FieldSpec("rate", marked("Deductible in percent"), "percent"),
                FieldSpec("minimum", marked("Least deductible"), "money"),
                FieldSpec("maximum", marked("Most deductible"), "money"),
                FieldSpec(
                    "bounds_per",
                    marked("What the bounds are for"),
                    "choice",
                    (("occurrence", marked("occurrence")), ("line", marked("kit line"))),
                ),
                FieldSpec("causes", marked("Causes"), "causes"),
                FieldSpec("categories", marked("Categories"), "words"),
                FieldSpec(
                    "abroad",
                    marked("Where it applies"),
                    "choice",
                    ((False, marked("everywhere")), (True, marked("abroad only"))),
                ),
            ),
            many=True,
            add_label=marked("Add a deductible"),
        ),
        term(
            "deductible_split",
            marked("Who bears the deductible"),
            marked("Not stated: the renter as a whole."),
            DeductibleSplit,
            (
                marked("[first] bears [form] of the deductible, [rest] the rest."),
                Sentence(marked("That is [amount]."), lambda got: got.get("form") == "flat"),
                Sentence(
                    marked("That is [rate] %, at least [minimum], at most [maximum]."),
                    lambda got: got.get("form") in ("share", "percentage_of_loss"),
                ),
            ),
            (
                FieldSpec("first", marked("Who bears the first part"), "bearer", required=True),
                FieldSpec("rest", marked("Who bears the rest"), "bearer", required=True),
                FieldSpec(
                    "form",
                    marked("How the part is computed"),
                    "choice",
                    (
                        ("flat", marked("a flat part")),
                        ("share", marked("a share")),
                        ("percentage_of_loss", marked("a percentage of the loss")),
                    ),
                    True,
                ),
                FieldSpec("amount", marked("Flat part"), "money"),
                FieldSpec("rate", marked("Share"), "percent"),
                FieldSpec("minimum", marked("Least part"), "money"),
                FieldSpec("maximum", marked("Most part"), "money"),
            ),
        ),
        term(
            "participation",
            marked("Participation"),
            marked("Not stated: none."),
            Participation,
            (marked("After the deductible the insured keeps [insured_share] % of the loss."),),
            (FieldSpec("insured_share", marked("Insured's share"), "percent", required=True),),
        ),
        term(
            "insurance_to_value",
            marked("Insurance to value"),
            marked("Not stated: no requirement."),
            InsuranceToValue,
            (
                (
                    marked(
                        "[required_share] % of the value at risk of [value_at_risk] must be "
                        "insured, or an agreed value of [agreed_value] stands in its place; it is "
                        "[blanket]."
                    )
                ),
            ),
            (
                FieldSpec("required_share", marked("Share to be insured"), "percent"),
                FieldSpec("value_at_risk", marked("Value at risk"), "money"),
                FieldSpec("agreed_value", marked("Agreed value"), "money"),
                FieldSpec(
                    "blanket",
                    marked("Blanket or by item"),
                    "choice",
                    ((True, marked("over all items together")), (False, marked("item by item"))),
                ),
            ),
        ),
    ),
)

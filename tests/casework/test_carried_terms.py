"""Terms for another claim keep what they say and lose what only one claim knows."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal
from fractions import Fraction

from ldapp.casework import papers, templates
from ldapp.casework.carried_terms import carried_terms, settled_terms, without_document
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.register import Register
from ldapp.claim.clause import Clause
from ldapp.claim.deadline_rules import DeadlineRule
from ldapp.claim.documents import Document
from ldapp.claim.parties import Party
from ldapp.claim.policy import AlsoInsured, DeductibleSplit, ItemLimit, PolicyTerms
from ldapp.claim.terms import Salvage, StraightLine, Terms, ValuationOverride, ValuationRule
from ldapp.exchange.claim_file import claim_as_json, claim_from_json
from tests.rich_claim import rich_claim

CLAUSE = Clause(reference="4.2", document="d1", page=3, text="As written.")
PARTIES = (
    Party(id="p-ada", role="student", name="Ada"),
    Party(id="p-dept", role="department", name="Department"),
)
RULE = ValuationRule(bases=("replacement_cost",), clause=CLAUSE)


def test_a_clause_keeps_its_words_and_loses_its_document() -> None:
    terms = Terms(
        salvage=Salvage(kept_by="renter", clause=CLAUSE),
        valuation=RULE,
        valuation_overrides=(
            ValuationOverride(rule=RULE, line="l1"),
            ValuationOverride(rule=RULE, category="Cable"),
        ),
        depreciation=StraightLine(life_months=None, residual_share=Fraction(1, 5)),
        deadlines=(
            DeadlineRule(
                code="c", title="t", starts="loss", length=3, agreement="a1",
                start_on=dt.date(2026, 1, 2), clause=CLAUSE,
            ),
        ),
    )  # fmt: skip
    carried = carried_terms(terms)
    bare = dataclasses.replace(CLAUSE, document=None)
    assert carried.salvage == Salvage(kept_by="renter", clause=bare)
    assert [one.category for one in carried.valuation_overrides] == ["Cable"]
    assert carried.valuation_overrides[0].rule.clause == bare
    assert carried.depreciation == terms.depreciation
    (rule,) = carried.deadlines
    assert (rule.agreement, rule.start_on, rule.clause) == (None, None, bare)
    assert carried_terms(carried) == carried


def test_who_bears_a_deductible_is_carried_by_role() -> None:
    split = DeductibleSplit(first="p-ada", rest="p-dept", form="flat", amount=Decimal(5))
    terms = PolicyTerms(
        deductible_split=split,
        also_insured=AlsoInsured(parties=("p-ada",)),
        item_limits=(ItemLimit(amount=Decimal(1), line="l"),),
    )
    carried = carried_terms(terms, PARTIES)
    assert carried.deductible_split is not None
    assert (carried.deductible_split.first, carried.deductible_split.rest) == (
        "student",
        "department",
    )
    assert carried.also_insured is None
    assert carried.item_limits == ()
    claim = dataclasses.replace(
        rich_claim(), parties=(Party(id="new", role="student", name="Ben"), *PARTIES[1:])
    )
    settled = settled_terms(carried, claim)
    assert settled.deductible_split is not None
    assert (settled.deductible_split.first, settled.deductible_split.rest) == ("new", "p-dept")
    two = dataclasses.replace(claim, parties=(*claim.parties, PARTIES[0]))
    left = settled_terms(carried, two).deductible_split
    assert left is not None
    assert left.first == "student", "which of two students it is, nobody knows"


def test_kept_terms_name_no_document_of_the_claim_that_they_come_from(
    desk: OpenClaim, register: Register
) -> None:
    agreement = desk.claim.agreements[0]
    terms = Terms(valuation=RULE)
    papers.put_document(desk, Document(id="d1", title="Agreement"))
    papers.put_agreement(desk, dataclasses.replace(agreement, terms=terms))
    templates.keep_agreement_terms(desk, register, agreement.id)
    other = register.create("2026-002", "Next", "USD", "America/Denver")
    made = papers.add_agreement(other, "Invented Rentals")
    templates.use_agreement_terms(other, register, made.id)
    valuation = other.claim.agreements[0].terms.valuation
    assert valuation is not None
    assert valuation.clause == dataclasses.replace(CLAUSE, document=None)
    claim_from_json(claim_as_json(other.claim), "next")


def test_a_document_that_is_removed_leaves_nothing_that_refers_to_it(desk: OpenClaim) -> None:
    claim = rich_claim()
    gone = claim.documents[0].id
    left = dataclasses.replace(claim, documents=claim.documents[1:], journal=())
    cleared = without_document(left, gone)
    claim_from_json(claim_as_json(cleared), "cleared")
    assert without_document(cleared, gone) is cleared
    agreement = desk.claim.agreements[0]
    papers.put_document(desk, Document(id="d1", title="Agreement"))
    papers.put_agreement(
        desk, dataclasses.replace(agreement, document="d1", terms=Terms(valuation=RULE))
    )
    papers.remove_document(desk, "d1")
    one = desk.claim.agreements[0]
    assert one.document is None
    assert one.terms.valuation is not None
    assert one.terms.valuation.clause == dataclasses.replace(CLAUSE, document=None)
    desk.undo()
    assert desk.claim.agreements[0].document == "d1"
    assert desk.claim.agreements[0].terms.valuation == RULE

"""What a ground rests on, clause by clause, count by count and word by word."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from ldapp.claim.charges import ChargeKind, GroundChoice
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.documents import Document
from ldapp.claim.grounds import GroundCode
from ldapp.claim.terms import (
    CustodyEnd,
    CustodyStart,
    FeeRule,
    Provision,
    Terms,
    ValuationRule,
    ValueCeiling,
)
from ldapp.reckoning.counts import count_lines
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.support import BearsOn, Strength, clause_of, counts_behind, strength
from ldapp.reckoning.valuation import agreement_rules
from tests.reckoning.claims import at, charge, claim, count, line, photo, straight_line


def clause(reference: str) -> Clause:
    return Clause(reference=reference)


CEILING = ValueCeiling(amount=Decimal(9), clause=clause("2"))
VALUE = ValuationRule(bases=("actual_cash_value",), clause=clause("1"))


def found_clause(code: GroundCode, kind: ChargeKind = "missing", **stated: Any) -> str | None:
    terms = Terms(**{"valuation": VALUE, **stated})
    rules = agreement_rules(terms, line())
    found = clause_of(code, terms, rules, charge(kind=kind))
    return None if found is None else found.reference


@pytest.mark.parametrize(
    ("code", "stated", "expected"),
    [
        ("depreciation", {"depreciation": straight_line(60)}, "7.2"),
        ("depreciation", {}, "1"),
        ("depreciation", {"valuation": None}, None),
        ("schedule_exceeded", {"ceiling": CEILING}, "2"),
        ("schedule_exceeded", {}, "1"),
        ("value_basis", {}, "1"),
        (
            "outside_custody",
            {
                "custody_end": CustodyEnd(event="handed_over", clause=clause("4")),
                "custody_start": CustodyStart(event="delivered", clause=clause("3")),
            },
            "4",
        ),
        (
            "outside_custody",
            {"custody_start": CustodyStart(event="delivered", clause=clause("3"))},
            "3",
        ),
        ("betterment", {"betterment": Provision(applies=True, clause=clause("5"))}, "5"),
        ("betterment", {"betterment": Provision(applies=True)}, None),
        ("never_received", {}, None),
    ],
)  # fmt: skip
def test_the_clause_that_a_ground_rests_on(
    code: GroundCode, stated: dict[str, Any], expected: str | None
) -> None:
    assert found_clause(code, **stated) == expected


@pytest.mark.parametrize(
    ("kind", "expected"),
    [("cleaning", "clean"), ("repack", "pack"), ("interest", "rest"), ("other", "rest")],
)
def test_a_fee_rests_on_the_clause_of_its_kind(kind: ChargeKind, expected: str) -> None:
    kinds: tuple[tuple[Any, str], ...] = (
        ("cleaning", "clean"),
        ("repacking", "pack"),
        ("other", "rest"),
    )
    fees = tuple(
        FeeRule(kind=each, form="flat", amount=Decimal(1), clause=clause(where))
        for each, where in kinds
    )
    assert found_clause("fee_not_agreed", kind, fees=fees) == expected


# --- counts behind a ground -------------------------------------------------------------------


def behind(code: GroundCode, of: Claim, on: str | None = "k1") -> tuple[str, ...]:
    index = ClaimIndex(of)
    counts = None if on is None else count_lines(index)[on, None]
    return counts_behind(code, counts, index, on)


def ten(*counts: Count, **more: Any) -> Claim:
    return claim(kit=[line(price="100", quantity=10)], counts=counts, **more)


PICKUP = count("p", "pickup", at(1), {"k1": 10})
SHORT_PICKUP = count("p", "pickup", at(1), {"k1": 9})
RETURN = count("r", "return", at(9), {"k1": 7})
CHECK_IN = count("c", "check_in", at(11), {"k1": 7})


@pytest.mark.parametrize(
    ("code", "counts", "expected"),
    [
        ("never_received", (PICKUP, RETURN), ("p",)),
        ("never_received", (RETURN,), ()),
        ("returned", (PICKUP, RETURN, CHECK_IN), ("r",)),
        ("returned", (PICKUP, CHECK_IN), ()),
        # What was received as listed says nothing of the quantity.
        ("quantity", (PICKUP, RETURN), ("r",)),
        ("quantity", (SHORT_PICKUP, RETURN), ("r", "p")),
        ("unexplained_charge", (SHORT_PICKUP, CHECK_IN), ("c", "p")),
        ("value_basis", (PICKUP, RETURN), ()),
    ],
)
def test_the_counts_behind_a_ground(
    code: GroundCode, counts: tuple[Count, ...], expected: tuple[str, ...]
) -> None:
    assert behind(code, ten(*counts)) == expected


def test_a_charge_that_matches_no_line_rests_on_the_last_closing_count_of_both() -> None:
    of = ten(
        PICKUP, RETURN, CHECK_IN, count("z", "check_in", at(12), {"k1": 7}, "one_side"),
        count("d", "during", at(15), {"k1": 7}),
    )  # fmt: skip
    assert behind("unexplained_charge", of, None) == ("c",)
    assert behind("unexplained_charge", ten(PICKUP, RETURN), None) == ("r",)
    assert behind("unexplained_charge", ten(PICKUP), None) == ()
    assert behind("quantity", of, None) == ()


def test_damage_before_rests_on_the_pickup_count_that_notes_it() -> None:
    entry = CountEntry(line="k1", quantity=10, condition="damaged_before")
    noted = Count(id="n", stage="pickup", at=at(2), entries=(entry,))
    assert behind("prior_damage", ten(PICKUP, noted, RETURN)) == ("n",)
    assert behind("prior_damage", ten(PICKUP, RETURN)) == ()


def test_a_loss_outside_custody_rests_on_the_counts_around_it() -> None:
    terms = Terms(custody_end=CustodyEnd(event="handed_over"))
    # Custody from the 3rd to the 6th: two went before, one after; the last two counts agree.
    of = ten(
        count("p", "pickup", at(1), {"k1": 10}),
        count("b", "during", at(2), {"k1": 8}),
        count("d", "during", at(6), {"k1": 8}),
        count("r", "return", at(9), {"k1": 7}),
        terms=terms,
        agreement={"custody_began": at(3), "custody_ended": at(6)},
    )
    assert behind("outside_custody", of) == ("b", "p", "r", "d")
    inside = ten(PICKUP, RETURN, agreement={"custody_began": at(1), "custody_ended": at(20)})
    assert behind("outside_custody", inside) == ()
    unseen = ten(
        count("d", "during", at(2), {"k1": 9}), count("r", "return", at(9), {"k1": 9}),
        agreement={"custody_began": at(3)},
    )  # fmt: skip
    assert behind("outside_custody", unseen) == ("d",)


# --- what stands under a ground ---------------------------------------------------------------


def rests(choice: GroundChoice, of: Claim, terms: Terms | None = None, **photos: str) -> Strength:
    index = ClaimIndex(of)
    used = terms or Terms()
    rules = agreement_rules(used, of.kit[0])
    counts = count_lines(index)["k1", None]
    bears_on = BearsOn("a", used, rules, "k1", counts)
    return strength(index, charge(), choice, bears_on, photos)


def test_photos_are_called_by_name_and_standing() -> None:
    of = ten(photos=(photo("x"), photo("y"), photo("z")))
    choice = GroundChoice(code="other_owner", photos=("x", "gone", "y", "z"))
    weak = rests(choice, of, x="in_contradiction")
    assert weak.rests_on == (
        "photo x.jpg, in contradiction", "photo y.jpg, open", "photo z.jpg, open",
    )  # fmt: skip
    assert not weak.strong
    assert rests(choice, of, z="backed").strong
    assert rests(choice, of, y="corrected").strong


def test_counts_are_called_by_stage_time_and_acknowledgement() -> None:
    of = ten(
        count("a1", "check_in", at(11), {"k1": 7}, "one_side"),
        count("a2", "return", at(9), {"k1": 7}),
        count("a3", "during", None, {}, "refused_to_sign"),
    )
    choice = GroundChoice(code="other_owner", counts=("a1", "none", "a2", "a3"))
    found = rests(choice, of)
    assert found.rests_on == (
        "check-in count of 2026-03-11 12:00+00:00, by one side",
        "return count of 2026-03-09 12:00+00:00, signed by both",
        "during count of time not known, refused to sign",
    )
    assert found.strong
    assert not rests(GroundChoice(code="other_owner", counts=("a1", "none")), of).strong


def test_own_counts_must_all_be_of_both() -> None:
    one_side = count("p", "pickup", at(1), {"k1": 9}, "one_side")
    of = ten(one_side, RETURN)
    found = rests(GroundChoice(code="quantity"), of)
    assert found.rests_on == (
        "return count of 2026-03-09 12:00+00:00, signed by both",
        "pickup count of 2026-03-01 12:00+00:00, by one side",
    )
    assert not found.strong
    assert rests(GroundChoice(code="quantity"), ten(SHORT_PICKUP, RETURN)).strong


def test_documents_and_clauses() -> None:
    papers = (
        Document(id="d1", title="Ticket", kind="other"),
        Document(id="d2", title="Note", kind="other", signed_by_other_side=True),
    )
    of = ten(documents=papers)
    choice = GroundChoice(code="betterment", documents=("d1", "none", "d2"))
    assert rests(choice, of) == Strength(
        True, ("document Ticket", "document Note, signed by the other side"), "", None
    )
    unsigned = rests(GroundChoice(code="betterment", documents=("d1",)), of)
    assert (unsigned.strong, unsigned.not_stated) == (
        False, "no clause of the agreement is recorded for it",
    )  # fmt: skip
    stated = Terms(betterment=Provision(applies=True, clause=clause("5")))
    assert rests(GroundChoice(code="betterment"), of, stated) == Strength(True, ("clause 5",))
    cited = GroundChoice(code="betterment", clause="clause 6")
    assert rests(cited, of, stated) == Strength(True, ("clause 6",))
    # A fact that is lacking is no clause that is lacking.
    assert rests(GroundChoice(code="other_owner"), of) == Strength(False, (), "", None)

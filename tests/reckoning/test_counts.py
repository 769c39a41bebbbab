"""Counts over time: expected, back, missing, brackets, custody, serials, parts."""

from __future__ import annotations

from typing import Any

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement, PartCount
from ldapp.claim.kit import Part
from ldapp.claim.terms import CustodyEnd, CustodyStart, Terms
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.result import LineCounts, MixUp
from tests.reckoning.claims import REPLACEMENT, at, claim, count, line, missing


def counted(of: Claim, part: str | None = None) -> LineCounts:
    return next(c for c in reckon(of).counts if c.line == "k1" and c.part == part)


def ten(*counts: Count, **more: Any) -> LineCounts:
    return counted(claim(kit=[line(quantity=10)], counts=counts, **more))


def test_a_short_pickup_is_not_missing() -> None:
    found = ten(
        count("c1", "pickup", at(1), {"k1": 8}),
        count("c2", "return", at(9), {"k1": 7}),
    )
    assert (found.received, found.received_from) == (8, "pickup_count")
    assert found.short_at_pickup == 2
    assert (found.expected, found.back, found.missing, found.over) == (8, 7, 1, 0)


def test_without_a_pickup_count_the_list_stands() -> None:
    found = ten(count("c2", "return", at(9), {"k1": 7}))
    assert (found.received, found.received_from, found.short_at_pickup) == (10, "list", 0)
    assert found.missing == 3
    assert found.brackets[0].last_seen is None


def test_an_empty_cell_is_not_counted() -> None:
    found = ten(
        count("c1", "pickup", at(1), {"k1": None}), count("c2", "return", at(9), {"k1": None})
    )
    assert found.received_from == "list"
    assert (found.back, found.missing, found.over, found.back_from) == (None, None, None, "nothing")


def test_the_larger_of_return_count_and_check_in_is_back() -> None:
    found = ten(
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "return", at(9), {"k1": 9}),
        count("c3", "check_in", at(11), {"k1": 6}),
    )
    assert (found.back, found.missing, found.back_from) == (9, 1, "both_counts")
    assert found.missing_after_return == 3
    other = ten(count("c2", "return", at(9), {"k1": 6}), count("c3", "check_in", at(11), {"k1": 9}))
    assert (other.back, other.missing, other.missing_after_return) == (9, 1, 0)


def test_the_check_in_stands_in_for_a_return_count() -> None:
    found = ten(count("c3", "check_in", at(11), {"k1": 9}))
    assert (found.missing, found.back_from) == (1, "check_in")


def test_more_than_expected_is_over() -> None:
    found = ten(count("c2", "return", at(9), {"k1": 12}))
    assert (found.missing, found.over) == (0, 2)


def moved(kind: Any, units: int, day: int, **more: Any) -> Movement:
    return Movement(id=f"m-{kind}-{day}", kind=kind, line="k1", quantity=units, at=at(day), **more)


@pytest.mark.parametrize(
    ("movement", "expected"),
    [
        (moved("added", 2, 5), 12),
        (moved("returned_early", 2, 5), 8),
        (moved("used_up", 2, 5), 8),
        (moved("transferred", 2, 5), 8),
        (moved("exchanged", 2, 5), 10),
        (moved("exchanged", 2, 5, direction="in"), 12),
        (moved("exchanged", 2, 5, direction="out"), 8),
        # At or before the pickup count it is already in that count.
        (moved("added", 2, 1), 10),
        # At the very time of the return count it is in what was expected.
        (moved("added", 2, 9), 12),
        # After the return count it moves nothing that was counted.
        (moved("added", 2, 12), 10),
    ],
)
def test_movements_between_the_counts(movement: Movement, expected: int) -> None:
    found = ten(
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "return", at(9), {"k1": 8}),
        movements=(movement,),
    )
    assert found.expected == expected
    assert found.missing == max(0, expected - 8)


def test_early_returns_are_kept_for_the_answer() -> None:
    found = ten(
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "return", at(9), {"k1": 7}),
        movements=(moved("returned_early", 3, 5),),
    )
    assert (found.returned_early, found.missing) == (3, 0)


def test_each_missing_unit_has_its_own_bracket() -> None:
    # Shortages 0, 2, 1, 3: one unit went between counts 1 and 2, two between 3 and 4.
    found = ten(
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "during", at(3), {"k1": 8}),
        count("c3", "during", at(5), {"k1": 9}),
        count("c4", "return", at(9), {"k1": 7}),
    )
    spans = [(b.last_seen and b.last_seen.count, b.gone.count) for b in found.brackets]
    assert spans == [("c1", "c2"), ("c3", "c4"), ("c3", "c4")]


def test_a_count_that_skips_the_line_bounds_nothing() -> None:
    found = ten(
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "during", at(3), {}),
        count("c4", "return", at(9), {"k1": 9}),
    )
    (bracket,) = found.brackets
    assert (bracket.last_seen and bracket.last_seen.count, bracket.gone.count) == ("c1", "c4")


def test_counts_without_a_time_stand_by_their_stage() -> None:
    found = ten(
        count("c2", "return", None, {"k1": 9}),
        count("c1", "pickup", None, {"k1": 10}),
        movements=(moved("added", 1, 5),),
    )
    assert found.missing == 2
    (bracket, _) = found.brackets
    assert bracket.gone.at is None
    assert bracket.custody == "inside"


def serial_claim(back: tuple[str, ...], **more: Any) -> LineCounts:
    entries = (CountEntry(line="k1", quantity=len(back), serials_seen=back),)
    out = (CountEntry(line="k1", quantity=3, serials_seen=("A", "B", "C")),)
    return counted(
        claim(
            kit=[line(quantity=3, serials=("A", "B", "C"))],
            counts=(
                Count(id="c1", stage="pickup", at=at(1), entries=out),
                Count(
                    id="c2",
                    stage="during",
                    at=at(5),
                    entries=(CountEntry(line="k1", serials_seen=("A", "C")),),
                ),
                Count(id="c3", stage="return", at=at(9), entries=entries),
            ),
            **more,
        )
    )


def test_brackets_by_serial_number() -> None:
    found = serial_claim(("A",))
    assert found.missing_serials == ("B", "C")
    spans = {b.serial: (b.last_seen and b.last_seen.count, b.gone.count) for b in found.brackets}
    assert spans == {"B": ("c1", "c2"), "C": ("c2", "c3")}


def test_a_serial_that_was_not_sent_out_is_an_exchange() -> None:
    found = serial_claim(("A", "B", "X"))
    assert (found.missing, found.strange_serials, found.missing_serials) == (0, ("X",), ("C",))


def test_an_exchange_ticket_makes_the_new_serial_expected() -> None:
    ticket = Movement(
        id="m1",
        kind="exchanged",
        line="k1",
        quantity=1,
        at=at(6),
        serials_in=("X",),
        serials_out=("C",),
    )
    found = serial_claim(("A", "B", "X"), movements=(ticket,))
    assert (found.strange_serials, found.missing_serials) == ((), ())


def part_claim(parts_back: int, units_back: int) -> Claim:
    return claim(
        kit=[line(quantity=4, parts=(Part(id="arm", description="arm", per_unit=2),))],
        counts=(
            Count(
                id="c1",
                stage="pickup",
                at=at(1),
                entries=(
                    CountEntry(line="k1", quantity=4, parts=(PartCount(part="arm", quantity=8),)),
                ),
            ),
            Count(
                id="c2",
                stage="return",
                at=at(9),
                entries=(
                    CountEntry(
                        line="k1",
                        quantity=units_back,
                        parts=(
                            PartCount(part="arm", quantity=parts_back),
                            PartCount(part="none", quantity=None),
                        ),
                    ),
                ),
            ),
        ),
        movements=(
            moved("added", 1, 4),
            moved("returned_early", 1, 5, part="arm"),
            moved("returned_early", 9, 6, part="another"),
        ),
    )


def test_a_missing_part_is_counted_by_itself() -> None:
    # 4 units with 8 arms; one unit added with its two arms, one arm returned by itself.
    found = counted(part_claim(parts_back=7, units_back=5), "arm")
    assert (found.received, found.expected, found.missing) == (8, 9, 2)
    assert found.returned_early == 1


def test_a_part_that_was_not_counted_is_not_nought() -> None:
    parts = (PartCount(part="arm", quantity=None), PartCount(part="leg", quantity=3))
    kit = line(
        quantity=4,
        parts=(Part(id="arm", description="arm"), Part(id="leg", description="leg")),
    )
    entry = CountEntry(line="k1", quantity=4, parts=parts)
    of = claim(kit=[kit], counts=(Count(id="c1", stage="return", at=at(9), entries=(entry,)),))
    assert counted(of, "arm").missing is None
    assert counted(of, "leg").missing == 1


def test_counts_without_a_time_stand_in_the_order_of_the_job() -> None:
    found = ten(
        count("c1", "check_in", None, {"k1": 7}),
        count("c2", "return", None, {"k1": 8}),
        count("c3", "during", None, {"k1": 9}),
        count("c4", "pickup", None, {"k1": 10}),
    )
    assert [each.count for each in found.counted] == ["c4", "c3", "c2", "c1"]


def test_parts_of_a_missing_unit_are_gone_with_it() -> None:
    found = counted(part_claim(parts_back=7, units_back=4), "arm")
    assert found.missing == 0


def custody(last: int, gone: int, **agreement: Any) -> str:
    terms = agreement.pop("terms", Terms(valuation=REPLACEMENT))
    found = ten(
        count("c1", "pickup", at(last), {"k1": 10}),
        count("c2", "return", at(gone), {"k1": 9}),
        terms=terms,
        agreement=agreement,
    )
    return found.brackets[0].custody


def test_custody_of_a_bracket() -> None:
    assert custody(3, 9) == "inside"
    assert custody(3, 9, custody_began=at(3), custody_ended=at(9)) == "inside"
    assert custody(3, 9, custody_began=at(9)) == "before"
    assert custody(3, 9, custody_ended=at(3)) == "after"
    assert custody(3, 9, custody_began=at(4)) == "open"
    assert custody(3, 9, custody_ended=at(8)) == "open"


@pytest.mark.parametrize(
    ("event", "says"), [("handed_over", "inside"), ("check_in_complete", "inside")]
)
def test_custody_ends_with_the_count_that_marks_the_event(event: Any, says: str) -> None:
    terms = Terms(
        valuation=REPLACEMENT,
        custody_start=CustodyStart(event="left_premises"),
        custody_end=CustodyEnd(event=event),
    )
    assert custody(3, 9, terms=terms) == says


def test_a_loss_after_the_handing_over_is_outside_custody() -> None:
    terms = Terms(valuation=REPLACEMENT, custody_end=CustodyEnd(event="handed_over"))
    of = claim(
        kit=[line(quantity=10)],
        counts=(
            count("c1", "pickup", at(1), {"k1": 10}),
            count("c2", "return", at(9), {}),
            count("c3", "during", at(10), {"k1": 10}),
            count("c4", "check_in", at(12), {"k1": 8}),
        ),
        findings=[missing(units=2, occurrence=None)],
        terms=terms,
    )
    found = counted(of)
    assert found.outside_custody == 2
    result = reckon(of).findings[0]
    assert result.reckoned_quantity == 0
    assert result.owed == 0


def test_a_shortage_beside_a_surplus_in_a_sister_line_is_proposed_as_a_mix_up() -> None:
    kit = [
        line("k1", description="Stinger 25 ft", quantity=5),
        line("k2", description="Stinger 50 ft", quantity=5),
        line("k3", description="Flag", quantity=5),
    ]
    of = claim(kit=kit, counts=(count("c2", "return", at(9), {"k1": 3, "k2": 6, "k3": 4}),))
    found = reckon(of)
    assert found.mix_ups == (MixUp(short_line="k1", over_line="k2", units=1),)
    assert counted(of).missing == 2
    assert any(o.code == "sister_line" for o in found.observations)


def test_a_later_pickup_count_replaces_an_earlier_one() -> None:
    found = ten(
        count("c1", "pickup", at(1), {"k1": 10}),
        count("c2", "pickup", at(2), {"k1": 9}),
        count("c3", "return", at(9), {"k1": 9}),
    )
    assert (found.received, found.missing, found.pickup_count) == (9, 0, "c2")


def test_an_entry_may_have_a_time_of_its_own() -> None:
    entry = CountEntry(line="k1", quantity=9, at=at(9, 18))
    late = Count(id="c2", stage="return", at=at(9), entries=(entry,))
    found = ten(count("c1", "pickup", at(1), {"k1": 10}), late)
    assert found.brackets[0].gone.at == at(9, 18)
    assert found.missing == 1

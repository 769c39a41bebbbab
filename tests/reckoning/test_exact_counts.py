"""Counts over time and what is taken from them for a finding, figure by figure."""

from __future__ import annotations

import dataclasses
import datetime as dt
from typing import Any

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement, PartCount, Stage
from ldapp.claim.findings import Repair
from ldapp.claim.kit import Part
from ldapp.claim.terms import (
    BurnOutTerm,
    ClosingCount,
    CustodyEnd,
    Liability,
    Terms,
)
from ldapp.reckoning.counts import count_lines, sister_key
from ldapp.reckoning.custody import custody_window
from ldapp.reckoning.findings import Reckoned, reckon_findings
from ldapp.reckoning.index import ClaimIndex
from ldapp.reckoning.result import Bracket, LineCounts
from tests.reckoning.claims import (
    CLAUSE,
    REPLACEMENT,
    at,
    claim,
    count,
    damaged,
    event,
    line,
    missing,
    step_named,
)


def counted(of: Claim, part: str | None = None) -> LineCounts:
    return count_lines(ClaimIndex(of))["k1", part]


def told(bracket: Bracket) -> tuple[str | None, str | None, str]:
    seen = bracket.last_seen
    return bracket.serial, None if seen is None else seen.count, bracket.gone.count


def read(
    identity: str, stage: Stage, day: int, *serials: str, quantity: int | None = None
) -> Count:
    entry = CountEntry(line="k1", quantity=quantity, serials_seen=serials)
    return dataclasses.replace(count(identity, stage, at(day), {}), entries=(entry,))


def moved(day: int, kind: Any = "exchanged", units: int = 1, **more: Any) -> Movement:
    return Movement(
        id=f"m{day}{more.get('part', '')}", kind=kind, line="k1", quantity=units, at=at(day), **more
    )


THREE = [line(price="100", quantity=3, serials=("A", "B", "C"))]


# --- serial numbers ---------------------------------------------------------------------------


def test_serials_that_were_read_stand_for_a_number() -> None:
    found = counted(
        claim(
            kit=THREE,
            counts=[
                read("p", "pickup", 1, "A", "B", "C"),
                # Not counted at all, then counted again.
                count("d", "during", at(3), {"k1": None}),
                read("e", "during", 5, "A", "C"),
                read("r", "return", 9, "A"),
            ],
        )
    )
    assert [(one.count, one.expected, one.counted) for one in found.counted] == [
        ("p", 3, 3), ("e", 3, 2), ("r", 3, 1),
    ]  # fmt: skip
    assert (found.missing, found.missing_serials, found.strange_serials) == (2, ("B", "C"), ())
    assert [told(one) for one in found.brackets] == [("B", "p", "e"), ("C", "e", "r")]


def test_the_pickup_count_says_which_serials_went_out() -> None:
    found = counted(
        claim(
            kit=THREE,
            counts=[read("p", "pickup", 1, "A", "B", "X"), read("r", "return", 9, "X", "C")],
        )
    )
    assert (found.received, found.missing) == (3, 1)
    assert (found.missing_serials, found.strange_serials) == (("A", "B"), ("C",))
    # Without a pickup count the list says it.
    listed = counted(claim(kit=THREE, counts=[read("r", "return", 9, "B", "X")]))
    assert (listed.missing_serials, listed.strange_serials) == (("A", "C"), ("X",))
    # Where nobody wrote serials down, none is strange.
    unnamed = [line(price="100", quantity=3)]
    plain = counted(claim(kit=unnamed, counts=[read("r", "return", 9, "B", "X")]))
    assert (plain.missing_serials, plain.strange_serials) == ((), ())
    unread = counted(claim(kit=THREE, counts=[count("r", "return", at(9), {"k1": 2})]))
    assert (unread.missing, unread.missing_serials, unread.strange_serials) == (1, (), ())


def test_exchanges_change_the_serials_that_should_come_back() -> None:
    of = claim(
        kit=THREE,
        counts=[read("p", "pickup", 2, "A", "B", "C"), read("r", "return", 9, "D", "C")],
        movements=(
            # Before and at the pickup: already in that count.
            moved(1, serials_in=("Y",), serials_out=("A",)),
            moved(2, serials_in=("Z",), serials_out=("C",)),
            moved(5, serials_in=("D",), serials_out=("B", "never there")),
        ),
    )
    found = counted(of)
    assert (found.missing, found.missing_serials, found.strange_serials) == (1, ("A",), ())
    assert [told(one) for one in found.brackets] == [("A", "p", "r")]
    no_pickup = dataclasses.replace(of, counts=of.counts[1:])
    assert counted(no_pickup).missing_serials == ("Y", "Z")
    undated = dataclasses.replace(of.counts[0], at=None)
    assert counted(dataclasses.replace(of, counts=(undated, of.counts[1]))).missing_serials == (
        "Y", "Z",
    )  # fmt: skip


def test_a_serial_is_looked_for_only_where_serials_were_read() -> None:
    found = counted(
        claim(
            kit=THREE,
            counts=[
                read("p", "pickup", 1, "A", "B", "C"),
                count("d", "during", at(4), {"k1": 2}),
                read("r", "return", 9, "A", "B"),
            ],
        )
    )
    # The count of the 4th read no serial number.
    assert [told(one) for one in found.brackets] == [("C", "p", "r")]


# --- counts in time ---------------------------------------------------------------------------


def test_what_stands_before_the_pickup_count_does_not_count() -> None:
    found = counted(
        claim(
            kit=[line(price="100", quantity=5)],
            counts=[
                count("b", "during", at(1), {"k1": 2}),
                count("p", "pickup", at(2), {"k1": 4}),
                count("r", "return", at(9), {"k1": 3}),
                count("l", "during", at(10), {"k1": 1}),
            ],
        )
    )
    assert [one.count for one in found.counted] == ["p", "r", "l"]
    assert (found.received, found.short_at_pickup, found.missing) == (4, 1, 1)
    assert [told(one) for one in found.brackets] == [(None, "p", "r")]
    assert (found.pickup_count, found.return_count, found.check_in_count) == ("p", "r", None)


def test_without_a_closing_count_nothing_is_said_of_the_return() -> None:
    only = counted(
        claim(kit=[line(quantity=5)], counts=[count("d", "during", at(3), {"k1": 4})],
              movements=(moved(6, "added", 2),))
    )  # fmt: skip
    assert (only.missing, only.over, only.back, only.back_from) == (None, None, None, "nothing")
    assert (only.received_from, only.short_at_pickup, only.expected) == ("list", 0, 7)
    assert only.missing_after_return == 0
    assert not only.closing_disagree
    assert counted(claim(kit=[line(quantity=5)])).brackets == ()


@pytest.mark.parametrize(
    ("rule", "acknowledged", "missing_units", "back", "after"),
    [
        (None, "one_side", 1, 9, 2),
        ("joint", "one_side", 1, 9, 2),
        ("lessor_controls", "one_side", 3, 7, 0),
        ("lessor_controls", "signed_by_both", 1, 9, 2),
    ],
)
def test_whose_closing_count_is_followed(
    rule: Any, acknowledged: str, missing_units: int, back: int, after: int
) -> None:
    term = None if rule is None else ClosingCount(rule=rule, clause=CLAUSE)
    of = claim(
        kit=[line(price="100", quantity=10)],
        terms=Terms(valuation=REPLACEMENT, closing_count=term),
        counts=[
            count("r", "return", at(9), {"k1": 9}, acknowledged),
            count("c", "check_in", at(11), {"k1": 7}),
        ],
        findings=[missing(units=5)],
        occurrences=[event()],
    )
    found = counted(of)
    assert (found.missing, found.back, found.missing_after_return) == (missing_units, back, after)
    assert found.closing_disagree
    assert found.back_from == ("check_in" if back == 7 else "both_counts")
    step = step_named(reckoned(of).working, "Units")
    words = {one.name: one.value for one in step.inputs}
    assert words["by the counts"] == str(missing_units)
    if rule is None:
        assert "closing count" not in words
        assert step.clause is None
        assert step.not_stated == (
            "closing count not stated in the agreement, taken as the larger of both counts"
        )
    else:
        assert (
            words["closing count"]
            == {
                "joint": "joint; the larger of both counts",
                "lessor_controls": "the rental company's own count decides",
            }[rule]
        )
        assert (step.clause, step.not_stated) == (CLAUSE, "")


# --- parts ------------------------------------------------------------------------------------

ARM = Part(id="arm", description="Arm", per_unit=2)


def stand(
    identity: str, stage: Stage, day: int, units: int, arms: int | None, hour: int = 12
) -> Count:
    entry = CountEntry(
        line="k1",
        quantity=units,
        parts=(PartCount(part="other", quantity=0), PartCount(part="arm", quantity=arms)),
        at=None if hour == 12 else at(day, hour),
    )
    return dataclasses.replace(count(identity, stage, at(day), {}), entries=(entry,))


def test_parts_of_a_missing_unit_are_no_shortage_of_their_own() -> None:
    of = claim(
        kit=[line(quantity=4, parts=(ARM, Part(id="other", description="Other")))],
        counts=[
            stand("p", "pickup", 1, 4, 8),
            stand("d", "during", 3, 4, None),
            # Two of four stands are gone with their four arms; one arm more.
            stand("r", "return", 9, 2, 3, 15),
        ],
    )
    arms = counted(of, "arm")
    assert (arms.listed, arms.received, arms.expected, arms.missing) == (8, 8, 8, 1)
    assert [(one.count, one.expected, one.counted) for one in arms.counted] == [
        ("p", 8, 8), ("r", 8, 7),
    ]  # fmt: skip
    (bracket,) = arms.brackets
    assert (told(bracket), bracket.gone.at) == ((None, "p", "r"), at(9, 15))
    assert bracket.last_seen is not None
    assert bracket.last_seen.at == at(1)
    assert arms.missing_serials == ()
    # More stands than expected bring no arms with them.
    more = dataclasses.replace(of, counts=(of.counts[0], stand("r", "return", 9, 5, 7)))
    assert counted(more, "arm").missing == 1


def test_a_part_counted_before_the_pickup_stands_for_itself() -> None:
    of = claim(
        kit=[line(quantity=4, parts=(ARM,))],
        counts=[
            stand("b", "during", 1, 4, 5),
            count("p", "pickup", at(2), {"k1": 4}),
            stand("r", "return", 9, 4, 8),
        ],
    )
    arms = counted(of, "arm")
    assert [(one.count, one.counted) for one in arms.counted] == [("b", 5), ("r", 8)]


def test_movements_of_units_and_of_parts_move_the_parts() -> None:
    of = claim(
        kit=[line(quantity=4, parts=(ARM,))],
        counts=[stand("p", "pickup", 1, 4, 8), stand("r", "return", 9, 3, 4)],
        movements=(
            moved(3, "returned_early", 1),
            moved(4, "returned_early", 1, part="arm"),
            moved(5, "used_up", 1, part="other"),
        ),
    )
    arms = counted(of, "arm")
    assert (arms.expected, arms.returned_early, arms.missing) == (5, 3, 1)
    whole = counted(of)
    assert (whole.expected, whole.returned_early, whole.missing) == (3, 1, 0)


# --- findings ---------------------------------------------------------------------------------


def reckoned(of: Claim, finding: str = "f1") -> Reckoned:
    index = ClaimIndex(of)
    return reckon_findings(index, count_lines(index))[finding]


LATE: dict[str, Any] = {"agreement": {"ends": at(20, 23)}, "zone": "Asia/Tokyo"}


def test_the_day_of_a_loss_that_nobody_dated() -> None:
    hurt = damaged(occurrence=None)
    closed = claim(
        kit=[line(price="100")], findings=[hurt],
        counts=[count("r", "return", at(9, 22), {"k1": 1})], **LATE,
    )  # fmt: skip
    # 22 h in UTC is the next day in Tokyo.
    date = reckoned(closed).date
    assert (date.known_from, date.at, date.day) == ("last_count", at(9, 22), dt.date(2026, 3, 10))
    open_ = reckoned(dataclasses.replace(closed, counts=())).date
    assert (open_.known_from, open_.at, open_.day) == (
        "rental_end", at(20, 23), dt.date(2026, 3, 21),
    )  # fmt: skip
    gone = claim(
        kit=[line(price="100")], findings=[missing(occurrence=None)],
        counts=[count("r", "return", at(9, 22), {"k1": 0})], **LATE,
    )  # fmt: skip
    found = reckoned(gone).date
    assert (found.known_from, found.at, found.day) == ("bracket", at(9, 22), dt.date(2026, 3, 10))


def test_brackets_go_to_the_finding_whose_event_lies_in_them() -> None:
    counts = [
        count("p", "pickup", at(1), {"k1": 3}),
        count("d", "during", at(4), {"k1": 2}),
        count("r", "return", at(9), {"k1": 1}),
    ]
    of = claim(
        kit=[line(price="100", quantity=3)],
        findings=[missing("f1", occurrence="o1"), missing("f2", occurrence="o2")],
        occurrences=[event("o1", dt.date(2026, 3, 6)), event("o2", dt.date(2026, 3, 2))],
        counts=counts,
    )
    assert [told(one) for one in reckoned(of, "f1").brackets] == [(None, "d", "r")]
    assert [told(one) for one in reckoned(of, "f2").brackets] == [(None, "p", "d")]
    # One without an event takes what is left over.
    free = dataclasses.replace(
        of, findings=(missing("f0", occurrence=None), missing("f2", occurrence="o1"))
    )
    assert [told(one) for one in reckoned(free, "f0").brackets] == [(None, "p", "d")]
    assert [told(one) for one in reckoned(free, "f2").brackets] == [(None, "d", "r")]


@pytest.mark.parametrize(("day", "side"), [(2, "before"), (15, "after")])
def test_units_lost_outside_custody_are_not_the_renters(day: int, side: str) -> None:
    custody = {"custody_began": at(5), "custody_ended": at(10)}
    counts = [
        count("p", "pickup", at(1), {"k1": 3}),
        count("d", "during", at(5), {"k1": 2 if side == "before" else 3}),
        count("e", "during", at(10), {"k1": 2 if side == "before" else 3}),
        count("r", "return", at(20), {"k1": 2}),
    ]
    dated = claim(
        kit=[line(price="100", quantity=3)],
        findings=[missing(units=2, occurrence="o1")],
        occurrences=[event(day=dt.date(2026, 3, day))],
        agreement=custody,
    )
    found = reckoned(dated)
    assert (found.quantity, found.outside, found.custody_open) == (0, 2, False)
    of = claim(
        kit=[line(price="100", quantity=3)],
        findings=[missing(units=2, occurrence=None)],
        counts=counts,
        agreement=custody,
    )
    undated = reckoned(of)
    assert (undated.quantity, undated.outside, undated.custody_open) == (0, 1, False)
    step = step_named(undated.working, "Units")
    assert step.result == "0"
    assert [(one.name, one.value) for one in step.inputs] == [
        ("as found", "2"), ("by the counts", "1"), ("outside custody", "1"),
    ]  # fmt: skip


def test_the_end_of_custody_is_the_count_that_the_term_names() -> None:
    index = ClaimIndex(
        claim(
            counts=[count("r", "return", at(9), {}), count("c", "check_in", at(11), {}),
                    count("x", "check_in", at(13), {}, agreements=("b",))],
            terms=Terms(custody_end=CustodyEnd(event="check_in_complete")),
        )
    )  # fmt: skip
    agreement = index.claim.agreements[0]
    assert custody_window(agreement, index.ordered_counts).ends == at(11)
    handed = dataclasses.replace(
        agreement, terms=Terms(custody_end=CustodyEnd(event="handed_over"))
    )
    assert custody_window(handed, index.ordered_counts).ends == at(9)
    named = dataclasses.replace(index.ordered_counts[1], agreements=("a",))
    assert custody_window(agreement, [named]).ends == at(11)


# --- what the terms excuse --------------------------------------------------------------------

MENDED = Repair(document="d")


@pytest.mark.parametrize(
    ("rule", "days", "short", "excused"),
    [
        (None, 5, None, "used_up"),
        ("free_if_returned", 5, None, "used_up"),
        ("free_on_short_rental", 5, 5, "used_up"),
        ("free_on_short_rental", 6, 5, None),
        ("free_on_short_rental", 0, None, None),
    ],
)
def test_a_burned_out_lamp_is_used_up(
    rule: Any, days: int, short: int | None, excused: str | None
) -> None:
    term = rule and BurnOutTerm(rule=rule, short_rental_days=short, clause=CLAUSE)
    of = claim(
        kit=[line(price="80")],
        findings=[damaged(repair=MENDED, cause="burn_out", occurrence=None)],
        terms=Terms(valuation=REPLACEMENT, burn_outs=term),
        agreement={"starts": at(10), "ends": at(10 + days)},
    )
    found = reckoned(of)
    assert found.excused == excused
    assert (found.quantity, found.outside) == (0 if excused else 1, 0)


@pytest.mark.parametrize(
    ("rule", "fault", "excused", "presumed"),
    [
        ("fault_only", False, "not_liable", False),
        ("fault_only", True, None, False),
        ("fault_only", None, None, True),
        ("waived_perils", None, "not_liable", False),
        ("any_cause", False, None, False),
        (None, False, None, False),
    ],
)
def test_for_what_the_renter_does_not_answer(
    rule: Any, fault: bool | None, excused: str | None, presumed: bool
) -> None:
    term = rule and Liability(rule=rule, perils=("theft",), clause=CLAUSE)
    of = claim(
        kit=[line(price="80")],
        findings=[missing()],
        occurrences=[event(our_fault=fault)],
        terms=Terms(valuation=REPLACEMENT, liability=term),
    )
    found = reckoned(of)
    assert (found.excused, found.presumed) == (excused, presumed)
    step = step_named(found.working, "Units")
    assert step.clause == (CLAUSE if excused or presumed else None)
    unsaid = "liability not stated in the agreement, taken as for any cause"
    assert step.not_stated == (unsaid if rule is None else "")


def test_two_things_that_are_not_stated_are_said_one_after_the_other() -> None:
    of = claim(
        kit=[line(price="80", quantity=3)],
        findings=[missing()],
        occurrences=[event(our_fault=False)],
        counts=[
            count("r", "return", at(9), {"k1": 2}),
            count("c", "check_in", at(11), {"k1": 1}),
        ],
    )
    assert step_named(reckoned(of).working, "Units").not_stated == (
        "closing count not stated in the agreement, taken as the larger of both counts; "
        "liability not stated in the agreement, taken as for any cause"
    )
    # The counts of the line say nothing of damage to it.
    hurt = dataclasses.replace(of, findings=(damaged(),))
    assert step_named(reckoned(hurt).working, "Units").not_stated == (
        "liability not stated in the agreement, taken as for any cause"
    )


# --- sister lines -----------------------------------------------------------------------------


def test_lines_are_sisters_where_only_figures_and_sizes_differ() -> None:
    def key(description: str, agreement: str = "a") -> tuple[str, str]:
        return sister_key(line(description=description, agreement=agreement))

    assert key("Frame 4 FT silk") == key("frame 6 ft Silk") == ("a", "frame silk")
    assert key("Frame small") == key("Frame LARGE")
    assert key("Frame silk") != key("Frame net")
    assert key("Frame silk", "b") == ("b", "frame silk")
    assert key("2x4 Flag") == ("a", "flag")

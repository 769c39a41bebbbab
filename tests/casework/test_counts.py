from __future__ import annotations

import dataclasses
import datetime as dt

import pytest

from ldapp.casework import counts
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.weak_points import find_weak_points
from ldapp.claim.counts import Signature
from ldapp.claim.signed_counts import changed_words
from ldapp.errors import LdappError

AT = dt.datetime(2026, 3, 2, 7, 30, tzinfo=dt.timezone(dt.timedelta(hours=-7)))


def ids(desk: OpenClaim) -> dict[str, str]:
    return {line.number: line.id for line in desk.claim.kit}


def test_an_empty_cell_is_not_counted_and_never_nought(stocked: OpenClaim) -> None:
    count = counts.add_count(stocked, "pickup", AT)
    line = ids(stocked)["1"]
    assert counts.entry_of(stocked.claim.counts[0], line).quantity is None
    counts.enter_quantity(stocked, count.id, line, 0)
    assert counts.entry_of(stocked.claim.counts[0], line).quantity == 0
    counts.enter_quantity(stocked, count.id, line, None)
    assert counts.entry_of(stocked.claim.counts[0], line).quantity is None


def test_a_number_below_nought_is_refused(stocked: OpenClaim) -> None:
    count = counts.add_count(stocked, "pickup", AT)
    with pytest.raises(LdappError, match="below 0"):
        counts.enter_quantity(stocked, count.id, ids(stocked)["1"], -1)


def test_the_rest_of_a_cart_leaves_what_was_counted(stocked: OpenClaim) -> None:
    count = counts.add_count(stocked, "return", AT)
    line = ids(stocked)
    counts.enter_quantity(stocked, count.id, line["1"], 10)
    cart = [one.id for one in stocked.claim.kit if one.location == "Cart A"]
    counts.rest_as_expected(stocked, count.id, cart, {line["1"]: 12, line["2"]: 2, line["3"]: 20})
    entries = {entry.line: entry.quantity for entry in stocked.claim.counts[0].entries}
    assert entries == {line["1"]: 10, line["3"]: 20}


def test_the_rest_as_expected_says_nothing_of_its_condition(stocked: OpenClaim) -> None:
    count = counts.add_count(stocked, "pickup", AT)
    line = ids(stocked)
    counts.enter_condition(stocked, count.id, line["1"], "damaged", "one leg bent")
    counts.rest_as_expected(stocked, count.id, list(line.values()), {line["1"]: 12, line["3"]: 20})
    entries = {entry.line: entry for entry in stocked.claim.counts[0].entries}
    assert entries[line["1"]].quantity == 12
    assert entries[line["1"]].condition == "damaged"
    assert entries[line["3"]].condition == "not_looked_at"


def test_a_blind_count_does_not_take_the_expected_number(stocked: OpenClaim) -> None:
    count = counts.add_count(stocked, "return", AT, blind=True)
    with pytest.raises(LdappError, match="blind"):
        counts.rest_as_expected(stocked, count.id, list(ids(stocked).values()), {})


def test_counting_goes_in_the_order_of_the_truck(stocked: OpenClaim) -> None:
    assert [line.number for line in counts.in_counting_order(stocked.claim)] == ["1", "3", "2"]


def test_both_signatures_acknowledge_the_count(stocked: OpenClaim) -> None:
    count = counts.add_count(stocked, "return", AT)
    counts.sign(stocked, count.id, (Signature(name="Ada", side="ours", at=AT),))
    assert stocked.claim.counts[0].acknowledgement == "one_side"
    counts.sign(
        stocked,
        count.id,
        (
            Signature(name="Ada", side="ours", at=AT),
            Signature(name="Ben", side="theirs", at=AT),
        ),
    )
    assert stocked.claim.counts[0].acknowledgement == "signed_by_both"
    assert stocked.claim.counts[0].acknowledged_by == "Ben"


def test_a_pasted_column_is_one_change(stocked: OpenClaim) -> None:
    count = counts.add_count(stocked, "pickup", AT)
    before = len(stocked.outline())
    counts.enter_quantities(stocked, count.id, dict.fromkeys(ids(stocked).values(), 4))
    assert len(stocked.outline()) == before + 1
    stocked.undo()
    assert stocked.claim.counts[0].entries == ()


def test_the_offset_said_at_the_count_is_kept(stocked: OpenClaim) -> None:
    counts.add_count(stocked, "pickup")
    at = stocked.claim.counts[0].at
    assert at is not None
    assert at.utcoffset() in (dt.timedelta(hours=-7), dt.timedelta(hours=-6))


# --- a signed count ---------------------------------------------------------------------------

BOTH = (
    Signature(name="Ada", side="ours", at=AT, strokes=(((0.1, 0.2), (0.5, 0.6)),)),
    Signature(name="Ben", side="theirs", at=AT, strokes=(((0.2, 0.2), (0.7, 0.6)),)),
)


@pytest.fixture
def signed(stocked: OpenClaim) -> OpenClaim:
    """A return count of all three lines, signed by both."""
    count = counts.add_count(stocked, "return", AT)
    counts.enter_quantities(stocked, count.id, dict.fromkeys(ids(stocked).values(), 2))
    counts.sign(stocked, count.id, BOTH)
    return stocked


def says(desk: OpenClaim) -> str:
    return changed_words(desk.claim.counts[0], desk.claim.kit)


def test_a_signed_count_that_is_left_alone_says_nothing(signed: OpenClaim) -> None:
    assert says(signed) == ""
    count = signed.claim.counts[0]
    assert all(one.signed is not None for one in count.signatures)
    counts.enter_quantity(signed, count.id, ids(signed)["1"], 2)
    counts.put_count(signed, dataclasses.replace(count, note="for the desk", place="Dock 3"))
    assert says(signed) == ""


def test_the_first_change_after_signing_is_refused_until_it_is_wanted(signed: OpenClaim) -> None:
    count, line = signed.claim.counts[0].id, ids(signed)
    changes = (
        lambda **how: counts.enter_quantity(signed, count, line["1"], 1, **how),
        lambda **how: counts.enter_quantities(signed, count, {line["1"]: 1, line["3"]: 2}, **how),
        lambda **how: counts.enter_condition(signed, count, line["1"], "damaged", **how),
        lambda **how: counts.enter_serials_seen(signed, count, line["1"], ("PX-1",), **how),
        lambda **how: counts.enter_parts(signed, count, line["1"], {"arm": 1}, **how),
        lambda **how: counts.put_count(
            signed,
            dataclasses.replace(signed.claim.counts[0], at=AT + dt.timedelta(hours=1)),
            **how,
        ),
    )
    for change in changes:
        before = signed.claim
        with pytest.raises(counts.SignedByBothError, match="Both have signed this count"):
            change()
        assert signed.claim is before
        assert change(although_signed=True)
        assert says(signed) != ""
        signed.undo()
        assert says(signed) == ""


def test_the_lines_that_were_changed_are_named(signed: OpenClaim) -> None:
    count, line = signed.claim.counts[0].id, ids(signed)
    counts.enter_quantity(signed, count, line["3"], 1, although_signed=True)
    assert says(signed) == "changed after signing: line 3"
    counts.enter_condition(signed, count, line["1"], "damaged")  # asked once
    assert says(signed) == "changed after signing: lines 1, 3"
    signed.undo()
    signed.undo()
    assert says(signed) == ""


def test_a_changed_time_bears_on_every_line(signed: OpenClaim) -> None:
    count = signed.claim.counts[0]
    later = dataclasses.replace(count, at=AT + dt.timedelta(hours=1))
    counts.put_count(signed, later, although_signed=True)
    assert says(signed) == "changed after signing: its stage or its times"
    same_moment = dataclasses.replace(count, at=AT.astimezone(dt.UTC))
    counts.put_count(signed, same_moment)
    assert says(signed) == ""


def test_what_was_not_counted_when_signed_is_a_change_when_it_is_counted(
    stocked: OpenClaim,
) -> None:
    count, line = counts.add_count(stocked, "return", AT).id, ids(stocked)
    counts.enter_quantity(stocked, count, line["1"], 12)
    counts.sign(stocked, count, BOTH)
    counts.enter_quantity(stocked, count, line["2"], 2, although_signed=True)
    assert says(stocked) == "changed after signing: line 2"
    counts.enter_quantity(stocked, count, line["2"], None)
    assert says(stocked) == ""


def test_a_signature_that_is_there_stays_as_it_was_given(signed: OpenClaim) -> None:
    count, line = signed.claim.counts[0].id, ids(signed)
    ours, theirs = signed.claim.counts[0].signatures
    counts.enter_quantity(signed, count, line["1"], 1, although_signed=True)
    later = AT + dt.timedelta(hours=2)
    again = tuple(dataclasses.replace(one, at=later) for one in BOTH)
    new = dataclasses.replace(again[1], strokes=(((0.3, 0.3), (0.9, 0.9)),))
    counts.sign(signed, count, (again[0], new))
    assert signed.claim.counts[0].signatures[0] == ours
    assert signed.claim.counts[0].signatures[1].signed != theirs.signed
    assert says(signed) == "changed after signing: line 1", "one side has not signed it anew"
    fresh = dataclasses.replace(again[0], strokes=(((0.4, 0.3), (0.9, 0.9)),))
    counts.sign(signed, count, (fresh, new))
    assert says(signed) == ""


def test_of_signatures_without_a_hash_nothing_is_said(signed: OpenClaim) -> None:
    count = signed.claim.counts[0]
    counts.put_count(signed, dataclasses.replace(count, signatures=BOTH))
    counts.enter_quantity(signed, count.id, ids(signed)["1"], 1)
    assert says(signed) == ""


def test_a_count_changed_after_signing_is_a_grave_weak_point(signed: OpenClaim) -> None:
    def codes() -> dict[str, str]:
        points = find_weak_points(signed.claim, None, {}, AT.date())
        return {one.says: one.gravity for one in points if "signing" in one.says}

    assert codes() == {}
    count = signed.claim.counts[0].id
    counts.enter_quantity(signed, count, ids(signed)["1"], 1, although_signed=True)
    assert codes() == {"The return count was changed after signing: line 1.": "grave"}

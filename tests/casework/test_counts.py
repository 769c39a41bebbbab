from __future__ import annotations

import datetime as dt

import pytest

from ldapp.casework import counts
from ldapp.casework.open_claim import OpenClaim
from ldapp.claim.counts import Signature
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

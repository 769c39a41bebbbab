"""A claim's difference, applied, is the other claim; swapped, it is the first one again."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ldapp.claim.agreement import Policy
from ldapp.claim.changes import apply_changes, difference, inverse
from ldapp.claim.charges import Charge, GroundChoice, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.kit import KitLine
from ldapp.claim.orders import changed_kind
from ldapp.claim.parties import Party
from ldapp.errors import ConflictError


def claim_of(**fields: object) -> Claim:
    return dataclasses.replace(
        Claim(id="c", reference="R-1", currency="USD", zone="America/Denver"), **fields
    )


def line(key: str, quantity: int = 1) -> KitLine:
    return KitLine(id=key, number=key, agreement="a", description=f"Line {key}", quantity=quantity)


keys = st.lists(st.sampled_from("abcdefgh"), unique=True)


@st.composite
def claims(draw: st.DrawFn) -> Claim:
    lines = draw(keys)
    counts = tuple(
        Count(
            id=f"n{key}",
            stage="pickup",
            at=draw(
                st.sampled_from([None, dt.datetime(2026, 3, 2, 7, tzinfo=dt.timezone.utc)])  # noqa: UP017
            ),
            entries=tuple(
                CountEntry(line=one, quantity=draw(st.none() | st.integers(0, 9)))
                for one in draw(keys)
            ),
        )
        for key in draw(keys)
    )
    invoices = tuple(
        Invoice(
            id=f"i{key}",
            agreement="a",
            number=key,
            dated=dt.date(2026, 3, 9),
            charges=tuple(
                Charge(
                    id=f"i{key}{one}",
                    number=one,
                    description=one,
                    amount=Decimal(draw(st.integers(0, 99999))) / 100,
                    grounds=draw(st.sampled_from([(), (GroundChoice(code="returned", on=False),)])),
                )
                for one in draw(keys)
            ),
        )
        for key in draw(keys)
    )
    return claim_of(
        title=draw(st.text(max_size=5)),
        policy=draw(st.sampled_from([None, Policy(id="p", insurer="x", number="7")])),
        kit=tuple(line(key, draw(st.integers(0, 3))) for key in lines),
        counts=counts,
        invoices=invoices,
        parties=tuple(Party(id=key, role="crew", name=draw(st.text(max_size=3))) for key in "xy"),
    )


@settings(deadline=None)  # the first run builds the readers of every record
@given(claims(), claims())
def test_applied_difference_holds_the_same_records(old: Claim, new: Claim) -> None:
    changes = difference(old, new)
    made = apply_changes(old, changes)
    assert made == new
    assert apply_changes(made, inverse(changes)) == old


@given(keys, st.data())
def test_undone_removal_puts_members_back_in_their_places(order: list[str], data: object) -> None:
    assert isinstance(data, st.DataObject)
    old = claim_of(kit=tuple(line(key) for key in order))
    gone = data.draw(st.sets(st.sampled_from(order or ["z"])))
    new = dataclasses.replace(old, kit=tuple(one for one in old.kit if one.id not in gone))
    changes = difference(old, new)
    assert apply_changes(new, inverse(changes)) == old


def test_entering_one_number_is_one_change() -> None:
    entries = tuple(CountEntry(line=key, quantity=1) for key in "abc")
    old = claim_of(counts=(Count(id="n", stage="return", entries=entries),))
    changed = (entries[0], dataclasses.replace(entries[1], quantity=5), entries[2])
    new = claim_of(counts=(Count(id="n", stage="return", entries=changed),))
    (change,) = difference(old, new)
    assert change.kind == "count_entry"
    assert (change.before or {})["quantity"] == 1
    assert (change.after or {})["quantity"] == 5


def test_equal_claims_have_no_difference() -> None:
    assert difference(claim_of(kit=(line("a"),)), claim_of(kit=(line("a"),))) == ()


def test_a_change_on_another_value_is_refused() -> None:
    old = claim_of(kit=(line("a", 1),))
    changes = difference(old, claim_of(kit=(line("a", 2),)))
    with pytest.raises(ConflictError, match="changed since"):
        apply_changes(claim_of(kit=(line("a", 3),)), changes)


def test_a_child_of_a_removed_parent_is_refused() -> None:
    old = claim_of(counts=(Count(id="n", stage="return", entries=(CountEntry(line="a"),)),))
    new = claim_of(
        counts=(Count(id="n", stage="return", entries=(CountEntry(line="a", quantity=1),)),)
    )
    changes = difference(old, new)
    with pytest.raises(ConflictError, match="removed since"):
        apply_changes(claim_of(), inverse(changes))


def counted(*keys: str) -> Claim:
    entries = tuple(CountEntry(line=key, quantity=1) for key in keys)
    return claim_of(counts=(Count(id="n", stage="return", entries=entries),))


def test_members_that_only_changed_places_are_one_change() -> None:
    old, new = (claim_of(kit=tuple(line(key) for key in order)) for order in ("abc", "cab"))
    (change,) = difference(old, new)
    assert (change.kind, change.key) == ("order", "kit_line")
    assert (change.before, change.after) == ({"keys": ["a", "b", "c"]}, {"keys": ["c", "a", "b"]})
    assert changed_kind(change) == "kit_line"
    assert apply_changes(old, (change,)) == new
    assert apply_changes(new, inverse((change,))) == old


def test_children_that_changed_places_name_their_parent() -> None:
    old, new = counted("a", "b"), counted("b", "a")
    (change,) = difference(old, new)
    assert (changed_kind(change), change.key) == ("count_entry", "count_entry\x1fn")
    assert apply_changes(old, (change,)) == new
    with pytest.raises(ConflictError, match="removed since"):
        apply_changes(claim_of(), (change,))


def test_coming_and_going_alone_is_no_change_of_order() -> None:
    old, new = (claim_of(kit=tuple(line(key) for key in order)) for order in ("abc", "xacy"))
    assert "order" not in {change.kind for change in difference(old, new)}
    assert difference(counted("a", "b"), counted("b"))[0].kind == "count_entry"


def test_an_order_is_not_put_back_over_later_work() -> None:
    old, new = (claim_of(kit=tuple(line(key) for key in order)) for order in ("abc", "cab"))
    back = inverse(difference(old, new))
    later = dataclasses.replace(new, kit=(*new.kit, line("d")))
    with pytest.raises(ConflictError, match="come, gone or moved since"):
        apply_changes(later, back)

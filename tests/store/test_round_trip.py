"""Every record comes back as it was, or is refused with a sentence."""

import dataclasses
import datetime as dt
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ldapp.claim.changes import COLLECTIONS, difference, record_as_json
from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry, Movement
from ldapp.claim.kit import KitLine
from ldapp.errors import LdappError
from ldapp.store.claim_library import Library
from tests.store.made_claims import ODD_TEXTS, made_claim, summary_of

NOON = dt.datetime(2026, 3, 2, 12, 0, tzinfo=dt.UTC)


def _bare(**more):
    return Claim(id="c", reference="R-1", currency="USD", zone="Europe/Berlin", **more)


def _line(key, **more):
    return KitLine(id=key, number=key, agreement="a", description="stand", quantity=1, **more)


def _kept(library, claim):
    library.create(claim, who="Ada", label="Create claim", summary=summary_of(claim))
    return library.load(claim.id)[0]


@pytest.mark.parametrize("seed", range(12))
def test_a_claim_with_every_field_filled_comes_back_equal(library, seed):
    claim = made_claim(seed)
    assert _kept(library, claim) == claim


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(seed=st.integers(min_value=1000, max_value=2**60))
def test_any_claim_comes_back_equal(library, seed):
    claim = dataclasses.replace(made_claim(seed), id=f"claim {seed}")
    if claim.id in {one.claim for one in library.summaries()}:
        library.remove(claim.id)
    kept = _kept(library, claim)
    assert kept == claim
    assert difference(claim, kept) == ()


def test_the_made_claims_fill_every_collection():
    # What the tests above are worth depends on this.
    claims = [made_claim(seed) for seed in range(12)]
    for collection in COLLECTIONS:
        members = [one for claim in claims for one in getattr(claim, collection.field)]
        assert members, collection.kind
        if collection.child is not None:
            assert any(getattr(one, collection.child.field) for one in members)
    assert any(claim.policy is not None for claim in claims)


@pytest.mark.parametrize(("currency", "digits"), [("JPY", 0), ("KWD", 3), ("CLF", 4), ("EUR", 2)])
def test_amounts_keep_the_decimals_of_their_currency(library, currency, digits):
    claim = made_claim(3, currency=currency, digits=digits)
    assert _kept(library, claim) == claim


def test_an_amount_with_more_digits_than_the_currency_is_refused_by_name(library):
    claim = _bare(kit=(_line("12", replacement_cost=Decimal("10.005")),))
    with pytest.raises(LdappError, match=r"kit line '12'.*replacement cost: 10\.005 has more"):
        _kept(library, claim)
    assert library.summaries() == ()


@pytest.mark.parametrize("amount", ["NaN", "Infinity", "1E+30"])
def test_an_amount_that_is_none_is_refused(library, amount):
    with pytest.raises(LdappError, match="cannot be saved"):
        _kept(library, _bare(kit=(_line("1", day_rate=Decimal(amount)),)))


def test_noughts_behind_the_last_digit_are_no_more_digits(library):
    kept = _kept(library, _bare(kit=(_line("1", day_rate=Decimal("12.5000")),)))
    assert kept.kit[0].day_rate == Decimal("12.50")


def test_an_invoice_in_another_currency_keeps_its_own_decimals(library):
    invoice = Invoice(
        id="i", agreement="a", number="7", dated=dt.date(2026, 3, 4), currency="KWD",
        gross=Decimal("10.125"),
    )  # fmt: skip
    assert _kept(library, _bare(invoices=(invoice,))).invoices == (invoice,)


def test_a_printed_currency_that_is_no_code_is_refused_with_a_sentence(library):
    invoice = Invoice(
        id="i", agreement="a", number="7", dated=dt.date(2026, 3, 4), currency="Dollars"
    )
    with pytest.raises(LdappError, match="'Dollars' cannot be saved"):
        _kept(library, _bare(invoices=(invoice,)))


def test_numbers_that_are_no_money_keep_every_digit(library):
    charge = Charge(
        id="c", number="1", description="loss of use", quantity=Decimal("2.125"),
        days=Decimal("1.3333333333333333333333333333333"), amount=Decimal(1),
    )  # fmt: skip
    invoice = Invoice(
        id="i", agreement="a", number="7", dated=dt.date(2026, 3, 4), charges=(charge,)
    )
    kept = _kept(library, _bare(invoices=(invoice,))).invoices[0].charges[0]
    assert (str(kept.quantity), str(kept.days)) == (str(charge.quantity), str(charge.days))


@pytest.mark.parametrize(
    "zone", [dt.UTC, dt.timezone(dt.timedelta(hours=5, minutes=45)), ZoneInfo("America/New_York")]
)
def test_an_instant_comes_back_with_the_offset_it_was_said_in(library, zone):
    said = dt.datetime(2026, 7, 1, 23, 59, 59, 123456, tzinfo=zone)
    claim = _bare(movements=(Movement(id="m", kind="added", line="1", quantity=1, at=said),))
    kept = _kept(library, claim).movements[0].at
    assert (kept, kept.utcoffset()) == (said, said.utcoffset())
    assert (
        record_as_json("movement", claim.movements[0])["at"]
        == (record_as_json("movement", library.load("c")[0].movements[0])["at"])
    )


def test_a_time_without_a_zone_is_refused(library):
    count = Count(id="n", stage="pickup", at=dt.datetime(2026, 3, 2, 8, 0))  # noqa: DTZ001
    with pytest.raises(LdappError, match="has no time zone"):
        _kept(library, _bare(counts=(count,)))


@pytest.mark.parametrize("text", ODD_TEXTS)
def test_text_that_tries_to_be_something_else_stays_text(library, text):
    claim = _bare(title=text, kit=(_line("1", note=text, serials=(text, "")),))
    assert _kept(library, claim) == claim


def test_a_character_that_is_no_text_is_refused_with_a_sentence(library):
    with pytest.raises(LdappError, match="no text"):
        _kept(library, _bare(kit=(_line("1", location="\udc80"),)))
    with pytest.raises(LdappError, match="no text"):
        _kept(library, _bare(title="\udc80"))
    with pytest.raises(LdappError, match="no text"):
        _kept(library, _bare(title="nought\x00"))


def test_a_number_that_no_database_holds_is_refused_with_a_sentence(library):
    line = dataclasses.replace(_line("1"), quantity=2**70)
    with pytest.raises(LdappError, match="too large"):
        _kept(library, _bare(kit=(line,)))


def test_a_value_that_a_record_does_not_allow_is_refused_with_a_sentence(library):
    line = dataclasses.replace(_line("1"), description="")
    with pytest.raises(LdappError, match="kit line cannot be saved: description"):
        _kept(library, _bare(kit=(line,)))


def test_two_records_with_one_id_are_refused_by_name(library):
    with pytest.raises(LdappError, match="kit line share the id '1'"):
        _kept(library, _bare(kit=(_line("1"), _line("1"))))
    count = Count(id="n", stage="pickup", entries=(CountEntry(line="1"), CountEntry(line="1")))
    with pytest.raises(LdappError, match="count entry of 'n' share the id '1'"):
        _kept(library, _bare(counts=(count,)))


@pytest.mark.parametrize("code", ["usd", "EURO", ""])
def test_a_currency_that_is_no_code_is_refused(library, code):
    with pytest.raises(LdappError, match="cannot be saved"):
        _kept(library, dataclasses.replace(_bare(), currency=code))


def test_a_claim_is_read_in_as_many_statements_as_it_has_kinds(library: Library):
    from sqlalchemy import event

    claim = made_claim(1)
    _kept(library, claim)
    statements = []
    engine = library._database.engine
    event.listen(engine, "before_cursor_execute", lambda *args: statements.append(args[2]))
    library.load(claim.id)
    assert len(statements) < 25
    assert not any("IMMEDIATE" in one for one in statements)

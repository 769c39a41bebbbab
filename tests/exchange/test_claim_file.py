"""The claim file: nothing is lost, and what is wrong is said all at once."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, event, given, settings
from hypothesis import strategies as st

from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import CountEntry
from ldapp.claim.findings import Finding
from ldapp.errors import Fault, InputError, MachineError
from ldapp.exchange.card_numbers import holds_card_number
from ldapp.exchange.claim_file import (
    claim_as_json,
    claim_from_json,
    faults_of,
    read_claim_file,
    write_claim_file,
)
from ldapp.exchange.claim_survey import fields_of
from tests.rich_claim import rich_claim


def raw_claim() -> dict[str, Any]:
    data: dict[str, Any] = json.loads(claim_as_json(rich_claim()))
    return data


def faults(data: Any) -> dict[str, Fault]:
    text = data if isinstance(data, str | bytes) else json.dumps(data)
    with pytest.raises(InputError) as caught:
        claim_from_json(text, "claim.json")
    assert all(fault.file == "claim.json" for fault in caught.value.faults)
    return {fault.place: fault for fault in caught.value.faults}


def put(data: Any, place: str, value: object) -> None:
    *way, last = [int(one) if one.isdigit() else one for one in re.findall(r"\w+", place)]
    for step in way:
        data = data[step]
    data[last] = value


def only_fault(data: Any) -> Fault:
    (fault,) = faults(data).values()
    return fault


# --- nothing is lost --------------------------------------------------------------------


def test_every_field_of_every_record_comes_back() -> None:
    claim = rich_claim()
    assert claim_from_json(claim_as_json(claim), "claim.json") == claim


def test_the_rich_claim_says_something_in_every_field() -> None:
    said: dict[type, set[str]] = {}

    def look(one: Any) -> None:
        if isinstance(one, tuple):
            for member in one:
                look(member)
        elif dataclasses.is_dataclass(one) and not isinstance(one, type):
            for field in dataclasses.fields(one):
                value = getattr(one, field.name)
                if value != field.default:
                    said.setdefault(type(one), set()).add(field.name)
                look(value)

    look(rich_claim())
    silent = {
        f"{record.__name__}.{name}"
        for record, names in said.items()
        for name in fields_of(record)
        if name not in names and name not in {"format", "method"}
    }
    assert silent == set()
    assert len(said) > 75


def test_the_same_claim_gives_the_same_bytes() -> None:
    claim = rich_claim()
    once = claim_as_json(claim)
    assert claim_as_json(claim_from_json(once, "claim.json")) == once
    assert once.endswith(b"}\n")
    other_digits = dataclasses.replace(
        claim.findings[0], stated_value=Decimal("1234.5700"), salvage=Decimal("1.23457E+3")
    )
    changed = dataclasses.replace(claim, findings=(other_digits, *claim.findings[1:]))
    assert changed == claim
    assert claim_as_json(changed) == once


def test_amounts_carry_the_decimals_of_the_currency() -> None:
    claim = rich_claim()
    charge = Charge(id="c", number="1", description="d", amount=Decimal(1250))
    for currency, text in (("EUR", "1250.00"), ("JPY", "1250"), ("KWD", "1250.000")):
        one = dataclasses.replace(
            claim,
            currency=currency,
            invoices=(dataclasses.replace(claim.invoices[0], charges=(charge,)),),
        )
        plain = json.loads(claim_as_json(one))["invoices"][0]["charges"][0]
        assert plain["amount"] == text


def test_defaults_may_be_left_out_or_written() -> None:
    bare = '{"format":"ldapp-claim/1","id":"c","reference":"r","currency":"EUR","zone":"UTC"}'
    claim = Claim(id="c", reference="r", currency="EUR", zone="UTC")
    assert claim_from_json(bare, "claim.json") == claim
    assert json.loads(claim_as_json(claim)) == json.loads(bare)
    full = json.loads(bare) | {"title": "", "kit": [], "policy": None, "stage": "preparing"}
    assert claim_from_json(json.dumps(full), "claim.json") == claim


def test_offsets_and_wall_clock_times_are_kept() -> None:
    read = claim_from_json(claim_as_json(rich_claim()), "claim.json")
    at = read.counts[0].entries[0].at
    assert at is not None
    assert at.utcoffset() == dt.timedelta(hours=5, minutes=30)
    assert read.clock_corrections[0].camera_time.tzinfo is None


_amounts = st.decimals(
    allow_nan=False, allow_infinity=False, places=2, min_value=-(10**9), max_value=10**9
)
_text = st.text(max_size=40).filter(
    lambda text: not any("\ud800" <= one <= "\udfff" for one in text)
)
_times = st.datetimes(
    min_value=dt.datetime(1900, 1, 2),  # noqa: DTZ001 - the zone is drawn beside it
    max_value=dt.datetime(2200, 1, 1),  # noqa: DTZ001
    timezones=st.integers(-14 * 60, 14 * 60).map(
        lambda one: dt.timezone(dt.timedelta(minutes=one))
    ),
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    lines=st.lists(st.tuples(_text, st.integers(0, 10**6), st.none() | _amounts), max_size=4),
    charges=st.lists(st.tuples(_text, _amounts, st.none() | _amounts), max_size=4),
    at=st.none() | _times,
)
def test_any_claim_comes_back(
    lines: list[tuple[str, int, Decimal | None]],
    charges: list[tuple[str, Decimal, Decimal | None]],
    at: dt.datetime | None,
) -> None:
    claim = rich_claim()
    kit = tuple(
        dataclasses.replace(
            claim.kit[0], id=f"k{index}", description=text or "x", quantity=quantity, day_rate=rate
        )
        for index, (text, quantity, rate) in enumerate(lines)
    )
    entries = tuple(CountEntry(line=line.id, quantity=line.quantity, at=at) for line in kit)
    invoice = Invoice(
        id="i",
        agreement="agreement-1",
        number="",
        dated=dt.date(2026, 1, 1),
        charges=tuple(
            Charge(id=str(index), number="", description=text, amount=amount, unit_price=price)
            for index, (text, amount, price) in enumerate(charges)
        ),
    )
    claim = dataclasses.replace(
        claim,
        kit=(*claim.kit, *kit),
        counts=(claim.counts[0], dataclasses.replace(claim.counts[1], entries=entries)),
        invoices=(*claim.invoices, invoice),
    )
    assume(not any(holds_card_number(text) for text, *_ in (*lines, *charges)))
    read = claim_from_json(claim_as_json(claim), "claim.json")
    assert read == claim
    assert claim_as_json(read) == claim_as_json(claim)


# --- what is wrong ----------------------------------------------------------------------


def test_all_faults_are_said_at_once_each_with_its_place() -> None:
    data = raw_claim()
    data["kti"] = []
    del data["reference"]
    data["kit"][1]["quantity"] = "two"
    data["kit"][1]["quantiti"] = 2
    data["findings"][1]["kind"] = "mising"
    data["invoices"][1]["charges"][0]["amount"] = 12.5
    data["counts"][1]["stage"] = None
    found = faults(data)
    assert set(found) == {
        "kti",
        "reference",
        "kit[1].quantity",
        "kit[1].quantiti",
        "findings[1].kind",
        "invoices[1].charges[0].amount",
        "counts[1].stage",
    }
    assert found["kti"].expected == '"kit", if that is meant'
    assert found["kit[1].quantiti"].expected == '"quantity", if that is meant'
    assert found["kit[1].quantity"].expected == "a whole number, 0 or more"
    assert 'perhaps "missing" is meant' in found["findings[1].kind"].wrong
    assert "missing, damaged" in found["findings[1].kind"].expected
    assert "1250.00" in found["invoices[1].charges[0].amount"].expected


@pytest.mark.parametrize("amount", [0.1, 12.5, 1e3])
def test_an_amount_as_a_json_number_with_a_point_is_refused(amount: float) -> None:
    data = raw_claim()
    data["kit"][0]["replacement_cost"] = amount
    fault = only_fault(data)
    assert fault.place == "kit[0].replacement_cost"
    assert "not exact" in fault.wrong


@pytest.mark.parametrize(
    "text", ["1,250.00", "1e5", "NaN", "Infinity", "1_000", " 5", "5\n", "", "٣"]
)
def test_an_amount_that_is_no_plain_number_is_refused(text: str) -> None:
    data = raw_claim()
    data["kit"][0]["replacement_cost"] = text
    assert only_fault(data).place == "kit[0].replacement_cost"


@pytest.mark.parametrize("share", [0.15, "15 %", "1/0", "1/-3", "a/b", "1e5"])
def test_a_share_that_is_not_exact_is_refused(share: object) -> None:
    data = raw_claim()
    data["agreements"][0]["terms"]["lessors_discount"]["rate"] = share
    fault = only_fault(data)
    assert fault.place == "agreements[0].terms.lessors_discount.rate"
    assert "3/20" in fault.expected


def test_whole_numbers_are_exact_as_they_are() -> None:
    data = raw_claim()
    data["kit"][0]["replacement_cost"] = 250
    assert claim_from_json(json.dumps(data), "c").kit[0].replacement_cost == Decimal(250)


def test_faults_of_a_depreciation_rule_speak_of_the_method_it_names() -> None:
    data = raw_claim()
    data["agreements"][0]["terms"]["depreciation"] = {"method": "table", "shows": "percent_bad"}
    assert set(faults(data)) == {
        "agreements[0].terms.depreciation.shows",
        "agreements[0].terms.depreciation.by_year",
    }
    data["agreements"][0]["terms"]["depreciation"] = {"method": "guess"}
    assert "agreements[0].terms.depreciation.method" in faults(data)


@pytest.mark.parametrize(
    ("place", "value", "faulty"),
    [
        ("kit[1].agreement", "nobody", ""),
        ("kit[0].owner", "nobody", ""),
        ("kit[0].prices[0].document", "z", ""),
        ("counts[1].entries", [{"line": "zz"}], "[0].line"),
        ("counts[1].agreements", ["zz"], "[0]"),
        ("movements[0].part", "zz", ""),
        ("findings[1].line", "zz", ""),
        ("findings[1].occurrence", "zz", ""),
        ("findings[1].documents", ["document-1", "z"], "[1]"),
        ("findings[0].part", "zz", ""),
        ("counts[0].entries[0].parts[0].part", "z", ""),
        ("invoices[1].charges[0].finding", "z", ""),
        ("invoices[0].agreement", "", ""),
        ("photos[0].pairings[1].line", "z", ""),
        ("policy.insurer", "z", ""),
        ("splits[1].party", "z", ""),
    ],
)
def test_a_reference_that_names_nothing_is_a_fault(place: str, value: object, faulty: str) -> None:
    data = raw_claim()
    put(data, place, value)
    fault = only_fault(data)
    assert fault.place == place + faulty
    assert "is not the id of" in fault.wrong


@pytest.mark.parametrize(
    ("place", "value"),
    [
        ("kit[1].id", "line-1"),
        ("parties[3].id", "party-1"),
        ("kit[0].parts[1].id", "line-1-arm"),
        ("counts[0].entries[1].line", "line-1"),
        ("invoices[1].id", "invoice-1"),
    ],
)
def test_an_id_that_stands_twice_is_a_fault(place: str, value: str) -> None:
    data = raw_claim()
    put(data, place, value)
    found = faults(data)
    assert place in found
    assert "already stands at" in found[place].wrong


def test_a_key_that_stands_twice_in_one_object_is_a_fault() -> None:
    text = (
        '{"format":"ldapp-claim/1","id":"c","id":"d","reference":"r","currency":"EUR","zone":"UTC"}'
    )
    assert 'the key "id" stands twice' in only_fault(text).wrong


def test_times_need_their_offset_except_what_a_camera_wrote() -> None:
    data = raw_claim()
    data["counts"][0]["at"] = "2026-03-02T07:41:09"
    data["clock_corrections"][0]["camera_time"] = "2026-03-02T07:41:09+01:00"
    found = faults(data)
    assert set(found) == {"counts[0].at", "clock_corrections[0].camera_time"}
    assert "no offset" in found["counts[0].at"].wrong
    data = raw_claim()
    data["kit"][0]["acquired"] = "02.03.2026"
    assert only_fault(data).expected == "a day, such as 2026-03-02, or null"


@pytest.mark.parametrize(
    ("key", "value", "expected"),
    [
        ("currency", "EURO", "ISO 4217"),
        ("currency", "eur", "ISO 4217"),
        ("zone", "Berlin", "IANA"),
        ("zone", "../../etc/passwd", "IANA"),
        ("position", [95, 10], "latitude"),
        ("position", [], "a pair of numbers"),
        ("position", [1], "a pair of numbers"),
        ("position", [1, 2, 3], "a pair of numbers"),
    ],
)
def test_currency_zone_and_position_must_exist(key: str, value: object, expected: str) -> None:
    data = raw_claim()
    data[key] = value
    fault = only_fault(data)
    assert fault.place == key
    assert expected in fault.expected


def test_a_payment_card_number_is_refused_in_text_and_not_repeated() -> None:
    data = raw_claim()
    data["correspondence"][0]["text"] = "card 4111 1111 1111 1111"
    data["kit"][0]["serials"] = ["4111111111111111"]  # a serial number may look like one
    fault = only_fault(data)
    assert fault.place == "correspondence[0].text"
    assert "payment card" in fault.wrong
    assert "4111" not in fault.sentence()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("  \n", "empty"),
        ("[]", "no claim"),
        ('{"a": 1}', "no claim"),
        ('"ldapp-claim/1"', "no claim"),
        ('{"format": "ldapp-claim/1",', "not JSON"),
        ("line,quantity\n1,2\n", "not JSON"),
        ('{"format": "ldapp-claim/2", "future": 1}', "newer format"),
        ('{"format": "ldapp-claim/0"}', "not known"),
        ('{"format": 1}', "not known"),
        ("[" * 200_000, "nested too deeply"),
        ('{"format": "ldapp-claim/1", "id": NaN}', "NaN is no number"),
        ('{"format": "ldapp-claim/1", "id": ' + "9" * 5000 + "}", "endless number"),
        ("é".encode("latin-1"), "not UTF-8"),
        ("{}".encode("utf-16"), "not UTF-8"),
    ],
)
def test_what_is_no_claim_file_gets_one_sentence(text: str | bytes, says: str) -> None:
    fault = only_fault(text)
    assert says in fault.wrong
    assert (
        "claim file" in fault.expected
        or "newer version" in fault.expected
        or "digits" in fault.expected
    )


def test_a_byte_order_mark_does_no_harm() -> None:
    claim = rich_claim()
    assert claim_from_json(b"\xef\xbb\xbf" + claim_as_json(claim), "c") == claim


def test_text_that_is_no_unicode_does_not_stop_the_writing() -> None:
    claim = dataclasses.replace(rich_claim(), title="a\udcff")
    assert claim_from_json(claim_as_json(claim), "c").title == "a?"


_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=2)
        | st.dictionaries(st.sampled_from(["id", "line", "parts", "x"]), inner, max_size=2)
    ),
    max_leaves=4,
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_whatever_stands_in_a_place_is_read_or_refused(data: st.DataObject) -> None:
    raw: Any = raw_claim()
    one = raw
    while True:
        step = data.draw(st.sampled_from(sorted(one) if isinstance(one, dict) else range(len(one))))
        inner = one[step]
        if not isinstance(inner, dict | list) or not inner or data.draw(st.booleans()):
            one[step] = data.draw(_json)
            break
        one = inner
    try:
        claim = claim_from_json(json.dumps(raw), "claim.json")
    except InputError as error:
        said = error.faults
        event("refused")
    else:
        said = ()
        event("read")
        assert claim_from_json(claim_as_json(claim), "claim.json") == claim
    assert all(fault.wrong and fault.expected for fault in said)


# --- files ------------------------------------------------------------------------------


def test_written_and_read_as_a_file(tmp_path: Path) -> None:
    path = tmp_path / "claim.json"
    write_claim_file(rich_claim(), path)
    assert read_claim_file(path) == rich_claim()
    assert [one.name for one in tmp_path.iterdir()] == ["claim.json"]


def test_a_missing_file_and_a_folder_get_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"none\.json: there is no such file"):
        read_claim_file(tmp_path / "none.json")
    with pytest.raises(InputError, match="this is a folder"):
        read_claim_file(tmp_path)


def test_writing_where_nothing_can_be_written_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(MachineError, match=r"claim\.json cannot be written"):
        write_claim_file(rich_claim(), tmp_path / "none" / "claim.json")


def test_a_claim_can_be_asked_for_what_a_reader_would_refuse() -> None:
    claim = rich_claim()
    assert faults_of(claim) == ()
    lost = dataclasses.replace(
        claim, findings=(Finding(id="f", line="gone", kind="missing", quantity=1),)
    )
    assert "findings[0].line" in [fault.place for fault in faults_of(lost)]

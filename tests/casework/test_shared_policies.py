"""What an office keeps once: taken into claims, changed in them only as changes of their own."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest

from ldapp.casework import shared_policies
from ldapp.casework.policy_use import policy_accounts
from ldapp.casework.register import Register
from ldapp.claim.parties import Party
from ldapp.claim.shared import Certificate
from ldapp.errors import ConflictError, LdappError
from tests.casework.school_claims import keep, policy_of, school_claim, school_terms

MAY = dt.date(2026, 5, 1)


def test_a_policy_is_kept_from_one_claim_and_used_by_the_next(register: Register) -> None:
    keep(register, school_claim(1, "600", MAY))
    kept = shared_policies.keep_policy(register, register.open("s1"))
    assert policy_of(register.open("s1").claim).id == kept.id
    desk = register.create("2026-002", "Next", "USD", "UTC")
    shared_policies.use_policy(desk, kept)
    policy = policy_of(desk.claim)
    assert (policy.number, policy.terms) == ("FS-26", school_terms())
    assert [one.name for one in desk.claim.parties if one.id == policy.insurer] == [
        "Invented Mutual"
    ]
    assert not shared_policies.use_policy(desk, kept)


def test_what_is_the_claims_own_stays_when_it_is_brought_to_the_offices_policy(
    register: Register,
) -> None:
    keep(register, school_claim(1, "600", MAY), school_claim(2, "10", MAY))
    desk = register.open("s2")
    own = dataclasses.replace(
        policy_of(desk.claim), claim_number="C-9", aggregate_used_before=Decimal(5)
    )
    desk.change("Own", lambda claim: dataclasses.replace(claim, policy=own))
    first = register.open("s1")
    newer = dataclasses.replace(policy_of(first.claim), terms=school_terms(deductible="250"))
    first.change("Newer", lambda claim: dataclasses.replace(claim, policy=newer))
    kept = shared_policies.keep_policy(register, first)
    register.reckon(first)
    changed = shared_policies.update_claims(register.open, ("s1", "s2"), kept, register.reckon)
    assert changed == 1
    after = register.open("s2")
    policy = policy_of(after.claim)
    assert policy.terms.deductibles[0].amount == Decimal(250)
    assert (policy.claim_number, policy.aggregate_used_before) == ("C-9", Decimal(5))
    assert after.outline()[-1].label == "Take over the office's policy"
    (account,) = policy_accounts(register.rows_with_figures())
    assert len({fingerprint for _, fingerprint in account.hashes}) == 1


def test_a_fingerprint_tells_which_claims_differ(register: Register) -> None:
    keep(
        register,
        school_claim(1, "600", MAY),
        school_claim(2, "600", MAY, terms=school_terms(deductible="1")),
    )
    (account,) = policy_accounts(register.rows_with_figures())
    assert len({fingerprint for _, fingerprint in account.hashes}) == 2


def test_two_people_who_change_the_offices_policy_do_not_overwrite_each_other(
    register: Register, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(register, school_claim(1, "600", MAY))
    desk = register.open("s1")
    shared_policies.keep_policy(register, desk)
    (old,) = register.shared("policy")
    shared_policies.keep_policy(register, desk)
    monkeypatch.setattr(type(register), "shared", lambda self, kind: (old,))
    with pytest.raises(ConflictError, match="nothing was overwritten"):
        shared_policies.keep_policy(register, desk)


def test_a_policy_in_another_currency_is_refused(register: Register) -> None:
    keep(register, school_claim(1, "600", MAY))
    kept = shared_policies.keep_policy(register, register.open("s1"))
    desk = register.create("E-1", "Euro", "EUR", "UTC")
    with pytest.raises(LdappError, match="never mixed"):
        shared_policies.use_policy(desk, kept)


def test_a_party_is_kept_once_and_brought_up_to_date(register: Register) -> None:
    party = Party(id="x", role="rental_company", name="Invented Rentals", phone="1")
    shared_policies.keep_party(register, party)
    shared_policies.keep_party(register, dataclasses.replace(party, name="invented  rentals"))
    (kept,) = shared_policies.shared_parties(register)
    desk = register.create("1", "One", "USD", "UTC")
    key = shared_policies.use_party(desk, kept.record)
    assert desk.claim.parties[0].phone == "1"
    newer = dataclasses.replace(kept.record, phone="2")
    assert shared_policies.use_party(desk, newer) == key
    assert [one.phone for one in desk.claim.parties] == ["2"]
    shared_policies.remove_party(register, kept.record.id)
    assert shared_policies.shared_parties(register) == ()
    with pytest.raises(LdappError, match="name first"):
        shared_policies.keep_party(register, dataclasses.replace(party, name=" "))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"student": " "}, "names a student"),
        ({"policy_number": ""}, "under a policy"),
        ({"ends": dt.date(2025, 1, 1)}, "before it begins"),
        ({"limit": Decimal(0)}, "above 0"),
    ],
)
def test_a_certificate_that_cannot_be_is_refused(
    register: Register, change: dict[str, object], words: str
) -> None:
    one = Certificate(
        id="c", student="Student A", policy_number="FS-26", begins=dt.date(2026, 1, 1),
        ends=dt.date(2026, 6, 30), limit=Decimal(800), currency="USD",
    )  # fmt: skip
    with pytest.raises(LdappError, match=words):
        shared_policies.keep_certificate(register, dataclasses.replace(one, **change))
    shared_policies.keep_certificate(register, one)
    assert [kept.record for kept in shared_policies.certificates(register)] == [one]
    shared_policies.remove_certificate(register, "c")
    assert shared_policies.certificates(register) == ()

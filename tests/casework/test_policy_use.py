"""The annual limit and students' certificates, used up in order of occurrence."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest

from ldapp.casework.policy_use import (
    accept_proposal,
    accept_proposals,
    certificate_account,
    policy_accounts,
)
from ldapp.casework.register import Register
from ldapp.claim.policy import Aggregate
from ldapp.claim.shared import Certificate
from ldapp.errors import LdappError
from tests.casework.school_claims import keep, policy_of, school_claim, school_terms
from tests.store.many_claims import many_summaries

MARCH, APRIL, MAY = dt.date(2026, 3, 1), dt.date(2026, 4, 1), dt.date(2026, 5, 1)


def test_the_limit_is_used_in_order_of_occurrence_and_not_of_entry(register: Register) -> None:
    keep(
        register,
        school_claim(1, "600", MAY),
        school_claim(2, "500", MARCH),
        school_claim(3, "300", APRIL),
    )
    (account,) = policy_accounts(register.rows_with_figures())
    assert (account.number, account.insurer, account.limit) == (
        "FS-26", "Invented Mutual", Decimal(1000),
    )  # fmt: skip
    assert [(line.reference, line.used) for line in account.lines] == [
        ("2026-002", Decimal(400)),
        ("2026-003", Decimal(200)),
        ("2026-001", Decimal(500)),
    ]
    assert [(one.reference, one.stated, one.proposed) for one in account.proposals] == [
        ("2026-003", Decimal(0), Decimal(400)),
        ("2026-001", Decimal(0), Decimal(600)),
    ]
    assert account.proposals[1].working == (
        "2026-002, 2026-03-01: 400.00",
        "2026-003, 2026-04-01: 200.00",
        "used before 2026-001: 600.00 of 1,000 USD",
    )


def test_what_a_claim_states_of_claims_kept_elsewhere_is_not_left_either(
    register: Register,
) -> None:
    stating = school_claim(1, "500", MARCH)
    policy = dataclasses.replace(policy_of(stating), aggregate_used_before=Decimal(250))
    keep(register, dataclasses.replace(stating, policy=policy), school_claim(2, "300", APRIL))
    (account,) = policy_accounts(register.rows_with_figures())
    assert [(line.used, line.used_so_far) for line in account.lines] == [
        (Decimal(400), Decimal(650)),
        (Decimal(200), Decimal(850)),
    ]
    assert (account.used, account.left) == (Decimal(850), Decimal(150))
    # What is known here alone is still what is proposed, to whoever is sure.
    assert [(one.stated, one.proposed) for one in account.proposals] == [
        (Decimal(250), Decimal(0)),
        (Decimal(0), Decimal(400)),
    ]


def test_accepted_in_order_the_limit_is_never_paid_out_twice(register: Register) -> None:
    keep(
        register,
        school_claim(1, "600", MAY),
        school_claim(2, "500", MARCH),
        school_claim(3, "300", APRIL),
    )
    (account,) = policy_accounts(register.rows_with_figures())
    changed = accept_proposals(
        register.rows_with_figures, register.open, register.reckon, account.key
    )
    assert changed == 2
    (account,) = policy_accounts(register.rows_with_figures())
    assert account.proposals == ()
    assert [line.used for line in account.lines] == [Decimal(400), Decimal(200), Decimal(400)]
    assert (account.used, account.left) == (Decimal(1000), Decimal(0))
    desk = register.open("s1")
    assert policy_of(desk.claim).aggregate_used_before == Decimal("600.00")
    assert desk.undo() == "Annual limit used by earlier claims"
    assert desk.outline()[1].who == "Ada"


def test_the_rows_are_read_once_and_every_claim_is_told_of(register: Register) -> None:
    """Thousands of claims under one policy: reading them all for each would take hours."""
    claims = [
        school_claim(number, "130", MARCH + dt.timedelta(days=40 - number))
        for number in range(1, 31)
    ]
    keep(register, *claims)
    (account,) = policy_accounts(register.rows_with_figures())
    reads: list[int] = []
    told: list[tuple[int, int, str]] = []

    def read() -> object:
        reads.append(1)
        return register.rows_with_figures()

    changed = accept_proposals(
        read,  # type: ignore[arg-type]
        register.open,
        register.reckon,
        account.key,
        progress=lambda *now: told.append(now),
    )
    assert (changed, len(reads)) == (29, 1)
    (account,) = policy_accounts(register.rows_with_figures())
    assert account.proposals == ()
    # 30 events of 30 above the deductible use 900 of the 1,000.
    assert account.used == Decimal(900)
    assert [done for done, _, _ in told] == list(range(31))
    assert {total for _, total, _ in told} == {30}
    assert told[0][2] == "2026-030"


def test_a_limit_that_is_used_up_leaves_nothing_to_later_claims(register: Register) -> None:
    keep(
        register,
        school_claim(1, "1200", MARCH),
        school_claim(2, "500", APRIL),
        school_claim(3, "300", MAY),
    )
    (account,) = policy_accounts(register.rows_with_figures())
    given = (register.rows_with_figures, register.open, register.reckon, account.key)
    assert accept_proposals(*given) == 2
    (account,) = policy_accounts(register.rows_with_figures())
    assert account.proposals == ()
    assert [line.used for line in account.lines] == [Decimal(1000), Decimal(0), Decimal(0)]
    stated = [policy_of(register.open(claim).claim).aggregate_used_before for claim in ("s2", "s3")]
    assert stated == [Decimal(1000), Decimal(1000)]


def test_more_than_is_known_here_is_lowered_only_when_asked(register: Register) -> None:
    claim = school_claim(1, "600", MAY)
    stated = dataclasses.replace(policy_of(claim), aggregate_used_before=Decimal(300))
    keep(register, dataclasses.replace(claim, policy=stated))
    (account,) = policy_accounts(register.rows_with_figures())
    assert account.proposals[0].lowers
    given = (register.rows_with_figures, register.open, register.reckon, account.key)
    assert accept_proposals(*given) == 0
    assert accept_proposals(*given, lower=True) == 1
    assert policy_of(register.open("s1").claim).aggregate_used_before == 0


def test_a_proposal_that_is_no_longer_true_is_not_accepted(register: Register) -> None:
    keep(register, school_claim(1, "600", MAY), school_claim(2, "500", MARCH))
    (account,) = policy_accounts(register.rows_with_figures())
    desk = register.open("s1")
    policy = dataclasses.replace(policy_of(desk.claim), aggregate_used_before=Decimal(7))
    desk.change("By hand", lambda claim: dataclasses.replace(claim, policy=policy))
    with pytest.raises(LdappError, match="changed in the meantime"):
        accept_proposal(desk, account.proposals[0])


def test_policies_of_other_numbers_years_and_currencies_are_accounts_of_their_own(
    register: Register,
) -> None:
    other = school_claim(2, "500", MARCH)
    keep(
        register,
        school_claim(1, "600", MAY),
        dataclasses.replace(other, policy=dataclasses.replace(policy_of(other), number="FS-27")),
        dataclasses.replace(school_claim(3, "500", MARCH), currency="EUR"),
    )
    accounts = policy_accounts(register.rows_with_figures())
    assert [(one.number, one.currency, len(one.claims)) for one in accounts] == [
        ("FS-26", "USD", 1),
        ("FS-26", "EUR", 1),
        ("FS-27", "USD", 1),
    ] or [(one.number, one.currency, len(one.claims)) for one in accounts] == [
        ("FS-26", "EUR", 1),
        ("FS-26", "USD", 1),
        ("FS-27", "USD", 1),
    ]
    assert all(one.proposals == () for one in accounts)


def test_claims_that_state_different_limits_are_said(register: Register) -> None:
    lower = dataclasses.replace(school_terms(), aggregate=Aggregate(amount=Decimal(300)))
    keep(register, school_claim(1, "200", MAY), school_claim(2, "200", MARCH, terms=lower))
    (account,) = policy_accounts(register.rows_with_figures())
    assert account.limit == Decimal(300)
    assert any("different annual limits" in one for one in account.remarks)


def test_occurrences_that_lie_between_those_of_another_claim_are_said() -> None:
    rows = many_summaries(3)
    uses = [row.figures.uses[0] for row in rows if row.figures]
    days = [dt.datetime(2026, month, 1, tzinfo=dt.UTC) for month in (1, 2, 3)]
    first = (
        dataclasses.replace(uses[0], at=days[0], occurrence="a"),
        dataclasses.replace(uses[0], at=days[2], occurrence="b"),
    )
    second = (dataclasses.replace(uses[1], at=days[1]),)
    made = []
    for row, its in zip(rows[:2], (first, second), strict=True):
        assert row.figures is not None
        figures = dataclasses.replace(row.figures, uses=its, begins=None, policy_number="X")
        made.append(dataclasses.replace(row, figures=figures))
    (account,) = policy_accounts(made)
    assert any(f"between those of {rows[0].reference}:" in one for one in account.remarks)


def test_a_students_certificate_is_used_up_by_that_students_occurrences(
    register: Register,
) -> None:
    keep(
        register,
        school_claim(1, "600", MAY),
        school_claim(2, "500", MARCH),
        school_claim(3, "300", APRIL, student="Student B"),
        school_claim(4, "300", dt.date(2026, 9, 1)),
    )
    certificate = Certificate(
        id="c", student="student  a", policy_number="fs-26", begins=dt.date(2026, 1, 1),
        ends=dt.date(2026, 6, 30), limit=Decimal(800), currency="USD",
    )  # fmt: skip
    account = certificate_account(certificate, register.rows_with_figures())
    assert [(line.reference, line.left) for line in account.lines] == [
        ("2026-002", Decimal(400)),
        ("2026-001", Decimal(-100)),
    ]
    assert (account.used, account.left) == (Decimal(900), Decimal(-100))


def test_thousands_of_claims_are_accounted_for() -> None:
    rows = many_summaries(5000)
    accounts = policy_accounts(rows)
    assert sum(len(one.claims) for one in accounts) == 5000
    for account in accounts:
        assert account.lines == tuple(sorted(account.lines, key=lambda line: line.used_so_far))

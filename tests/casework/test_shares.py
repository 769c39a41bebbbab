"""What each bears of a loss, what is paid of it and what is open; notices that tell no more."""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from ldapp.casework import after_sending, shares, student_notices
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.register import Register
from ldapp.casework.summary import empty_summary
from ldapp.claim.claim import Claim
from ldapp.claim.clause import Clause
from ldapp.claim.documents import Correspondence, Split
from ldapp.claim.parties import Party
from ldapp.claim.policy import DeductibleSplit, PolicyTerms
from ldapp.dossier.student_notice import notice_pdf
from ldapp.errors import LdappError, MachineError
from ldapp.reckoning.engine import reckon
from tests.reckoning.claims import loss_claim
from tests.reckoning.insured import flat

DAY = dt.date(2026, 11, 25)
SCHOOL = Party(
    id="school", role="school", name="Invented School of Film", contact="The office",
    address="1 Hill Road\nSomewhere", email="office@school.example",
)  # fmt: skip
STUDENTS = (
    Party(id="ada", role="student", name="Ada Aardvark", reference="S-1"),
    Party(id="ben", role="student", name="Ben Bentwood"),
    Party(id="cyd", role="student", name="Cyd Cedar"),
)


def group(together: Any) -> Party:
    return Party(
        id="crew", role="student", name="Third year crew", members=("ada", "ben", "cyd"),
        together=together,
    )  # fmt: skip


def claim_with(
    amount: str, splits: tuple[Split, ...], *parties: Party, policy: PolicyTerms | None = None
) -> Claim:
    claim = loss_claim([amount], splits=splits, policy=policy)
    return dataclasses.replace(claim, parties=(*claim.parties, SCHOOL, *STUDENTS, *parties))


def by_name(claim: Claim) -> dict[str, tuple[Decimal, Decimal, Decimal]]:
    found = shares.shares(claim, reckon(claim))
    return {one.name: (one.amount, one.paid, one.open) for one in found}


def payment(party: str, amount: str, day: int = 1, **more: Any) -> Correspondence:
    return Correspondence(
        id=f"{party}-{amount}-{day}",
        at=dt.datetime(2026, 11, day, 12, tzinfo=dt.UTC),
        direction="received",
        channel="hand",
        party=party,
        step="payment",
        subject="Payment",
        paid=Decimal(amount),
        **more,
    )


def paid_by(claim: Claim, *entries: Correspondence) -> Claim:
    return dataclasses.replace(claim, correspondence=entries)


# --- parts -------------------------------------------------------------------------------


def test_the_published_rule_of_a_school_splits_a_deductible() -> None:
    # A published school rule: loss 12,000; deductible the greater of 750 or 15 %, at most
    # 5,000; the student's part the same up to 1,000, the department the rest (trade practice,
    # worked out: 1,800 = 1,000 + 800, the insurer pays 10,200).
    terms = PolicyTerms(
        deductibles=(
            dataclasses.replace(
                flat("0"), form="percentage_of_loss", amount=None, rate=Fraction(15, 100),
                minimum=Decimal(750), maximum=Decimal(5000),
            ),
        ),
        deductible_split=DeductibleSplit(
            first="ada", rest="dept", form="percentage_of_loss", rate=Fraction(15, 100),
            minimum=Decimal(750), maximum=Decimal(1000), clause=Clause(reference="Handbook 4"),
        ),
    )  # fmt: skip
    department = Party(id="dept", role="department", name="Department")
    claim = claim_with("12000", (), department, policy=terms)
    assert by_name(claim)["Ada Aardvark"][0] == Decimal(1000)
    assert by_name(claim)["Department"][0] == Decimal(800)
    ada, rest = shares.shares(claim, reckon(claim))
    assert student_notices.rule_says(claim, ada).replace("\u00a0", " ") == (
        "Of the deductible of an event 15 % of the loss, at least USD 750.00, "
        "at most USD 1,000.00 (Handbook 4)."
    )
    assert student_notices.rule_says(claim, rest).startswith("Of the deductible of an event what")


def test_a_group_bears_its_part_in_equal_parts_that_sum() -> None:
    claim = claim_with("100", (Split(id="s", party="crew"),), group("in_equal_parts"))
    found = shares.shares(claim, reckon(claim))
    assert [one.amount for one in found] == [
        Decimal("33.34"),
        Decimal("33.33"),
        Decimal("33.33"),
    ]
    assert [one.name for one in found] == ["Ada Aardvark", "Ben Bentwood", "Cyd Cedar"]
    assert all(one.of_group == "Third year crew" and not one.jointly for one in found)
    # Not stated how: taken as equal parts.
    assert len(by_name(claim_with("100", (Split(id="s", party="crew"),), group(None)))) == 3


def test_a_group_that_bears_jointly_has_one_part() -> None:
    claim = claim_with("100", (Split(id="s", party="crew"),), group("jointly"))
    (one,) = shares.shares(claim, reckon(claim))
    assert one.jointly
    assert one.amount == Decimal(100)
    assert {member.id for member in one.members} == {"ada", "ben", "cyd"}


@given(
    amount=st.decimals(min_value="0.01", max_value="99999", places=2),
    members=st.integers(min_value=1, max_value=3),
    paid=st.lists(st.decimals(min_value="0.01", max_value="5000", places=2), max_size=4),
)
def test_parts_and_payments_always_sum(amount: Decimal, members: int, paid: list[Decimal]) -> None:
    crew = dataclasses.replace(group("in_equal_parts"), members=("ada", "ben", "cyd")[:members])
    claim = claim_with(str(amount), (Split(id="s", party="crew"),), crew)
    entries = [
        payment(("ada", "ben", "cyd")[number % members], str(one), number + 1)
        for number, one in enumerate(paid)
    ]
    claim = paid_by(claim, *entries)
    reckoning = reckon(claim)
    found = shares.shares(claim, reckoning)
    assert sum(one.amount for one in found) == reckoning.totals.renter
    assert sum(one.paid for one in found) == sum(paid)
    assert max(one.amount for one in found) - min(one.amount for one in found) <= Decimal("0.01")


# --- payments ----------------------------------------------------------------------------


def test_a_payment_goes_to_ones_own_part_before_a_joint_one() -> None:
    splits = (
        Split(id="s1", party="crew", amount=Decimal(60)),
        Split(id="s2", party="ada", amount=Decimal(40)),
    )
    claim = claim_with("100", splits, group("jointly"))
    claim = paid_by(claim, payment("ada", "50"), payment("ben", "20", 2))
    found = {one.name: one for one in shares.shares(claim, reckon(claim))}
    assert (found["Ada Aardvark"].paid, found["Ada Aardvark"].open) == (Decimal(40), Decimal(0))
    assert (found["Third year crew"].paid, found["Third year crew"].open) == (
        Decimal(30),
        Decimal(30),
    )
    assert [one.party for one in found["Third year crew"].payments] == ["ada", "ben"]


def test_what_is_paid_too_much_is_seen() -> None:
    claim = paid_by(claim_with("100", (Split(id="s", party="ada"),)), payment("ada", "130"))
    assert by_name(claim)["Ada Aardvark"] == (Decimal(100), Decimal(130), Decimal(-30))


def test_payments_of_others_are_no_payments_of_a_part() -> None:
    claim = claim_with("100", (Split(id="s", party="ada"),))
    lessor = claim.agreements[0].lessor
    entries = (
        payment(lessor, "50"),
        dataclasses.replace(payment("ada", "20"), direction="sent"),
        payment("ben", "10", 3),
    )
    claim = paid_by(claim, *entries)
    assert by_name(claim)["Ada Aardvark"][1] == 0
    assert [one.party for one in shares.payments(claim)] == ["ben"]


def desk_of(register: Register, claim: Claim) -> OpenClaim:
    register._library.create(claim, who="Ada", label="New claim", summary=empty_summary(claim))
    return register.open(claim.id)


def test_a_payment_is_recorded_changed_removed_and_undone(register: Register) -> None:
    desk = desk_of(register, claim_with("100", (Split(id="s", party="ada"),)))
    entry = shares.record_payment(desk, "ada", Decimal(30), DAY)
    assert by_name(desk.claim)["Ada Aardvark"][2] == Decimal(70)
    assert desk.claim.stage == "preparing"
    shares.change_payment(desk, entry.id, amount=Decimal(45), day=dt.date(2026, 11, 2))
    (made,) = shares.payments(desk.claim)
    assert (made.paid, made.at.date()) == (Decimal(45), dt.date(2026, 11, 2))
    # Touched on the page of what was sent and received, the claim is still not "paid".
    after_sending.put_entry(desk, dataclasses.replace(made, subject="Cash"))
    assert desk.claim.stage == "preparing"
    shares.remove_payments(desk, [entry.id])
    assert not shares.payments(desk.claim)
    desk.undo()
    assert shares.payments(desk.claim)
    with pytest.raises(LdappError, match="more than nothing"):
        shares.record_payment(desk, "ada", Decimal(0))


def test_a_notice_to_a_student_answers_no_letter_of_the_company() -> None:
    claim = claim_with("100", (Split(id="s", party="ada"),))
    asked = Correspondence(
        id="q", at=dt.datetime(2026, 11, 2, tzinfo=dt.UTC), direction="received",
        channel="email", party=claim.agreements[0].lessor, step="reply", subject="Please answer",
        reply_by=dt.date(2026, 12, 1),
    )  # fmt: skip
    notice = Correspondence(
        id="n", at=dt.datetime(2026, 11, 3, tzinfo=dt.UTC), direction="sent", channel="email",
        party="ada", step="request", subject="Notice",
    )  # fmt: skip
    claim = dataclasses.replace(claim, correspondence=(asked, notice))
    coming = after_sending.coming_deadlines(claim, None, DAY)
    assert [one.says for one in coming] == ["We are asked to answer: Please answer"]


def test_a_group_is_added_with_the_students_and_undone(register: Register) -> None:
    desk = desk_of(register, claim_with("100", ()))
    made = shares.add_group(desk)
    assert made.members == ("ada", "ben", "cyd")
    assert shares.add_group(desk).members == ("ada", "ben", "cyd"), "a group is in no group"
    desk.undo()
    desk.undo()
    assert all(not one.members for one in desk.claim.parties)


# --- notices -----------------------------------------------------------------------------


def text_of(request: Any) -> str:
    reader = PdfReader(io.BytesIO(notice_pdf(request)))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def notice_for(claim: Claim, key: str, person: str) -> str:
    share = next(one for one in shares.shares(claim, reckon(claim)) if one.key == key)
    recipient = next(one for one in claim.parties if one.id == person)
    request = student_notices.notice_request(
        claim, share, recipient, DAY, reply_by=dt.date(2026, 12, 9)
    )
    assert notice_pdf(request) == notice_pdf(request)
    return text_of(request)


def titled(claim: Claim, title: str) -> Claim:
    events = tuple(dataclasses.replace(one, title=title) for one in claim.occurrences)
    return dataclasses.replace(claim, occurrences=events)


def test_a_notice_says_the_own_part_and_tells_nothing_of_other_students() -> None:
    claim = claim_with("100", (Split(id="s", party="crew"),), group("in_equal_parts"))
    claim = titled(claim, "Stand dropped by Ben Bentwood")
    claim = paid_by(claim, payment("ada", "10"), payment("ben", "33.33", 2))
    text = notice_for(claim, "crew/ada", "ada")
    assert "Dear Ada Aardvark, Equipment that was rented for" in text
    assert "Your own part is USD 33.34" in text
    assert "USD 10.00 of it has been paid; USD 23.34 is open" in text
    assert "S-1" in text
    assert "9 December 2026" in text
    for other in ("Ben", "Bentwood", "Cyd", "Cedar", "33.33"):
        assert other not in text, other
    assert "[withheld]" in text


def test_those_who_owe_jointly_are_named_and_their_payments_are_one_sum() -> None:
    claim = claim_with("100", (Split(id="s", party="crew"),), group("jointly"))
    claim = paid_by(claim, payment("ada", "10"), payment("ben", "20", 2))
    text = notice_for(claim, "crew", "ada")
    assert "jointly: Ada Aardvark, Ben Bentwood and Cyd Cedar" in text
    assert "Together you owe USD 100.00. USD 30.00 has been paid; USD 70.00 is open" in text
    assert "you USD 10.00" in text
    assert "the group USD 20.00" in text


def test_a_notice_is_calm_and_tells_nothing_of_policy_and_insurer() -> None:
    claim = claim_with(
        "100",
        (Split(id="s", party="ada", note="Form 1"),),
        policy=PolicyTerms(deductibles=(flat("500"),)),
    )
    text = notice_for(claim, "ada", "ada")
    assert "The rule: The rest of what nobody else pays of an event (Form 1)." in text
    for word in ("guilty", "negligent", "must pay", "lawyer", "collection", "grades", "policy"):
        assert word not in text.lower(), word


def test_a_notice_goes_to_nobody_who_does_not_bear_the_part() -> None:
    claim = claim_with("100", (Split(id="s", party="ada"),))
    (share,) = shares.shares(claim, reckon(claim))
    with pytest.raises(LdappError, match="does not bear this part"):
        student_notices.notice_request(claim, share, STUDENTS[1], DAY)


def test_a_notice_is_written_and_logged_with_its_hash(register: Register, tmp_path: Path) -> None:
    claim = claim_with("100", (Split(id="s", party="ada"),))
    (share,) = shares.shares(claim, reckon(claim))
    request = student_notices.notice_request(claim, share, STUDENTS[0], DAY)
    target = tmp_path / student_notices.notice_name(claim, STUDENTS[0], DAY)
    assert target.name.endswith("-notice-S-1-2026-11-25.pdf")
    student_notices.write_student_notice(request, target)
    assert target.read_bytes() == notice_pdf(request)
    desk = desk_of(register, claim)
    entry = student_notices.log_notice_sent(desk, target, STUDENTS[0], dt.date(2026, 12, 9))
    assert (entry.party, entry.step, len(entry.sha256)) == ("ada", "request", 64)
    desk.undo()
    assert not desk.claim.correspondence
    with pytest.raises(MachineError, match="could not be written"):
        student_notices.write_student_notice(request, tmp_path / "nowhere" / "n.pdf")
    with pytest.raises(MachineError, match="cannot be read"):
        student_notices.log_notice_sent(desk, tmp_path / "gone.pdf", STUDENTS[0])

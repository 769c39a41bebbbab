"""The notice to a student: by the rules of archives, with the sentences that hold alone."""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
from decimal import Decimal
from pathlib import Path

import pikepdf
import pytest
from pypdf import PdfReader

from ldapp.claim.claim import Claim
from ldapp.claim.documents import Correspondence
from ldapp.claim.parties import Party
from ldapp.dossier.archival import archival_faults
from ldapp.dossier.book import Book
from ldapp.dossier.shared_claim import shared_claim
from ldapp.dossier.student_notice import NoticePart, NoticePayment, NoticeRequest, notice_pdf
from tests.dossier.small_claim import FolderOfOriginals, request

DAY = dt.date(2026, 11, 25)


def notice(**more: object) -> NoticeRequest:
    whole = NoticeRequest(
        reference="R-1",
        production="Invented film",
        date=DAY,
        currency="USD",
        sender=Party(id="s", role="school", name="Invented School", contact="The office"),
        recipient=Party(id="a", role="student", name="Ada Aardvark"),
        amount=Decimal(100),
        paid=Decimal(40),
        parts=(NoticePart("Stand fell", dt.date(2026, 10, 1), Decimal(200), Decimal(100)),),
        payments=(NoticePayment(dt.date(2026, 11, 1), Decimal(40), own=True),),
    )
    return dataclasses.replace(whole, **more)  # type: ignore[arg-type]


def words(one: NoticeRequest) -> str:
    reader = PdfReader(io.BytesIO(notice_pdf(one)))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_it_keeps_to_the_archive_rules_and_says_what_its_parts_are() -> None:
    with pikepdf.open(io.BytesIO(notice_pdf(notice()))) as pdf:
        assert archival_faults(pdf) == ()
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.Root.Lang) == "en"
        kinds = {
            str(one.S) for one in pdf.objects if isinstance(one, pikepdf.Dictionary) and "/S" in one
        }
    assert {"/H1", "/H2", "/P", "/Table", "/TH", "/TD"} <= kinds


@pytest.mark.parametrize(
    ("more", "there", "not_there"),
    [
        ({}, "please tell us.", "Please pay what is open"),
        ({"reply_by": dt.date(2026, 12, 9)}, "by 9 December 2026", "to be paid back"),
        ({"paid": Decimal(120)}, "USD 20.00 is to be paid back", "at once"),
        ({"paid": Decimal(100)}, "USD 0.00 is open", "at once"),
        ({"paid": Decimal(0), "payments": ()}, "No payment is recorded so far", "Day By"),
        ({"group": "Crew"}, "in equal parts", "jointly"),
        ({"group": "Crew", "together": ("Ada", "Ben")}, "jointly: Ada and Ben", "equal parts"),
        ({"sender": None}, "by the rule of the school", "Invented School"),
        ({"withheld": ("Stand",)}, "[withheld] fell", "Stand fell"),
        ({"invented": True}, "Invented demonstration claim", "The rule:"),
        ({"rule": "Half of it."}, "The rule: Half of it.", "Invented demonstration"),
    ],
)
def test_a_sentence_stands_where_its_condition_holds(
    more: dict[str, object], there: str, not_there: str
) -> None:
    text = words(notice(**more))
    assert there in text
    assert not_there not in text


def test_a_long_notice_goes_on_over_pages() -> None:
    parts = tuple(
        NoticePart(f"Event {number} with a title of some length", None, Decimal(2), Decimal(1))
        for number in range(100)
    )
    reader = PdfReader(io.BytesIO(notice_pdf(notice(parts=parts, paper="letter"))))
    assert len(reader.pages) > 1
    assert "Event 99" in " ".join(page.extract_text() for page in reader.pages)


def test_what_was_written_to_a_student_is_in_no_claim_that_is_passed_on(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    del tmp_path
    student = Party(id="stu", role="student", name="Zoe Zander")

    def entry(key: str, party: str | None) -> Correspondence:
        return Correspondence(
            id=key,
            at=dt.datetime(2026, 11, 1, tzinfo=dt.UTC),
            direction="sent",
            channel="email",
            party=party,
            subject=f"subject of {key}",
        )

    whole = dataclasses.replace(
        claim,
        parties=(*claim.parties, student),
        correspondence=(entry("to-student", "stu"), entry("to-insurer", None)),
    )
    shared = shared_claim(Book(request(whole, originals, "insurer")))
    assert [one.id for one in shared.correspondence] == ["to-insurer"]

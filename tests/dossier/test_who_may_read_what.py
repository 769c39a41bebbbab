"""The rental company never reads what is not for it: searched in the text and the file."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

import pikepdf
import pytest

from ldapp.claim.agreement import Agreement
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Signature
from ldapp.claim.documents import Document
from ldapp.claim.kit import KitLine
from ldapp.claim.parties import Party
from ldapp.dossier.book import Book
from ldapp.dossier.disclosure import DISCLOSURES
from ldapp.dossier.formats import amount_text
from ldapp.dossier.shared_claim import shared_claim
from ldapp.exchange.claim_file import claim_as_json, claim_from_json
from ldapp.reckoning.engine import reckon
from tests.dossier.conftest import Write, words_of
from tests.dossier.small_claim import FolderOfOriginals, paper_bytes, request
from tests.rich_claim import rich_claim

SECRETS = (
    "HM-5520-9",
    "CLM-88123",
    "Harbour Mutual",
    "Pupilworth",
    "STUD-90331",
    "private-note",
    "weakpoint-says",
    "likely-answer-text",
    "Claim opened",
    "policy-paper",
    "CAM-SERIAL-77",
    "rests on:",
    "USD 92.00",
    "USD 777.96",
)


def everything_in(path: Path) -> str:
    """Return text, titles, outline, link targets and attachments of a PDF."""
    found = [words_of(path)]
    with pikepdf.open(path) as pdf:
        found.extend(str(value) for value in pdf.docinfo.values())
        found.extend(one.get_file().read_bytes().decode() for one in pdf.attachments.values())
        with pdf.open_outline() as outline:
            titles = list(outline.root)
            while titles:
                one = titles.pop()
                found.append(one.title)
                titles.extend(one.children)
        for entry in pdf.objects:
            if isinstance(entry, pikepdf.Dictionary):
                found.extend(str(value) for value in entry.values() if _is_text(value))
    return "\n".join(found)


def _is_text(value: object) -> bool:
    return isinstance(value, pikepdf.String)


@pytest.mark.parametrize("version", ["dispute", "photos", "counts"])
def test_nothing_of_the_other_side_of_the_desk_is_in_the_file(
    write: Write, claim: Claim, version: str
) -> None:
    result, _ = write(claim, version)
    text = everything_in(result.path)
    for secret in SECRETS:
        assert secret.casefold() not in text.casefold(), secret


def test_the_insurer_does_get_what_the_rental_company_does_not(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "insurer")
    text = everything_in(result.path)
    for told in ("HM-5520-9", "CLM-88123", "Pupilworth", "likely-answer-text", "Claim opened"):
        assert told in text
    assert "private-note" not in text


def test_nobody_puts_a_price_on_what_has_not_been_charged(write: Write, claim: Claim) -> None:
    uncharged = dataclasses.replace(claim, invoices=())
    result, wanted = write(uncharged, "dispute")
    text = words_of(result.path)
    assert "No charge has been billed so far." in text
    for one in wanted.reckoning.findings:
        for amount in (one.unit_value, one.owed):
            if amount:
                assert amount_text(amount, "USD") not in text
    told, _ = write(claim, "dispute")
    assert "185.50" in words_of(told.path)


def attached_claim(path: Path) -> Claim:
    with pikepdf.open(path) as pdf:
        data = pdf.attachments["claim.json"].get_file().read_bytes()
    return claim_from_json(data, "claim.json")


def test_the_attached_claim_gives_the_recipient_the_same_answers(
    write: Write, claim: Claim
) -> None:
    result, wanted = write(claim, "dispute")
    theirs = attached_claim(result.path)
    assert theirs.policy is None
    assert {party.role for party in theirs.parties} == {"production", "rental_company"}
    again = reckon(theirs)
    for ours, same in zip(wanted.reckoning.charges, again.charges, strict=True):
        assert (ours.billed, ours.owed, ours.disputed) == (same.billed, same.owed, same.disputed)


def test_the_insurers_attached_claim_is_whole_but_for_notes_and_journal(
    write: Write, claim: Claim
) -> None:
    result, wanted = write(claim, "insurer")
    theirs = attached_claim(result.path)
    assert theirs.note == ""
    assert theirs.journal == ()
    assert theirs.policy == claim.policy
    assert reckon(theirs).totals == wanted.reckoning.totals


def test_every_field_of_a_rich_claim_can_be_attached(originals: FolderOfOriginals) -> None:
    rich = rich_claim()
    for version in ("insurer", "dispute"):
        wanted = dataclasses.replace(
            request(Claim(id="e", reference="E", currency="EUR", zone="UTC"), originals, version),
            claim=rich,
        )
        shared = shared_claim(Book(wanted))
        told = claim_as_json(shared).decode()
        assert "journal" not in told or shared.journal == ()
        assert claim_from_json(told, "claim.json").reference == rich.reference


def test_a_student_named_in_a_narrative_is_not_named_to_the_rental_company(
    write: Write, claim: Claim
) -> None:
    result, _ = write(claim, "dispute")
    assert "[withheld] saw it happen." in words_of(result.path)


def test_a_town_in_both_addresses_is_no_secret(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute")
    assert "Exampletown 00000" in words_of(result.path)


def two_houses(claim: Claim, originals: FolderOfOriginals) -> Claim:
    data = paper_bytes("Terms of the other house")
    return dataclasses.replace(
        claim,
        parties=(*claim.parties, Party(id="other", role="rental_company", name="Second Yard Hire")),
        agreements=(
            *claim.agreements,
            Agreement(id="a2", lessor="other", reference="SY-1", document="other-terms"),
        ),
        kit=(
            *claim.kit,
            KitLine(
                id="o1", number="5", agreement="a2", description="Dolly of the other", quantity=1
            ),
        ),
        documents=(
            *claim.documents,
            Document(
                id="other-terms",
                title="Terms of the other house",
                kind="agreement",
                sha256=originals.put(data),
                bytes=len(data),
            ),
        ),
    )


def test_one_rental_company_reads_nothing_of_another(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    result, _ = write(two_houses(claim, originals), "dispute", agreement="a1")
    text = everything_in(result.path)
    for secret in ("Second Yard Hire", "SY-1", "Dolly of the other", "Terms of the other house"):
        assert secret not in text


def test_the_agreement_that_is_answered_can_be_chosen(
    claim: Claim, originals: FolderOfOriginals
) -> None:
    book = Book(request(two_houses(claim, originals), originals, "dispute", agreement="a2"))
    assert [one.description for one in book.lines.values()] == ["Dolly of the other"]
    assert not book.charges
    assert not book.findings


def test_a_private_document_is_no_exhibit_for_the_rental_company(
    claim: Claim, originals: FolderOfOriginals
) -> None:
    to_house = Book(request(claim, originals, "dispute"))
    to_insurer = Book(request(claim, originals, "insurer"))
    assert "policy-paper" not in to_house.exhibits
    assert "policy-paper" in to_insurer.exhibits


def test_what_the_rental_company_must_not_know_is_on_no_list_of_its_own() -> None:
    for version in ("dispute", "photos", "counts"):
        shown = DISCLOSURES[version]  # type: ignore[index]
        assert not shown.fields & {
            "policy",
            "insurer_payments",
            "borne_by",
            "who_pays",
            "policy_working",
            "persons_of_occurrence",
            "journal_entries",
            "weak_points",
            "against_grounds",
            "every_period",
            "left_open",
            "device_serial",
        }
        assert not shown.party_roles & {"insurer", "broker", "student", "department"}
        assert "completeness" not in shown.sections


@pytest.mark.parametrize("version", ["dispute", "photos", "counts"])
def test_no_version_for_the_other_side_has_a_claim_with_a_policy(
    claim: Claim, originals: FolderOfOriginals, version: str
) -> None:
    told = claim_as_json(shared_claim(Book(request(claim, originals, version)))).decode()
    for secret in SECRETS:
        assert secret.casefold() not in told.casefold(), secret


def test_a_students_name_in_the_name_of_a_file_or_beside_a_signature_is_not_told(
    write: Write, claim: Claim
) -> None:
    name = "Report of Pupilworth.pdf"
    signed = Signature(
        name="Sam Pupilworth",
        side="ours",
        at=dt.datetime(2026, 3, 12, 18, tzinfo=dt.UTC),
        strokes=(((0.1, 0.1), (0.5, 0.5)),),
    )
    first = dataclasses.replace(claim.photos[0], name="IMG Pupilworth.JPG")
    odd = dataclasses.replace(
        claim,
        photos=(first, *claim.photos[1:]),
        documents=tuple(dataclasses.replace(one, name=name, title=name) for one in claim.documents),
        counts=tuple(dataclasses.replace(one, signatures=(signed,)) for one in claim.counts),
    )
    result, _ = write(odd, "dispute")
    assert "pupilworth" not in everything_in(result.path).casefold()
    told, _ = write(odd, "insurer")
    assert "Signature of Sam Pupilworth" in everything_in(told.path)

"""What went into a step is written like everything else in the dossier."""

from __future__ import annotations

import dataclasses

import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.policy import LossPayee
from ldapp.dossier.book import Book
from ldapp.dossier.counts_pages import signatures
from ldapp.dossier.formats import joined, named
from ldapp.dossier.step_text import label_text, value_text
from tests.dossier.conftest import Write, text_of, words_of
from tests.dossier.small_claim import FolderOfOriginals, request


@pytest.mark.parametrize(
    ("value", "printed"),
    [
        ("1150.00", "1,150.00"),
        ("-21600.00", "-21,600.00"),
        ("115000", "115,000"),
        ("2026-10-31", "31 October 2026"),
        ("2026-10-30 15:20-04:00", "30 October 2026, 15:20 UTC−04:00"),
        ("2026-02-31", "2026-02-31"),
        ("2026", "2026"),
        ("Agreement TGE-20418", "Agreement TGE-20418"),
        ("1150.00 and more", "1150.00 and more"),
    ],
)
def test_a_number_or_date_that_went_in_is_written_as_in_the_tables(
    value: str, printed: str
) -> None:
    assert value_text(value).replace("\u00a0", " ") == printed


def test_a_number_and_its_sign_stand_on_one_line() -> None:
    assert value_text("48.81 % (exactly 41/84)") == "48.81\u00a0% (exactly 41/84)"


def test_what_a_ground_takes_off_is_grouped_and_words_of_people_are_not() -> None:
    assert label_text("less 1005.00: whole set billed") == "less 1,005.00: whole set billed"
    assert label_text("Missing: cable 1005.00 type") == "Missing: cable 1005.00 type"


def test_a_list_whose_parts_have_commas_can_be_told_apart() -> None:
    assert joined(["stand", "arm", "head"]) == "stand, arm and head"
    assert joined(["stand, junior", "arm", "head"]) == "stand, junior; arm; and head"
    assert named(["stand, junior", "arm", "head"], 2) == "stand, junior; arm; and 1 more"
    assert named(["stand", "arm", "head"], 2) == "stand, arm and 1 more"


def test_a_loss_payee_who_is_named_twice_stands_once(write: Write, claim: Claim) -> None:
    policy = claim.policy
    assert policy is not None
    house = claim.parties[0]
    twice = dataclasses.replace(
        policy,
        loss_payee=house.id,
        terms=dataclasses.replace(policy.terms, loss_payees=(LossPayee(name=house.name),)),
    )
    result, _ = write(dataclasses.replace(claim, policy=twice), "insurer")
    text = words_of(result.path)
    assert f"Loss payee {house.name}" in text
    assert f"{house.name} and {house.name}" not in text


def test_what_cannot_be_computed_is_no_nought_and_names_the_line(
    write: Write, claim: Claim
) -> None:
    agreements = tuple(
        dataclasses.replace(one, terms=dataclasses.replace(one.terms, valuation=None))
        for one in claim.agreements
    )
    bare = dataclasses.replace(claim, agreements=agreements, policy=None, invoices=())
    result, request = write(bare, "insurer")
    lacking = [each for one in request.reckoning.occurrences for each in one.lacking]
    assert lacking
    text = words_of(result.path)
    assert "Some amounts cannot be computed yet" in text
    assert "No policy has been recorded for this claim yet" in text
    assert "as far as it can be computed" in text
    for each in lacking:
        assert each not in text


def test_a_name_is_never_torn_from_its_signature(
    claim: Claim, originals: FolderOfOriginals
) -> None:
    signed = claim.counts[0]
    assert len(signed.signatures) == 2
    book = Book(request(claim, originals, "insurer"))
    block = signatures(book, signed)
    _, high = block.wrap(book.text_width, 700)
    assert block.split(book.text_width, high - 2) == []  # else strokes here and names overleaf
    twice = signatures(book, dataclasses.replace(signed, signatures=signed.signatures * 2))
    _, both = twice.wrap(book.text_width, 700)
    parts = twice.split(book.text_width, both - 2)
    for part in (parts[0], parts[-1]):
        assert part.wrap(book.text_width, 700)[1] == pytest.approx(high)


@pytest.mark.parametrize("papers", [8, 9, 10, 11, 12, 13])
def test_the_note_on_attached_pages_never_stands_alone_on_a_page(
    write: Write, claim: Claim, papers: int
) -> None:
    first = claim.documents[0]
    more = tuple(
        dataclasses.replace(first, id=f"paper-{one}", title=f"Paper {one}")
        for one in range(papers - len(claim.documents))
    )
    result, _ = write(dataclasses.replace(claim, documents=(*claim.documents, *more)), "insurer")
    (page,) = [one for one in text_of(result.path).split("\f") if "Attached pages are shown" in one]
    assert "Rental agreement" in page

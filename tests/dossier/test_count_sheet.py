"""The count sheet: the truck's order, a box to write into, and a code that can be scanned."""

from __future__ import annotations

import dataclasses
import io
from pathlib import Path

import pikepdf
import pytest
import zxingcpp
from PIL import Image

from ldapp.claim.claim import Claim
from ldapp.claim.signed_counts import changed_words, signed_state
from ldapp.dossier.preview import page_count, render_preview_page
from tests.dossier.conftest import Write, text_of, words_of


def test_every_line_has_a_code_that_names_it(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "counts")
    found: set[str] = set()
    for page in range(page_count(result.path)):
        picture = Image.open(io.BytesIO(render_preview_page(result.path, page, 4.0)))
        found.update(one.text for one in zxingcpp.read_barcodes(picture.convert("L")))
    assert found == {f"ldapp:2026-014:{line.id}" for line in claim.kit}


def test_lines_stand_grouped_by_where_they_live(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "counts")
    text = text_of(result.path, "-layout")
    places = ["Cart 2", "Truck, belly box", "Truck, left rack", "No place recorded"]
    at = [text.index(place) for place in places]
    assert at == sorted(at)
    assert text.index("Cart 2") < text.index("Fresnel head") < text.index("Truck, belly box")


def test_no_amount_and_no_count_is_on_it(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "counts")
    text = words_of(result.path)
    assert "USD" not in text
    assert "4829" not in text.replace(",", "")


def test_it_says_for_which_count_it_is(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "counts", stage="pickup")
    assert "Count sheet: pickup" in words_of(result.path)


def test_a_signed_count_prints_what_was_counted_and_how_it_was_signed(
    write: Write, claim: Claim
) -> None:
    result, _ = write(claim, "counts", count="c1")
    text = text_of(result.path, "-layout")
    words = words_of(result.path)
    assert "Count as taken: pickup" in words
    assert "Robin Example, for us" in words
    assert "Lee Sample, for the rental company" in words
    assert "Write the number that is there" not in words
    stinger = next(line for line in text.splitlines() if "Stinger 50 ft" in line)
    assert stinger.split("Stinger 50 ft")[1].split()[:2] == ["20", "19"]
    assert "one short, noted on the ticket" in words
    signed = strokes_of(result.path)
    found: set[str] = set()
    for page in range(page_count(result.path)):
        picture = Image.open(io.BytesIO(render_preview_page(result.path, page, 4.0)))
        found.update(one.text for one in zxingcpp.read_barcodes(picture.convert("L")))
    assert found == {f"ldapp:2026-014:{line.id}" for line in claim.kit}
    blank, _ = write(claim, "counts", stage="pickup")
    assert len(signed) == len(strokes_of(blank.path)) + 2  # one curve for each signature


def strokes_of(path: Path) -> list[list[object]]:
    """Return the open lines of more than two points: nothing else on the sheet is drawn so."""
    found = []
    with pikepdf.open(path) as pdf:
        for page in pdf.pages:
            points: list[object] = []
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) == "m":
                    points = [operands]
                elif str(operator) == "l":
                    points.append(operands)
                elif str(operator) == "S" and len(points) > 2:
                    found.append(points)
                    points = []
    return found


def changed_after_signing(claim: Claim) -> Claim:
    """Sign the pickup count as it is and then change what it says of Stinger 50 ft."""
    pickup = claim.counts[0]
    state = signed_state(pickup)
    return dataclasses.replace(
        claim,
        counts=(
            dataclasses.replace(
                pickup,
                signatures=tuple(
                    dataclasses.replace(one, signed=state) for one in pickup.signatures
                ),
                entries=tuple(
                    dataclasses.replace(one, quantity=15) if one.line == "l3" else one
                    for one in pickup.entries
                ),
            ),
            *claim.counts[1:],
        ),
    )


@pytest.mark.parametrize("version", ["counts", "insurer", "dispute"])
def test_no_signature_stands_silently_under_what_was_not_signed(
    write: Write, claim: Claim, version: str
) -> None:
    more = {"count": "c1"} if version == "counts" else {}
    number = next(line.number for line in claim.kit if line.id == "l3")
    signed = dataclasses.replace(
        changed_after_signing(claim),
        counts=tuple(
            dataclasses.replace(one, entries=claim.counts[0].entries) if one.id == "c1" else one
            for one in changed_after_signing(claim).counts
        ),
    )
    assert "after signing" not in words_of(write(signed, version, **more)[0].path)
    assert "after signing" not in words_of(write(claim, version, **more)[0].path)
    words = words_of(write(changed_after_signing(claim), version, **more)[0].path)
    assert f"Lee Sample; changed after signing: line {number}" in words
    assert words.count("signed before the count was changed") == 2
    assert "one short, noted on the ticket; changed after signing" in words
    if version == "insurer":
        assert "signed by both sides; changed after signing" in words, "the line's own sheet"


def test_lines_of_another_agreement_are_not_told_of(claim: Claim) -> None:
    of = changed_after_signing(claim)
    assert changed_words(of.counts[0], of.kit, {"l3"}) != ""
    assert changed_words(of.counts[0], of.kit, {"l1"}) == ""

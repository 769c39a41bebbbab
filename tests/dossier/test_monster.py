"""The claim that is as unpleasant as claims get, read back by two independent readers."""

from __future__ import annotations

import re
import subprocess
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

import pypdf
import pytest

from ldapp.dossier.formats import amount_text, photo_time_text
from ldapp.dossier.request import DossierRequest
from ldapp.dossier.write import write_dossier
from tests.dossier.conftest import text_of
from tests.dossier.monster_claim import NAMES, monster_claim, monster_request
from tests.dossier.small_claim import FolderOfOriginals
from tests.dossier.test_pages import assert_well_set


class Monster(NamedTuple):
    request: DossierRequest
    path: Path
    texts: dict[str, str]
    """By the name of the reader: the text, every run of white space a blank."""
    laid_out: str


@pytest.fixture(
    scope="module",
    params=[("insurer", "USD"), ("dispute", "USD"), ("dispute", "JPY")],
    ids="-".join,
)
def monster(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Monster:
    version, currency = request.param
    folder = tmp_path_factory.mktemp(f"{version}-{currency}")
    originals = FolderOfOriginals(folder / "originals")
    claim = monster_claim(originals, findings=28, photos=12, exhibits=11, currency=currency)
    wanted = monster_request(claim, originals, version)
    path = write_dossier(wanted, folder / "monster.pdf").path
    texts = {
        "poppler": text_of(path),
        "pypdf": "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages),
    }
    plain = {name: " ".join(one.replace("\u00a0", " ").split()) for name, one in texts.items()}
    return Monster(wanted, path, plain, text_of(path, "-layout"))


def written(monster: Monster, amount: Decimal) -> str:
    return amount_text(amount, monster.request.claim.currency).replace("\u00a0", " ")


def test_both_readers_find_every_amount_of_the_reckoning(monster: Monster) -> None:
    reckoning = monster.request.reckoning
    wanted = [
        amount
        for one in reckoning.charges
        for amount in (one.billed, one.owed, one.disputed, *(-g.amount for g in one.grounds))
    ]
    if monster.request.version == "insurer":
        wanted = [one.owed for one in reckoning.findings if one.owed is not None]
        totals = reckoning.totals
        wanted += [totals.loss, totals.policy, totals.renter, totals.billed, totals.disputed]
    assert len(wanted) >= 28
    assert max(wanted) > 99_999_999
    for reader, text in monster.texts.items():
        # One of the readers parts a sign from its number where the font changes.
        read = text.replace("− ", "−")
        missing = {written(monster, one) for one in wanted if written(monster, one) not in read}
        assert not missing, reader


def test_a_currency_without_decimals_prints_none(monster: Monster) -> None:
    decimals = re.findall(r"\d{1,3}(?:,\d{3})+\.\d\d\b", monster.texts["poppler"])
    assert bool(decimals) == (monster.request.claim.currency == "USD")


def test_no_heading_stands_alone_and_no_page_is_empty(monster: Monster) -> None:
    assert_well_set(monster.path, monster.request.claim.title)


def test_both_readers_find_every_hash_and_every_time_of_a_photo(monster: Monster) -> None:
    for text in monster.texts.values():
        closed = text.replace(" ", "")
        for photo in monster.request.claim.photos:
            assert photo.facts.sha256 in closed
            verdict = monster.request.verdicts[photo.id]
            time = photo_time_text(verdict).replace("\u00a0", " ")
            assert time.replace(" ", "") in closed


def rows_of_summary(monster: Monster) -> tuple[list[list[Decimal]], list[Decimal]]:
    """Return the amounts of the summary's rows and of the total below them."""
    summary = monster.laid_out
    summary = summary[re.search(r"^\s*(What is claimed|The charges)$", summary, re.M).end() :]  # type: ignore[union-attr]
    rows: list[list[Decimal]] = []
    number = r"[−]?\d{1,3}(?:,\d{3})*(?:\.\d\d)?"
    for line in summary.splitlines():
        tail = re.search(rf"((?:\s{{2,}}{number}){{3}})$", line.rstrip())
        if tail is None:
            continue
        amounts = [
            Decimal(one.replace(",", "").replace("−", "-"))
            for one in re.findall(number, tail.group(1))
        ]
        if line.strip().startswith("Total"):
            return rows, amounts
        rows.append(amounts)
    raise AssertionError("no total")


def test_the_total_on_the_page_is_the_sum_of_the_rows_on_the_page(monster: Monster) -> None:
    rows, total = rows_of_summary(monster)
    assert len(rows) == 28
    assert [sum(column) for column in zip(*rows, strict=True)] == total


def test_amounts_of_a_column_stand_on_their_decimal_points(monster: Monster) -> None:
    """Every amount of the last column ends at the same place of the page."""
    done = subprocess.run(
        ["pdftotext", "-tsv", "-enc", "UTF-8", str(monster.path), "-"],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    ends = set()
    biggest = written(monster, max(one.billed for one in monster.request.reckoning.charges))
    words = [line.split("\t") for line in done.stdout.splitlines()[1:]]
    pages = {word[1] for word in words if word[11] == biggest}
    page = min(pages, key=int)
    column = next(float(w[6]) + float(w[8]) for w in words if w[11] == biggest and w[1] == page)
    for word in words:
        end = float(word[6]) + float(word[8])
        if word[1] == page and re.fullmatch(r"[\d,]+(\.\d\d)?", word[11]) and abs(end - column) < 3:
            ends.add(round(end, 1))
    assert len(ends) == 1


@pytest.mark.parametrize("name", [2, 3, 6, 8, 9])
def test_names_print_as_themselves(monster: Monster, name: int) -> None:
    assert NAMES[name][:40] in monster.texts["poppler"]


def test_the_checker_of_the_syntax_has_no_complaint(monster: Monster) -> None:
    done = subprocess.run(
        ["qpdf", "--check", str(monster.path)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "WARNING" not in done.stdout + done.stderr

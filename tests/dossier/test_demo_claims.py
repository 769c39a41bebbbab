"""Every version of every demo claim: the same bytes twice, sound, complete, and discreet."""

from __future__ import annotations

import dataclasses
import datetime as dt
import subprocess
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

import pytest

from ldapp.casework import dossier
from ldapp.casework.originals import FolderOriginals
from ldapp.casework.reckoning import reckon_claim
from ldapp.claim.claim import Claim
from ldapp.dossier.formats import amount_text
from ldapp.dossier.request import Version
from ldapp.exchange.claim_file import read_claim_file
from ldapp.reckoning.result import Reckoning
from tests.dossier.conftest import words_of
from tests.dossier.test_who_may_read_what import everything_in

FOLDER = Path(__file__).parents[2] / "demo_claims"
CLAIMS = ("harbour_lights", "paper_lanterns", "the_long_ferry")
VERSIONS: tuple[Version, ...] = ("insurer", "dispute", "photos", "counts")
DAY = dt.date(2026, 11, 25)
NOTE = "only-we-may-read-this"


class Demo(NamedTuple):
    """A demo claim with what follows from it and one written version."""

    claim: Claim
    reckoning: Reckoning
    version: Version
    path: Path
    again: Path


def without_mark(name: str) -> str:
    """Return an invented party's name as a person would know it again."""
    return name.replace("(invented)", "").strip()


@pytest.fixture(scope="module", params=[(one, two) for one in CLAIMS for two in VERSIONS],
                ids="-".join)  # fmt: skip
def demo(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Write one version of one claim twice."""
    name, version = request.param
    folder = FOLDER / name
    claim = dataclasses.replace(read_claim_file(folder / "claim.json"), note=NOTE)
    originals = FolderOriginals(claim, folder)
    target = tmp_path_factory.mktemp(f"{name}-{version}")
    choices = dossier.Choices(version, DAY)
    first = dossier.write(claim, originals, choices, target / "first.pdf")
    again = dossier.write(claim, originals, choices, target / "folder" / "second.pdf")
    return Demo(claim, reckon_claim(claim), version, first.paths[0], again.paths[0])


def test_the_same_bytes_and_nothing_for_the_syntax_checker(demo: Demo) -> None:
    assert demo.path.read_bytes() == demo.again.read_bytes()
    done = subprocess.run(
        ["qpdf", "--check", str(demo.path)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "WARNING" not in done.stdout + done.stderr


def amounts_that_must_be_read(demo: Demo) -> dict[str, Decimal | None]:
    """Return the amounts that this version owes its reader, by what they are."""
    totals = demo.reckoning.totals
    wanted: dict[str, Decimal | None] = {}
    if demo.version in ("insurer", "dispute"):
        for one in demo.reckoning.charges:
            for name in ("billed", "owed", "disputed"):
                wanted[f"charge {one.charge}: {name}"] = getattr(one, name)
            # Why less is owed is an answer to the rental company, not to the insurer.
            for ground in one.grounds if demo.version == "dispute" else ():
                wanted[f"charge {one.charge}: {ground.code}"] = -ground.amount
    if demo.version == "dispute" and demo.reckoning.charges:
        for name in ("billed", "owed", "disputed"):
            wanted[f"total {name}"] = getattr(totals, name)
    if demo.version == "insurer":
        for name in ("loss", "waiver", "policy", "other_insurance", "held_back", "renter"):
            wanted[f"total {name}"] = getattr(totals, name)
        for finding in demo.reckoning.findings:
            wanted[f"finding {finding.finding}"] = finding.owed
        for occurrence in demo.reckoning.occurrences:
            for name in ("loss", "waiver", "policy", "held_back", "renter", "deductible"):
                wanted[f"occurrence {occurrence.occurrence}: {name}"] = getattr(occurrence, name)
    return wanted


def test_every_amount_of_totals_and_charges_is_in_the_text(demo: Demo) -> None:
    text = words_of(demo.path)
    missing = {
        what: amount
        for what, amount in amounts_that_must_be_read(demo).items()
        if amount is not None
        and amount_text(amount, demo.claim.currency).replace("\u00a0", " ") not in text
    }
    assert not missing
    if demo.version == "insurer":
        assert len(amounts_that_must_be_read(demo)) >= 30


def test_nothing_in_it_is_a_fault_of_the_program(demo: Demo) -> None:
    text = words_of(demo.path)
    for sign in ("Traceback", "Error(", "None", "Decimal(", "Fraction(", "datetime.", "object at"):
        assert sign not in text
    assert "\ufffd" not in text
    assert "(cid:" not in text


def forbidden_words(claim: Claim) -> tuple[str, ...]:
    """Return what the rental company must never read."""
    hidden = [
        without_mark(party.name)
        for party in claim.parties
        if party.role in ("insurer", "broker", "student")
    ]
    policy = claim.policy
    if policy is not None:
        hidden += [policy.number, policy.claim_number]
    return tuple(one for one in hidden if one)


def on_attached_papers(demo: Demo, word: str) -> int:
    """Count a word on the papers that the person let the rental company have."""
    name = next(one for one in CLAIMS if f"demo-{one.replace('_', '-')}" == demo.claim.id)
    return sum(
        words_of(FOLDER / name / paper.path).casefold().count(word.casefold())
        for paper in demo.claim.documents
        if not paper.private and paper.path.endswith(".pdf")
    )


def test_the_rental_company_reads_nothing_that_is_not_for_it(demo: Demo) -> None:
    """A name may stand on a paper that both signed; the program itself writes it nowhere."""
    if demo.version == "insurer":
        return
    text = everything_in(demo.path).casefold()
    for word in forbidden_words(demo.claim):
        attached = on_attached_papers(demo, word) if demo.version == "dispute" else 0
        assert text.count(word.casefold()) <= attached, word
    assert NOTE not in text

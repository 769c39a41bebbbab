"""A dossier in German: whole in that language, as exact, discreet and repeatable as in English."""

from __future__ import annotations

import dataclasses
import io
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

import pikepdf
import pypdfium2
import pytest

from ldapp.casework import dossier
from ldapp.casework.originals import FolderOriginals
from ldapp.casework.reckoning import reckon_claim
from ldapp.catalogues import make_languages_known
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Signature
from ldapp.claim.documents import ChargeOffer
from ldapp.cli import main
from ldapp.dossier.formats import amount_text, date_text, quantity_text, size_text, utc_text
from ldapp.dossier.request import Version
from ldapp.dossier.step_text import label_text, number_in_place, value_text
from ldapp.dossier.student_notice import NoticePayment, notice_pdf
from ldapp.dossier.write import write_dossier
from ldapp.exchange.claim_file import read_claim_file
from ldapp.language import language, said, speaking
from ldapp.reckoning.engine import reckon
from ldapp.reckoning.workings import AGAINST_IT, RESTS_ON
from tests.dossier.conftest import Write, words_of
from tests.dossier.small_claim import FolderOfOriginals, at, request
from tests.dossier.test_demo_claims import (
    CLAIMS,
    DAY,
    FOLDER,
    Demo,
    amounts_that_must_be_read,
    forbidden_words,
    on_attached_papers,
)
from tests.dossier.test_numbers import steps_of
from tests.dossier.test_same_bytes import IN_ANOTHER_PLACE, ROOT, digest
from tests.dossier.test_second_round import DATE, FIRST, entry, logged
from tests.dossier.test_student_notice import notice
from tests.dossier.test_student_notice import words as notice_words
from tests.dossier.test_who_may_read_what import SECRETS, everything_in
from tests.languages.catalogue import read_part

WORDING = ROOT / "resources" / "wording"
PRINTED_PARTS = ("casework", "claim", "dossier", "evidence", "reckoning")
"""Parts of the catalogue whose sentences are printed."""
_PLACE = re.compile(r"\{[^{}]*\}")


@pytest.fixture(autouse=True, scope="module")
def german_is_known() -> None:
    make_languages_known()


@pytest.fixture
def german() -> Iterator[None]:
    with speaking("de"):
        yield


class InGerman(NamedTuple):
    """One version of a demo claim in German, with its text as two independent readers see it."""

    demo: Demo
    texts: tuple[str, str]
    written: dossier.Written


def flat(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").split())


def text_by_another_reader(path: Path) -> str:
    document = pypdfium2.PdfDocument(path)
    try:
        pages = [
            document[number].get_textpage().get_text_range() for number in range(len(document))
        ]
    finally:
        document.close()
    return flat(" ".join(pages))


def in_german(number: Decimal, digits: int = 2) -> str:
    """Write an amount as it is written in German, without the program's own forms."""
    text = f"{abs(number):,.{digits}f}".translate({ord(","): ".", ord("."): ","})
    return f"\u2212{text}" if number < 0 else text


@pytest.fixture(
    scope="module",
    params=[(one, two) for one in CLAIMS for two in ("insurer", "dispute")],
    ids="-".join,
)
def whole(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> InGerman:
    """Write one version of one demo claim in German, out of an English program."""
    name: str = request.param[0]
    version: Version = request.param[1]
    claim = read_claim_file(FOLDER / name / "claim.json")
    originals = FolderOriginals(claim, FOLDER / name)
    folder = tmp_path_factory.mktemp(f"{name}-{version}")
    assert language() == "en"
    choices = dossier.Choices(version, DAY, language="de")
    # The reckoning that the window has at hand is English, and must not be printed.
    at_hand = reckon_claim(claim, as_of=DAY)
    written = dossier.write(claim, originals, choices, folder / "deutsch.pdf", reckoning=at_hand)
    with speaking("de"):
        reckoning = reckon_claim(claim, as_of=DAY)
    path = written.paths[0]
    demo = Demo(claim, reckoning, version, path, path)
    return InGerman(demo, (flat(words_of(path)), text_by_another_reader(path)), written)


def test_every_amount_of_totals_and_charges_stands_in_its_german_form(whole: InGerman) -> None:
    wanted = {
        what: amount
        for what, amount in amounts_that_must_be_read(whole.demo).items()
        if amount is not None
    }
    assert wanted or not whole.demo.reckoning.charges
    for text in whole.texts:
        assert not {what for what, one in wanted.items() if in_german(one) not in text}


def test_every_step_of_a_working_is_said_in_german(whole: InGerman, german: None) -> None:
    claim, reckoning, version = whole.demo.claim, whole.demo.reckoning, whole.demo.version
    first = claim.invoices[0].agreement if claim.invoices else ""
    shown = {one.id for one in claim.invoices if version == "insurer" or one.agreement == first}
    workings = [one.working for one in reckoning.charges if one.invoice in shown]
    if version == "insurer":
        workings += [one.working for one in reckoning.occurrences]
        workings += [one.working for one in reckoning.findings]
    steps = [step for working in workings for step in steps_of(working)]
    amounts = {in_german(step.amount) for step in steps if step.amount is not None}
    for text in whole.texts:
        assert {one for one in amounts if one not in text} == set()
    labels = {flat(label_text(step.label)) for step in steps}
    assert {one for one in labels if one not in whole.texts[0]} == set()
    assert steps or not reckoning.charges


def _forms(text: str | Sequence[str]) -> list[str]:
    """Return the one form of a sentence, or those for one and for many."""
    return [text] if isinstance(text, str) else list(text)


def english_pieces(part: str) -> Iterator[str]:
    """Give what an English sentence of a catalogue would leave in print, where it is long."""
    for message in read_part("de", part):
        if not message.id:
            continue
        english, german = _forms(message.id), _forms(message.string or "")
        for one in english:
            for piece in map(flat, _PLACE.split(one)):
                if len(piece) > 20 and not any(piece in flat(other) for other in german):
                    yield piece


def test_no_english_sentence_is_left_in_it(whole: InGerman) -> None:
    name = next(one for one in CLAIMS if f"demo-{one.replace('_', '-')}" == whole.demo.claim.id)
    own = flat((FOLDER / name / "claim.json").read_text(encoding="utf-8"))
    papers = "".join(
        flat(words_of(FOLDER / name / paper.path))
        for paper in whole.demo.claim.documents
        if paper.path.endswith(".pdf")
    )
    pieces = {one for part in PRINTED_PARTS for one in english_pieces(part)}
    assert len(pieces) > 300
    left = [
        piece
        for piece in pieces
        if piece not in own and piece not in papers and any(piece in text for text in whole.texts)
    ]
    assert not left


def test_what_it_falls_short_of_is_told_in_the_language_of_the_program(whole: InGerman) -> None:
    told = " ".join(whole.written.short_of_complete)
    german = [
        piece
        for part in PRINTED_PARTS
        for message in read_part("de", part)
        for one in _forms(message.string or "")
        for piece in map(flat, _PLACE.split(one))
        if len(piece) > 12
    ]
    assert not [piece for piece in german if piece in told]
    if whole.demo.claim.id == "demo-the-long-ferry" and whole.demo.version == "dispute":
        # The same sentence stands in print, in the language of the dossier.
        assert "Its pages are not enclosed" in told
        assert "Ihre Seiten liegen nicht bei" in whole.texts[0]


def test_the_rental_company_reads_nothing_that_is_not_for_it(whole: InGerman) -> None:
    if whole.demo.version != "dispute":
        return
    text = everything_in(whole.demo.path)
    for word in forbidden_words(whole.demo.claim):
        of_papers = on_attached_papers(whole.demo, word)
        assert text.casefold().count(word.casefold()) <= of_papers, word
    with speaking("de"):
        for name in (RESTS_ON, AGAINST_IT):
            assert f"{said(name)}:" not in whole.texts[0]


@pytest.mark.parametrize("version", ["dispute", "photos", "counts"])
def test_nothing_of_the_other_side_of_the_desk_is_in_the_file(
    write: Write, claim: Claim, version: str, german: None
) -> None:
    result, wanted = write(claim, version)
    assert wanted.language == "de"
    text = everything_in(result.path)
    for secret in SECRETS:
        assert secret.casefold() not in text.casefold(), secret
    for amount in ("92,00", "777,96"):
        assert f"USD {amount}" not in flat(text)


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos", "counts"])
def test_the_same_bytes_in_another_zone_locale_and_folder(
    write: Write, claim: Claim, tmp_path: Path, version: str, german: None
) -> None:
    result, _ = write(claim, version)
    in_german_there = (
        "from ldapp.catalogues import speak_as_asked; speak_as_asked()\n" + IN_ANOTHER_PLACE
    )
    for locale, zone in (("en_US.UTF-8", "America/Denver"), ("C", "Pacific/Kiritimati")):
        folder = tmp_path / zone.replace("/", "-")
        subprocess.run(
            [sys.executable, "-c", in_german_there, str(folder), version],
            check=True,
            cwd=ROOT,
            env={**os.environ, "LDAPP_LANGUAGE": "de", "LC_ALL": locale, "TZ": zone},
        )
        assert digest(result.path) == digest(folder / "x.pdf")


def test_the_file_says_that_it_is_german_and_names_its_places_so(
    write: Write, claim: Claim, german: None
) -> None:
    result, _ = write(claim, "insurer")
    with pikepdf.open(result.path) as pdf:
        assert str(pdf.Root.Lang) == "de"
        assert "<rdf:li>de</rdf:li>" in pdf.Root.Metadata.read_bytes().decode()
        assert str(pdf.docinfo["/Title"]) == "Schadenmeldung · 2026-014 · The Quiet Harbour"
        assert flat(str(pdf.docinfo["/Subject"])) == "Schadenfall 2026-014, 20. März 2026"
        assert [one.description for one in pdf.attachments.values()] == [
            "Der Schadenfall als Daten",
            "SHA-256 der Originale",
        ]
        with pdf.open_outline() as outline:
            titles = [one.title for one in outline.root]
    assert titles[:2] == ["Zusammenfassung", "Schadenmeldung"]
    text = flat(words_of(result.path))
    assert f"Seite 1 von {result.pages}" in text
    assert re.search(r"Anlage A, Seite 1 von \d", text)


def test_what_is_attached_is_the_same_data_in_every_language(write: Write, claim: Claim) -> None:
    english, _ = write(claim, "insurer")
    files = {}
    with pikepdf.open(english.path) as pdf:
        files["en"] = {name: one.get_file().read_bytes() for name, one in pdf.attachments.items()}
    with speaking("de"):
        german, _ = write(claim, "insurer")
    with pikepdf.open(german.path) as pdf:
        files["de"] = {name: one.get_file().read_bytes() for name, one in pdf.attachments.items()}
    assert files["en"] == files["de"]


def test_who_waits_for_a_german_dossier_is_told_in_the_language_of_the_program(
    claim: Claim, originals: FolderOfOriginals, tmp_path: Path
) -> None:
    with speaking("de"):
        reckoning = reckon(claim)
    wanted = request(claim, originals, "dispute", language="de", reckoning=reckoning)
    told: list[str] = []
    result = write_dossier(
        wanted, tmp_path / "deutsch.pdf", lambda done, total, text="": told.append(text)
    )
    assert "Sehr geehrte Damen und Herren," in words_of(result.path)
    assert language() == "en"
    assert told[0] == "Gathering"
    assert "Finishing" in told
    assert any(one.startswith("Drawing page ") for one in told)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (lambda: amount_text(Decimal("-1234.5"), "USD"), "\u22121.234,50"),
        (lambda: amount_text(Decimal("1234567"), "JPY"), "1.234.567"),
        (lambda: quantity_text(Decimal("2.50")), "2,5"),
        (lambda: date_text(at(2, 9).date()), "2.\u00a0März\u00a02026"),
        (lambda: utc_text(at(2, 9)), "02.03.2026 16:00:00 UTC"),
        (lambda: size_text(1234567), "1.234.567 Byte"),
        (lambda: value_text("12345.5"), "12.345,5"),
        (lambda: value_text("0.75"), "0,75"),
        (lambda: value_text("2026-03-02"), "2.\u00a0März\u00a02026"),
        (lambda: value_text("clause 7.1"), "clause 7.1"),
        (lambda: number_in_place("1.5"), "1,5"),
        (lambda: number_in_place("version 1.5"), "version 1.5"),
    ],
)
def test_numbers_and_days_have_their_local_form(text: object, wanted: str, german: None) -> None:
    assert callable(text)
    assert text() == wanted


def _shape(value: object) -> object:
    """Return a wording's keys, conditions and placeholders, without its words."""
    if isinstance(value, dict):
        return {
            key: inner if key in ("when", "list") else _shape(inner) for key, inner in value.items()
        }
    if isinstance(value, list):
        return [_shape(one) for one in value]
    return sorted(_PLACE.findall(value)) if isinstance(value, str) else value


@pytest.mark.parametrize("name", ["letters.toml", "student_notice.toml"])
def test_the_german_wording_has_every_key_condition_and_placeholder(name: str) -> None:
    english, german = (
        tomllib.loads((folder / name).read_text(encoding="utf-8"))
        for folder in (WORDING, WORDING / "de")
    )
    assert _shape(english) == _shape(german)
    assert english != german


def test_a_letter_in_german_threatens_nobody_and_admits_nothing() -> None:
    text = (WORDING / "de" / "letters.toml").read_text(encoding="utf-8").casefold()
    for word in ("klage", "anwalt", "gericht", "mahnung", "strafanzeige", "anerkannt,", "verzug"):
        assert word not in text


def test_choices_take_the_language_that_is_spoken(german: None) -> None:
    assert dossier.Choices("insurer", DAY).language == "de"
    assert dataclasses.replace(dossier.Choices("insurer", DAY), language="en").language == "en"


def test_a_second_letter_in_german_refers_to_the_first(
    write: Write, claim: Claim, german: None
) -> None:
    invoice = claim.invoices[0]
    first, second, third = invoice.charges[:3]
    charges = (first, second, dataclasses.replace(third, settled=Decimal("120.00")))
    claim = dataclasses.replace(
        claim, invoices=(dataclasses.replace(invoice, charges=charges, net=None, gross=None),)
    )
    offers = (ChargeOffer(invoice=invoice.id, charge=first.id, amount=Decimal("1200.50")),)
    result, _ = write(
        logged(
            claim,
            FIRST,
            entry("e2", 9, "received", "offer", offers=offers),
            entry("e3", 12, "sent", "payment", paid=Decimal("120.00")),
        ),
        "dispute",
        date=DATE,
    )
    words = flat(words_of(result.path))
    assert "Wir beziehen uns auf unser Schreiben vom 1. Juni 2026." in words
    assert "Ihre Antwort vom 9. Juni 2026 hat uns erreicht" in words
    assert f"für USD 1.200,50 zu erledigen: Position {first.number}." in words
    assert f"vereinbart: Position {third.number}, für zusammen USD 120,00" in words
    assert "USD 120,00 sind an Sie gezahlt." in words
    assert "Ihr Angebot USD 1.200,50" in words


def test_a_signed_count_in_german_names_who_signed_for_whom(
    write: Write, claim: Claim, german: None
) -> None:
    count = claim.counts[0]
    stroke = ((0.1, 0.5), (0.9, 0.5))
    signed = dataclasses.replace(
        count,
        signatures=(
            Signature(name="Robin Example", side="ours", at=at(2, 9), strokes=(stroke,)),
            Signature(name="Lee Counter", side="theirs", at=at(2, 9), strokes=(stroke,)),
        ),
    )
    claim = dataclasses.replace(claim, counts=(signed, *claim.counts[1:]))
    result, _ = write(claim, "counts", count=count.id)
    words = flat(words_of(result.path))
    assert "Zählung wie erfasst: Abholung" in words
    assert "Robin Example, für uns 2. März 2026, 09:00 UTC−07:00" in words
    assert "Lee Counter, für den Vermieter 2. März 2026" in words
    assert "Unterschrift von Robin Example" in everything_in(result.path)


def test_volumes_in_german_name_each_other(write: Write, claim: Claim, german: None) -> None:
    result, _ = write(claim, "insurer", size_budget=300_000)
    assert len(result.paths) > 1
    first, second = (flat(words_of(path)) for path in result.paths[:2])
    volumes = len(result.paths)
    assert re.search(rf"Band 1 von {volumes} · Seite 1 von \d+", first)
    assert f"Band 2 von {volumes}" in second
    assert "Was wo steht" in first
    assert "Band 2 (dieser)" in second
    assert "Bd. 2, S. " in first
    assert result.paths[1].name == "insurer volume 2.pdf"  # what a program looks for has one name


def test_the_command_line_writes_in_the_language_that_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    example = str(ROOT / "resources" / "examples" / "dispute.json")
    call = ["dossier", example, "--version", "dispute", "--date", "2026-11-25"]
    files = {one: tmp_path / f"{one}.pdf" for one in ("de", "en", "unasked")}
    for one, path in files.items():
        asked = [] if one == "unasked" else ["--language", one]
        assert main([*call, "--out", str(path), *asked]) == 0
    assert "Mit freundlichen Grüßen" in words_of(files["de"])
    assert files["unasked"].read_bytes() == files["en"].read_bytes()
    assert "Yours faithfully," in words_of(files["en"])
    capsys.readouterr()
    with pytest.raises(SystemExit):
        main([*call, "--out", str(tmp_path / "x.pdf"), "--language", "poetry"])
    assert "poetry is none of en, de" in capsys.readouterr().err


def test_a_student_is_told_its_part_in_german(german: None) -> None:
    alone = notice(sender=None, payments=(NoticePayment(DAY, Decimal("1040.50"), own=True),))
    text = flat(notice_words(alone))
    assert "Ihr Anteil" in text
    assert "nach der Regel von der Schule" in text
    assert "25. November 2026 Ihnen USD 1.040,50" in text
    with pikepdf.open(io.BytesIO(notice_pdf(alone))) as pdf:
        assert str(pdf.Root.Lang) == "de"

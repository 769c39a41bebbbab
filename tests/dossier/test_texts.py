"""Words of people print as themselves, in every script, at every length, and do nothing."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

import pikepdf
import pytest

from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from ldapp.claim.policy import Deductible
from ldapp.dossier.fonts import Typesetter, runs_of
from ldapp.dossier.request import LetterWords
from ldapp.dossier.style import BODY
from ldapp.dossier.text import Span, Text
from ldapp.errors import Cancelled
from tests.dossier.conftest import Write, text_of, words_of

MARKUP = (
    "<b>bold</b> <a href='http://x.example'>y</a> &amp; &lt; <img src=/etc/passwd> "
    "=SUM(A1:A9) {0} {title} %s %(x)s '; DROP TABLE claims; -- ../../etc/passwd C:\\temp \\n"
)
LONG = "The description goes on and on with detail " * 48


def with_narrative(claim: Claim, words: str) -> Claim:
    return dataclasses.replace(
        claim,
        occurrences=tuple(dataclasses.replace(one, narrative=words) for one in claim.occurrences),
    )


def test_markup_prints_as_itself_and_makes_no_link(write: Write, claim: Claim) -> None:
    result, _ = write(with_narrative(claim, MARKUP), "insurer")
    assert " ".join(MARKUP.split()) in words_of(result.path)
    with pikepdf.open(result.path) as pdf:
        for page in pdf.pages:
            for note in page.obj.get("/Annots", []):
                assert "/URI" not in str(note.get("/A", ""))
        assert "/JavaScript" not in pdf.Root.get("/Names", {})
        assert "/OpenAction" not in pdf.Root


def test_words_in_the_letter_are_not_filled_in_twice(write: Write, claim: Claim) -> None:
    trap = dataclasses.replace(claim, title="The {policy_number} of {loss}")
    result, _ = write(trap, "insurer")
    letter = text_of(result.path, "-f", "1", "-l", "1")
    assert "The {policy_number} of {loss}" in " ".join(letter.split())


def test_control_characters_become_visible_marks_and_are_listed(write: Write, claim: Claim) -> None:
    result, _ = write(with_narrative(claim, "before\u202eafter\x07bell\x00nul"), "insurer")
    assert "before[U+202E]after[U+0007]bell[U+0000]nul" in words_of(result.path)
    (said,) = [one for one in result.fell_short if "cannot be printed" in one]
    assert "U+0000, U+0007, U+202E" in said


def test_a_character_without_a_glyph_becomes_a_mark_not_an_empty_box(
    write: Write, claim: Claim
) -> None:
    result, _ = write(with_narrative(claim, "smile \U0001f600 done"), "insurer")
    assert "smile [U+1F600] done" in words_of(result.path)
    assert any("U+1F600" in one for one in result.fell_short)


@pytest.mark.parametrize(
    "words",
    [
        "Ελληνικά με τόνους",
        "Кириллица с буквой ё",
        "Ñandú, Łódź, Çeşme, naïve",
        "中文灯具损坏",
        "日本語カメラ",
        "조명 스탠드 열두 개가 없습니다",
        "हिन्दी में क्षत्रिय",
        "ภาษาไทยที่นี่",
        "Հայերեն",
        "ქართული",
        "a ≥ b − c → d ½ ✓",
    ],
)
def test_left_to_right_scripts_can_be_read_back(write: Write, claim: Claim, words: str) -> None:
    result, _ = write(with_narrative(claim, f"[{words}]"), "insurer")
    assert f"[{words}]" in words_of(result.path)
    assert result.fell_short == ()


@pytest.mark.parametrize("words", ["مرحبا", "שלום"])
def test_right_to_left_words_are_joined_and_read_back(
    write: Write, claim: Claim, words: str
) -> None:
    result, _ = write(with_narrative(claim, words), "insurer")
    assert words in text_of(result.path) or words[::-1] in text_of(result.path)
    assert result.fell_short == ()


def test_combining_accents_are_composed(write: Write, claim: Claim) -> None:
    result, _ = write(with_narrative(claim, "Rene\u0301 and n\u0303"), "insurer")
    assert "René and ñ" in words_of(result.path)


def test_two_thousand_characters_print_in_full(write: Write, claim: Claim) -> None:
    lines = (
        dataclasses.replace(claim.kit[0], description=LONG.strip()),
        dataclasses.replace(claim.kit[1], description="X" * 2000),
        *claim.kit[2:],
    )
    result, _ = write(dataclasses.replace(claim, kit=lines), "insurer")
    text = words_of(result.path)
    assert " ".join(LONG.split()) in text
    assert "".join(text.split()).count("X" * 60) >= 30


def test_two_thousand_lines_print_in_order(write: Write, claim: Claim) -> None:
    kit = tuple(
        KitLine(
            id=f"k{number}",
            number=str(number),
            agreement="a1",
            description=f"Thing {number}",
            quantity=1,
            location=f"Case {number // 300}",
        )
        for number in range(2000)
    )
    bare = dataclasses.replace(
        claim, kit=kit, findings=(), invoices=(), counts=(), movements=(), photos=()
    )
    result, _ = write(bare, "counts")
    text = words_of(result.path)
    assert text.index("Thing 1 ") < text.index("Thing 1999 ")
    assert text.count("Thing ") == 2000


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos", "counts"])
def test_an_empty_claim_says_what_is_not_there(write: Write, version: str) -> None:
    empty = Claim(id="e", reference="E-1", currency="JPY", zone="Asia/Tokyo")
    result, _ = write(empty, version, verdicts={}, journal=(), journal_head="")
    has_letter = version in ("insurer", "dispute")
    assert len(result.fell_short) == (1 if has_letter else 0)
    text = words_of(result.path)
    assert "E-1" in text
    assert "None" not in text
    said = {
        "insurer": "No finding has been recorded so far.",
        "dispute": "No charge has been billed so far.",
        "photos": "No photo has been taken in.",
        "counts": "The kit list is empty.",
    }
    assert said[version] in text


def test_the_letter_never_accepts_admits_or_threatens(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute")
    text = words_of(result.path).casefold()
    for word in ("accepted", "we accept", "we admit", "our fault", "lawyer", "court", "sue "):
        assert word not in text
    for said in ("no admission of liability", "all rights are reserved", "not disputed"):
        assert said in text
    assert "by 3 april 2026" in text


def test_the_letter_to_the_insurer_asks_for_what_the_reckoning_gives(
    write: Write, claim: Claim
) -> None:
    paid, wanted = write(claim, "insurer")
    assert f"USD {wanted.reckoning.totals.policy} is payable under it" in words_of(paid.path)
    uninsured, _ = write(dataclasses.replace(claim, policy=None), "insurer")
    assert "No policy has been recorded for this claim yet" in words_of(uninsured.path)
    assert "pay this amount" not in words_of(uninsured.path)
    assert claim.policy is not None
    dear = dataclasses.replace(
        claim.policy.terms,
        deductibles=(Deductible(form="flat", amount=Decimal("9000.00")),),
    )
    nothing, _ = write(
        dataclasses.replace(claim, policy=dataclasses.replace(claim.policy, terms=dear)), "insurer"
    )
    assert "nothing of it is payable" in words_of(nothing.path)
    assert "pay this amount" not in words_of(nothing.path)


def test_words_of_ones_own_replace_the_usual_letter(write: Write, claim: Claim) -> None:
    own = LetterWords(
        subject="About <the> invoice",
        salutation="Dear Lee,",
        paragraphs=("First & last words.",),
        closing="Kind regards,",
        signed_by="R. Example",
    )
    result, wanted = write(claim, "dispute", letter=own)
    letter = " ".join(text_of(result.path, "-f", "1", "-l", "1").split())
    for said in (
        "About <the> invoice",
        "Dear Lee,",
        "First & last words.",
        "Kind regards,",
        "R. Example",
    ):
        assert said in letter
    assert "We have compared" not in letter
    disputed = wanted.reckoning.totals.disputed
    assert disputed > 0
    assert f"USD {disputed:,.2f}" in letter.replace("\u00a0", " ")


def test_the_answer_can_be_asked_for_by_a_day_of_ones_own(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute", answer_by=dt.date(2026, 5, 1))
    assert "by 1 May 2026" in words_of(result.path)


def test_what_is_asked_for_follows_the_grounds(write: Write, claim: Claim) -> None:
    result, _ = write(claim, "dispute")
    text = words_of(result.path)
    assert "the date and price at which you bought the items" in text
    assert "the booking record that shows the rental that was lost" not in text


def test_lines_break_between_words_and_inside_words_only_where_they_must() -> None:
    text = Text("alpha beta gamma " + "Q" * 120, BODY, Typesetter())
    text.wrap(80, 1000)
    lines = ["".join(part for part, _ in line.pieces) for line in text.lines_for(80)]
    assert "".join(lines).replace(" ", "") == "alphabetagamma" + "Q" * 120
    assert lines[0] == "alpha beta"
    assert all(line.width <= 80.01 for line in text.lines_for(80))


def test_a_paragraph_keeps_its_direction_on_every_line() -> None:
    """A line of an English paragraph that begins with Arabic words is still English."""
    english = Text("Missing are: " + "حامل ثلاثي القوائم " * 8, BODY, Typesetter())
    arabic = Text("حامل ثلاثي القوائم " + "three legged stand " * 8, BODY, Typesetter())
    numbered = Text("40 · " + "حامل ثلاثي القوائم " * 8, BODY, Typesetter())
    for text, backwards in ((english, False), (arabic, True), (numbered, False)):
        lines = text.lines_for(120)
        assert len(lines) > 2
        assert {line.right_to_left for line in lines} == {backwards}


def test_spans_keep_their_look_over_line_ends() -> None:
    text = Text(["plain ", Span("bold " * 40, face="bold")], BODY, Typesetter())
    text.wrap(120, 1000)
    faces = {look.face for line in text.lines_for(120)[1:] for _, look in line.pieces}
    assert faces == {"bold"}


def test_runs_change_font_only_where_they_must() -> None:
    runs = runs_of("kit 灯 kit", "regular")
    assert [run.text for run in runs] == ["kit ", "灯 ", "kit"] or [run.text for run in runs] == [
        "kit ",
        "灯",
        " kit",
    ]


def test_a_wish_to_stop_leaves_nothing_behind(write: Write, claim: Claim, tmp_path: object) -> None:
    from pathlib import Path

    from ldapp.dossier.write import write_dossier

    def stop(done: int, total: int, text: str = "") -> None:
        if text.startswith("Drawing page 3"):
            raise Cancelled

    _, wanted = write(claim, "dispute")
    folder = Path(str(tmp_path)) / "stopped"
    with pytest.raises(Cancelled):
        write_dossier(wanted, folder / "d.pdf", stop)
    assert list(folder.iterdir()) == []

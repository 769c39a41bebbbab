"""The counter's own code, drawn, photographed and read back."""

from __future__ import annotations

import io
from datetime import UTC, datetime, timedelta, timezone

import pytest
from PIL import Image

from ldapp.claim.photos import IssuedCode
from ldapp.errors import LdappError
from ldapp.evidence.codes import read_codes
from ldapp.evidence.context import VerifyContext
from ldapp.evidence.counter_code import (
    SHOWN_FOR,
    CounterCode,
    code_at,
    code_cells,
    code_png,
    issued_code_in,
    issued_code_shown,
    new_word,
    read_code_text,
    reference_from_code,
)
from ldapp.evidence.read import read_photo
from ldapp.evidence.verify import verify

NOW = datetime(2026, 2, 14, 9, 15, 30, 123456, tzinfo=UTC)
SHOWING = IssuedCode(id="s", word=new_word(), issued=NOW)
OTHER = IssuedCode(id="o", word=new_word(), issued=NOW)


def photographed(build, *codes: CounterCode) -> bytes:
    """Return a JPEG of a busy counter with codes on a screen, a little turned."""
    scene = build.drawn(1600, 1200)
    for number, code in enumerate(codes):
        symbol = Image.open(io.BytesIO(code_png(code, 8))).convert("RGB")
        turned = symbol.rotate(7, expand=True, fillcolor="white")
        scene.paste(turned, (200 + 600 * number, 400))
    out = io.BytesIO()
    scene.save(out, "JPEG", quality=80)
    exif = build.tiff(
        {0x010F: build.ascii("Invented Optics"), 0x0110: build.ascii("IO-1")},
        {0x9003: build.ascii("2026:02:14 10:25:31"), 0x9291: build.ascii("50")},
    )
    return build.jpeg(exif, body=out.getvalue())


def test_a_photographed_code_checks_the_clock(build, save):
    code = code_at(SHOWING.word, NOW)
    path = save("a.jpg", photographed(build, code))
    facts = read_photo(path)
    shown = issued_code_shown(path, facts, [OTHER, SHOWING])
    assert shown == code
    reference = reference_from_code(facts, shown)
    assert reference is not None
    verdict = verify(facts, VerifyContext(references=(reference,), code_issued=shown.issued))
    assert verdict.corrected_utc == datetime(2026, 2, 14, 9, 15, 30, tzinfo=UTC)
    assert [reason.code for reason in verdict.reasons] == ["R1", "R3"]
    assert verdict.reasons[0].says == "Clock checked against the counter's code on 14 Feb 2026."


def test_a_code_that_was_not_issued_counts_for_nothing(build, save):
    path = save("a.jpg", photographed(build, code_at(SHOWING.word, NOW)))
    assert issued_code_shown(path, read_photo(path), [OTHER]) is None


def test_a_showing_gives_one_code_each_second_and_only_while_it_lasts():
    seconds = [NOW + timedelta(seconds=second) for second in range(200)]
    codes = [code_at(SHOWING.word, second) for second in seconds]
    assert len({code.word for code in codes}) == 200
    assert code_at(SHOWING.word, NOW.replace(microsecond=0)) == codes[0]
    assert {issued_code_in([code.text], [SHOWING]) for code in codes} == set(codes)
    swapped = CounterCode(codes[1].issued, codes[0].word)
    assert issued_code_in([swapped.text], [SHOWING]) is None
    for outside in (NOW - timedelta(seconds=1), NOW + SHOWN_FOR + timedelta(seconds=1)):
        assert issued_code_in([code_at(SHOWING.word, outside).text], [SHOWING]) is None


def test_codes_of_all_kinds_are_read(build, save):
    one, two = (code_at(SHOWING.word, NOW + timedelta(seconds=second)) for second in (0, 1))
    path = save("a.jpg", photographed(build, one, two))
    assert set(read_codes(path, read_photo(path))) == {one.text, two.text}
    plain = save("b.jpg", build.drawn_jpeg(400, 300))
    assert read_codes(plain, read_photo(plain)) == ()
    text = save("c.jpg", b"text")
    with pytest.raises(LdappError):
        read_codes(text, read_photo(text))


def test_texts(photo):
    code = code_at(SHOWING.word, NOW.astimezone(timezone(timedelta(hours=5, minutes=45))))
    assert code.issued == NOW.replace(microsecond=0)
    assert code.text.startswith("ldapp 2026-02-14T09:15:30Z ")
    assert read_code_text(f" {code.text} ") == code
    assert code_at(OTHER.word, NOW).word != code.word != SHOWING.word
    for odd in ("", "LT-0042", code.text + "x", code.text.replace("-02-14", "-02-31")):
        assert read_code_text(odd) is None
    assert issued_code_in(["LT-0042", code_at(OTHER.word, NOW).text, code.text], [SHOWING]) == code
    assert reference_from_code(photo(None, digitized=None), code) is None
    assert reference_from_code(photo(model=None), code) is None
    whole = reference_from_code(photo(), code)
    assert whole is not None
    assert whole.camera_local == "2026-02-14T10:15:30"


def test_cells_are_a_square_with_three_finders():
    rows = code_cells(code_at(SHOWING.word, NOW))
    assert {len(row) for row in rows} == {len(rows)}
    finder = (True,) * 7
    assert rows[0][:7] == rows[0][-7:] == rows[-1][:7] == finder

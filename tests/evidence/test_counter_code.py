"""The counter's own code, drawn, photographed and read back."""

from __future__ import annotations

import io
from datetime import UTC, datetime, timedelta, timezone

import pytest
from PIL import Image

from ldapp.errors import LdappError
from ldapp.evidence.codes import read_codes
from ldapp.evidence.context import VerifyContext
from ldapp.evidence.counter_code import (
    CounterCode,
    code_cells,
    code_png,
    issue_code,
    issued_code_in,
    issued_code_shown,
    read_code_text,
    reference_from_code,
)
from ldapp.evidence.read import read_photo
from ldapp.evidence.verify import verify

NOW = datetime(2026, 2, 14, 9, 15, 30, 123456, tzinfo=UTC)


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
    code = issue_code(NOW)
    path = save("a.jpg", photographed(build, code))
    facts = read_photo(path)
    shown = issued_code_shown(path, facts, {code})
    assert shown == code
    reference = reference_from_code(facts, shown)
    assert reference is not None
    verdict = verify(facts, VerifyContext(references=(reference,), code_issued=shown.issued))
    assert verdict.corrected_utc == datetime(2026, 2, 14, 9, 15, 30, tzinfo=UTC)
    assert [reason.code for reason in verdict.reasons] == ["R1", "R3"]
    assert verdict.reasons[0].says == "Clock checked against the counter's code on 14 Feb 2026."


def test_a_code_that_was_not_issued_counts_for_nothing(build, save):
    path = save("a.jpg", photographed(build, issue_code(NOW)))
    assert issued_code_shown(path, read_photo(path), {issue_code(NOW)}) is None


def test_codes_of_all_kinds_are_read(build, save):
    one, two = issue_code(NOW), issue_code(NOW + timedelta(seconds=1))
    path = save("a.jpg", photographed(build, one, two))
    assert set(read_codes(path, read_photo(path))) == {one.text, two.text}
    plain = save("b.jpg", build.drawn_jpeg(400, 300))
    assert read_codes(plain, read_photo(plain)) == ()
    text = save("c.jpg", b"text")
    with pytest.raises(LdappError):
        read_codes(text, read_photo(text))


def test_texts(photo):
    code = issue_code(NOW.astimezone(timezone(timedelta(hours=5, minutes=45))))
    assert code.issued == NOW.replace(microsecond=0)
    assert code.text.startswith("ldapp 2026-02-14T09:15:30Z ")
    assert read_code_text(f" {code.text} ") == code
    assert issue_code(NOW).word != code.word
    for odd in ("", "LT-0042", code.text + "x", code.text.replace("-02-14", "-02-31")):
        assert read_code_text(odd) is None
    assert issued_code_in(["LT-0042", issue_code(NOW).text, code.text], [code]) == code
    assert reference_from_code(photo(None, digitized=None), code) is None
    assert reference_from_code(photo(model=None), code) is None
    whole = reference_from_code(photo(), code)
    assert whole is not None
    assert whole.camera_local == "2026-02-14T10:15:30"


def test_cells_are_a_square_with_three_finders():
    rows = code_cells(issue_code(NOW))
    assert {len(row) for row in rows} == {len(rows)}
    finder = (True,) * 7
    assert rows[0][:7] == rows[0][-7:] == rows[-1][:7] == finder

"""The counter's own code: a known time that a camera can photograph.

The code is drawn anew every second and carries the time in UTC to the second and a word.
A photo that shows it was taken after that second, and its camera's clock can be checked
against it.  The word comes from that of the showing, which is random, journalled once and
not shown, so a code cannot be made up beforehand: only one that was issued counts
(:func:`issued_code_in`).  The symbol is a QR code (ISO/IEC 18004).
"""

from __future__ import annotations

import io
import re
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import Final

from ldapp.claim.photo_facts import ClockReference, PhotoFacts
from ldapp.claim.photos import IssuedCode
from ldapp.evidence.codes import read_codes
from ldapp.language import said

READING_ACCURACY_S: Final = 1.0
"""The code changes with every second."""
SHOWN_FOR: Final = timedelta(minutes=15)
"""A showing is renewed after this time, so that its word does not serve for a day."""

_CONSONANTS: Final = "bdfgklmnprstvz"
_VOWELS: Final = "aeiou"
_SYLLABLES: Final = 6
_FORM: Final = re.compile(
    r"ldapp (\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)Z ((?:[bdfgklmnprstvz][aeiou]){6})\Z"
)


@dataclass(frozen=True, slots=True)
class CounterCode:
    """One code: when it was issued (UTC, whole seconds), and its word."""

    issued: datetime
    word: str

    @property
    def text(self) -> str:
        """What the symbol says."""
        return f"ldapp {self.issued.astimezone(UTC):%Y-%m-%dT%H:%M:%S}Z {self.word}"


def new_word() -> str:
    """Return fresh random letters for one showing."""
    return "".join(
        secrets.choice(_CONSONANTS) + secrets.choice(_VOWELS) for _ in range(2 * _SYLLABLES)
    )


def code_at(word: str, now: datetime) -> CounterCode:
    """Return the code of this second in the showing with ``word``.  ``now`` is aware.

    The shown word is taken from the SHA-256 (FIPS 180-4) of the showing's word and the
    second, so that a photographed code tells nothing of the next ones.
    """
    issued = now.astimezone(UTC).replace(microsecond=0)
    number = int.from_bytes(sha256(f"{word} {issued:%Y-%m-%dT%H:%M:%S}".encode()).digest())
    letters = []
    for _ in range(_SYLLABLES):
        number, consonant = divmod(number, len(_CONSONANTS))
        number, vowel = divmod(number, len(_VOWELS))
        letters.append(_CONSONANTS[consonant] + _VOWELS[vowel])
    return CounterCode(issued, "".join(letters))


def read_code_text(text: str) -> CounterCode | None:
    """Return the code that a text is; None for anything else."""
    match = _FORM.match(text.strip())
    if match is None:
        return None
    try:
        issued = datetime.fromisoformat(match[1]).replace(tzinfo=UTC)
    except ValueError:
        return None
    return CounterCode(issued, match[2])


def code_cells(code: CounterCode) -> tuple[tuple[bool, ...], ...]:
    """Return the symbol's rows of dark (True) and light cells, without the quiet border."""
    import segno  # noqa: PLC0415 - only wanted where a code is shown

    symbol = segno.make_qr(code.text, error="m")
    return tuple(tuple(bool(cell) for cell in row) for row in symbol.matrix)


def code_png(code: CounterCode, cell: int = 10) -> bytes:
    """Return the symbol as a PNG with its quiet border; ``cell`` is one cell's pixels."""
    import segno  # noqa: PLC0415 - only wanted where a code is shown

    out = io.BytesIO()
    segno.make_qr(code.text, error="m").save(out, kind="png", scale=cell, border=4)
    return out.getvalue()


def issued_code_in(texts: Iterable[str], showings: Iterable[IssuedCode]) -> CounterCode | None:
    """Return the first of the texts read from a picture that is a code we issued."""
    known = tuple(showings)
    for text in texts:
        code = read_code_text(text)
        if code is not None and any(_was_shown(code, showing) for showing in known):
            return code
    return None


def _was_shown(code: CounterCode, showing: IssuedCode) -> bool:
    began = showing.issued.replace(microsecond=0)
    if not began <= code.issued <= began + SHOWN_FOR:
        return False
    return code_at(showing.word, code.issued) == code


def issued_code_shown(
    path: Path, facts: PhotoFacts, showings: Iterable[IssuedCode]
) -> CounterCode | None:
    """Return the code that a picture shows, if we issued it.

    Raises:
        LdappError: the picture cannot be opened or decoded.
    """
    return issued_code_in(read_codes(path, facts, qr_only=True), showings)


def reference_from_code(facts: PhotoFacts, code: CounterCode) -> ClockReference | None:
    """Return the check of a camera's clock that a photo of a code gives.

    None where the photo carries no date of its own or does not name its camera.
    """
    taken = facts.taken
    if taken is None or taken.local is None or facts.model is None:
        return None
    digits = f".{taken.digits}" if taken.digits else ""
    return ClockReference(
        make=facts.make,
        model=facts.model,
        serial=facts.serial,
        camera_local=taken.local + digits,
        reference=code.issued,
        accuracy_s=READING_ACCURACY_S,
        says=said("the counter's code"),
    )

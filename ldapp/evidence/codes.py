"""Bar and matrix codes in pictures: tags on equipment, lines on a printed count sheet."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from ldapp.claim.photo_facts import PhotoFacts
from ldapp.evidence.pictures import upright

CODE_EDGE: Final = 1600
"""Long edge in pixels at which codes are looked for: enough for a tag that fills a tenth."""
LONGEST_CODE: Final = 200


def read_codes(path: Path, facts: PhotoFacts, *, qr_only: bool = False) -> tuple[str, ...]:
    """Return the texts of all codes in a picture, each once, from left to right as found.

    ``qr_only`` looks for QR codes (ISO/IEC 18004) alone, which is ten times as quick.

    Raises:
        LdappError: the picture cannot be opened or decoded.
    """
    import zxingcpp  # noqa: PLC0415 - loads a decoder library

    picture = upright(path, facts, CODE_EDGE).convert("L")
    if qr_only:
        qr = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
        codes = zxingcpp.read_barcodes(picture, formats=qr)
    else:
        codes = zxingcpp.read_barcodes(picture)
    texts = (code.text.strip()[:LONGEST_CODE] for code in codes)
    return tuple(dict.fromkeys(text for text in texts if text))

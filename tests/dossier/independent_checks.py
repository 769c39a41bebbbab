"""What an independent checker of PDF/A and PDF/UA says of a file."""

from __future__ import annotations

import re
from pathlib import Path

import page

_STREAM_LENGTH = "PDFA3B-STREAM-LENGTH-001"
_ENDS_IN_A_RETURN = re.compile(rb"\r\nendstream")


def failed_rules(path: Path, profile: str) -> set[str]:
    """Return the rules that a file breaks, ``3b`` or ``ua1``.

    The checker takes a carriage return that is a stream's last byte for a part of the line
    end behind it; by ISO 32000-1, 7.3.8.1 the stated length decides, and that is right.
    """
    failures = {one.rule_id for one in page.validate_pdf(path, profile=profile).failures}
    if _STREAM_LENGTH in failures and _ENDS_IN_A_RETURN.search(path.read_bytes()):
        failures.discard(_STREAM_LENGTH)
    return failures

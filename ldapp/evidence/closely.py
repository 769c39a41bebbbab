"""Reading a file together with its picture, where the picture can say something."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from ldapp.claim.photo_facts import PhotoFacts
from ldapp.evidence.credentials import with_credentials
from ldapp.evidence.read import read_photo
from ldapp.evidence.verify import wants_pictures


def read_closely(path: Path, with_picture: bool = False) -> PhotoFacts:
    """Read a file, and compare the small picture inside with the picture itself.

    The picture is decoded only where the file shows signs of handling, or always
    ``with_picture``.  Never raises for a bad file; see
    :func:`ldapp.evidence.read.read_photo`.
    """
    facts = with_credentials(path, read_photo(path))
    if facts.preview is None or not (with_picture or wants_pictures(facts)):
        return facts
    # The picture library is heavy and only wanted here.
    from ldapp.evidence.previews import compare_preview  # noqa: PLC0415

    return replace(facts, preview_match=compare_preview(path, facts))

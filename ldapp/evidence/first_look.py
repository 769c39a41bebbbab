"""The first look at a picture: decoded once, for everything that the intake wants of it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from PIL import Image

from ldapp.claim.photo_facts import PhotoFacts
from ldapp.errors import InputError
from ldapp.evidence.likeness import likeness_of
from ldapp.evidence.pictures import (
    GRID_EDGE,
    GRID_MOST,
    as_jpeg,
    decoded,
    is_raw,
    shown_by_its_preview,
    shown_picture,
)
from ldapp.evidence.previews import compare_preview


class FirstLook(NamedTuple):
    """What one decoding gave; empty where the picture cannot be shown."""

    facts: PhotoFacts
    """As given, with what the small picture inside was found to be."""
    small: bytes = b""
    """An upright JPEG of about :data:`ldapp.evidence.pictures.GRID_EDGE` pixels."""
    likeness: str = ""


def first_look(path: Path, facts: PhotoFacts) -> FirstLook:
    """Look at a picture.  Never raises for a bad file: its tags may be good all the same."""
    try:
        if is_raw(facts):
            return _looked_at(facts, shown_picture(path, facts, GRID_EDGE))
        picture = decoded(path, facts, GRID_EDGE, GRID_MOST)
    except InputError:
        small = shown_by_its_preview(path, facts, GRID_EDGE)
        return FirstLook(facts) if small is None else _looked_at(facts, small)
    if facts.preview is not None:
        facts = replace(facts, preview_match=compare_preview(path, facts, picture.stored))
    return _looked_at(facts, picture.upright())


def _looked_at(facts: PhotoFacts, shown: Image.Image) -> FirstLook:
    return FirstLook(facts, as_jpeg(shown), likeness_of(shown))

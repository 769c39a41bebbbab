"""Telling an editing program from a camera's firmware by the name that it wrote.

No list of names is complete, so the forms of firmware come first, then words that such
programs carry in their names.  A name that is neither counts as firmware: an honest photo
must not look edited because a word is unknown.  Programs that only show, turn or copy
pictures are not editors.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from ldapp.claim.photo_facts import PhotoFacts

_LONGEST_NAME: Final = 100
_VERSION: Final = re.compile(
    r"(?:(?:software|firmware|version|ver|fw|v|prm)[. ]*)*v?[\d.]+[a-z]?[\d.()\-A-Z ]*\Z",
    re.IGNORECASE,
)
_BUILD: Final = re.compile(r"[A-Z0-9]{8,}\Z")
_CAMERA_APP: Final = re.compile(r"hdr\+|release-keys|\bver\.?\s*\d|\bv\d+\.\d+\Z", re.IGNORECASE)
_FIRMWARE: Final = re.compile(r"\bfirmware|\bfw\b|camera\b(?!.*(?:raw|edit|photo))", re.IGNORECASE)
"""Firmware that says so, and the apps that phones take pictures with."""
_COPIES: Final = re.compile(r"view|transfer|image capture|import|upload", re.IGNORECASE)
_EDITS: Final = re.compile(
    r"edit|photo(?!n\b)|foto|imag|paint|room\b|gallery|studio|retouch|draw|darkroom|raw ?conver|"
    r"camera raw|develop|pixel|pixlr|magick|gimp|picasa|digikam|darktable|rawtherapee|snapseed|"
    r"libformat|capture (?:one|nx)|lab\b|convert|export|denois|sharpen|"
    r"luminar|acdsee|dxo|silkypix|aperture|aftershot|ufraw|krita|vsco|canva|pics ?art|polarr|"
    r"facetune|meitu|instagram|ffmpeg|handbrake|\blavf",
    re.IGNORECASE,
)


def is_firmware_or_viewer(name: str, make: str | None = None, model: str | None = None) -> bool:
    """Say whether a name has the form of firmware, or is that of a program that only copies."""
    name = name.strip()[:_LONGEST_NAME]
    if not name or _VERSION.match(name) or _BUILD.match(name):
        return True
    if _FIRMWARE.search(name) or _COPIES.search(name):
        return True
    if model and model.strip() and model.strip().lower() in name.lower():
        return True
    # A maker's own camera may carry "photo" or "image" in its firmware's name.
    first = (make or "").split(" ")[0].lower()
    return bool(first) and name.lower().startswith(first) and bool(_CAMERA_APP.search(name))


def is_editor(name: str, make: str | None = None, model: str | None = None) -> bool:
    """Say whether a program's name is that of an editor."""
    return not is_firmware_or_viewer(name, make, model) and bool(
        _EDITS.search(name[:_LONGEST_NAME])
    )


def editors_named(facts: PhotoFacts) -> tuple[str, ...]:
    """Return the names of editing programs in the file, each once, in order of place."""
    candidates: Iterable[str | None] = (
        facts.software,
        facts.xmp.creator_tool if facts.xmp else None,
    )
    named = [
        name.strip() for name in candidates if name and is_editor(name, facts.make, facts.model)
    ]
    # The Exif 3.0 fields exist to name editing software, so no word list is asked.
    named += [name.strip() for name in facts.editing_programs if name.strip()]
    return tuple(dict.fromkeys(named))

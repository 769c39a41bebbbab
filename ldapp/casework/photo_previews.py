"""Small and large pictures of photos, made once and kept in the platform's cache."""

from __future__ import annotations

import tempfile
from pathlib import Path

import platformdirs

from ldapp.casework.originals import Originals
from ldapp.claim.photos import Photo
from ldapp.evidence.pictures import GRID_EDGE
from ldapp.evidence.pictures import preview_jpeg as draw_preview

__all__ = ["GRID_EDGE", "keep_preview", "preview_folder", "preview_jpeg"]


def preview_folder() -> Path:
    """Return the folder of previews in the platform's cache; it may be deleted at any time."""
    return Path(platformdirs.user_cache_dir("ldapp", appauthor=False)) / "previews"


def preview_jpeg(
    originals: Originals, photo: Photo, long_edge: int, folder: Path | None = None
) -> bytes:
    """Return an upright JPEG of at most ``long_edge`` pixels; made once, then kept in the cache.

    Runs in a worker.  Raises LdappError where the picture cannot be shown.
    """
    sha256, turns = photo.facts.sha256, photo.quarter_turns % 4
    try:
        return _place(folder, sha256, long_edge, turns).read_bytes()
    except OSError:
        drawn = draw_preview(originals.path_of(sha256), photo.facts, long_edge, turns)
    keep_preview(drawn, sha256, long_edge, turns, folder)
    return drawn


def keep_preview(
    jpeg: bytes, sha256: str, long_edge: int, turns: int = 0, folder: Path | None = None
) -> None:
    """Keep a picture that was drawn; a cache that cannot be written only makes looks slower."""
    place = _place(folder, sha256, long_edge, turns)
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=place.parent, delete=False) as unfinished:
            unfinished.write(jpeg)
        Path(unfinished.name).replace(place)
    except OSError:
        return


def _place(folder: Path | None, sha256: str, long_edge: int, turns: int) -> Path:
    return (folder or preview_folder()) / sha256[:2] / f"{sha256}-{long_edge}-{turns}.jpg"

"""Photos made ready for print within the size budget.

A JPEG that fits is passed through undecoded (:mod:`ldapp.dossier.jpeg`).  Everything else
becomes an 8-bit JPEG of the needed resolution, upright, with redactions burnt in.  No
picture is ever enlarged.  The coded pictures lie on disk (:mod:`ldapp.dossier.picture_file`).
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageDraw

from ldapp.claim.photos import Marking, Photo
from ldapp.dossier.jpeg import NotPlainJpegError, strip_metadata
from ldapp.dossier.picture_file import CodedPicture, Picture, PictureFile
from ldapp.dossier.request import Originals, Saying
from ldapp.errors import LdappError
from ldapp.evidence.pictures import upright
from ldapp.language import said


@dataclass(frozen=True, slots=True)
class Rendition:
    """How pictures are made smaller: dots per inch at printed size."""

    resolution: int

    @property
    def words(self) -> str:
        """The rendition in words."""
        return said("{resolution} dots per inch at printed size", resolution=self.resolution)


_QUALITY = 85
RENDITIONS = (Rendition(300), Rendition(250), Rendition(200), Rendition(150))
"""Tried in turn where the budget is short; beyond the last the dossier has volumes."""

_SAMPLE = 12
"""Photos from which the size of all is foretold before a rendition is made in full."""
_HOPELESS = 1.25
_AS_LARGE_AS_IT_IS = 100_000
"""Pixels of the longer side that no picture reaches."""


@dataclass(frozen=True, slots=True)
class NoPicture:
    """A photo that cannot be shown, with the sentence that stands in its place."""

    says: Saying


@dataclass(frozen=True, slots=True)
class PreparedPictures:
    """The pictures by photo id, and how they were made."""

    by_photo: dict[str, Picture | NoPicture]
    rendition: Rendition | None = None
    """None: as taken."""

    @property
    def resolution_words(self) -> str:
        """The resolution in words."""
        return said("as taken") if self.rendition is None else self.rendition.words

    @property
    def print_words(self) -> str:
        """A sentence that says how the photos are printed."""
        if self.rendition is None:
            return said("Photos are printed in the resolution in which they were taken.")
        return said(
            "Photos are printed at no more than {resolution}, to keep to the size that "
            "was wanted; the originals are kept untouched.",
            resolution=self.rendition.words,
        )


def upright_turn(photo: Photo) -> int:
    """Return the one Exif orientation (1 to 8) that file and person together ask for."""
    turn = photo.facts.orientation or 1
    if photo.facts.upright_by_container or not 1 <= turn <= 8:
        turn = 1
    for _ in range(photo.quarter_turns % 4):
        turn = _QUARTER_TURNED[turn]
    return turn


_QUARTER_TURNED = {1: 6, 6: 3, 3: 8, 8: 1, 2: 7, 7: 4, 4: 5, 5: 2}
"""Each orientation followed by a quarter turn clockwise."""

_BY_HAND = {
    1: Image.Transpose.ROTATE_270,
    2: Image.Transpose.ROTATE_180,
    3: Image.Transpose.ROTATE_90,
}
"""Quarter turns clockwise, as the imaging library counts them."""


def prepare_pictures(
    photos: Sequence[Photo],
    originals: Originals,
    kept: PictureFile,
    *,
    budget: int,
    printed_inches: float,
    progress: Callable[[int, int, str], None],
) -> PreparedPictures:
    """Return all pictures in the best resolution that together stays within ``budget`` bytes.

    ``printed_inches`` is the longer side of a picture on the page; ``kept`` takes the coded
    pictures.  Where even the last rendition is too large, it is what is returned.
    """
    found = {photo.id: _original(photo, originals) for photo in photos}
    sizes = [one.stat().st_size for one in found.values() if isinstance(one, Path)]
    tries: list[Rendition | None] = [None] if sum(sizes) <= budget * _HOPELESS else []
    tries.extend(RENDITIONS)
    mark = kept.mark()
    for index, rendition in enumerate(tries):
        last = index == len(tries) - 1
        longest = None if rendition is None else round(printed_inches * rendition.resolution)

        def make(photo: Photo, longest: int | None = longest) -> CodedPicture | NoPicture:
            return _prepare(photo, found[photo.id], longest)

        if rendition is not None and not last and _foretold(photos, make) > budget * _HOPELESS:
            continue
        used = 0
        kept.back_to(mark)
        pictures: dict[str, Picture | NoPicture] = {}
        for number, photo in enumerate(photos, 1):
            progress(number, len(photos), photo.name)
            made = make(photo)
            pictures[photo.id] = made if isinstance(made, NoPicture) else kept.put(made)
            used += _size(made)
            if used > budget and not last:
                break
        else:
            return PreparedPictures(by_photo=pictures, rendition=rendition)
    return PreparedPictures(by_photo={})


def _foretold(photos: Sequence[Photo], make: Callable[[Photo], CodedPicture | NoPicture]) -> float:
    """Return the bytes that all photos will take, judged by a few that lie evenly apart."""
    if len(photos) <= _SAMPLE:
        return 0.0
    sample = photos[:: max(1, len(photos) // _SAMPLE)]
    return sum(_size(make(one)) for one in sample) / len(sample) * len(photos)


def _size(made: CodedPicture | NoPicture) -> int:
    return len(made.data) if isinstance(made, CodedPicture) else 0


def _original(photo: Photo, originals: Originals) -> Path | NoPicture:
    try:
        path = originals.path_of(photo.facts.sha256)
        if not path.is_file():
            return _missing(photo)
    except (LdappError, OSError):
        return _missing(photo)
    return path


def _missing(photo: Photo) -> NoPicture:
    return NoPicture(
        lambda: said(
            "The original of {name} is not where it was kept, so it cannot be shown. "
            "Its hash is listed.",
            name=photo.name,
        )
    )


def whole_picture(photo: Photo, originals: Originals) -> CodedPicture | NoPicture:
    """Return a photo in full size, without metadata, with what is redacted covered."""
    return _prepare(photo, _original(photo, originals), None)


def _prepare(photo: Photo, path: Path | NoPicture, longest: int | None) -> CodedPicture | NoPicture:
    if isinstance(path, NoPicture):
        return path
    if photo.facts.error:
        return NoPicture(
            lambda: said(
                "{name} could not be read as a photo, so it cannot be shown.", name=photo.name
            )
        )
    if photo.facts.kind is not None and photo.facts.kind.startswith("video/"):
        return NoPicture(
            lambda: said(
                "{name} is a film; it is kept as it is and listed with its hash.", name=photo.name
            )
        )
    turn = upright_turn(photo)
    redactions = [one for one in photo.markings if one.kind == "redaction"]
    try:
        data = path.read_bytes()
    except OSError:
        return _missing(photo)
    if not redactions:
        passed = _passed_through(data, turn, longest)
        if passed is not None:
            return passed
    try:
        image = upright(path, photo.facts, _AS_LARGE_AS_IT_IS if longest is None else longest)
    except (LdappError, OSError):
        return NoPicture(
            lambda: said(
                "{name} cannot be shown: it is damaged, or of a kind that is not read "
                "here. Its hash is listed.",
                name=photo.name,
            )
        )
    if photo.quarter_turns % 4:
        image = image.transpose(_BY_HAND[photo.quarter_turns % 4])
    cover(image, redactions)
    return coded(image)


def _passed_through(data: bytes, turn: int, longest: int | None) -> CodedPicture | None:
    try:
        plain = strip_metadata(data)
    except NotPlainJpegError:
        return None
    if longest is not None and max(plain.width, plain.height) > longest:
        return None
    return CodedPicture(
        data=plain.data,
        width=plain.width,
        height=plain.height,
        components=plain.components,
        turn=turn,
        passed_through=True,
    )


def coded(image: Image.Image) -> CodedPicture:
    """Return an upright picture as a baseline JPEG without metadata."""
    out = io.BytesIO()
    image.save(out, "JPEG", quality=_QUALITY, progressive=False)
    plain = strip_metadata(out.getvalue())
    return CodedPicture(
        data=plain.data,
        width=plain.width,
        height=plain.height,
        components=plain.components,
        turn=1,
        passed_through=False,
    )


def cover(image: Image.Image, redactions: Sequence[Marking]) -> None:
    """Paint over what is redacted, so that the pixels below are gone."""
    draw = ImageDraw.Draw(image)
    for marking in redactions:
        points = [(x * image.width, y * image.height) for x, y in marking.points]
        if len(points) == 2:
            (left, top), (right, bottom) = points
            box = (min(left, right), min(top, bottom), max(left, right), max(top, bottom))
            draw.rectangle(box, fill=(20, 20, 20))
        elif len(points) > 2:
            draw.polygon(points, fill=(20, 20, 20))

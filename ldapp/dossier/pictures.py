"""Photos made ready for print within the size budget.

A JPEG that fits is passed through undecoded (:mod:`ldapp.dossier.jpeg`).  Everything else
becomes an 8-bit JPEG of the needed resolution, upright, with redactions burnt in.  No
picture is ever enlarged.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageDraw, ImageOps, UnidentifiedImageError

from ldapp.claim.photos import Marking, Photo
from ldapp.dossier.jpeg import NotPlainJpegError, strip_metadata
from ldapp.dossier.request import Originals
from ldapp.errors import LdappError


@dataclass(frozen=True, slots=True)
class Rendition:
    """How pictures are made smaller: dots per inch at printed size, and coding quality."""

    resolution: int
    quality: int

    @property
    def words(self) -> str:
        """The rendition in words."""
        strongly = ", strongly compressed" if self.quality < _QUALITY else ""
        return f"{self.resolution} dots per inch at printed size{strongly}"


_QUALITY = 85
RENDITIONS = (
    Rendition(300, _QUALITY),
    Rendition(250, _QUALITY),
    Rendition(200, _QUALITY),
    Rendition(150, _QUALITY),
    Rendition(150, 60),
)
"""Tried in turn where the budget is short."""

_SAMPLE = 12
"""Photos from which the size of all is foretold before a rendition is made in full."""
_HOPELESS = 1.25
_MOST_PIXELS = 200_000_000
"""A picture larger than this is not decoded."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo as it goes into the file; ``turn`` is the Exif orientation still to be made."""

    data: bytes
    width: int
    height: int
    components: int
    turn: int
    passed_through: bool

    @property
    def upright_size(self) -> tuple[int, int]:
        """Width and height as seen, in pixels."""
        return (self.height, self.width) if self.turn >= 5 else (self.width, self.height)


@dataclass(frozen=True, slots=True)
class NoPicture:
    """A photo that cannot be shown, with the sentence that stands in its place."""

    says: str


@dataclass(frozen=True, slots=True)
class PreparedPictures:
    """The pictures by photo id, how they were made, and whether they keep to the budget."""

    by_photo: dict[str, Picture | NoPicture]
    rendition: Rendition | None = None
    """None: as taken."""
    within_budget: bool = True

    @property
    def resolution_words(self) -> str:
        """The resolution in words."""
        return "as taken" if self.rendition is None else self.rendition.words


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

_TRANSPOSED = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def prepare_pictures(
    photos: Sequence[Photo],
    originals: Originals,
    *,
    budget: int,
    printed_inches: float,
    progress: Callable[[int, int, str], None],
) -> PreparedPictures:
    """Return all pictures in the best resolution that together stays within ``budget`` bytes.

    ``printed_inches`` is the longer side of a picture on the page.
    """
    found = {photo.id: _original(photo, originals) for photo in photos}
    sizes = [one.stat().st_size for one in found.values() if isinstance(one, Path)]
    tries: list[Rendition | None] = [None] if sum(sizes) <= budget * _HOPELESS else []
    tries.extend(RENDITIONS)
    for index, rendition in enumerate(tries):
        last = index == len(tries) - 1
        longest = None if rendition is None else round(printed_inches * rendition.resolution)
        quality = _QUALITY if rendition is None else rendition.quality

        def make(
            photo: Photo, longest: int | None = longest, quality: int = quality
        ) -> Picture | NoPicture:
            return _prepare(photo, found[photo.id], longest, quality)

        if rendition is not None and not last and _foretold(photos, make) > budget * _HOPELESS:
            continue
        used = 0
        pictures: dict[str, Picture | NoPicture] = {}
        for number, photo in enumerate(photos, 1):
            progress(number, len(photos), f"Preparing photo {photo.name}")
            pictures[photo.id] = made = make(photo)
            used += _size(made)
            if used > budget and not last:
                break
        else:
            return PreparedPictures(
                by_photo=pictures, rendition=rendition, within_budget=used <= budget
            )
    return PreparedPictures(by_photo={})


def _foretold(photos: Sequence[Photo], make: Callable[[Photo], Picture | NoPicture]) -> float:
    """Return the bytes that all photos will take, judged by a few that lie evenly apart."""
    if len(photos) <= _SAMPLE:
        return 0.0
    sample = photos[:: max(1, len(photos) // _SAMPLE)]
    return sum(_size(make(one)) for one in sample) / len(sample) * len(photos)


def _size(made: Picture | NoPicture) -> int:
    return len(made.data) if isinstance(made, Picture) else 0


def _original(photo: Photo, originals: Originals) -> Path | NoPicture:
    try:
        path = originals.path_of(photo.facts.sha256)
        if not path.is_file():
            return NoPicture(_missing(photo))
    except (LdappError, OSError):
        return NoPicture(_missing(photo))
    return path


def _missing(photo: Photo) -> str:
    return (
        f"The original of {photo.name} is not where it was kept, so it cannot be shown. "
        "Its hash is listed."
    )


def _prepare(
    photo: Photo, path: Path | NoPicture, longest: int | None, quality: int
) -> Picture | NoPicture:
    if isinstance(path, NoPicture):
        return path
    if photo.facts.error:
        return NoPicture(f"{photo.name} could not be read as a photo, so it cannot be shown.")
    if photo.facts.kind is not None and photo.facts.kind.startswith("video/"):
        return NoPicture(f"{photo.name} is a film; it is kept as it is and listed with its hash.")
    turn = upright_turn(photo)
    redactions = [one for one in photo.markings if one.kind == "redaction"]
    try:
        data = path.read_bytes()
    except OSError:
        return NoPicture(_missing(photo))
    if not redactions:
        passed = _passed_through(data, turn, longest)
        if passed is not None:
            return passed
    try:
        return _redrawn(data, turn, redactions, longest, quality)
    except (OSError, ValueError, SyntaxError, UnidentifiedImageError, Image.DecompressionBombError):
        return NoPicture(f"{photo.name} is damaged and cannot be shown. Its hash is listed.")


def _passed_through(data: bytes, turn: int, longest: int | None) -> Picture | None:
    try:
        plain = strip_metadata(data)
    except NotPlainJpegError:
        return None
    if longest is not None and max(plain.width, plain.height) > longest:
        return None
    return Picture(
        data=plain.data,
        width=plain.width,
        height=plain.height,
        components=plain.components,
        turn=turn,
        passed_through=True,
    )


def _redrawn(
    data: bytes, turn: int, redactions: Sequence[Marking], longest: int | None, quality: int
) -> Picture:
    """Return the picture decoded, made upright, covered where asked, and coded anew."""
    _allow_heif()
    with Image.open(io.BytesIO(data)) as opened:
        if opened.width * opened.height > _MOST_PIXELS:
            raise ValueError
        if longest is not None:
            opened.draft("RGB", (longest, longest))
        image = eight_bit_rgb(opened)
    if turn in _TRANSPOSED:
        image = image.transpose(_TRANSPOSED[turn])
    if longest is not None and max(image.size) > longest:
        image = ImageOps.contain(image, (longest, longest), Image.Resampling.LANCZOS)
    cover(image, redactions)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, progressive=False)
    return Picture(
        data=strip_metadata(out.getvalue()).data,
        width=image.width,
        height=image.height,
        components=3,
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


def eight_bit_rgb(image: Image.Image) -> Image.Image:
    """Return a picture of any mode as 8-bit RGB; see-through parts stand on white."""
    image.load()
    if image.mode.startswith("I") or image.mode == "F":
        # 16-bit grey: the upper eight bits are what is seen.
        wide = image.convert("I")
        return wide.point(lambda value: value / 256).convert("L").convert("RGB")
    if image.mode in {"RGBA", "LA", "PA"} or "transparency" in image.info:
        shown = image.convert("RGBA")
        ground = Image.new("RGBA", shown.size, (255, 255, 255, 255))
        return Image.alpha_composite(ground, shown).convert("RGB")
    return image.convert("RGB")


def _allow_heif() -> None:
    """Let Pillow open HEIC files; asking again does nothing."""
    from pi_heif import register_heif_opener  # noqa: PLC0415 - loaded only where needed

    register_heif_opener()

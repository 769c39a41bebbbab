"""Upright pictures of a wanted size from photo files, with bounded memory.

The tags are read elsewhere and never depend on this: a picture that cannot be decoded
may still carry a perfectly good date.
"""

from __future__ import annotations

import io
import struct
import threading
import warnings
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from functools import cache
from pathlib import Path
from typing import Final, NamedTuple

from PIL import Image, UnidentifiedImageError

from ldapp.claim.photo_facts import PhotoFacts
from ldapp.errors import Fault, InputError
from ldapp.evidence.colours import in_screen_colours
from ldapp.evidence.heif_tiles import draw_by_tiles, draw_small_one
from ldapp.language import said

MOST_PIXELS: Final = 120_000_000
"""Pictures above this are shown by their embedded preview: decoding would take gigabytes."""

MOST_BYTES: Final = 256 << 20
"""What decoding one picture may take; larger ones are shown by their embedded preview."""

MOST_PIXELS_COMPARED: Final = 16_000_000
"""The same where a picture is only compared with its preview."""

GRID_EDGE: Final = 480
"""Long edge of the pictures in a grid of photos: enough for a tile at 200 %."""
GRID_MOST: Final = 600
"""What is decoded to so much is not made smaller for the grid: that takes longer than it saves."""

_LARGEST_PREVIEW: Final = 32 << 20
_QUALITY: Final = 85
_TURNS: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""Exif orientation (CIPA DC-008, tag 0x0112) to the turn that makes it upright."""


_DECODERS_RAISE: Final = (
    OSError, SyntaxError, ValueError, EOFError, TypeError, struct.error,
    MemoryError, RuntimeError, ArithmeticError, LookupError,
)  # fmt: skip
"""What decoders were seen to raise on damaged files; they share no class of their own."""


_DECODERS: Final = r"PIL\.|pi_heif|ldapp\.evidence\.pictures"
_ONE_AT_A_TIME: Final = threading.Lock()
_HEAVY_PIXELS: Final = 8_000_000
"""Above this a picture that is decoded whole waits for others of its kind."""


@cache
def _register() -> None:
    import pi_heif  # noqa: PLC0415 - loads a decoder library

    pi_heif.register_heif_opener()
    # HEIF also covers AVIF files where Pillow was built without its own decoder.
    Image.MAX_IMAGE_PIXELS = None


def _fault(path: Path, wrong: str, wanted: str = "") -> InputError:
    expected = said(
        "{wanted}; the file itself is kept as it is",
        wanted=wanted or said("a picture that can be decoded"),
    )
    return InputError((Fault(path.name, "", wrong, expected),))


@contextmanager
def _opened(path: Path) -> Iterator[Image.Image]:
    _register()
    # Decoders warn about files that they then show.  A filter, for the block that restores
    # filters is not safe among threads; the same filter twice is one filter.
    warnings.filterwarnings("ignore", module=_DECODERS)
    try:
        with Image.open(path) as image:
            yield image
    except UnidentifiedImageError as error:
        raise _fault(path, said("the picture cannot be opened")) from error
    except _DECODERS_RAISE as error:
        raise _fault(
            path, said("the picture cannot be decoded ({reason})", reason=_short(error))
        ) from error


def _short(error: BaseException) -> str:
    return (str(error).strip() or type(error).__name__)[:120]


def picture_size(path: Path, facts: PhotoFacts) -> tuple[int, int]:
    """Return width and height of the upright picture without decoding it.

    Raises :class:`ldapp.errors.InputError` where the picture cannot be opened.
    """
    with _opened(path) as image:
        width, height = image.size
        return (height, width) if _orientation(image, facts) >= 5 else (width, height)


class Decoded(NamedTuple):
    """A picture in RGB as its pixels are stored, and how it is to be turned."""

    stored: Image.Image
    orientation: int

    def upright(self) -> Image.Image:
        """Return the picture turned as it is to be looked at."""
        return _turned(self.stored, self.orientation)


def decoded(path: Path, facts: PhotoFacts, long_edge: int, most: int = 0) -> Decoded:
    """Decode the picture once, with its long edge at most ``long_edge`` pixels.

    JPEGs are decoded at a fraction of their size; one that comes out no larger than
    ``most``, where that is given, is left so.  Raises
    :class:`ldapp.errors.InputError` where the picture cannot be decoded.
    """
    with _opened(path) as image:
        if image.format in _HEIF and _too_large(image, MOST_PIXELS):
            by_tiles = draw_by_tiles(path, long_edge)
            if by_tiles is not None:
                by_tiles.info["icc_profile"] = image.info.get("icc_profile")
                return Decoded(_reduced(by_tiles, long_edge), 1)
        _draft(path, image, long_edge, MOST_PIXELS)
        orientation = _orientation(image, facts)
        near = max(image.size) <= most
        with _turn_to_decode(image):
            return Decoded(_on_paper(_reduced(image, most if near else long_edge)), orientation)


def upright(path: Path, facts: PhotoFacts, long_edge: int) -> Image.Image:
    """Return the picture upright, in RGB, with its long edge at most ``long_edge`` pixels.

    Raises :class:`ldapp.errors.InputError` where the picture cannot be decoded.
    """
    return decoded(path, facts, long_edge).upright()


def _orientation(image: Image.Image, facts: PhotoFacts) -> int:
    """Return how the opened picture is still to be turned.

    The tag comes from our own reading: a damaged block of tags must not cost the picture.
    HEIF pictures come upright; of AVIF the library says how its container turns it.
    """
    if image.format == "HEIF":
        return 1
    if image.format == "AVIF":
        return int(image.getexif().get(0x0112, 1))
    return facts.orientation or 1


def picture_as_stored(path: Path, long_edge: int) -> Image.Image:
    """Return the picture as its pixels are stored, not turned, reduced, in RGB.

    HEIF pictures come turned, as their container wants it.  For comparing only: large
    pictures that must be decoded whole are refused, to keep memory low.  Raises
    :class:`ldapp.errors.InputError` where the picture cannot be decoded.
    """
    with _opened(path) as image:
        _draft(path, image, long_edge, MOST_PIXELS_COMPARED)
        with _turn_to_decode(image):
            return _on_paper(_reduced(image, long_edge))


def _draft(path: Path, image: Image.Image, long_edge: int, most_pixels: int) -> None:
    # A progressive JPEG is held whole by its decoder, whatever fraction is asked for.
    held = image.width * image.height if image.info.get("progressive") else 0
    image.draft("RGB", (long_edge, long_edge))
    if _too_large(image, most_pixels) or held * _PROGRESSIVE_BYTES > MOST_BYTES:
        most = min(most_pixels, MOST_BYTES // _bytes_of_a_pixel(image)) // 1_000_000
        raise _fault(
            path,
            said(
                "the picture is too large to show ({width} × {height})",
                width=image.width,
                height=image.height,
            ),
            said("at most {most} million pixels in this format", most=most),
        )


def _too_large(image: Image.Image, most_pixels: int) -> bool:
    pixels = image.width * image.height
    return pixels > min(most_pixels, MOST_BYTES // _bytes_of_a_pixel(image))


_HEIF: Final = ("HEIF", "AVIF")
_PROGRESSIVE_BYTES: Final = 4
_HEIF_BYTES: Final = 8
"""Measured: 7.3 bytes for each pixel of 8 bits at the peak of decoding and converting."""
_PLAIN_BYTES: Final = 5
_GREY_BYTES: Final = 2


def _bytes_of_a_pixel(image: Image.Image) -> int:
    """Return what one pixel takes at the peak of decoding, by measurements of the decoders."""
    if image.format in _HEIF:
        return _HEIF_BYTES * (2 if image.info.get("bit_depth", 8) > 8 else 1)
    return _GREY_BYTES if image.mode in ("1", "L") else _PLAIN_BYTES


def _turn_to_decode(image: Image.Image) -> AbstractContextManager[object]:
    heavy = image.width * image.height > _HEAVY_PIXELS
    return _ONE_AT_A_TIME if heavy else nullcontext()


def _reduced(image: Image.Image, long_edge: int) -> Image.Image:
    profile = image.info.get("icc_profile")
    if image.format in _HEIF:
        # A file of several pictures would be decoded anew at every further step.
        image = image.reduce(max(1, max(image.size) // (2 * long_edge)))
    if image.mode.startswith("I;16"):
        image = _high_bytes(image)
    elif image.mode in ("I", "F"):
        image = _eight_bits(image)
    if image.mode not in ("RGB", "L", "RGBA", "LA", "CMYK"):
        image = image.convert("RGBA" if "transparency" in image.info else "RGB")
    image.thumbnail((long_edge, long_edge), Image.Resampling.BILINEAR, reducing_gap=2.0)
    # The small picture is changed, not the large one; and it no longer hangs on its file.
    return in_screen_colours(image.copy(), profile if isinstance(profile, bytes) else None)


def _on_paper(image: Image.Image) -> Image.Image:
    """Return the picture in RGB; transparent parts show white paper behind."""
    if image.mode not in ("RGBA", "LA"):
        return image.convert("RGB")
    paper = Image.new("RGB", image.size, "white")
    paper.paste(image.convert("RGB"), mask=image.getchannel("A"))
    return paper


def _turned(image: Image.Image, orientation: int) -> Image.Image:
    turn = _TURNS.get(orientation)
    return image if turn is None else image.transpose(turn)


def _high_bytes(image: Image.Image) -> Image.Image:
    """Bring 16-bit grey levels to 8 bits as they are: a dark picture stays dark."""
    return image.convert("I").point(lambda level: level * (1 / 257)).convert("L")


def _eight_bits(image: Image.Image) -> Image.Image:
    """Scale grey levels of no stated range to 8 bits by the range they fill."""
    levels = image.convert("F")
    low, high = levels.getextrema()
    if not isinstance(low, float) or not isinstance(high, float) or low == high:
        return levels.convert("L")
    scale = 255.0 / (high - low)
    return levels.point(lambda level: level * scale - low * scale).convert("L")


def preview_jpeg(path: Path, facts: PhotoFacts, long_edge: int, quarter_turns: int = 0) -> bytes:
    """Return an upright JPEG of the picture whose long edge is at most ``long_edge``.

    ``quarter_turns`` turns it further, clockwise, as a person asked.

    Raises :class:`ldapp.errors.InputError` as :func:`shown_picture` does.
    """
    return as_jpeg(_by_quarters(shown_picture(path, facts, long_edge), quarter_turns))


def shown_picture(path: Path, facts: PhotoFacts, long_edge: int, most: int = 0) -> Image.Image:
    """Return what stands for the photo on the screen: upright, RGB, at most ``long_edge``.

    A raw file is shown by the largest JPEG that its camera put inside, and so is a
    picture that cannot be decoded.  A picture that can be decoded is never shown by the
    small one inside, which may be another's.  Raises :class:`ldapp.errors.InputError`
    if there is nothing to show.
    """
    if is_raw(facts):
        return shown_by_its_preview(path, facts, long_edge) or upright(path, facts, long_edge)
    try:
        return decoded(path, facts, long_edge, most).upright()
    except InputError:
        small = shown_by_its_preview(path, facts, long_edge)
        if small is None:
            raise
        return small


def is_raw(facts: PhotoFacts) -> bool:
    """Whether the file holds what a sensor saw, to be developed by other programs."""
    return (facts.kind or "").startswith("image/x-")


def shown_by_its_preview(path: Path, facts: PhotoFacts, long_edge: int) -> Image.Image | None:
    """Return the small picture inside, upright; None where there is none that can be used."""
    small = embedded_preview(path, facts, long_edge)
    if small is None:
        return _small_in_container(path, facts, long_edge)
    small.thumbnail((long_edge, long_edge))
    return _turned(small, facts.orientation or 1)


def _small_in_container(path: Path, facts: PhotoFacts, long_edge: int) -> Image.Image | None:
    if not facts.upright_by_container:
        return None
    _register()
    try:
        small = draw_small_one(path)
    except _DECODERS_RAISE:
        return None
    if small is not None:
        small.thumbnail((long_edge, long_edge))
    return small


def _by_quarters(image: Image.Image, quarter_turns: int) -> Image.Image:
    turns = (
        None,
        Image.Transpose.ROTATE_270,
        Image.Transpose.ROTATE_180,
        Image.Transpose.ROTATE_90,
    )[quarter_turns % 4]
    return image if turns is None else image.transpose(turns)


def as_jpeg(image: Image.Image) -> bytes:
    """Return a picture as the bytes of a JPEG for the screen."""
    out = io.BytesIO()
    image.save(out, "JPEG", quality=_QUALITY, optimize=False)
    return out.getvalue()


def embedded_preview(path: Path, facts: PhotoFacts, long_edge: int = 320) -> Image.Image | None:
    """Return the camera's own small picture as stored (not turned); None if unusable.

    A large one is decoded at a fraction that is not below ``long_edge``.
    """
    place = facts.preview
    if place is None or place.length > _LARGEST_PREVIEW:
        return None
    try:
        with path.open("rb") as file:
            file.seek(place.offset)
            data = file.read(place.length)
        with Image.open(io.BytesIO(data), formats=("JPEG",)) as image:
            image.draft("RGB", (long_edge, long_edge))
            return image.convert("RGB")
    except _DECODERS_RAISE:
        return None

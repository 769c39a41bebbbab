"""From light to a photo: defocus, bloom, tone, vignette, grain and JPEG bytes."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageFilter

from demo_claims.draw.raster import Array, View
from demo_claims.draw.shade import Scene, render

LARGEST = 240_000  # bytes of one photo
QUALITIES = (78, 62)
MESSENGER = (62,)
EDITED = (88, 84)  # what the invented editor saves with


@dataclass(frozen=True)
class Look:
    """How a device renders: a phone is punchy and sharp, an older camera softer and noisier."""

    exposure: float = 1.0
    warmth: float = 0.0
    grain: float = 1.0
    soft: float = 0.0  # blur of the whole picture, pixels
    vignette: float = 0.35
    contrast: float = 1.0
    focus: float | None = None  # metres; things elsewhere go soft
    aperture: float = 0.0  # pixels of blur per unit of defocus


def picture(
    scene: Scene,
    view: View,
    look: Look,
    seed: int,
    width: int = 1600,
    height: int = 1200,
    oversample: float = 1.5,
    quality: float = 1.0,
) -> Image.Image:
    big = View(
        view.place,
        view.target,
        view.field_of_view,
        view.roll,
        int(width * oversample),
        int(height * oversample),
    )
    light, depth = render(scene, big, quality)
    return develop(light, depth, look, seed, width, height)


def _channel(values: Array) -> Image.Image:
    return Image.fromarray((np.clip(values, 0, 1) * 255 + 0.5).astype(np.uint8))


def develop(
    light: Array, depth: Array, look: Look, seed: int, width: int, height: int
) -> Image.Image:
    gain = np.array([1 + look.warmth * 0.10, 1.0, 1 - look.warmth * 0.13]) * look.exposure
    x = light * gain * 0.9
    x = (x * (2.51 * x + 0.03)) / (x * (2.43 * x + 0.59) + 0.14)
    x = np.sqrt(np.clip(x, 0, 1))
    image = Image.fromarray((x * 255 + 0.5).astype(np.uint8))
    image = image.resize((width, height), Image.Resampling.LANCZOS)
    if look.focus is not None and look.aperture > 0:
        off = np.abs(1 / look.focus - 1 / np.maximum(depth, 0.05)) * look.aperture
        far = _channel(np.clip(off / 6, 0, 1)).resize((width, height))
        far = far.filter(ImageFilter.GaussianBlur(5))
        mid = (
            _channel(np.clip(off / 2, 0, 1))
            .resize((width, height))
            .filter(ImageFilter.GaussianBlur(3))
        )
        image = Image.composite(image.filter(ImageFilter.GaussianBlur(2.2)), image, mid)
        image = Image.composite(image.filter(ImageFilter.GaussianBlur(6)), image, far)
    bright = image.point(lambda v: max(0, (v - 205) * 5 // 2))
    bloom = np.asarray(bright.filter(ImageFilter.GaussianBlur(18)), dtype=np.float64)
    if look.soft:
        image = image.filter(ImageFilter.GaussianBlur(look.soft))
    values = np.asarray(image, dtype=np.float64) + bloom * 0.20
    if look.contrast != 1.0:
        t = np.clip(values / 255, 0, 1)
        curve = t * t * (3 - 2 * t)
        values = (t + (curve - t) * (look.contrast - 1)) * 255
    ys, xs = np.mgrid[0:height, 0:width]
    r2 = ((xs - width / 2) / (width / 2)) ** 2 + ((ys - height / 2) / (height / 2)) ** 2
    values = values * (1 - look.vignette * 0.32 * r2 * r2 / (0.6 + r2))[:, :, None]
    rng = np.random.default_rng(seed)
    grain = rng.integers(-8, 9, size=(height, width, 1)) + rng.integers(
        -8, 9, size=(height, width, 1)
    )
    fine = rng.integers(-5, 6, size=(height, width, 3))
    soft = np.asarray(
        Image.fromarray(np.clip(grain[:, :, 0] * 6 + 128, 0, 255).astype(np.uint8)).filter(
            ImageFilter.GaussianBlur(0.7)
        ),
        dtype=np.float64,
    )
    strength = look.grain * (0.55 + 0.6 * (1 - values.mean(axis=2) / 255))
    values = values + ((soft - 128) * 0.16 * strength)[:, :, None] + fine * 0.35 * look.grain
    return Image.fromarray(np.clip(values + 0.5, 0, 255).astype(np.uint8))


def jpeg(
    image: Image.Image, qualities: tuple[int, ...] = QUALITIES, largest: int = LARGEST
) -> bytes:
    """The first of these qualities that stays within `largest` bytes, or else the last.

    A device knows few qualities, so that its photos have their tables in common.
    """
    data = b""
    for quality in qualities:
        stream = io.BytesIO()
        image.save(stream, "JPEG", quality=quality, subsampling=2, optimize=True)
        data = stream.getvalue()
        if len(data) <= largest:
            break
    return data

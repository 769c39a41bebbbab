"""Surfaces: noise, floors, printed and handwritten labels, scannable tags. Colours are linear."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

import numpy as np
import reportlab
import segno
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from demo_claims.draw.raster import Array

SIZE = 1024
FONTS = Path(reportlab.__file__).parent / "fonts"


def font(size: int, bold: bool = True) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(FONTS / ("VeraBd.ttf" if bold else "Vera.ttf")), size)


def linear(red: int, green: int, blue: int) -> tuple[float, float, float]:
    """A display colour (0..255) as linear light, with the square law used throughout."""
    return ((red / 255) ** 2, (green / 255) ** 2, (blue / 255) ** 2)


@cache
def noise(seed: int, octaves: int = 6, first: int = 4, size: int = SIZE) -> Array:
    """Tileable-enough cloud noise, 0..1, from a seeded lattice that is enlarged and added up."""
    rng = np.random.default_rng(seed)
    total = np.zeros((size, size))
    weight, sum_of_weights, cells = 1.0, 0.0, first
    for _ in range(octaves):
        lattice = rng.integers(0, 256, size=(cells, cells), dtype=np.uint8)
        lattice[:, -1], lattice[-1, :] = lattice[:, 0], lattice[0, :]
        big = Image.fromarray(lattice).resize((size, size), Image.Resampling.BICUBIC)
        total += np.asarray(big, dtype=np.float64) / 255 * weight
        sum_of_weights += weight
        weight *= 0.55
        cells = min(cells * 2, size)
    total /= sum_of_weights
    low, high = total.min(), total.max()
    return (total - low) / (high - low)


def to_linear(image: Image.Image) -> Array:
    a = np.asarray(image.convert("RGB"), dtype=np.float64) / 255
    return a * a


def sample(texture: Array, u: Array, v: Array) -> Array:
    """Bilinear look-up, repeating outside 0..1; v runs upwards."""
    height, width = texture.shape[:2]
    x = (u - np.floor(u)) * width - 0.5
    y = (1 - (v - np.floor(v))) * height - 0.5
    x0, y0 = np.floor(x).astype(np.int64), np.floor(y).astype(np.int64)
    fx, fy = x - x0, y - y0
    if texture.ndim == 3:
        fx, fy = fx[:, None], fy[:, None]
    xa, xb = x0 % width, (x0 + 1) % width
    ya, yb = y0 % height, (y0 + 1) % height
    top = texture[ya, xa] * (1 - fx) + texture[ya, xb] * fx
    low = texture[yb, xa] * (1 - fx) + texture[yb, xb] * fx
    return top * (1 - fy) + low * fy


@cache
def concrete(seed: int, light: int = 150) -> Array:
    """Worn studio concrete: clouds, speckle, scuffs and hairline cracks. 2 m to the side."""
    rng = np.random.default_rng(seed)
    cloud = noise(seed, 6, 3) * 0.55 + noise(seed + 1, 4, 64) * 0.45
    picture = Image.new("L", (SIZE, SIZE), 0)
    pen = ImageDraw.Draw(picture)
    for _ in range(70):
        x, y = (int(v) for v in rng.integers(0, SIZE, 2))
        dx, dy = (int(v) for v in rng.integers(-120, 121, 2))
        pen.line(
            [(x, y), (x + dx, y + dy)],
            fill=int(rng.integers(40, 110)),
            width=int(rng.integers(1, 4)),
        )
    for _ in range(3):
        x, y = (int(v) for v in rng.integers(0, SIZE, 2))
        for _ in range(60):
            nx, ny = x + int(rng.integers(-6, 16)), y + int(rng.integers(-9, 13))
            pen.line([(x, y), (nx, ny)], fill=170, width=2)
            x, y = nx, ny
    scuff = np.asarray(picture.filter(ImageFilter.GaussianBlur(1.4)), dtype=np.float64) / 255
    level = (light / 255) * (0.78 + 0.36 * cloud) * (1 - 0.45 * scuff)
    tint = np.array([1.0, 0.985, 0.955])
    return (level * level)[:, :, None] * tint


@cache
def planks(seed: int, tone: tuple[int, int, int] = (150, 112, 76), boards: int = 8) -> Array:
    """Wooden boards with grain and dark joints."""
    rng = np.random.default_rng(seed)
    grain = noise(seed + 7, 5, 24)
    stretched = np.asarray(
        Image.fromarray((grain * 255).astype(np.uint8))
        .resize((SIZE * 6, SIZE))
        .crop((0, 0, SIZE, SIZE)),
        dtype=np.float64,
    )
    out = np.zeros((SIZE, SIZE, 3))
    high = SIZE // boards
    for b in range(boards):
        shift = int(rng.integers(0, SIZE))
        strip = (
            np.roll(stretched, (shift, shift // 3), axis=(0, 1))[b * high : (b + 1) * high] / 255
        )
        tone_shift = 0.82 + 0.3 * float(rng.integers(0, 100)) / 100
        level = (0.72 + 0.42 * strip) * tone_shift
        joint = np.ones(high)
        joint[:3], joint[-2:] = 0.35, 0.6
        level = level * joint[:, None]
        end = int(rng.integers(0, SIZE - 4))
        level[:, end : end + 3] *= 0.4
        out[b * high : (b + 1) * high] = level[:, :, None] * (np.array(tone) / 255)
    out = np.minimum(out, 1.0)
    return out * out


@cache
def plywood(seed: int) -> Array:
    grain = noise(seed, 5, 6)
    stretched = np.asarray(
        Image.fromarray((grain * 255).astype(np.uint8))
        .resize((SIZE, SIZE * 5))
        .crop((0, 0, SIZE, SIZE)),
        dtype=np.float64,
    )
    level = 0.82 + 0.25 * stretched / 255
    rings = stretched * 14 - np.floor(stretched * 14 / 255) * 255
    level = level * (0.93 + 0.07 * rings / 255)
    out = np.minimum(level[:, :, None] * (np.array([196, 160, 112]) / 255), 1.0)
    return out * out


@cache
def blockwork(seed: int) -> Array:
    """A painted wall of concrete blocks, 1.6 m by 1.6 m."""
    picture = Image.new("L", (SIZE, SIZE), 205)
    pen = ImageDraw.Draw(picture)
    for row in range(8):
        y = row * SIZE // 8
        pen.line([(0, y), (SIZE, y)], fill=150, width=7)
        for column in range(5):
            x = column * SIZE // 4 + (SIZE // 8 if row % 2 else 0)
            pen.line([(x, y), (x, y + SIZE // 8)], fill=150, width=7)
    wall = np.asarray(picture.filter(ImageFilter.GaussianBlur(2.2)), dtype=np.float64) / 255
    level = wall * (0.9 + 0.12 * noise(seed, 6, 8))
    out = level[:, :, None] * np.array([0.98, 0.97, 0.93])
    return np.minimum(out * out, 1.0)


def label(
    lines: list[tuple[str, int]],
    size: tuple[int, int],
    paper: tuple[int, int, int] = (238, 236, 228),
    ink: tuple[int, int, int] = (25, 25, 28),
    code: str | None = None,
    border: bool = True,
    slant: float = 0.0,
) -> Array:
    """A printed label: lines of (text, height), with a QR code at the left where `code` is given."""
    width, height = size
    picture = Image.new("RGB", size, paper)
    pen = ImageDraw.Draw(picture)
    if border:
        pen.rounded_rectangle([6, 6, width - 7, height - 7], 14, outline=ink, width=4)
    x = 26
    if code:
        stream = io.BytesIO()
        segno.make(code, error="m", micro=False).save(
            stream, kind="png", scale=8, border=2, dark="#141416", light="#f4f3ee"
        )
        square = height - 36
        mark = Image.open(stream).convert("RGB").resize((square, square), Image.Resampling.NEAREST)
        picture.paste(mark, (18, 18))
        x = 18 + square + 18
    total = sum(h for _, h in lines) + 8 * (len(lines) - 1)
    y = (height - total) / 2
    for text, high in lines:
        pen.text((x, y - high * 0.12), text, font=font(high), fill=ink)
        y += high + 8
    if slant:
        picture = picture.rotate(slant, Image.Resampling.BICUBIC, fillcolor=paper)
    return to_linear(picture)


def mix(a: Array | tuple[float, ...], b: Array | tuple[float, ...], t: Array) -> Array:
    w = t[:, None]
    return np.asarray(a) * (1 - w) + np.asarray(b) * w


def ramp(x: Array, low: float, high: float) -> Array:
    """0 below low, 1 above high, smooth between."""
    t = np.clip((x - low) / (high - low), 0.0, 1.0)
    return t * t * (3 - 2 * t)


Mask = NDArray[np.bool_]

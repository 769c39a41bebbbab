"""Small things between the gear: paper notes, clipboards, boxes, lamps, bags."""

from __future__ import annotations

import math

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from demo_claims.draw import textures as tx
from demo_claims.draw.mesh import Mesh, box, join, lathe, rod, sheet, tube
from demo_claims.draw.raster import Array
from demo_claims.draw.shade import Material
from demo_claims.draw.stock import Stock, printed


def note(s: Stock, name: str, lines: list[tuple[str, int]], wide: float = 0.34) -> Mesh:
    """A sheet of paper lying on the floor, written large with a marker, slightly curled."""
    page = tx.label(lines, (420, 330), (236, 234, 226), (24, 28, 64), border=False, slant=2.0)
    paper = s.print("note " + name, page, 0.9)
    flat = sheet((-wide / 2, -wide * 0.39, 0.002), (wide, 0, 0), (0, wide * 0.78, 0), paper, (8, 8))
    return flat.bent(
        lambda p: np.stack(
            [0 * p[:, 0], 0 * p[:, 0], 0.9 * (p[:, 0] / wide) ** 4 * wide * 0.5 + 0.003], axis=1
        )
    )


def duffel(s: Stock) -> Mesh:
    """A long roll bag for a frame."""
    skin = s.worn((52, 66, 52), 0.92, amount=0.4, bump=0.2)
    body = tube(
        [(-0.68, 0, 0.13), (-0.66, 0, 0.13), (0, 0.01, 0.128), (0.66, 0, 0.13), (0.68, 0, 0.13)],
        [0.09, 0.125, 0.13, 0.125, 0.09],
        skin,
        28,
    )
    straps = [
        tube(
            [
                (x, -0.13 * math.cos(a), 0.13 + 0.134 * math.sin(a))
                for a in np.linspace(-0.6, 3.7, 14)
            ],
            0.008,
            s.black,
            8,
        ).scaled(1, 1, 1)
        for x in (-0.35, 0.35)
    ]
    handle = tube(
        [(-0.35, -0.10, 0.22), (-0.2, -0.15, 0.16), (0.2, -0.15, 0.16), (0.35, -0.10, 0.22)],
        0.010,
        s.black,
        8,
    )
    return join([body, *straps, handle])


def lamp_box(s: Stock, words: str) -> Mesh:
    """An open card box with a written label on its front."""
    card = s.worn((176, 140, 98), 0.85, amount=0.3)
    label = s.print(
        "box " + words,
        tx.label([(words, 64), ("TUNGSTEN 2K LAMP", 38)], (620, 200), (240, 238, 230)),
        0.8,
    )
    w, d, h = 0.20, 0.13, 0.10
    parts = [box((w, d, 0.004), card, 0.001)]
    for y in (-d / 2, d / 2):
        parts.append(box((w, 0.004, h), card, 0.001).moved(y=y))
    for x in (-w / 2, w / 2):
        parts.append(box((0.004, d, h), card, 0.001).moved(x=x))
    parts.append(sheet((-w / 2, d / 2, h), (w, 0, 0), (0, 0.06, 0.045), card))
    parts.append(sheet((-0.078, -d / 2 - 0.0025, 0.012), (0.156, 0, 0), (0, 0, 0.048), label))
    return join(parts).moved(x=-0.07, y=0.06, z=0.006)


def dead_lamp(s: Stock) -> Mesh:
    """A two-pin tungsten lamp lying down, its envelope blackened."""
    soot = tx.noise(71, 5, 4)

    def smoke(uv: Array, p: Array) -> Array:
        dark = tx.ramp(tx.sample(soot, p[:, 0] * 9, p[:, 1] * 9 + p[:, 2] * 7), 0.30, 0.62)
        return tx.mix(tx.linear(186, 184, 176), tx.linear(28, 26, 25), dark)

    glass = s.once("sooted glass", lambda: Material(smoke, 0.07, shine=0.10))
    bulb = lathe(
        [
            (0.010, 0.0),
            (0.017, 0.012),
            (0.019, 0.03),
            (0.019, 0.075),
            (0.016, 0.09),
            (0.008, 0.10),
            (0.0, 0.103),
        ],
        glass,
        32,
    )
    base = lathe(
        [(0, -0.035), (0.019, -0.035), (0.021, -0.03), (0.021, -0.004), (0.012, 0.0)],
        s.plain((218, 212, 200), 0.5),
        32,
    )
    pins = [rod((x, 0, -0.065), (x, 0, -0.035), 0.0042, s.brass) for x in (-0.011, 0.011)]
    return join([bulb, base, *pins]).turned("y", 90).moved(z=0.021)


def scribble(
    pen: ImageDraw.ImageDraw, x: float, y: float, wide: float, high: float, seed: int
) -> None:
    """A signature-like line in blue ink."""
    rng = np.random.default_rng(seed)
    points = []
    for k in range(90):
        t = k / 89
        wave = math.sin(t * (17 + 5 * float(rng.integers(0, 2))) + seed) * (1 - t * 0.6)
        points.append(
            (
                x + wide * (t + 0.05 * math.cos(t * 31 + seed)),
                y - high * 0.5 * wave * (0.6 + 0.4 * math.sin(7 * t + seed)),
            )
        )
    pen.line(points, fill=(28, 44, 130), width=4, joint="curve")


def sheet_page(
    company: str,
    title: str,
    rows: list[tuple[str, str, str, str, str]],
    signed: list[str],
    when: str,
    seed: int,
) -> Array:
    """A printed count sheet filled in by hand: line, item, out, counted, remark."""
    w, h = 1240, 1650
    page = Image.new("RGB", (w, h), (243, 242, 236))
    pen = ImageDraw.Draw(page)
    ink, hand = (30, 30, 32), (28, 44, 130)
    pen.text((80, 70), company, font=tx.font(34), fill=ink)
    pen.text((80, 124), title, font=tx.font(46), fill=ink)
    pen.text(
        (80, 196),
        "Count together, write the true figure, both initial.",
        font=tx.font(26, False),
        fill=ink,
    )
    columns = [80, 160, 690, 790, 910, 1160]
    top, step = 270, 84
    heads = ["LINE", "ITEM", "OUT", "SEEN", "REMARK"]
    rng = np.random.default_rng(seed)
    for k, name in enumerate(heads):
        pen.text((columns[k] + 8, top + 24), name, font=tx.font(24), fill=ink)
    bottom = top + step * (len(rows) + 1)
    for k in range(len(rows) + 2):
        pen.line([(80, top + k * step), (1160, top + k * step)], fill=ink, width=3)
    for x in columns:
        pen.line([(x, top), (x, bottom)], fill=ink, width=3)
    for k, row in enumerate(rows):
        y = top + step * (k + 1)
        for c in range(3):
            pen.text((columns[c] + 8, y + 26), row[c], font=tx.font(28, False), fill=ink)
        for c, size in ((3, 44), (4, 30)):
            word = Image.new("RGBA", (260, 80), (0, 0, 0, 0))
            ImageDraw.Draw(word).text(
                (10, 12), row[c], font=tx.font(size, False), fill=(*hand, 255)
            )
            word = word.rotate(int(rng.integers(-4, 5)), Image.Resampling.BICUBIC)
            page.paste(word, (columns[c] + 4, y + int(rng.integers(-4, 5))), word)
        if row[2] != row[3]:
            pen.line([(columns[2] + 4, y + 50), (columns[2] + 76, y + 34)], fill=hand, width=5)
    y = bottom + 110
    for k, name in enumerate(signed):
        x = 90 + k * 560
        pen.line([(x, y + 90), (x + 460, y + 90)], fill=ink, width=3)
        scribble(pen, x + 40, y + 50, 330, 90, seed + 11 * k)
        pen.text(
            (x, y + 100),
            name + (" (production)" if k == 0 else " (rental company)"),
            font=tx.font(24, False),
            fill=ink,
        )
    pen.text((90, y + 190), when, font=tx.font(38, False), fill=hand)
    return tx.to_linear(page.filter(ImageFilter.GaussianBlur(0.8)))


def clipboard(s: Stock, name: str, page: Array) -> list[Mesh]:
    paper = s.once("page " + name, lambda: Material(printed(page), 0.85))
    board = box((0.25, 0.345, 0.004), s.wood, 0.002).moved(z=0.007)
    leaf = sheet((-0.108, -0.160, 0.0125), (0.216, 0, 0), (0, 0.287, 0), paper, (12, 12)).bent(
        lambda p: np.stack(
            [
                0 * p[:, 0],
                0 * p[:, 0],
                0.010 * np.maximum(0, -p[:, 1] / 0.16 - 0.5) ** 2
                + 0.02 * np.maximum(0, p[:, 0] / 0.1 - 0.7) ** 2,
            ],
            axis=1,
        )
    )
    clip = join(
        [
            box((0.10, 0.03, 0.012), s.chrome, 0.004).moved(y=0.152, z=0.011),
            rod((-0.05, 0.165, 0.022), (0.05, 0.165, 0.022), 0.006, s.chrome),
        ]
    )
    pen = rod((0.165, -0.12, 0.012), (0.185, 0.02, 0.012), 0.0045, s.plain((26, 52, 120), 0.25))
    tip = tube([(0.165, -0.12, 0.012), (0.1635, -0.13, 0.011)], [0.0045, 0.001], s.brass, 10)
    return [board, leaf, clip, pen, tip]

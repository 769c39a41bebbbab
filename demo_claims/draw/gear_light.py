"""Lighting equipment: tungsten heads, LED panels and fresnels, power supplies."""

from __future__ import annotations

import math

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from demo_claims.draw import textures as tx
from demo_claims.draw.mesh import Mesh, box, disc, join, lathe, ring, rod, sheet, tube
from demo_claims.draw.raster import Array
from demo_claims.draw.shade import Material
from demo_claims.draw.stock import Colour, Stock


def _ribbed_glass() -> Array:
    """A fresnel lens: concentric rings round the middle."""
    y, x = np.mgrid[0:512, 0:512]
    r = np.sqrt((x - 255.5) ** 2 + (y - 255.5) ** 2) / 256
    saw = r * 17 - np.floor(r * 17)
    level = 0.30 + 0.42 * saw * saw + 0.18 * (1 - r)
    return level[:, :, None] * np.array([0.93, 1.0, 1.0])


def fresnel_lens(s: Stock, radius: float, broken: bool = False, seed: int = 5) -> Mesh:
    """The lens as a disc in the x-z plane facing -y; `broken` leaves jagged pieces at the rim."""
    texture = _ribbed_glass()
    glass = s.once(
        "fresnel",
        lambda: Material(
            lambda uv, p: (
                tx.sample(texture, np.clip(uv[:, 0], 0.002, 0.998), np.clip(uv[:, 1], 0.002, 0.998))
                * 0.55
            ),
            0.12,
            shine=0.09,
        ),
    )
    if not broken:
        return disc(radius, glass, 48).turned("x", 90)
    face = sheet((-radius, 0, -radius), (2 * radius, 0, 0), (0, 0, 2 * radius), glass, (90, 90))
    rng = np.random.default_rng(seed)
    reach = rng.random(15) * 0.50 + 0.38
    lean = (rng.random(15) - 0.5) * 0.5

    def keep(uv: Array) -> np.ndarray:
        dx, dy = uv[:, 0] * 2 - 1, uv[:, 1] * 2 - 1
        r = np.sqrt(dx * dx + dy * dy)
        # An angle without trigonometry is enough to number the shards.
        turn = np.where(dy >= 0, 1 - dx / np.maximum(r, 1e-6), 3 + dx / np.maximum(r, 1e-6)) / 4
        place = turn * 15
        n = np.floor(place).astype(int) % 15
        f = place - np.floor(place)
        point = np.abs(f - 0.5 - lean[n]) * 0.9
        return (r <= 1.0) & (
            r > np.minimum(reach[n] + point * 0.55, 1.0) * (1 - 0.25 * (dy < -0.3))
        )

    return face.cut(keep)


def barn_doors(s: Stock, radius: float, bend: float = 0.0) -> Mesh:
    """Four leaves round a ring facing -y; `bend` (degrees) folds a corner of the right leaf back."""
    skin = s.worn((40, 40, 42), 0.5, 0.4, 0.5)
    parts = [ring(radius * 1.05, 0.006, s.steel, 40).turned("x", 90).moved(y=-0.012)]
    w, h = radius * 2.0, radius * 1.25
    for k, (turn, open_to, scale) in enumerate(
        ((0, 36, 1.0), (90, 30, 0.8), (180, 40, 1.0), (270, 28, 0.8))
    ):
        cells = 16 if (k == 3 and bend) else 4
        leaf = sheet((-w / 2 * scale, 0, 0), (w * scale, 0, 0), (0, 0, h), skin, (cells, cells))
        taper = 0.24 if scale == 1.0 else -0.12
        leaf = leaf.bent(
            lambda p, t=taper, h=h: np.stack(
                [p[:, 0] * t * p[:, 2] / h, 0 * p[:, 0], 0 * p[:, 0]], axis=1
            )
        )
        if k == 3 and bend:

            def fold(p: Array) -> Array:
                # One corner is folded towards the lens, the rest of the leaf is wavy.
                crease = np.maximum(p[:, 2] / h + p[:, 0] / (w * 0.8) - 0.45, 0)
                wave = np.sin(p[:, 0] * 55) * 0.006 * np.clip(p[:, 2] / h, 0, 1)
                return np.stack(
                    [-crease * 0.07, wave - crease * bend / 100 * 0.26, -crease * 0.09], axis=1
                )

            leaf = leaf.bent(fold)
        leaf = leaf.turned("x", open_to).moved(z=radius * 1.02, y=-0.015)
        hinge = rod(
            (-w * 0.42 * scale, -0.012, radius * 1.02),
            (w * 0.42 * scale, -0.012, radius * 1.02),
            0.006,
            s.steel,
        )
        parts.append(join([leaf, hinge]).turned("y", turn))
    return join(parts)


def tungsten_head(
    s: Stock,
    doors: bool = True,
    bend: float = 0.0,
    colour: Colour = (150, 38, 34),
    lens_broken: bool = False,
    radius: float = 0.105,
    dent: bool = False,
) -> Mesh:
    """A 2K-like fresnel head facing -y, centred on its lens axis, with yoke and spud down."""
    skin = s.worn(colour, 0.42, amount=0.25)
    r = radius
    body = box((r * 2.3, r * 2.5, r * 2.35), skin, 0.02).moved(y=r * 1.25 + 0.024, z=-r * 1.17)
    if dent:
        body = body.bent(
            lambda p: np.stack(
                [
                    0 * p[:, 0],
                    0 * p[:, 0],
                    -0.03
                    * np.maximum(0, 1 - ((p[:, 0] - r) ** 2 + (p[:, 1] - r * 0.3) ** 2) / (0.05**2))
                    * (p[:, 2] > 0),
                ],
                axis=1,
            )
        )
    parts = [body]
    parts.append(
        lathe(
            [
                (r * 0.98, 0.02),
                (r * 1.12, 0.015),
                (r * 1.14, -0.02),
                (r * 1.02, -0.03),
                (r * 0.98, -0.02),
            ],
            s.black,
            40,
        )
        .turned("x", 90)
        .moved(y=0.02)
    )
    parts.append(fresnel_lens(s, r, lens_broken).moved(y=0.012))
    if lens_broken:
        parts.append(
            disc(r * 0.98, s.worn((190, 190, 186), 0.3, 0.9), 40).turned("x", 90).moved(y=0.05)
        )
        parts.append(
            lathe(
                [(0.0, 0.06), (0.022, 0.055), (0.024, 0.02), (0.016, 0.0), (0.016, -0.05)],
                s.plain((235, 235, 228), 0.1),
                20,
            ).moved(y=0.035, z=-0.01)
        )
    for k in range(5):
        parts.append(
            box((r * 1.7, 0.012, 0.012), s.black, 0.003).moved(
                y=r * 0.45 + k * r * 0.42, z=r * 1.18
            )
        )
        for side in (-1, 1):
            parts.append(
                box((0.008, 0.016, r * 1.3), s.black, 0.003).moved(
                    x=side * r * 1.15, y=r * 0.45 + k * r * 0.42, z=-r * 0.62
                )
            )
    half = r * 1.45
    yoke = tube(
        [
            (-half, r * 1.2, 0.0),
            (-half, r * 1.2, -r * 1.5),
            (-half * 0.93, r * 1.2, -r * 1.68),
            (0, r * 1.2, -r * 1.72),
            (half * 0.93, r * 1.2, -r * 1.68),
            (half, r * 1.2, -r * 1.5),
            (half, r * 1.2, 0.0),
        ],
        0.011,
        s.black,
        10,
    )
    parts.append(yoke)
    for side in (-1, 1):
        parts.append(
            lathe([(0, 0), (0.026, 0), (0.026, 0.018), (0.018, 0.024), (0, 0.024)], s.black, 18)
            .turned("y", 90 * side)
            .moved(x=side * half, y=r * 1.2)
        )
    parts.append(rod((0, r * 1.2, -r * 1.72), (0, r * 1.2, -r * 2.6), 0.0145, s.chrome))
    parts.append(
        tube(
            [
                (0.0, r * 2.5, -r * 0.9),
                (0.01, r * 3.0, -r * 1.1),
                (0.03, r * 3.2, -r * 2.0),
                (0.02, r * 3.1, -r * 4.0),
            ],
            0.008,
            s.rubber,
            10,
        )
    )
    if doors:
        parts.append(barn_doors(s, r * 1.08, bend).moved(y=-0.02))
    return join(parts)


def led_face(crack: bool, dead: bool, seed: int = 8) -> Array:
    """The milky front of a panel; cracked plastic and a dark block of diodes on demand."""
    width, height = 1024, 512
    base = Image.new("RGB", (width, height), (226, 224, 212))
    pen = ImageDraw.Draw(base)
    for x in range(16, width, 32):
        for y in range(16, height, 32):
            pen.ellipse([x - 5, y - 5, x + 5, y + 5], fill=(240, 226, 160))
    base = base.filter(ImageFilter.GaussianBlur(5))
    pen = ImageDraw.Draw(base)
    if dead:
        pen.rectangle([0, 0, 255, 170], fill=(120, 116, 104))
        base = base.filter(ImageFilter.GaussianBlur(3))
        pen = ImageDraw.Draw(base)
    if crack:
        rng = np.random.default_rng(seed)
        cx, cy = 700, 190
        for k in range(15):
            a = 2 * math.pi * k / 15 + float(rng.random()) * 0.3
            x, y = float(cx), float(cy)
            long = 5 + int(rng.integers(0, 9))
            for step in range(long):
                a += (float(rng.random()) - 0.5) * 0.7
                nx, ny = x + math.cos(a) * 30, y + math.sin(a) * 26
                wide = 5 if step < 2 else 3
                pen.line([(x, y), (nx, ny)], fill=(52, 50, 46), width=wide)
                pen.line([(x + 4, y + 3), (nx + 4, ny + 3)], fill=(255, 255, 250), width=2)
                x, y = nx, ny
        for reach in (34, 66):
            pts = [
                (
                    cx + math.cos(k * 0.52) * (reach + int(rng.integers(-8, 9))),
                    cy + math.sin(k * 0.52) * (reach * 0.85),
                )
                for k in range(13)
            ]
            pen.line(pts, fill=(70, 68, 62), width=3)
        pen.polygon([(690, 178), (720, 172), (728, 200), (704, 216), (684, 202)], fill=(30, 29, 27))
    return tx.to_linear(base)


def led_panel(
    s: Stock,
    width: float = 0.62,
    height: float = 0.31,
    crack: bool = False,
    dead: bool = False,
    lit: float = 0.0,
    name: str = "",
) -> Mesh:
    """A flat panel facing -y, lower edge at z = 0, with yoke."""
    face = s.print(f"led {crack} {dead} {lit} {name}", led_face(crack, dead), 0.35, lit)
    shell = s.worn((52, 54, 58), 0.45, amount=0.3)
    parts = [
        box((width + 0.05, 0.05, height + 0.05), shell, 0.010).moved(y=0.03, z=-0.025),
        sheet((-width / 2, 0.0035, 0), (width, 0, 0), (0, 0, height), face),
    ]
    rim = 0.013
    for z in (-0.007, height + 0.007):
        parts.append(box((width + 0.04, 0.016, rim), s.black, 0.004).moved(y=0.003, z=z - rim / 2))
    for x in (-width / 2 - 0.012, width / 2 + 0.012):
        parts.append(box((rim, 0.016, height + 0.03), s.black, 0.004).moved(x=x, y=0.003, z=-0.015))
        parts.append(box((0.05, 0.07, 0.07), s.rubber, 0.012).moved(x=x * 1.02, y=0.03, z=-0.045))
        parts.append(
            box((0.05, 0.07, 0.07), s.rubber, 0.012).moved(x=x * 1.02, y=0.03, z=height - 0.025)
        )
    for k in range(9):
        parts.append(
            box((width * 0.9, 0.02, 0.008), s.black, 0.002).moved(y=0.065, z=0.02 + k * height / 9)
        )
    half = width / 2 + 0.055
    parts.append(
        tube(
            [
                (-half, 0.03, height / 2),
                (-half, 0.03, -0.10),
                (-half + 0.02, 0.03, -0.13),
                (half - 0.02, 0.03, -0.13),
                (half, 0.03, -0.10),
                (half, 0.03, height / 2),
            ],
            0.011,
            s.black,
            10,
        )
    )
    parts.append(rod((0, 0.03, -0.13), (0, 0.03, -0.24), 0.0145, s.chrome))
    for side in (-1, 1):
        parts.append(
            lathe([(0, 0), (0.026, 0), (0.026, 0.018), (0, 0.02)], s.black, 18)
            .turned("y", 90 * side)
            .moved(x=side * half, y=0.03, z=height / 2)
        )
    return join(parts)


def led_fresnel(s: Stock, broken: bool = False, scuffed: bool = False) -> Mesh:
    """A round LED fresnel head facing -y with a fan housing, yoke and spud."""
    r = 0.09
    skin = s.worn((58, 60, 64), 0.4, amount=0.3)
    barrel = lathe(
        [
            (r * 0.97, -0.10),
            (r * 1.12, -0.10),
            (r * 1.14, 0.0),
            (r * 1.05, 0.02),
            (r * 1.05, 0.16),
            (r * 1.25, 0.18),
            (r * 1.25, 0.33),
            (r * 1.1, 0.345),
            (0, 0.345),
        ],
        skin,
        40,
    ).turned("x", -90)
    if scuffed:
        barrel = barrel.bent(
            lambda p: np.stack(
                [
                    -0.028
                    * np.maximum(0, 1 - ((p[:, 1] + 0.08) ** 2 + (p[:, 2] - 0.03) ** 2) / 0.05**2)
                    * (p[:, 0] > 0),
                    0 * p[:, 0],
                    -0.012
                    * np.maximum(0, 1 - ((p[:, 1] + 0.08) ** 2 + (p[:, 0] - 0.06) ** 2) / 0.05**2)
                    * (p[:, 2] > 0),
                ],
                axis=1,
            )
        )
    parts = [barrel, fresnel_lens(s, r * 0.98, broken, 9).moved(y=-0.085)]
    if broken:
        parts.append(disc(r * 0.97, s.plain((74, 72, 66), 0.5), 40).turned("x", 90).moved(y=-0.045))
        parts.append(
            disc(r * 0.34, s.plain((236, 206, 70), 0.4), 30).turned("x", 90).moved(y=-0.047)
        )
    for k in range(10):
        a = 2 * math.pi * k / 10
        parts.append(
            box((0.010, 0.13, 0.016), s.black, 0.003)
            .moved(y=0.255, z=r * 1.22)
            .turned("y", math.degrees(a))
        )
    half = r * 1.5
    parts.append(
        tube(
            [
                (-half, 0.1, 0),
                (-half, 0.1, -0.16),
                (-half + 0.02, 0.1, -0.19),
                (half - 0.02, 0.1, -0.19),
                (half, 0.1, -0.16),
                (half, 0.1, 0),
            ],
            0.011,
            s.black,
            10,
        )
    )
    for side in (-1, 1):
        parts.append(
            lathe([(0, 0), (0.026, 0), (0.028, 0.03), (0, 0.034)], s.plain((190, 60, 40), 0.4), 18)
            .turned("y", 90 * side)
            .moved(x=side * half, y=0.1)
        )
    parts.append(rod((0, 0.1, -0.19), (0, 0.1, -0.30), 0.0145, s.chrome))
    return join(parts)


def shards(
    s: Stock, count: int = 26, spread: float = 0.22, seed: int = 6, tint: Colour = (190, 214, 210)
) -> Mesh:
    """Broken glass on the floor round the origin."""
    glass = s.plain(tint, 0.08)
    rng = np.random.default_rng(seed)
    parts = []
    for _ in range(count):
        x, y = (float(v) * spread for v in (rng.random(2) + rng.random(2) - 1))
        size = 0.008 + 0.030 * float(rng.random()) ** 2
        turn = float(rng.random()) * 360
        piece = sheet(
            (-size / 2, -size / 2, 0),
            (size, 0, 0),
            (size * 0.3, size * (0.5 + float(rng.random())), 0),
            glass,
        )
        piece = piece.cut(lambda uv: np.arange(len(uv)) < 1)
        parts.append(
            join([piece.moved(z=0.004), piece.moved(z=0.001)])
            .turned("x", float(rng.random()) * 16 - 8)
            .turned("z", turn)
            .moved(x=x, y=y, z=0.004)
        )
    return join(parts)

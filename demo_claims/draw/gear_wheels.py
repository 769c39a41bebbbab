"""Heavier grip equipment: dollies, carts, crates, overhead frames."""

from __future__ import annotations

import numpy as np

from demo_claims.draw.mesh import Mesh, box, join, lathe, rod, sheet, tube
from demo_claims.draw.raster import Array
from demo_claims.draw.stock import Colour, Stock
from demo_claims.draw.textures import noise, sample


def wheel(s: Stock, radius: float = 0.13, width: float = 0.07) -> Mesh:
    """A pneumatic wheel, axle along y, standing on z = 0."""
    tyre = lathe(
        [
            (radius * 0.55, -width / 2),
            (radius * 0.86, -width / 2),
            (radius * 0.97, -width * 0.36),
            (radius, -width * 0.15),
            (radius, width * 0.15),
            (radius * 0.97, width * 0.36),
            (radius * 0.86, width / 2),
            (radius * 0.55, width / 2),
        ],
        s.rubber,
        36,
    )
    hub = lathe(
        [
            (0, -width * 0.42),
            (radius * 0.2, -width * 0.42),
            (radius * 0.22, -width * 0.3),
            (radius * 0.56, -width * 0.36),
            (radius * 0.56, width * 0.36),
            (radius * 0.22, width * 0.3),
            (radius * 0.2, width * 0.42),
            (0, width * 0.42),
        ],
        s.steel,
        30,
    )
    return join([tyre, hub]).turned("x", 90).moved(z=radius)


def doorway_dolly(s: Stock, chipped: bool = False, split: bool = False) -> Mesh:
    """A plywood deck 1.2 by 0.6 m on four wheels with a pull handle, long side along x.

    `chipped` is the worn corner that was there all along, `split` the fresh damage.
    """
    carpet = s.worn((62, 66, 70), 0.95, amount=0.5, bump=0.25)
    deck = box((1.22, 0.63, 0.019), s.wood, 0.004).moved(z=0.235)
    top = sheet((-0.52, -0.27, 0.2565), (1.04, 0, 0), (0, 0.54, 0), carpet, (200, 104))
    parts = [deck]
    if chipped:
        rough = noise(61, 5, 10)

        def keep(uv: Array) -> np.ndarray:
            edge = (1 - uv[:, 0]) + uv[:, 1]
            return edge > 0.24 + 0.12 * (sample(rough, uv[:, 0] * 2, uv[:, 1] * 2) - 0.5)

        top = top.cut(keep, whole_cells=True)
    parts.append(top)
    trim = s.steel
    for y in (-0.315, 0.315):
        parts.append(box((1.22, 0.006, 0.035), trim, 0.002).moved(y=y, z=0.225))
    for x in (-0.61, 0.61):
        parts.append(box((0.006, 0.63, 0.035), trim, 0.002).moved(x=x, z=0.225))
    for x in (-0.44, 0.44):
        for y in (-0.26, 0.26):
            w = wheel(s, 0.115, 0.075).moved(x=x, y=y * 1.32)
            parts.append(w)
            parts.append(box((0.07, 0.05, 0.13), s.black, 0.006).moved(x=x, y=y * 1.05, z=0.10))
        parts.append(rod((x, -0.34, 0.115), (x, 0.34, 0.115), 0.012, s.steel))
    handle = tube(
        [
            (0.62, -0.20, 0.24),
            (0.74, -0.20, 0.50),
            (0.86, -0.20, 0.78),
            (0.88, -0.17, 0.82),
            (0.88, 0, 0.825),
            (0.88, 0.17, 0.82),
            (0.86, 0.20, 0.78),
            (0.74, 0.20, 0.50),
            (0.62, 0.20, 0.24),
        ],
        0.0135,
        s.black,
        12,
    )
    parts.append(handle)
    if split:
        gash = s.plain((228, 196, 140), 0.9, bump=0.4)
        dark = s.plain((16, 12, 9), 0.95)
        for k, (x, y, long, turn) in enumerate(((0.30, -0.20, 0.20, 12), (0.24, -0.17, 0.12, -20))):
            parts.append(
                box((long, 0.014, 0.003), dark, 0.001).turned("z", turn).moved(x=x, y=y, z=0.2566)
            )
            parts.append(
                box((long * 0.8, 0.012, 0.005), gash, 0.001)
                .turned("z", turn + 5)
                .moved(x=x, y=y + 0.014, z=0.257 + k * 0.001)
            )
    return join(parts)


def frame_tubes(s: Stock, corners: int = 4, pieces: int = 8) -> Mesh:
    """An overhead frame taken apart: square tubes side by side, corners in a row before them."""
    parts = []
    for k in range(pieces):
        parts.append(
            box((1.22, 0.032, 0.032), s.steel, 0.003)
            .moved(y=0.10 + k * 0.062, z=0)
            .turned("z", 0.6 * ((k * 7) % 3 - 1))
        )
        for x in (-0.57, 0.57):
            parts.append(
                box((0.05, 0.0335, 0.0335), s.plain((196, 62, 40), 0.6), 0.003).moved(
                    x=x, y=0.10 + k * 0.062
                )
            )
    for k in range(corners):
        corner = join(
            [
                box((0.17, 0.028, 0.028), s.steel, 0.003).moved(x=0.07),
                box((0.028, 0.17, 0.028), s.steel, 0.003).moved(y=0.07),
                rod((0.0, 0.0, 0.028), (0.0, 0.0, 0.062), 0.008, s.steel),
                rod((-0.028, 0, 0.060), (0.028, 0, 0.060), 0.0065, s.black),
            ]
        )
        parts.append(corner.turned("z", 5 * ((k * 5) % 3 - 1)).moved(x=-0.47 + k * 0.29, y=-0.22))
    return join(parts)


def crate(
    s: Stock, colour: Colour = (40, 70, 110), size: tuple[float, float, float] = (0.46, 0.36, 0.29)
) -> Mesh:
    """An open slatted crate."""
    w, d, h = size
    skin = s.plain(colour, 0.5)
    parts = [box((w, d, 0.012), skin, 0.003)]
    for z in (0.03, h * 0.36, h * 0.62, h - 0.05):
        for y in (-d / 2, d / 2):
            parts.append(box((w, 0.010, 0.04), skin, 0.003).moved(y=y, z=z))
        for x in (-w / 2, w / 2):
            parts.append(box((0.010, d, 0.04), skin, 0.003).moved(x=x, z=z))
    for x in (-w / 2, w / 2):
        for y in (-d / 2, d / 2):
            parts.append(box((0.028, 0.028, h), skin, 0.005).moved(x=x * 0.97, y=y * 0.97))
    for x in (-w / 5, w / 5):
        for y in (-d / 2, d / 2):
            parts.append(box((0.022, 0.014, h), skin, 0.004).moved(x=x, y=y))
    return join(parts)


def cart(
    s: Stock, wide: float = 1.3, deep: float = 0.65, shelves: tuple[float, ...] = (0.2, 0.78)
) -> Mesh:
    tray = s.worn((70, 74, 78), 0.55, amount=0.4)
    parts = []
    for z in shelves:
        parts.append(box((wide, deep, 0.02), tray, 0.004).moved(z=z))
        for y in (-deep / 2, deep / 2):
            parts.append(rod((-wide / 2, y, z + 0.07), (wide / 2, y, z + 0.07), 0.011, s.black))
        for x in (-wide / 2, wide / 2):
            parts.append(rod((x, -deep / 2, z + 0.07), (x, deep / 2, z + 0.07), 0.011, s.black))
    for x in (-wide / 2, wide / 2):
        for y in (-deep / 2, deep / 2):
            parts.append(rod((x, y, 0.14), (x, y, max(shelves) + 0.09), 0.015, s.black))
            parts.append(wheel(s, 0.09, 0.05).moved(x=x * 0.93, y=y))
        parts.append(
            tube(
                [
                    (x, -deep / 2, max(shelves) + 0.07),
                    (x * 1.0, -deep / 2, 1.02),
                    (x, deep / 2, 1.02),
                    (x, deep / 2, max(shelves) + 0.07),
                ],
                0.014,
                s.black,
                10,
            )
        )
    return join(parts)

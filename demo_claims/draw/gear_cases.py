"""Around the camera: transport cases, bags, tripods, matte boxes."""

from __future__ import annotations

import numpy as np

from demo_claims.draw import textures as tx
from demo_claims.draw.mesh import Mesh, ball, box, join, lathe, rod, sheet, tube
from demo_claims.draw.raster import Array
from demo_claims.draw.stock import Colour, Stock


def case_closed(
    s: Stock,
    size: tuple[float, float, float] = (0.62, 0.42, 0.24),
    colour: Colour = (48, 50, 54),
    broken_latch: bool = False,
    front: int | None = None,
) -> Mesh:
    """A moulded transport case, front (latches, handle) to -y."""
    w, d, h = size
    skin = s.worn(colour, 0.5, amount=0.25, bump=0.03)
    parts = [
        box((w, d, h * 0.58), skin, 0.025),
        box((w, d, h * 0.42), skin, 0.025).moved(z=h * 0.585),
    ]
    for k in range(5):
        x = -w * 0.4 + k * w * 0.2
        parts.append(box((0.03, d * 0.9, 0.012), skin, 0.005).moved(x=x, z=h - 0.004))
        if k in (0, 4):
            parts.append(box((0.03, 0.014, h * 0.9), skin, 0.005).moved(x=x, y=-d / 2, z=h * 0.05))
    for k, x in enumerate((-w * 0.27, w * 0.27)):
        latch = join(
            [
                box((0.055, 0.016, 0.075), s.black, 0.005),
                box((0.045, 0.012, 0.02), s.steel, 0.003).moved(y=-0.008, z=0.05),
            ]
        )
        if broken_latch and k == 1:
            hanging = (
                latch.turned("y", 38)
                .turned("x", -16)
                .moved(x=x + 0.02, y=-d / 2 - 0.028, z=h * 0.22)
            )
            scar = box((0.058, 0.004, 0.05), s.plain((150, 150, 146), 0.8, bump=0.4), 0.002).moved(
                x=x, y=-d / 2, z=h * 0.50
            )
            parts += [hanging, scar]
        else:
            parts.append(latch.moved(x=x, y=-d / 2 - 0.006, z=h * 0.40))
    grip = tube(
        [
            (-0.07, -d / 2, h * 0.44),
            (-0.07, -d / 2 - 0.035, h * 0.43),
            (0.07, -d / 2 - 0.035, h * 0.43),
            (0.07, -d / 2, h * 0.44),
        ],
        0.010,
        s.rubber,
        10,
    )
    parts.append(grip)
    if front is not None:
        parts.append(sheet((-0.085, -d / 2 - 0.0015, h * 0.66), (0.17, 0, 0), (0, 0, 0.062), front))
    return join(parts)


def case_open(
    s: Stock,
    size: tuple[float, float, float] = (0.60, 0.40, 0.17),
    colour: Colour = (48, 50, 54),
    pockets: list[tuple[float, float, float, float]] | None = None,
) -> Mesh:
    """An open case seen from above: foam with pockets (x, y, width, depth), lid leaning back at +y."""
    w, d, h = size
    skin = s.worn(colour, 0.5, amount=0.25, bump=0.03)
    t = 0.012
    parts = [box((w, d, 0.012), skin, 0.005)]
    for y in (-d / 2 + t / 2, d / 2 - t / 2):
        parts.append(box((w, t, h), skin, 0.005).moved(y=y))
    for x in (-w / 2 + t / 2, w / 2 - t / 2):
        parts.append(box((t, d, h), skin, 0.005).moved(x=x))
    holes = pockets or []
    cells = (144, 96)
    top = sheet(
        (-w / 2 + t, -d / 2 + t, h - 0.012), (w - 2 * t, 0, 0), (0, d - 2 * t, 0), s.foam, cells
    )

    def keep(uv: Array) -> np.ndarray:
        x, y = -w / 2 + t + uv[:, 0] * (w - 2 * t), -d / 2 + t + uv[:, 1] * (d - 2 * t)
        stays = np.ones(len(uv), dtype=bool)
        for px, py, pw, pd in holes:
            stays &= ~((np.abs(x - px) < pw / 2) & (np.abs(y - py) < pd / 2))
        return stays

    parts.append(top.cut(keep, whole_cells=True))
    for px, py, pw, pd in holes:
        deep = h - 0.04
        low = h - 0.012 - deep
        corners = [
            (px - pw / 2, py - pd / 2),
            (px + pw / 2, py - pd / 2),
            (px + pw / 2, py + pd / 2),
            (px - pw / 2, py + pd / 2),
        ]
        parts.append(sheet((px - pw / 2, py - pd / 2, low), (pw, 0, 0), (0, pd, 0), s.foam))
        for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True):
            parts.append(sheet((ax, ay, low), (bx - ax, by - ay, 0), (0, 0, deep), s.foam))
    lid = join(
        [
            box((w, 0.05, d), skin, 0.02),
            sheet(
                (-w / 2 + 0.02, -0.026, 0.02), (w - 0.04, 0, 0), (0, 0, d - 0.04), s.foam, (4, 4)
            ),
        ]
    )
    parts.append(lid.turned("x", -12).moved(y=d / 2 + 0.02, z=h * 0.86))
    for x in (-w * 0.27, w * 0.27):
        parts.append(
            box((0.055, 0.016, 0.06), s.black, 0.005).moved(x=x, y=-d / 2 - 0.008, z=h * 0.55)
        )
    return join(parts)


def tripod(s: Stock, height: float = 1.25, spread: float = 0.42) -> Mesh:
    """Two-stage sticks with spreader and a fluid head with pan bar."""
    carbon = s.worn((44, 45, 50), 0.3, 0.2, 0.3)
    parts = [
        lathe(
            [(0, -0.02), (0.055, -0.02), (0.062, 0.0), (0.05, 0.03), (0, 0.03)], s.black, 30
        ).moved(z=height)
    ]
    for turn in (90, 210, 330):
        leg = []
        for side in (-0.022, 0.022):
            leg.append(
                rod(
                    (0.045, side, height - 0.01),
                    (spread * 0.62, side, height * 0.42),
                    0.0125,
                    carbon,
                    14,
                )
            )
        leg.append(rod((spread * 0.55, 0, height * 0.48), (spread, 0, 0.03), 0.0125, carbon, 14))
        leg.append(
            box((0.06, 0.075, 0.06), s.black, 0.008)
            .turned("y", -16)
            .moved(x=spread * 0.62, z=height * 0.40)
        )
        leg.append(ball(0.022, s.rubber).moved(x=spread, z=0.022))
        leg.append(rod((0, 0, height * 0.27), (spread * 0.76, 0, height * 0.27), 0.008, s.black))
        parts.append(join(leg).turned("z", turn))
    head = [
        lathe([(0, 0), (0.05, 0), (0.05, 0.05), (0.042, 0.06), (0, 0.06)], s.black, 30),
        box((0.11, 0.09, 0.07), s.worn((58, 60, 64), 0.4), 0.012).moved(z=0.06),
        lathe(
            [(0, -0.075), (0.04, -0.075), (0.042, -0.02), (0.042, 0.02), (0.04, 0.075), (0, 0.075)],
            s.black,
            30,
        )
        .turned("y", 90)
        .moved(z=0.105),
        box((0.075, 0.13, 0.018), s.black, 0.004).moved(z=0.145),
        rod((0.07, 0.03, 0.105), (0.14, 0.42, 0.0), 0.008, s.steel),
        rod((0.118, 0.29, 0.035), (0.14, 0.42, 0.0), 0.014, s.rubber),
    ]
    parts.append(join(head).moved(z=height + 0.03))
    return join(parts)


def matte_box(s: Stock, flag_broken: bool = False) -> Mesh:
    """A light clip-on matte box facing -y with its top flag."""
    skin = s.worn((42, 43, 46), 0.5, amount=0.3)
    w, h, d = 0.19, 0.15, 0.07
    parts = [
        box((w, d, 0.006), skin, 0.002).moved(z=0),
        box((w, d, 0.006), skin, 0.002).moved(z=h),
        box((0.006, d, h), skin, 0.002).moved(x=-w / 2),
        box((0.006, d, h), skin, 0.002).moved(x=w / 2),
        lathe([(0.05, 0), (0.085, 0.0), (0.085, 0.012), (0.05, 0.012)], skin, 40)
        .turned("x", -90)
        .moved(y=d / 2, z=h / 2),
        box((w, 0.006, 0.022), skin, 0.002).moved(y=d / 2),
        box((w, 0.006, 0.022), skin, 0.002).moved(y=d / 2, z=h - 0.016),
    ]
    lid = box((w * 1.08, 0.13, 0.003), s.worn((52, 53, 56), 0.55, amount=0.4), 0.001).moved(
        y=-0.065
    )
    if flag_broken:
        edge = tx.noise(44, 5, 10)
        lid = sheet(
            (-w * 0.54, -0.13, 0),
            (w * 1.08, 0, 0),
            (0, 0.13, 0),
            s.worn((52, 53, 56), 0.55, amount=0.4),
            (60, 40),
        ).cut(
            lambda uv: (
                uv[:, 0] + uv[:, 1] * 0.35 < 0.72 + 0.14 * tx.sample(edge, uv[:, 1], uv[:, 0] * 0)
            )
        )
        parts.append(lid.turned("x", 9).moved(y=-d / 2, z=h + 0.010))
    else:
        parts.append(lid.turned("x", 9).moved(y=-d / 2, z=h + 0.008))
    return join(parts)


def soft_bag(
    s: Stock, size: tuple[float, float, float] = (0.5, 0.3, 0.28), colour: Colour = (38, 44, 56)
) -> Mesh:
    w, d, h = size
    skin = s.worn(colour, 0.9, amount=0.4, bump=0.15)
    body = box(size, skin, 0.05)
    strap = tube(
        [
            (-w * 0.25, -d / 2, h * 0.4),
            (-w * 0.25, -d * 0.3, h + 0.05),
            (w * 0.25, -d * 0.3, h + 0.05),
            (w * 0.25, -d / 2, h * 0.4),
        ],
        0.014,
        s.black,
        10,
    )
    zip_ = tube([(-w * 0.45, 0, h + 0.002), (w * 0.45, 0, h + 0.002)], 0.006, s.steel, 8)
    return join([body, strap, zip_])

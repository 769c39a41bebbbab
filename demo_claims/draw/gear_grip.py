"""Grip equipment: stands, flags, sandbags, cables, dollies, boxes, frames."""

from __future__ import annotations

import math

import numpy as np

from demo_claims.draw.mesh import Mesh, ball, box, join, lathe, ring, rod, sheet, tube
from demo_claims.draw.raster import Array
from demo_claims.draw.stock import Colour, Stock
from demo_claims.draw.textures import noise, sample


def knuckle(s: Stock) -> Mesh:
    """A grip head on its own: two discs, a T-handle and a socket, at the origin, axis along y."""
    plates = [
        lathe([(0, -0.006), (0.034, -0.006), (0.036, 0), (0.034, 0.006), (0, 0.006)], s.chrome, 24)
        .turned("x", 90)
        .moved(y=y)
        for y in (-0.018, 0.0, 0.018)
    ]
    handle = join(
        [
            rod((0, 0.02, 0), (0, 0.075, 0), 0.006, s.steel),
            rod((-0.045, 0.075, 0.012), (0.045, 0.075, -0.012), 0.0065, s.black),
        ]
    )
    socket = rod((0, 0, -0.07), (0, 0, -0.025), 0.017, s.chrome)
    return join([*plates, handle, socket])


def arm(s: Stock, length: float = 1.02) -> Mesh:
    """A gobo arm along +x with its fixed head at the origin end."""
    return join(
        [
            rod((0, 0, 0), (length, 0, 0), 0.008, s.chrome),
            knuckle(s).turned("z", 90).moved(x=-0.01),
        ]
    )


def c_stand(
    s: Stock,
    height: float = 1.35,
    with_arm: bool = True,
    arm_tilt: float = 18.0,
    arm_turn: float = 20.0,
    band: int | None = None,
) -> Mesh:
    """Turtle-base stand: three nested legs, two risers, head and arm."""
    parts = []
    for k, (turn, top) in enumerate(((0, 0.17), (118, 0.145), (236, 0.12))):
        path = [
            (0.018, 0, top + 0.09),
            (0.05, 0, top + 0.085),
            (0.10, 0, top + 0.06),
            (0.20, 0, top - 0.03),
            (0.29, 0, 0.055),
            (0.335, 0, 0.022),
            (0.375, 0, 0.014),
            (0.43, 0, 0.014),
        ]
        leg = tube(path, 0.0127, s.chrome, 12)
        foot = tube([(0.395, 0, 0.014), (0.435, 0, 0.014)], 0.0145, s.rubber, 10)
        collar = lathe(
            [(0.018, 0), (0.026, 0.004), (0.026, 0.02), (0.018, 0.024)], s.chrome, 16
        ).moved(z=top + 0.068 + 0.002 * k)
        parts += [join([leg, foot]).turned("z", turn), collar]
    lower = height * 0.62
    parts.append(rod((0, 0, 0.03), (0, 0, lower), 0.0175, s.chrome, 20))
    parts.append(rod((0, 0, lower), (0, 0, height * 0.86), 0.0145, s.chrome, 18))
    parts.append(rod((0, 0, height * 0.86), (0, 0, height), 0.0115, s.chrome, 18))
    for z in (lower, height * 0.86):
        parts.append(
            join(
                [
                    lathe(
                        [(0.0176, -0.045), (0.024, -0.04), (0.024, 0.0), (0.0146, 0.004)],
                        s.chrome,
                        18,
                    ),
                    rod((0, -0.02, -0.02), (0, -0.055, -0.02), 0.006, s.steel),
                    rod((-0.025, -0.055, -0.012), (0.025, -0.055, -0.028), 0.006, s.black),
                ]
            ).moved(z=z)
        )
    if band is not None:
        parts.append(rod((0, 0, lower * 0.55), (0, 0, lower * 0.55 + 0.05), 0.0182, band, 20))
    if with_arm:
        head = join([knuckle(s), arm(s).turned("y", -arm_tilt).moved(x=-0.16, y=0.009, z=-0.05)])
        parts.append(head.moved(z=height + 0.045).turned("z", arm_turn))
    return join(parts)


def combo_stand(s: Stock, height: float = 1.2, spread: float = 0.5, bent_leg: bool = False) -> Mesh:
    """A heavier folding stand with braces and a junior receiver."""
    parts = [
        rod((0, 0, 0.16), (0, 0, height * 0.66), 0.0225, s.chrome, 20),
        rod((0, 0, height * 0.66), (0, 0, height), 0.0175, s.chrome, 20),
        lathe([(0.018, 0), (0.03, 0.003), (0.03, 0.10), (0.022, 0.105)], s.steel, 20).moved(
            z=height
        ),
        rod((0.02, 0, height + 0.06), (0.075, 0, height + 0.06), 0.006, s.steel),
        rod((0.075, -0.03, height + 0.06), (0.075, 0.03, height + 0.06), 0.0065, s.black),
        lathe([(0.0225, 0), (0.036, 0.004), (0.036, 0.05), (0.0225, 0.054)], s.black, 20).moved(
            z=0.60
        ),
        lathe([(0.0225, 0), (0.034, 0.004), (0.034, 0.04), (0.0225, 0.044)], s.black, 20).moved(
            z=0.17
        ),
        lathe([(0.0225, -0.05), (0.031, -0.046), (0.031, 0), (0.018, 0.004)], s.steel, 20).moved(
            z=height * 0.66
        ),
    ]
    for k, turn in enumerate((30, 150, 270)):
        leg = tube(
            [(0.035, 0, 0.62), (0.05 + spread * 0.5, 0, 0.34), (spread, 0, 0.015)],
            0.0135,
            s.chrome,
            12,
        )
        brace = rod((0.03, 0, 0.19), (0.04 + spread * 0.47, 0, 0.35), 0.008, s.steel)
        foot = ball(0.021, s.rubber).moved(x=spread, z=0.02)
        whole = join([leg, brace, foot])
        if bent_leg and k == 2:
            whole = whole.bent(
                lambda p: np.stack(
                    [
                        0 * p[:, 0],
                        1.25 * np.maximum(p[:, 0] - 0.26, 0) * (p[:, 0] < 2),
                        0.62 * np.maximum(p[:, 0] - 0.26, 0),
                    ],
                    axis=1,
                )
            )
        parts.append(whole.turned("z", turn))
    return join(parts)


def flag(
    s: Stock, width: float = 0.61, height: float = 0.91, torn: bool = False, seed: int = 3
) -> Mesh:
    """Black duvetyne on a steel frame, standing in the x-z plane, pin down at the left."""
    cells = (150, 220) if torn else (18, 24)
    cloth = sheet((0, 0, 0), (width, 0, 0), (0, 0, height), s.cloth, cells)
    waves = noise(seed, 3, 4)

    def sag(p: Array) -> Array:
        u, v = p[:, 0] / width, p[:, 2] / height
        edge = np.minimum(np.minimum(u, 1 - u), np.minimum(v, 1 - v)) * 4
        depth = (sample(waves, u * 0.8, v * 0.8) - 0.5) * 0.035 * np.minimum(edge, 1)
        drop = np.zeros_like(depth)
        if torn:
            near = 1 - np.minimum(np.abs((u - 0.35) - (v - 0.5) * 0.55) * 7, 1)
            loose = near * ((v > 0.22) & (v < 0.8))
            depth = depth + loose * loose * 0.07
            drop = -loose * 0.022
        return np.stack([0 * depth, depth, drop], axis=1)

    if torn:
        ragged = noise(seed + 5, 5, 8)

        def keep(uv: Array) -> np.ndarray:
            u, v = uv[:, 0], uv[:, 1]
            middle = 0.35 + (v - 0.5) * 0.55 + (sample(ragged, v, v * 0 + 0.3) - 0.5) * 0.12
            width_here = (
                0.085 * np.maximum(0, 1 - np.abs(v - 0.52) * 3.4)
                + (sample(ragged, v * 3, u) - 0.5) * 0.025
            )
            # A short second rip runs off to the right, so that a flap hangs between the two.
            rise = 0.47 + (u - 0.40) * 0.35 + (sample(ragged, u * 2, u * 0 + 0.7) - 0.5) * 0.10
            side = (
                (np.abs(v - rise) < 0.022 * np.maximum(0, 1 - (u - 0.38) * 2.6))
                & (u > 0.36)
                & (u < 0.74)
            )
            return ~((np.abs(u - middle) < width_here) & (np.abs(v - 0.52) < 0.30)) & ~side

        cloth = cloth.cut(keep)
    cloth = cloth.bent(sag)
    r = 0.0048
    corners = [(0, 0, 0), (width, 0, 0), (width, 0, height), (0, 0, height)]
    frame = [rod(corners[i], corners[(i + 1) % 4], r, s.steel, 10) for i in range(4)]
    pin = rod((0, 0, 0), (0, 0, -0.12), r, s.steel, 10)
    hems = [
        rod(
            (0.0, 0, k * height / 6 + 0.03),
            (0.0, 0, k * height / 6 + height / 6 - 0.02),
            0.0085,
            s.cloth,
            8,
        )
        for k in range(6)
    ]
    hems += [rod((0.02, 0, z), (width - 0.02, 0, z), 0.0085, s.cloth, 8) for z in (0, height)]
    hems.append(rod((width, 0, 0.03), (width, 0, height - 0.03), 0.0085, s.cloth, 8))
    return join([cloth, *frame, pin, *hems])


def sandbag(s: Stock, colour: Colour = (170, 52, 40), seed: int = 2) -> Mesh:
    """A saddle bag lying flat: two pillows joined by a strap, along x, about 0.62 m."""
    lumps = noise(seed, 4, 5)
    skin = s.worn(colour, 0.8, amount=0.4, bump=0.08)
    parts = []
    for side in (-1, 1):
        pillow = ball(1.0, skin, 24)

        def plump(p: Array, side: int = side) -> Array:
            # A rounded cushion: push the ball towards a box, then add lumps.
            big = np.maximum(np.maximum(np.abs(p[:, 0]), np.abs(p[:, 1])), np.abs(p[:, 2]))[:, None]
            boxed = p / np.maximum(big, 1e-6)
            target = p * 0.55 + boxed * 0.45
            bumps = (sample(lumps, p[:, 0] * 0.3 + side, p[:, 1] * 0.3) - 0.5) * 0.22
            return target - p + p * bumps[:, None]

        parts.append(pillow.bent(plump).scaled(0.155, 0.17, 0.062).moved(x=side * 0.158, z=0.066))
    seam = box((0.06, 0.29, 0.03), skin, 0.012).moved(z=0.045)
    strap = tube(
        [(-0.09, 0, 0.12), (-0.05, 0, 0.15), (0, 0, 0.162), (0.05, 0, 0.15), (0.09, 0, 0.12)],
        0.012,
        s.black,
        8,
    ).scaled(1, 1.9, 1)
    return join([*parts, seam, strap])


def cable_coil(
    s: Stock,
    colour: Colour = (32, 32, 34),
    radius: float = 0.17,
    turns: int = 8,
    seed: int = 4,
    plug: Colour = (225, 190, 60),
) -> Mesh:
    """A coiled stinger with tie line and both connectors showing."""
    rng = np.random.default_rng(seed)
    wobble = rng.random((turns + 2, 4))
    path = []
    steps = 36
    for k in range(turns * steps + 1):
        turn, a = k / steps, 2 * math.pi * k / steps
        i, f = int(turn), turn - int(turn)
        w = wobble[i] * (1 - f) + wobble[i + 1] * f
        r = radius + (w[0] - 0.5) * 0.045 + 0.008 * math.sin(a * 2 + 6 * w[1])
        z = 0.011 + 0.0125 * ((i * 3) % 4) + 0.006 * w[2] + 0.003 * math.sin(a * 3)
        path.append((r * math.cos(a) + (w[3] - 0.5) * 0.02, r * math.sin(a), z))
    skin = s.plain(colour, 0.55)
    coil = tube(path, 0.0068, skin, 8)
    ends = []
    for end, before in ((path[0], path[3]), (path[-1], path[-4])):
        d = np.array(end) - np.array(before)
        d = d / math.sqrt(float((d * d).sum()))
        e = np.array(end)
        body = tube(
            [tuple(e), tuple(e + d * 0.02), tuple(e + d * 0.06)],
            [0.010, 0.021, 0.021],
            s.plain(plug, 0.5),
            14,
        )
        ends.append(body)
    tie = (
        ring(0.034, 0.004, s.plain((235, 232, 220), 0.9), 20)
        .turned("y", 90)
        .moved(x=0.0, y=radius, z=0.034)
    )
    return join([coil, *ends, tie.scaled(1, 1, 1.0)])


def apple_box(s: Stock, high: float = 0.203) -> Mesh:
    body = box((0.508, 0.305, high), s.wood, 0.006)
    slot = []
    if high > 0.15:
        for x in (-0.2545, 0.2545):
            slot.append(
                box((0.002, 0.10, 0.035), s.plain((20, 16, 12), 0.9), 0.0008).moved(
                    x=x, z=high * 0.55
                )
            )
        for y in (-0.153, 0.153):
            slot.append(
                box((0.11, 0.0022, 0.030), s.plain((20, 16, 12), 0.9), 0.0009).moved(
                    y=y, z=high * 0.6
                )
            )
    seam = s.plain((96, 72, 44), 0.8)
    for z in (0.017, high - 0.019):
        slot.append(box((0.5085, 0.3055, 0.002), seam, 0.0006).moved(z=z))
    return join([body, *slot])

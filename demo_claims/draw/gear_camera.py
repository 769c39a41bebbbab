"""Camera equipment and cases: lenses, bodies, monitors, batteries, tripods, flight cases."""

from __future__ import annotations

import math

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from demo_claims.draw import textures as tx
from demo_claims.draw.mesh import Mesh, ball, box, join, lathe, ring, rod, sheet, tube
from demo_claims.draw.raster import Array
from demo_claims.draw.stock import Colour, Stock


def _scale_band(marks: list[str], tick: int = 12) -> Array:
    band = Image.new("RGB", (1024, 128), (30, 30, 32))
    pen = ImageDraw.Draw(band)
    for k in range(0, 1024, tick):
        pen.line([(k, 96), (k, 126)], fill=(216, 214, 206), width=2)
    for k, mark in enumerate(marks):
        pen.text(
            (k * 1024 // len(marks) + 6, 16),
            mark,
            font=tx.font(56),
            fill=(238, 204, 70) if k % 2 else (236, 234, 226),
        )
    return tx.to_linear(band)


def lens(
    s: Stock, ring_dent: bool = False, scratched: bool = False, colour: Colour = (38, 38, 41)
) -> Mesh:
    """A cine prime standing on its rear cap, front glass up: about 95 mm wide, 120 mm tall."""
    skin = s.worn(colour, 0.38, 0.25, 0.3)
    r = 0.0475
    gear = s.plain((26, 26, 28), 0.6)
    focus = s.print(
        "focus scale", _scale_band(["2'", "2'6", "3'", "4'", "5'", "7'", "12'", "∞"]), 0.4
    )
    iris = s.print(
        "iris scale", _scale_band(["T1.5", "2", "2.8", "4", "5.6", "8", "11", "16"]), 0.4
    )
    parts = [
        lathe([(0, 0), (0.032, 0), (0.034, 0.004), (0.034, 0.012), (0.030, 0.014)], s.black, 48),
        lathe([(0.030, 0.014), (0.037, 0.018), (0.037, 0.028)], s.steel, 48),
        lathe([(0.041, 0.028), (r * 0.96, 0.032), (r * 0.96, 0.034)], skin, 48),
        lathe([(r * 0.96, 0.034), (r * 0.96, 0.050)], iris, 64),
        lathe([(r * 0.96, 0.050), (r, 0.052), (r, 0.072)], skin, 64),
        lathe([(r, 0.072), (r, 0.092)], focus, 64),
        lathe([(r, 0.092), (r, 0.110)], skin, 64),
    ]
    for low, high in ((0.054, 0.060), (0.095, 0.101)):
        teeth = []
        for k in range(60):
            a = 360 * k / 60
            teeth.append(
                box((0.0024, 0.003, high - low), gear, 0.0006)
                .moved(x=r + 0.0008, z=low)
                .turned("z", a)
            )
        parts.append(join(teeth))
    front = lathe(
        [(r, 0.110), (r, 0.121), (r * 0.985, 0.1225), (r * 0.93, 0.1225), (r * 0.90, 0.113)],
        skin,
        96,
    )
    if ring_dent:

        def push(p: Array) -> Array:
            near = np.maximum(
                0, 1 - ((p[:, 0] - r * 0.64) ** 2 + (p[:, 1] + r * 0.77) ** 2) / 0.019**2
            )
            high = np.clip((p[:, 2] - 0.108) / 0.012, 0, 1)
            depth = near * high
            return np.stack([-0.0075 * depth, 0.0095 * depth, -0.0028 * depth], axis=1)

        front = front.bent(push)
        bare = s.worn((190, 188, 182), 0.35, 0.9, 0.4)
        arc = []
        for k in range(9):
            a = math.radians(-62 + k * 3.2)
            pull = 1 - 0.16 * max(0.0, 1 - abs(k - 4) / 4.5)
            arc.append(
                (
                    r * 0.985 * pull * math.cos(a),
                    r * 0.985 * pull * math.sin(a),
                    0.1222 - 0.0022 * max(0.0, 1 - abs(k - 4) / 4.5),
                )
            )
        parts.append(tube(arc, 0.0011, bare, 8))
    parts.append(front)
    parts.append(
        lathe(
            [(r * 0.90, 0.113), (r * 0.84, 0.108), (r * 0.80, 0.104)],
            s.plain((18, 18, 19), 0.7),
            64,
        )
    )
    glass = ball(1.0, s.glass, 40).scaled(r * 0.80, r * 0.80, 0.016).moved(z=0.099)
    parts.append(glass)
    parts.append(ring(r * 0.50, 0.0004, s.plain((52, 40, 74), 0.1), 48).moved(z=0.1128))
    if scratched:
        mark = s.plain((172, 178, 184), 0.5)
        strokes = (
            (0.004, 0.006, 0.030, 35),
            (0.006, 0.004, 0.024, 38),
            (-0.006, 0.001, 0.018, 20),
            (0.009, -0.006, 0.013, 62),
            (0.002, 0.010, 0.016, 29),
            (-0.002, -0.008, 0.010, 48),
        )
        for x, y, long, turn in strokes:
            a = math.radians(turn)
            pts = []
            for k in range(24):
                t = (k / 23 - 0.5) * long
                px, py = (
                    x + t * math.cos(a),
                    y + t * math.sin(a) + 0.0012 * math.sin(k * 0.15 + x * 900),
                )
                q = (px * px + py * py) / (r * 0.80) ** 2
                pts.append((px, py, 0.099 + 0.016 * math.sqrt(max(0.0, 1 - q)) + 0.0001))
            parts.append(
                tube(pts, [0.00008 + 0.00019 * (1 - abs(k / 11.5 - 1)) for k in range(24)], mark, 6)
            )
    return join(parts)


def camera_body(s: Stock, with_lens: bool = True, with_rods: bool = True) -> Mesh:
    """A boxy cinema camera facing -y, top handle, side fan grille, lens port; sits on z = 0."""
    skin = s.worn((44, 45, 48), 0.45, amount=0.25)
    parts = [
        box((0.13, 0.19, 0.15), skin, 0.010),
        box((0.11, 0.02, 0.12), s.black, 0.006).moved(y=-0.1, z=0.015),
        box((0.136, 0.14, 0.05), s.black, 0.006).moved(y=0.01, z=0.05),
    ]
    for k in range(9):
        parts.append(
            box((0.004, 0.007, 0.055), s.plain((16, 16, 17), 0.8), 0.001).moved(
                x=-0.066, y=-0.05 + k * 0.013, z=0.075
            )
        )
    parts.append(
        lathe([(0, 0), (0.036, 0), (0.040, 0.006), (0.040, 0.02), (0.034, 0.022)], s.chrome, 40)
        .turned("x", 90)
        .moved(y=-0.108, z=0.075)
    )
    handle = tube(
        [
            (0, 0.07, 0.15),
            (0, 0.07, 0.19),
            (0, 0.055, 0.215),
            (0, -0.07, 0.222),
            (0, -0.085, 0.20),
            (0, -0.085, 0.15),
        ],
        0.012,
        s.black,
        12,
    )
    parts.append(handle)
    parts.append(rod((0, -0.05, 0.2215), (0, 0.04, 0.2165), 0.0165, s.rubber, 16))
    for k in range(4):
        parts.append(
            lathe(
                [(0, 0), (0.006, 0), (0.006, 0.003), (0, 0.003)],
                s.plain((180, 60, 50) if k == 0 else (150, 152, 156), 0.4),
                14,
            )
            .turned("y", 90)
            .moved(x=0.064, y=-0.03 + k * 0.022, z=0.115)
        )
    parts.append(
        box((0.002, 0.075, 0.035), s.plain((40, 70, 66), 0.15, glow=0.5), 0.0006).moved(
            x=0.066, y=0.02, z=0.06
        )
    )
    parts.append(box((0.10, 0.05, 0.12), s.rubber, 0.008).moved(y=0.12, z=0.012))
    for x in (-0.03, 0.03) if with_rods else ():
        parts.append(rod((x, -0.24, 0.012), (x, 0.1, 0.012), 0.0075, s.steel))
    if with_lens:
        parts.append(lens(s).moved(z=-0.02).turned("x", 90).moved(y=-0.125, z=0.075))
    return join(parts)


def screen(cracked: bool, seed: int = 14) -> Array:
    """A monitor's glass, off: dark with a reflection; cracked like a spider's web on demand."""
    picture = Image.new("RGB", (1024, 640), (17, 18, 22))
    pen = ImageDraw.Draw(picture)
    pen.polygon([(0, 0), (420, 0), (120, 640), (0, 640)], fill=(30, 33, 39))
    picture = picture.filter(ImageFilter.GaussianBlur(12))
    pen = ImageDraw.Draw(picture)
    if cracked:
        rng = np.random.default_rng(seed)
        cx, cy = 690, 220
        rays = []
        for k in range(22):
            a = 2 * math.pi * k / 22 + float(rng.random()) * 0.2
            x, y, pts = float(cx), float(cy), [(float(cx), float(cy))]
            for _ in range(4 + int(rng.integers(0, 14))):
                a += (float(rng.random()) - 0.5) * 0.34
                x, y = x + math.cos(a) * 36, y + math.sin(a) * 32
                pts.append((x, y))
            rays.append(pts)
            pen.line(pts, fill=(196, 204, 210), width=2)
        for level in (1, 2, 3, 5):
            for k in range(22):
                a, b = rays[k], rays[(k + 1) % 22]
                if len(a) > level and len(b) > level and rng.random() < 0.75:
                    pen.line([a[level], b[level]], fill=(150, 158, 166), width=2)
        pen.ellipse([cx - 22, cy - 20, cx + 22, cy + 20], fill=(120, 128, 134))
        pen.rectangle([300, 0, 312, 640], fill=(40, 150, 160))
        pen.rectangle([318, 0, 321, 640], fill=(180, 60, 140))
    return tx.to_linear(picture)


def monitor(s: Stock, cracked: bool = False) -> Mesh:
    """A 7-inch on-camera monitor lying back a little, face to -y, standing on z = 0."""
    face = s.print(f"screen {cracked}", screen(cracked), 0.08)
    shell = s.worn((50, 51, 54), 0.5, amount=0.3)
    parts = [
        box((0.20, 0.030, 0.135), shell, 0.008),
        sheet((-0.0845, -0.0165, 0.018), (0.169, 0, 0), (0, 0, 0.105), face),
        box((0.186, 0.004, 0.003), s.black, 0.001).moved(y=-0.0155, z=0.0135),
        box((0.186, 0.004, 0.003), s.black, 0.001).moved(y=-0.0155, z=0.1245),
    ]
    for k in range(5):
        parts.append(
            lathe(
                [(0, 0), (0.0045, 0), (0.0045, 0.003), (0, 0.003)], s.plain((90, 92, 96), 0.5), 14
            ).moved(x=-0.06 + k * 0.03, z=0.135)
        )
    parts.append(lathe([(0, 0), (0.008, 0), (0.008, -0.02), (0, -0.02)], s.steel, 16))
    return join(parts)


def battery(s: Stock, swollen: bool = False, name: str = "battery") -> Mesh:
    """A brick battery lying on its back, label up: 96 x 130 x 55 mm."""
    skin = s.worn((40, 41, 44), 0.5, amount=0.25)
    face = s.print(
        name,
        tx.label(
            [("LI-ION 14.4 V", 62), ("98 Wh", 96), ("DO NOT DROP", 44)], (640, 480), (206, 208, 204)
        ),
        0.45,
    )
    body = join(
        [
            box((0.096, 0.130, 0.050), skin, 0.009),
            box((0.080, 0.115, 0.004), s.black, 0.002).moved(z=0.05),
        ]
    )
    top = sheet((-0.036, -0.05, 0.0545), (0.072, 0, 0), (0, 0.10, 0), face, (14, 18))
    if swollen:

        def swell(p: Array) -> Array:
            u, v = p[:, 0] / 0.05, p[:, 1] / 0.068
            dome = np.maximum(1 - u * u, 0) * np.maximum(1 - v * v, 0)
            return np.stack([0 * u, 0 * u, 0.030 * dome * (p[:, 2] > 0.03)], axis=1)

        lid = sheet((-0.046, -0.063, 0.0502), (0.092, 0, 0), (0, 0.126, 0), skin, (20, 24)).bent(
            swell
        )
        seam = s.plain((12, 12, 12), 0.9)
        crack = tube(
            [(0.0475, -0.06, 0.046), (0.0485, 0.0, 0.052), (0.0475, 0.06, 0.046)], 0.0022, seam, 8
        )
        return join(
            [box((0.096, 0.130, 0.050), skin, 0.009), lid, top.bent(swell).moved(z=0.001), crack]
        )
    return join([body, top])

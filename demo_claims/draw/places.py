"""Where photos are taken: studio floor, loading dock, counter top, van."""

from __future__ import annotations

import numpy as np

from demo_claims.draw import textures as tx
from demo_claims.draw.gear_light import shards
from demo_claims.draw.gear_wheels import wheel
from demo_claims.draw.mesh import box, join, rod, sheet, tube
from demo_claims.draw.shade import Lamp, Material, Scene
from demo_claims.draw.stock import Stock, laid


def dock(seed: int = 11) -> tuple[Scene, Stock]:
    """A loading dock by day: concrete, painted blocks, a yellow line, daylight from the left."""
    scene = Scene(seed=seed, centre=(0, 0.2, 0.5), reach=2.3)
    s = Stock(scene)
    floor = scene.add(Material(laid(tx.concrete(21, 158), 2.3), 0.62, bump=0.05, grain=10))
    wall = scene.add(Material(laid(tx.blockwork(5), 1.6, upright=True), 0.8))
    stripe = s.worn((208, 164, 40), 0.7, amount=0.8)
    base = s.worn((70, 78, 84), 0.6)
    scene.ground += [
        sheet((-8, -8, 0), (16, 0, 0), (0, 10.2, 0), floor, (24, 16)),
        sheet((-8, 2.2, 0), (16, 0, 0), (0, 0, 5), wall, (16, 5)),
        sheet((-8, 1.45, 0.002), (16, 0, 0), (0, 0.1, 0), stripe, (30, 1)),
        sheet((-8, 2.195, 0), (16, 0, 0), (0, 0, 0.14), base, (16, 1)),
    ]
    scene.lamps.append(Lamp((-3.0, -2.2, 3.5), 46, (1.0, 0.98, 0.95), 0.9, 12))
    scene.lamps.append(Lamp((2.5, -2.5, 3.4), 6, (1.0, 0.93, 0.82), 1.0, 4))
    return scene, s


def studio(seed: int = 12) -> tuple[Scene, Stock]:
    """A black-painted wooden stage floor under work lights, wall far back."""
    scene = Scene(seed=seed, centre=(0, 0.1, 0.5), reach=2.2, sky=(0.24, 0.24, 0.26))
    s = Stock(scene)
    floor = scene.add(Material(laid(tx.planks(3, (104, 88, 74), 8), 1.15), 0.5, bump=0.04, grain=8))
    wall = scene.add(Material(laid(tx.concrete(51, 128), 3.1, upright=True), 0.85))
    scene.ground += [
        sheet((-8, -8, 0), (16, 0, 0), (0, 10.8, 0), floor, (24, 16)),
        sheet((-8, 2.8, 0), (16, 0, 0), (0, 0, 5), wall, (16, 5)),
        sheet((-8, 2.79, 0), (16, 0, 0), (0, 0, 0.09), s.black, (16, 1)),
    ]
    scene.lamps.append(Lamp((1.9, -2.4, 3.3), 58, (1.0, 0.94, 0.84), 0.9, 12))
    scene.lamps.append(Lamp((-3.0, -1.2, 2.8), 16, (0.86, 0.92, 1.0), 1.2, 4))
    return scene, s


def counter(seed: int = 13) -> tuple[Scene, Stock]:
    """A rental counter seen from above: rubber mat on a grey laminate top at z = 0."""
    scene = Scene(seed=seed, centre=(0, 0, 0.12), reach=0.75, sky=(0.30, 0.31, 0.34))
    s = Stock(scene)
    top = scene.add(Material(laid(tx.concrete(33, 176), 3.0), 0.38))
    mat = s.plain((46, 50, 56), 0.9, bump=0.10, grain=60)
    wall = scene.add(Material(laid(tx.concrete(52, 150), 3.1, upright=True), 0.85))
    scene.ground += [
        sheet((-3, -2, 0), (6, 0, 0), (0, 2.75, 0), top, (20, 10)),
        sheet((-3, 2.4, -1), (6, 0, 0), (0, 0, 4), wall, (6, 4)),
    ]
    scene.meshes.append(box((1.1, 0.62, 0.006), mat, 0.003))
    scene.lamps.append(Lamp((-0.9, -0.3, 1.5), 8.5, (1.0, 0.99, 0.97), 0.5, 12))
    scene.lamps.append(Lamp((1.0, 0.9, 1.8), 1.8, (1.0, 0.96, 0.9), 0.6, 4))
    return scene, s


def van_bed(seed: int = 14) -> tuple[Scene, Stock]:
    """Inside a panel van through its open rear doors; the bed runs along y from 0 to 3."""
    scene = Scene(seed=seed, centre=(0, 1.1, 0.6), reach=2.1, sky=(0.30, 0.31, 0.33))
    s = Stock(scene)
    floor = scene.add(
        Material(laid(tx.planks(9, (98, 84, 70), 10), 1.3, turned=True), 0.62, bump=0.03)
    )
    skin = s.worn((206, 208, 206), 0.5, amount=0.15)
    ply = scene.add(Material(laid(tx.plywood(8), 1.5, upright=True), 0.6))
    scene.ground += [
        sheet((-0.86, -0.05, 0), (1.72, 0, 0), (0, 3.1, 0), floor, (10, 16)),
        sheet((-0.86, 3.0, 0), (1.72, 0, 0), (0, 0, 1.8), ply, (6, 6)),
        sheet((-0.86, 3.0, 0.55), (0, -3.0, 0), (0, 0, 1.25), skin, (12, 6)),
        sheet((0.86, 0, 0.55), (0, 3.0, 0), (0, 0, 1.25), skin, (12, 6)),
        sheet((-0.855, 3.0, 0), (0, -3.0, 0), (0, 0, 0.56), ply, (12, 3)),
        sheet((0.855, 0, 0), (0, 3.0, 0), (0, 0, 0.56), ply, (12, 3)),
    ]
    scene.ground.append(sheet((-0.86, 0, 1.8), (1.72, 0, 0), (0, 3.0, 0), skin, (6, 12)))
    inside = []
    for y in (0.35, 1.1, 1.85, 2.6):
        for x in (-0.83, 0.83):
            inside.append(box((0.06, 0.09, 1.2), skin, 0.02).moved(x=x, y=y, z=0.6))
        inside.append(box((1.7, 0.07, 0.05), skin, 0.015).moved(y=y, z=1.75))
    for x in (-0.72, 0.72):
        inside.append(box((0.28, 0.85, 0.28), s.worn((74, 76, 78), 0.7), 0.08).moved(x=x, y=1.55))
        inside.append(rod((x * 1.12, 0.1, 0.62), (x * 1.12, 2.95, 0.62), 0.014, s.steel))
    scene.put(join(inside))
    yard = scene.add(Material(laid(tx.concrete(41, 92), 2.0), 0.85, bump=0.06))
    wall = scene.add(Material(laid(tx.blockwork(6), 1.6, upright=True), 0.8))
    outer = s.worn((214, 216, 216), 0.3, amount=0.08)
    scene.ground += [
        sheet((-7, -7, -0.62), (14, 0, 0), (0, 14, 0), yard, (24, 24)),
        sheet((-7, 6, -0.62), (14, 0, 0), (0, 0, 5), wall, (12, 4)),
    ]
    for side in (-1, 1):
        door = box((0.84, 0.05, 1.82), outer, 0.02).moved(x=side * 1.36, y=-0.06, z=-0.04)
        window = box((0.5, 0.056, 0.5), s.glass, 0.02).moved(x=side * 1.36, y=-0.06, z=1.05)
        hinge = [
            box((0.07, 0.09, 0.05), s.steel, 0.01).moved(x=side * 0.92, y=-0.03, z=z)
            for z in (0.2, 1.4)
        ]
        post = box((0.09, 0.10, 1.9), outer, 0.03).moved(x=side * 0.90, y=0.0, z=-0.05)
        lamp = box((0.08, 0.05, 0.34), s.plain((150, 26, 22), 0.15), 0.02).moved(
            x=side * 0.90, y=-0.05, z=0.3
        )
        inner = box((0.6, 0.056, 0.45), s.worn((190, 192, 190), 0.6), 0.02).moved(
            x=side * 1.36, y=-0.062, z=0.3
        )
        scene.put(join([door, window, *hinge, post, lamp, inner]))
    scene.put(box((1.9, 0.14, 0.12), outer, 0.03).moved(y=0.0, z=1.79))
    bumper = s.plain((38, 38, 40), 0.7, bump=0.05)
    scene.put(box((1.9, 0.16, 0.10), bumper, 0.03).moved(y=-0.15, z=-0.11))
    scene.lamps.append(Lamp((-0.7, -2.6, 2.0), 22, (1.0, 0.98, 0.96), 1.6, 12))
    scene.lamps.append(Lamp((0.1, 1.6, 1.72), 1.2, (1.0, 0.95, 0.85), 0.4, 4))
    return scene, s


def van_side(seed: int = 15, broken: bool = True) -> tuple[Scene, Stock]:
    """A parked white van's flank by early light: body panel, window, wheel, asphalt."""
    scene = Scene(seed=seed, centre=(0, 0, 0.9), reach=2.2, sky=(0.36, 0.39, 0.45))
    s = Stock(scene)
    yard = scene.add(Material(laid(tx.concrete(44, 84), 1.4), 0.9, bump=0.08, grain=14))
    wall = scene.add(Material(laid(tx.blockwork(7), 1.6, upright=True), 0.85))
    skin = s.worn((222, 224, 224), 0.28, amount=0.07)
    lining = s.worn((60, 62, 66), 0.9)
    scene.ground += [
        sheet((-9, -9, 0), (18, 0, 0), (0, 18, 0), yard, (30, 30)),
        sheet((-9, 5, 0), (18, 0, 0), (0, 0, 5), wall, (16, 4)),
    ]
    panel = sheet((-2.6, 0, 0.34), (5.2, 0, 0), (0, 0, 1.75), skin, (156, 60))
    x0, x1, z0, z1 = -0.62, 0.62, 1.18, 1.80

    def keep(uv):
        x, z = -2.6 + uv[:, 0] * 5.2, 0.34 + uv[:, 1] * 1.75
        inside = (x > x0) & (x < x1) & (z > z0) & (z < z1)
        arch = (x - 1.75) ** 2 + (z - 0.34) ** 2 < 0.40**2
        return ~inside & ~arch

    def curve(p):
        out = np.zeros_like(p)
        out[:, 1] = 0.05 * ((p[:, 2] - 1.1) ** 2) - 0.012 * ((p[:, 2] > 0.9) & (p[:, 2] < 0.97))
        return out

    body = panel.cut(keep).bent(curve)
    scene.put(body)
    scene.put(sheet((-2.6, 0.45, 0.34), (5.2, 0, 0), (0, 0, 1.75), lining, (4, 4)))
    scene.put(sheet((-2.6, 0.0, 2.09), (5.2, 0, 0), (0, 1.6, 0.05), skin, (4, 4)))
    rim = [((x0, z0), (x1, z0)), ((x1, z0), (x1, z1)), ((x1, z1), (x0, z1)), ((x0, z1), (x0, z0))]
    for (ax, az), (bx, bz) in rim:
        scene.put(rod((ax, 0.0, az), (bx, 0.0, bz), 0.022, s.rubber, 12))
    craze = tx.noise(93, 4, 90)

    def crazed(uv, p):
        cell = tx.sample(craze, uv[:, 0] * 2, uv[:, 1])
        return tx.mix(tx.linear(70, 92, 88), tx.linear(214, 228, 224), tx.ramp(cell, 0.42, 0.60))

    tint = scene.add(Material(crazed, 0.2)) if broken else s.plain((58, 74, 72), 0.07)
    pane = sheet(
        (x0, 0.005, z0), (x1 - x0, 0, 0), (0, 0, z1 - z0), tint, (300, 170) if broken else (4, 4)
    )
    if broken:
        rng = np.random.default_rng(seed)
        shift = rng.random(2)
        broad, ragged = tx.noise(92, 3, 6), tx.noise(91, 5, 30)

        def stays(uv):
            edge = np.minimum(
                np.minimum(uv[:, 0], 1 - uv[:, 0]) * 2.0, np.minimum(uv[:, 1], 1 - uv[:, 1])
            )
            wide = tx.sample(broad, uv[:, 0] + shift[0], uv[:, 1] * 0.6 + shift[1])
            fine = tx.sample(ragged, uv[:, 0] * 2, uv[:, 1])
            corner = np.maximum(0, 0.42 - (1 - uv[:, 0]) - (1 - uv[:, 1]) * 0.7)
            return edge < 0.015 + 0.30 * wide * wide * wide + 0.7 * corner + 0.10 * (fine - 0.35)

        pane = pane.cut(stays)
        scene.put(
            shards(s, 120, 0.55, 21, (170, 206, 200)).scaled(1, 0.55, 1).moved(x=-0.05, y=-0.28)
        )
        scene.put(shards(s, 30, 0.3, 22, (170, 206, 200)).moved(x=0.3, y=-0.5))
    scene.put(pane)
    scene.put(rod((-2.6, -0.012, 0.62), (1.3, -0.012, 0.62), 0.035, s.rubber, 12))
    arch = [
        (1.75 + 0.405 * np.cos(a), -0.005 + 0.03 * np.sin(a), 0.34 + 0.405 * np.sin(a))
        for a in np.linspace(0.0, 3.1416, 28)
    ]
    scene.put(tube(arch, 0.028, skin, 12))
    scene.put(wheel(s, 0.34, 0.22).moved(x=1.75, y=0.12))
    scene.put(box((0.20, 0.03, 0.05), s.black, 0.012).moved(x=-0.9, y=-0.03, z=1.02))
    scene.put(rod((-0.80, 0.0, 0.36), (-0.80, 0.0, 2.05), 0.006, s.rubber, 8))
    scene.put(rod((0.80, 0.0, 0.80), (0.80, 0.0, 2.05), 0.006, s.rubber, 8))
    scene.lamps.append(Lamp((-3.4, -3.6, 3.4), 62, (1.0, 0.93, 0.84), 1.0, 12))
    return scene, s

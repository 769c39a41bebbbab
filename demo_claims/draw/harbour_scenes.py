"""The sixteen photos of the disputed invoice: a grip and electric truck out and back."""

from __future__ import annotations

import numpy as np

from demo_claims.draw import gear_grip as g
from demo_claims.draw import gear_light as light
from demo_claims.draw import gear_wheels as wheels
from demo_claims.draw import places, props
from demo_claims.draw import textures as tx
from demo_claims.draw.mesh import Mesh, sheet
from demo_claims.draw.raster import View
from demo_claims.draw.shade import Lamp, Scene
from demo_claims.draw.stock import Stock


def _stands(s: Stock, rows: int, per_row: int, jitter_seed: int) -> list[Mesh]:
    rng = np.random.default_rng(jitter_seed)
    band = s.plain((232, 96, 40), 0.6)
    out = []
    for r in range(rows):
        for k in range(per_row):
            dx, dy, turn = ((float(v) - 0.5) for v in rng.random(3))
            out.append(
                g.c_stand(s, 1.18, arm_tilt=74 + 8 * dx, arm_turn=-90 + 16 * turn, band=band)
                .turned("z", 8 * turn + 30 * (r % 2))
                .moved(
                    x=-1.3 + k * 0.36 + 0.18 * (r % 2) + 0.03 * dx, y=0.25 + r * 0.46 + 0.04 * dy
                )
            )
    return out


def c_stands_out() -> tuple[Scene, View]:
    scene, s = places.dock(101)
    scene.put(*_stands(s, 3, 8, 5))
    scene.put(
        props.note(s, "24 C-stands", [("24", 120), ("C-STANDS", 46), ("OUT", 46)]).moved(
            x=-0.05, y=-0.35
        )
    )
    return scene, View((0.25, -3.0, 1.75), (0.02, 0.4, 0.55), 54, 0.8)


def c_stands_back() -> tuple[Scene, View]:
    scene, s = places.dock(102)
    scene.lamps[0] = Lamp((3.0, -2.4, 3.1), 40, (1.0, 0.94, 0.86), 0.9, 12)
    scene.put(*_stands(s, 3, 8, 17))
    scene.put(
        props.note(s, "24 back", [("24", 120), ("C-STANDS", 46), ("BACK", 46)]).moved(
            x=-0.25, y=-0.40
        )
    )
    scene.put(g.cable_coil(s, seed=9).moved(x=1.25, y=-0.45))
    return scene, View((0.1, -3.0, 1.72), (0.02, 0.4, 0.54), 54, -0.7)


def sandbags() -> tuple[Scene, View]:
    scene, s = places.dock(103)
    rng = np.random.default_rng(8)
    for column in range(7):
        for layer in range(4):
            dx, dy, turn = ((float(v) - 0.5) for v in rng.random(3))
            bag = g.sandbag(
                s, ((160, 44, 36), (44, 60, 96))[column % 2], 2 + (column * 4 + layer) % 6
            )
            scene.put(
                bag.turned("z", 90 + 7 * turn).moved(
                    x=-1.14 + column * 0.375 + 0.02 * dx, y=0.45 + 0.03 * dy, z=0.118 * layer
                )
            )
    scene.put(
        props.note(s, "28 bags", [("28", 120), ("SANDBAGS", 46), ("2 NR", 46)]).moved(
            x=0.62, y=-0.30
        )
    )
    return scene, View((0.30, -1.95, 1.30), (0.0, 0.35, 0.20), 60, -1.0)


def _dolly(seed: int) -> tuple[Scene, Stock]:
    scene, s = places.dock(seed)
    scene.put(wheels.doorway_dolly(s, chipped=True).turned("z", -24))
    tag = s.print(
        "tge dolly",
        tx.label([("DOORWAY DOLLY", 40), ("TGE-D 014", 58)], (620, 150), code="TGE-D014"),
    )
    scene.put(sheet((-0.13, -0.3195, 0.228), (0.15, 0, 0), (0, 0, 0.030), tag).turned("z", -24))
    return scene, s


def dolly_out() -> tuple[Scene, View]:
    scene, _ = _dolly(104)
    return scene, View((0.50, -1.75, 1.20), (0.10, -0.02, 0.24), 46, 0.6)


def dolly_back() -> tuple[Scene, View]:
    scene, s = _dolly(105)
    scene.lamps[0] = Lamp((2.7, -2.2, 3.2), 40, (1.0, 0.93, 0.84), 0.9, 12)
    scene.put(g.sandbag(s, seed=4).turned("z", 35).moved(x=-1.25, y=0.9))
    return scene, View((0.52, -1.73, 1.19), (0.11, -0.02, 0.24), 46, 0.2)


def _head(seed: int, bend: float) -> tuple[Scene, Stock]:
    scene, s = places.studio(seed)
    scene.centre, scene.reach = (0, 0.2, 0.8), 1.5
    scene.put(g.combo_stand(s, 0.62, 0.46).moved(x=0, y=0.40))
    scene.put(light.tungsten_head(s, bend=bend).turned("z", -22).moved(x=0, y=0.27, z=0.94))
    tag = s.print(
        "tge head", tx.label([("TUNGSTEN 2K", 40), ("2K-0117", 60)], (560, 170), code="TGE-2K-0117")
    )
    scene.put(
        sheet((-0.075, -0.0, 0.0), (0.115, 0, 0), (0, 0, 0.036), tag)
        .turned("z", 68)
        .moved(x=-0.012, y=0.36, z=0.95)
    )
    return scene, s


def head_out() -> tuple[Scene, View]:
    scene, _ = _head(106, 0.0)
    return scene, View((0.42, -0.86, 1.22), (0.02, 0.25, 0.90), 44, -0.5)


def head_back() -> tuple[Scene, View]:
    scene, _ = _head(107, 100.0)
    return scene, View((0.44, -0.85, 1.21), (0.03, 0.25, 0.90), 44, 0.3)


def _flags(seed: int, torn: bool) -> tuple[Scene, Stock]:
    scene, s = places.dock(seed)
    scene.put(wheels.cart(s, 1.5, 0.5, (0.2,)).moved(y=1.2))
    for k, x in enumerate((-0.80, -0.05, 0.70)):
        flag = (
            g.flag(s, torn=torn and k == 1, seed=3 + k).turned("x", -14).turned("z", (-3, 2, 4)[k])
        )
        scene.put(flag.moved(x=x - 0.15, y=0.52, z=0.13))
    return scene, s


def flags_out() -> tuple[Scene, View]:
    scene, _ = _flags(108, False)
    return scene, View((0.2, -1.7, 1.05), (0.10, 0.55, 0.52), 52, 0.7)


def flag_torn() -> tuple[Scene, View]:
    scene, _ = _flags(109, True)
    return scene, View((0.2, -1.7, 1.05), (0.10, 0.55, 0.52), 52, -0.6)


def _frame(seed: int, corners: int) -> tuple[Scene, Stock]:
    scene, s = places.dock(seed)
    scene.put(wheels.frame_tubes(s, corners, 8).moved(y=0.0))
    scene.put(props.duffel(s).moved(x=0.05, y=0.88))
    return scene, s


def frame_out() -> tuple[Scene, View]:
    scene, _ = _frame(110, 4)
    return scene, View((0.05, -1.25, 1.45), (0.0, 0.12, 0.02), 52, 0.5)


def frame_back() -> tuple[Scene, View]:
    scene, s = _frame(111, 3)
    scene.lamps[0] = Lamp((2.6, -2.4, 3.2), 40, (1.0, 0.93, 0.84), 0.9, 12)
    scene.put(
        props.note(s, "corner", [("1 CORNER", 62), ("MISSING", 62)], 0.22).moved(x=0.42, y=-0.27)
    )
    return scene, View((0.05, -1.25, 1.45), (0.0, 0.12, 0.02), 52, 0.5)


def stingers() -> tuple[Scene, View]:
    scene, s = places.studio(112)
    rng = np.random.default_rng(6)
    number = 0
    for row in range(4):
        for k in range(5):
            if number == 19:
                break
            dx, dy, turn = ((float(v) - 0.5) for v in rng.random(3))
            coil = g.cable_coil(s, radius=0.145, turns=9, seed=20 + number).turned("z", 360 * turn)
            scene.put(coil.moved(x=-0.92 + k * 0.44 + 0.05 * dx, y=-0.42 + row * 0.44 + 0.05 * dy))
            number += 1
    scene.put(props.note(s, "19", [("19", 120), ("50 FT", 50)], 0.26).moved(x=0.87, y=0.86))
    return scene, View((0.0, -1.68, 1.85), (-0.03, 0.20, 0.0), 54, 1.1)


def combo_bent() -> tuple[Scene, View]:
    scene, s = places.dock(113)
    scene.put(g.combo_stand(s, 0.95, 0.5, bent_leg=True).turned("z", 28))
    scene.put(g.combo_stand(s, 1.0, 0.46).moved(x=-1.2, y=1.2))
    return scene, View((0.25, -1.75, 1.0), (0.05, 0.0, 0.42), 54, -1.8)


def apple_boxes() -> tuple[Scene, View]:
    scene, s = places.dock(114)
    for k, (x, y, z, turn) in enumerate(
        (
            (-0.58, 0.3, 0, 3),
            (-0.57, 0.31, 0.204, -4),
            (0.0, 0.34, 0, -2),
            (0.01, 0.33, 0.204, 5),
            (0.58, 0.30, 0, 2),
            (0.57, 0.31, 0.204, -3),
            (-0.28, 0.33, 0.408, 4),
            (0.30, 0.31, 0.408, -6),
        )
    ):
        scene.put(g.apple_box(s).turned("z", turn + k * 0.3).moved(x=x, y=y, z=z))
    return scene, View((-0.35, -1.75, 1.05), (0.0, 0.3, 0.30), 52, 1.4)


def dead_lamp() -> tuple[Scene, View]:
    scene, s = places.counter(115)
    scene.put(props.lamp_box(s, "BURN-OUT 1"))
    scene.put(props.dead_lamp(s).turned("z", 25).moved(x=0.13, y=-0.13, z=0.006))
    return scene, View((0.08, -0.62, 0.52), (0.02, 0.0, 0.05), 48, -0.9)


def pickup_paper() -> tuple[Scene, View]:
    rows = [
        ("1", "C-stand 40 in, head + arm", "24", "24", ""),
        ("2", "Combo stand", "10", "10", ""),
        ("14", "Sandbag 25 lb", "30", "28", "2 NR"),
        ("21", "Flag 24x36 solid", "12", "12", ""),
        ("27", "Overhead frame 12x12", "1", "1", "4 corners"),
        ("31", "Doorway dolly", "1", "1", "carpet corner worn"),
        ("38", "Tungsten head 2K", "4", "4", ""),
        ("47", "Stinger 50 ft", "20", "20", ""),
    ]
    page = props.sheet_page(
        "Tarrowmere Grip & Electric (invented)",
        "PICKUP SHEET  TGE-20418",
        rows,
        ["I. Calloway", "O. Brask"],
        "12 Oct 2026   08:05",
        4,
    )
    scene, s = places.counter(116)
    scene.put(*props.clipboard(s, "pickup", page))
    return scene, View((0.04, -0.34, 0.52), (0.0, 0.0, 0.0), 46, -2.2)


SCENES = {
    "c_stands_out": c_stands_out,
    "sandbags": sandbags,
    "dolly_out": dolly_out,
    "head_out": head_out,
    "flags_out": flags_out,
    "frame_out": frame_out,
    "pickup_paper": pickup_paper,
    "stingers": stingers,
    "c_stands_back": c_stands_back,
    "dolly_back": dolly_back,
    "head_back": head_back,
    "flag_torn": flag_torn,
    "frame_back": frame_back,
    "combo_bent": combo_bent,
    "apple_boxes": apple_boxes,
    "dead_lamp": dead_lamp,
}

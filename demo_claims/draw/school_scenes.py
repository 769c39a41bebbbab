"""The fourteen photos of the film school's claim: a van broken into, and a dropped light."""

from __future__ import annotations

from demo_claims.draw import gear_camera as cam
from demo_claims.draw import gear_cases as cases
from demo_claims.draw import gear_grip as g
from demo_claims.draw import gear_light as light
from demo_claims.draw import gear_wheels as wheels
from demo_claims.draw import places, props
from demo_claims.draw import textures as tx
from demo_claims.draw.mesh import Mesh, box, sheet
from demo_claims.draw.raster import View
from demo_claims.draw.shade import Lamp, Scene
from demo_claims.draw.stock import Stock


def _case_label(s: Stock, words: str, number: str) -> int:
    return s.print(
        "case " + number, tx.label([(words, 44), (number, 56)], (620, 226), code=number), 0.6
    )


def _van_load(s: Stock, stolen: bool) -> list[Mesh]:
    stay = [
        cases.case_closed(
            s, (0.62, 0.42, 0.26), (66, 74, 62), front=_case_label(s, "LED FRESNEL", "LCR-F-112")
        ).moved(x=-0.38, y=2.3),
        cases.case_closed(
            s, (0.62, 0.42, 0.26), (66, 74, 62), front=_case_label(s, "LED FRESNEL", "LCR-F-113")
        ).moved(x=-0.38, y=2.3, z=0.27),
        wheels.crate(s).moved(x=0.42, y=2.45),
        g.sandbag(s, (44, 60, 96)).turned("z", 84).moved(x=0.05, y=2.5),
        g.sandbag(s, (44, 60, 96), 6).turned("z", 95).moved(x=0.07, y=2.5, z=0.118),
        g.cable_coil(s, seed=31).moved(x=0.42, y=2.45, z=0.05),
        cases.soft_bag(s, colour=(70, 40, 40)).turned("z", 78).moved(x=0.45, y=1.0),
    ]
    if stolen:
        return stay
    return [
        *stay,
        cases.case_closed(
            s, (0.60, 0.46, 0.32), (48, 50, 54), front=_case_label(s, "CAMERA BODY", "LCR-C-007")
        ).moved(x=-0.28, y=0.72),
        cases.case_closed(
            s, (0.56, 0.42, 0.24), (48, 50, 54), front=_case_label(s, "PRIME SET", "LCR-P-021")
        ).moved(x=-0.28, y=0.74, z=0.33),
        cases.case_closed(
            s, (0.46, 0.36, 0.20), (150, 70, 34), front=_case_label(s, "MONITOR KIT", "LCR-M-034")
        )
        .turned("z", -4)
        .moved(x=0.16, y=1.75),
        cases.case_closed(
            s, (0.40, 0.32, 0.18), (48, 50, 54), front=_case_label(s, "BATTERIES", "LCR-B-050")
        )
        .turned("z", 5)
        .moved(x=0.15, y=1.76, z=0.21),
    ]


def van_loaded() -> tuple[Scene, View]:
    # At night: the phone's own light and the lamp in the roof.
    scene, s = places.van_bed(301)
    scene.sky, scene.floor_bounce, scene.strips = (0.07, 0.07, 0.085), (0.05, 0.045, 0.04), 0.4
    scene.lamps = [
        Lamp((0.3, -2.1, 1.75), 20, (1.0, 0.98, 0.95), 0.15, 8),
        Lamp((0.1, 1.5, 1.70), 2.6, (1.0, 0.92, 0.78), 0.4, 6),
    ]
    scene.put(*_van_load(s, False))
    return scene, View((0.12, -2.0, 1.50), (0.0, 1.0, 0.55), 58, 0.8)


def van_emptied() -> tuple[Scene, View]:
    scene, s = places.van_bed(302)
    scene.put(*_van_load(s, True))
    scene.put(light.shards(s, 60, 0.35, 12, (176, 206, 200)).moved(x=0.55, y=0.75, z=0.002))
    scene.put(
        sheet((-0.2, 0, 0), (0.32, 0, 0), (0, 0.22, 0), s.foam, (4, 4))
        .turned("z", 24)
        .moved(x=-0.22, y=0.7, z=0.02)
    )
    return scene, View((0.10, -2.0, 1.52), (0.0, 1.0, 0.55), 58, -0.9)


def window_broken() -> tuple[Scene, View]:
    scene, _ = places.van_side(303)
    return scene, View((0.9, -3.1, 1.55), (0.15, 0.0, 1.05), 54, 1.3)


def window_close() -> tuple[Scene, View]:
    scene, _ = places.van_side(304)
    return scene, View((-0.45, -1.25, 1.72), (-0.05, 0.0, 1.42), 52, -1.6)


def _camera_case(seed: int) -> tuple[Scene, Stock]:
    scene, s = places.counter(seed)
    pockets = [
        (-0.14, 0.0, 0.20, 0.28),
        (0.07, -0.09, 0.12, 0.12),
        (0.07, 0.08, 0.12, 0.12),
        (0.21, 0.0, 0.10, 0.26),
    ]
    scene.put(cases.case_open(s, (0.60, 0.44, 0.20), pockets=pockets).moved(z=0.006))
    scene.put(
        cam.camera_body(s, with_lens=False, with_rods=False)
        .turned("z", 4)
        .scaled(0.95, 0.95, 0.9)
        .moved(x=-0.14, y=-0.01, z=0.04)
    )
    scene.put(
        cam.lens(s).turned("z", 50).moved(x=0.07, y=-0.09, z=0.07),
        cam.lens(s).turned("z", 10).moved(x=0.07, y=0.08, z=0.07),
    )
    scene.put(
        cam.battery(s).moved(x=0.21, y=-0.06, z=0.11),
        cam.battery(s).turned("z", 3).moved(x=0.21, y=0.07, z=0.11),
    )
    return scene, s


def camera_case() -> tuple[Scene, View]:
    scene, _ = _camera_case(305)
    return scene, View((-0.08, -0.66, 0.80), (0.0, 0.02, 0.13), 48, -0.7)


def camera_serial() -> tuple[Scene, View]:
    scene, s = places.counter(306)
    scene.centre, scene.reach = (0, 0, 0.1), 0.45
    scene.put(cam.camera_body(s, False).turned("z", 62).moved(x=0.03, y=0.04, z=0.006))
    plate = s.print(
        "serial plate",
        tx.label(
            [("CINEMA CAMERA A", 44), ("SN DCX-448120", 50), ("LORNLAKE (INVENTED)", 34)],
            (760, 260),
            (206, 208, 210),
            code="LCR-C-007",
        ),
        0.35,
    )
    scene.put(
        sheet((-0.045, -0.0705, 0.0), (0.095, 0, 0), (0, 0, 0.0325), plate)
        .turned("z", -28)
        .moved(x=0.02, y=0.025, z=0.022)
    )
    return scene, View((-0.15, -0.42, 0.30), (0.02, 0.0, 0.085), 42, 1.1)


def primes() -> tuple[Scene, View]:
    scene, s = places.counter(307)
    for k, x in enumerate((-0.20, -0.07, 0.06, 0.19)):
        scene.put(
            cam.lens(s)
            .scaled(1, 1, (0.92, 1.0, 1.06, 1.15)[k])
            .turned("z", 30 * k)
            .moved(x=x, y=0.03 - 0.02 * (k % 2), z=0.006)
        )
        words = ("25 mm", "35 mm", "50 mm", "85 mm")[k]
        tag = s.print(
            "p" + words,
            tx.label([(words, 60), (f"LCR-P-02{k + 1}", 50)], (560, 190), code=f"LCR-P-02{k + 1}"),
        )
        scene.put(sheet((x - 0.045, -0.13, 0.008), (0.09, 0, 0), (0, 0.031, 0), tag))
    return scene, View((0.02, -0.58, 0.42), (0.0, -0.02, 0.045), 50, -0.5)


def monitor_kit() -> tuple[Scene, View]:
    scene, s = places.counter(308)
    scene.put(cam.monitor(s).turned("x", -20).turned("z", -12).moved(x=-0.12, z=0.01))
    for k in range(4):
        scene.put(
            cam.battery(s)
            .turned("z", 3 * k - 4)
            .moved(x=0.08 + 0.11 * (k % 2), y=-0.09 + 0.15 * (k // 2), z=0.006)
        )
    return scene, View((0.03, -0.56, 0.45), (0.02, -0.01, 0.04), 48, 0.9)


def _fresnel(seed: int, broken: bool) -> tuple[Scene, Stock]:
    scene, s = places.studio(seed)
    scene.centre, scene.reach = (0, 0, 0.4), 1.3
    return scene, s


def fresnel_out() -> tuple[Scene, View]:
    scene, s = _fresnel(309, False)
    scene.put(
        g.combo_stand(s, 0.55, 0.44).moved(y=0.28),
        light.led_fresnel(s).turned("z", -24).moved(y=0.20, z=0.93),
    )
    return scene, View((0.34, -0.88, 1.15), (0.02, 0.2, 0.86), 44, 0.7)


def fresnel_back() -> tuple[Scene, View]:
    scene, s = _fresnel(310, True)
    scene.put(
        g.combo_stand(s, 0.55, 0.44).moved(y=0.28),
        light.led_fresnel(s, True, True).turned("z", -24).moved(y=0.20, z=0.93),
    )
    return scene, View((0.35, -0.87, 1.15), (0.02, 0.2, 0.86), 44, -0.5)


def fresnel_floor() -> tuple[Scene, View]:
    scene, s = _fresnel(311, True)
    fallen = (
        light.led_fresnel(s, True, True)
        .turned("y", 64)
        .turned("z", 34)
        .moved(x=-0.05, y=0.12, z=0.145)
    )
    scene.put(fallen, light.shards(s, 70, 0.30, 15).moved(x=0.12, y=-0.18))
    stand = (
        g.combo_stand(s, 1.0, 0.5).turned("x", -90).turned("z", 28).moved(x=0.30, y=0.50, z=0.30)
    )
    scene.put(stand)
    scene.lamps[0] = Lamp((1.4, -1.7, 2.5), 30, (1.0, 0.94, 0.84), 0.8, 12)
    return scene, View((0.18, -1.15, 0.98), (0.08, 0.15, 0.08), 50, 2.2)


def fresnel_close() -> tuple[Scene, View]:
    scene, s = places.counter(312)
    scene.centre, scene.reach = (0, 0.1, 0.25), 0.7
    scene.put(light.led_fresnel(s, True, True).turned("x", 0).turned("z", 14).moved(y=0.08, z=0.30))
    tag = s.print(
        "fresnel tag",
        tx.label([("LED FRESNEL", 44), ("LCR-F-113", 56)], (600, 170), code="LCR-F-113"),
    )
    scene.put(sheet((0.10, -0.01, 0.008), (0.13, 0.01, 0), (-0.003, 0.036, 0.0), tag))
    return scene, View((0.12, -0.66, 0.55), (0.03, 0.0, 0.215), 44, -0.8)


def report_paper() -> tuple[Scene, View]:
    rows = [
        ("1", "Camera body A", "1", "1", "DCX-448120"),
        ("2", "Prime 25 mm", "1", "1", ""),
        ("3", "Prime 35 mm", "1", "1", ""),
        ("4", "Prime 50 mm", "1", "1", ""),
        ("8", "Monitor 7 in", "2", "2", ""),
        ("11", "Battery 98 Wh", "8", "8", ""),
        ("19", "LED fresnel", "3", "3", ""),
    ]
    page = props.sheet_page(
        "Lornlake Camera Rental (invented)",
        "PICKUP SHEET  LCR-3390",
        rows,
        ["J. Okonedo-Pell", "S. Varga-Lind"],
        "15 Oct 2026   10:36",
        24,
    )
    scene, s = places.counter(313)
    scene.put(*props.clipboard(s, "school pickup", page))
    return scene, View((0.05, -0.34, 0.52), (0.0, 0.0, 0.0), 46, -1.6)


def clock_reference() -> tuple[Scene, View]:
    """The office's clock on the counter, photographed with the camera before the count."""
    scene, s = places.counter(314)
    scene.centre, scene.reach = (0, 0, 0.06), 0.45
    face = s.print(
        "clock face",
        tx.label(
            [("15 OCT 2026   UTC-5", 56), ("10:04:30", 148), ("radio controlled", 40)],
            (900, 430),
            (168, 178, 160),
            (24, 30, 26),
            border=False,
        ),
        0.25,
    )
    shell = s.worn((44, 46, 50), 0.4, amount=0.2)
    clock = [
        box((0.24, 0.05, 0.14), shell, 0.012),
        sheet((-0.10, -0.0258, 0.022), (0.20, 0, 0), (0, 0, 0.0956), face),
    ]
    scene.put(*[part.turned("x", -16).turned("z", 8).moved(x=-0.02, z=0.01) for part in clock])
    scene.put(cam.battery(s).turned("z", 64).moved(x=0.21, y=-0.02, z=0.006))
    return scene, View((0.04, -0.44, 0.30), (0.02, 0.0, 0.06), 46, 0.9)


SCENES = {
    "clock_reference": clock_reference,
    "camera_case": camera_case,
    "camera_serial": camera_serial,
    "primes": primes,
    "monitor_kit": monitor_kit,
    "fresnel_out": fresnel_out,
    "van_loaded": van_loaded,
    "report_paper": report_paper,
    "fresnel_floor": fresnel_floor,
    "fresnel_close": fresnel_close,
    "window_broken": window_broken,
    "window_close": window_close,
    "van_emptied": van_emptied,
    "fresnel_back": fresnel_back,
}

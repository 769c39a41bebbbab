"""The twelve photos of the return at the counter: a camera and lighting package."""

from __future__ import annotations

from demo_claims.draw import gear_camera as cam
from demo_claims.draw import gear_cases as cases
from demo_claims.draw import gear_grip as g
from demo_claims.draw import gear_light as light
from demo_claims.draw import gear_wheels as wheels
from demo_claims.draw import places, props
from demo_claims.draw import textures as tx
from demo_claims.draw.mesh import join, sheet
from demo_claims.draw.raster import View
from demo_claims.draw.shade import Lamp, Scene
from demo_claims.draw.stock import Stock

EVENING = Lamp((0.8, -0.4, 1.4), 7.5, (1.0, 0.93, 0.84), 0.45, 12)


def _prime(seed: int, hurt: bool) -> tuple[Scene, Stock]:
    scene, s = places.counter(seed)
    scene.centre, scene.reach = (0, 0, 0.06), 0.42
    scene.put(cam.lens(s, ring_dent=hurt, scratched=hurt).turned("z", -28).moved(x=-0.02, z=0.006))
    tag = s.print(
        "prime tag",
        tx.label([("PRIME 50 mm", 46), ("BCL-P50-208", 56)], (640, 170), code="BCL-P50-208"),
    )
    scene.put(sheet((0.048, -0.085, 0.008), (0.082, 0.010, 0), (-0.003, 0.022, 0.0), tag))
    cap = cam.lathe(
        [(0, 0.0), (0.047, 0.0), (0.049, 0.003), (0.049, 0.014), (0.044, 0.017), (0, 0.017)],
        s.rubber,
        48,
    )
    scene.put(cap.moved(x=-0.17, y=0.06, z=0.006))
    return scene, s


def prime_out() -> tuple[Scene, View]:
    scene, _ = _prime(201, False)
    return scene, View((0.11, -0.29, 0.37), (0.0, -0.012, 0.062), 44, 0.8)


def prime_back() -> tuple[Scene, View]:
    scene, _ = _prime(202, True)
    scene.lamps[0] = EVENING
    return scene, View((0.112, -0.288, 0.368), (0.001, -0.011, 0.062), 44, -0.6)


def prime_close() -> tuple[Scene, View]:
    scene, _ = _prime(203, True)
    scene.lamps[0] = Lamp((0.5, -0.7, 0.9), 3.6, (1.0, 0.95, 0.88), 0.4, 12)
    return scene, View((0.085, -0.175, 0.285), (0.004, -0.008, 0.106), 34, 1.5)


def _monitor(seed: int, cracked: bool) -> tuple[Scene, Stock]:
    scene, s = places.counter(seed)
    scene.put(cam.monitor(s, cracked).turned("x", -22).turned("z", 9).moved(z=0.010))
    scene.put(cam.battery(s).turned("z", -70).moved(x=0.19, y=0.03, z=0.006))
    tag = s.print(
        "mon tag",
        tx.label([("MONITOR 7 in", 46), ("BCL-M7-031", 56)], (620, 170), code="BCL-M7-031"),
    )
    scene.put(sheet((-0.15, -0.12, 0.008), (0.11, 0.008, 0), (-0.002, 0.030, 0.0), tag))
    return scene, s


def monitor_out() -> tuple[Scene, View]:
    scene, _ = _monitor(204, False)
    return scene, View((0.03, -0.44, 0.37), (0.02, -0.01, 0.045), 48, -0.9)


def monitor_back() -> tuple[Scene, View]:
    scene, _ = _monitor(205, True)
    scene.lamps[0] = EVENING
    return scene, View((0.03, -0.44, 0.372), (0.02, -0.01, 0.045), 48, 0.5)


def panel_back() -> tuple[Scene, View]:
    scene, s = places.studio(206)
    scene.centre, scene.reach = (0, 0.2, 0.6), 1.4
    scene.put(
        light.led_panel(s, crack=True, dead=True)
        .turned("x", -8)
        .turned("z", 10)
        .moved(y=0.2, z=0.26)
    )
    scene.put(g.cable_coil(s, seed=7, radius=0.13).moved(x=0.62, y=-0.05))
    scene.put(cases.case_closed(s, (0.8, 0.42, 0.34)).moved(x=-0.35, y=0.95))
    tag = s.print(
        "panel tag",
        tx.label([("LED PANEL 2x1", 46), ("BCL-L21-077", 56)], (640, 170), code="BCL-L21-077"),
    )
    scene.put(sheet((-0.36, -0.16, 0.004), (0.19, 0.01, 0), (-0.004, 0.05, 0.0), tag))
    return scene, View((0.12, -0.82, 0.72), (0.06, 0.2, 0.33), 50, 1.2)


def battery_swollen() -> tuple[Scene, View]:
    scene, s = places.counter(207)
    scene.put(cam.battery(s, swollen=True).turned("z", 18).moved(x=-0.02, z=0.006))
    scene.put(cam.battery(s).turned("z", 12).moved(x=-0.16, y=0.02, z=0.006))
    scene.put(
        props.note(s, "keep apart", [("KEEP APART", 50), ("DO NOT CHARGE", 38)], 0.13).moved(
            x=0.095, y=-0.085, z=0.006
        )
    )
    scene.lamps[0] = EVENING
    return scene, View((0.02, -0.40, 0.24), (-0.005, 0.0, 0.025), 48, -1.4)


def matte_box_back() -> tuple[Scene, View]:
    scene, s = places.counter(208)
    scene.put(cases.matte_box(s, flag_broken=True).turned("z", 24).moved(z=0.006))
    shard = sheet(
        (0, 0, 0), (0.07, 0, 0), (0.01, 0.05, 0), s.worn((52, 53, 56), 0.55, amount=0.4)
    ).cut(lambda uv: uv[:, 0] + uv[:, 1] < 0.9)
    scene.put(join([shard, shard.moved(z=0.003)]).turned("z", 35).moved(x=0.13, y=-0.12, z=0.009))
    scene.lamps[0] = EVENING
    return scene, View((0.06, -0.46, 0.33), (0.0, -0.03, 0.08), 46, 2.0)


def camera_out() -> tuple[Scene, View]:
    scene, s = places.counter(209)
    scene.put(cam.camera_body(s).turned("z", -38).moved(x=0.02, y=0.06, z=0.006))
    for k in range(3):
        scene.put(
            cam.battery(s)
            .turned("z", 8 * k - 5)
            .moved(x=-0.30 + 0.115 * k * 0.95, y=-0.16, z=0.006)
        )
    tag = s.print(
        "body tag",
        tx.label([("CAMERA BODY A", 46), ("BCL-C1-019", 56)], (620, 170), code="BCL-C1-019"),
    )
    scene.put(sheet((0.10, -0.20, 0.008), (0.13, 0.012, 0), (-0.003, 0.034, 0.0), tag))
    return scene, View((-0.10, -0.74, 0.52), (-0.01, -0.01, 0.075), 48, 0.4)


def case_out() -> tuple[Scene, View]:
    scene, s = places.counter(210)
    pockets = [
        (-0.19, -0.09, 0.12, 0.12),
        (-0.02, -0.09, 0.12, 0.12),
        (0.15, -0.09, 0.12, 0.12),
        (-0.17, 0.08, 0.16, 0.14),
        (0.10, 0.08, 0.24, 0.14),
    ]
    scene.put(cases.case_open(s, (0.60, 0.40, 0.17), pockets=pockets).moved(z=0.006))
    for x in (-0.19, -0.02, 0.15):
        scene.put(cam.lens(s).turned("z", 40 * x * 10).moved(x=x, y=-0.09, z=0.045))
    scene.put(cam.battery(s).turned("z", 90).moved(x=-0.17, y=0.08, z=0.085))
    scene.put(
        cases.matte_box(s).scaled(0.95, 0.9, 0.8).turned("x", 0).moved(x=0.10, y=0.09, z=0.05)
    )
    return scene, View((0.06, -0.62, 0.78), (0.0, 0.03, 0.12), 48, -0.6)


def cart_back() -> tuple[Scene, View]:
    scene, s = places.dock(211)
    scene.put(wheels.cart(s, 1.35, 0.62).moved(y=0.4))
    scene.put(cases.case_closed(s, (0.60, 0.42, 0.22)).moved(x=-0.33, y=0.4, z=0.80))
    scene.put(cases.case_closed(s, (0.52, 0.36, 0.20), (120, 54, 32)).moved(x=0.30, y=0.4, z=0.80))
    scene.put(
        cases.case_closed(s, (0.44, 0.34, 0.16), (58, 70, 60))
        .turned("z", 3)
        .moved(x=-0.34, y=0.4, z=1.02)
    )
    scene.put(
        wheels.crate(s).moved(x=-0.36, y=0.4, z=0.22),
        cases.soft_bag(s).moved(x=0.28, y=0.4, z=0.22),
    )
    scene.put(cases.tripod(s, 1.1, 0.3).moved(x=1.05, y=0.55))
    scene.put(g.sandbag(s, (44, 60, 96)).turned("z", 70).moved(x=-1.05, y=0.2))
    return scene, View((0.25, -2.1, 1.45), (0.02, 0.4, 0.62), 54, -1.1)


def ticket_back() -> tuple[Scene, View]:
    rows = [
        ("3", "Prime 50 mm  BCL-P50-208", "1", "1", "ring dented"),
        ("9", "Monitor 7 in", "2", "2", "1 cracked"),
        ("12", "Battery 98 Wh", "8", "8", "1 swollen"),
        ("14", "Media card 512 GB", "4", "3", "1 short"),
        ("18", "LED panel 2x1", "3", "3", "1 cracked"),
        ("6", "Matte box", "1", "1", "flag broken"),
    ]
    page = props.sheet_page(
        "Brellwater Camera & Light (invented)",
        "RETURN TICKET  BCL-5127",
        rows,
        ["R. Castellan"],
        "20 Nov 2026   16:23",
        14,
    )
    scene, s = places.counter(212)
    scene.lamps[0] = EVENING
    scene.put(*props.clipboard(s, "return ticket", page))
    return scene, View((-0.03, -0.33, 0.53), (0.0, 0.0, 0.0), 46, 3.0)


SCENES = {
    "camera_out": camera_out,
    "prime_out": prime_out,
    "monitor_out": monitor_out,
    "case_out": case_out,
    "cart_back": cart_back,
    "prime_back": prime_back,
    "prime_close": prime_close,
    "monitor_back": monitor_back,
    "panel_back": panel_back,
    "battery_swollen": battery_swollen,
    "matte_box_back": matte_box_back,
    "ticket_back": ticket_back,
}

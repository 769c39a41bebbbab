"""Demo claim 2: its photos, when and with what they were taken, and what they show."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from demo_claims.draw.develop import Look
from demo_claims.draw.exif import Device, Stamp
from demo_claims.draw.lanterns_scenes import SCENES
from demo_claims.draw.records import Shot, clock
from ldapp.claim.photos import Pairing

at = clock("Europe/London")


COUNTER = (51.53862, -0.01664)


PHONE = Device(
    "Demo Phone Works", "DPW 4 (invented)", "DPW4.9.7", "IMG", focal=(26, 1), f_number=(20, 10)
)


CAMERA = Device(
    "Demo Camera Works",
    "DCW 8 (invented)",
    "2.11",
    "DCW",
    serial="DCW8-119062",
    lens="DCW 18-55 mm (invented)",
    focal=(32, 1),
    f_number=(56, 10),
    little_endian=True,
    writes_offset=False,
    writes_subseconds=False,
    satellite=True,
)


PHONE_LOOK = Look(exposure=1.42, contrast=1.25, grain=0.9, vignette=0.25)


CAMERA_LOOK = Look(exposure=1.36, contrast=1.1, grain=1.1, soft=0.4, vignette=0.45)


SUMMER_TIME = dt.timedelta(hours=1)  # the camera was never set back in October


def shows(line: str, count: str, finding: str | None = None, close_up: bool = False) -> Pairing:
    return Pairing(line=line, count=count, finding=finding, close_up=close_up)


def _phone(scene: str, number: int, when: dt.datetime, millis: int, **more) -> Shot:
    stamp = Stamp(PHONE, when, number, COUNTER, 9.0, iso=500, milliseconds=millis)
    return Shot(
        id=f"p{number:02d}",
        file=f"IMG_{when:%Y%m%d_%H%M%S}.jpg",
        scene=SCENES[scene],
        seed=2000 + number,
        stamp=stamp,
        look=PHONE_LOOK,
        taken_by="Rui Castellan (invented)",
        **more,
    )


def _camera(scene: str, number: int, counter: int, when: dt.datetime, **more) -> Shot:
    stamp = Stamp(
        CAMERA,
        when,
        counter,
        COUNTER,
        9.0,
        offset_as_written=SUMMER_TIME,
        iso=1250,
        exposure=(1, 100),
    )
    return Shot(
        id=f"p{number:02d}",
        file=f"DCW_{counter:04d}.JPG",
        scene=SCENES[scene],
        seed=2000 + number,
        stamp=stamp,
        look=CAMERA_LOOK,
        taken_by="Anwen Pryce-Holt (invented)",
        **more,
    )


def _edited(shot: Shot, when: str) -> Shot:
    assert shot.stamp is not None
    return replace(
        shot,
        stamp=replace(shot.stamp, edited_with="Demo Photo Editor 4.2 (invented)", edited_at=when),
    )


SHOTS = (
    _phone(
        "camera_out",
        1,
        at(11, 16, 8, 41, 12),
        120,
        count="c-pickup",
        pairings=(shows("k01", "c-pickup"), shows("k12", "c-pickup", "f-battery")),
    ),
    _phone(
        "prime_out",
        2,
        at(11, 16, 8, 46, 37),
        904,
        count="c-pickup",
        pairings=(shows("k03", "c-pickup", "f-prime"),),
    ),
    _phone(
        "monitor_out",
        3,
        at(11, 16, 8, 52, 3),
        48,
        count="c-pickup",
        pairings=(shows("k09", "c-pickup", "f-monitor"),),
    ),
    _camera(
        "case_out",
        4,
        1207,
        at(11, 16, 8, 58, 44),
        count="c-pickup",
        pairings=(shows("k06", "c-pickup", "f-matte-box"), shows("k29", "c-pickup")),
    ),
    _edited(
        _phone(
            "cart_back",
            5,
            at(11, 20, 16, 4, 50),
            377,
            count="c-return",
            pairings=(shows("k30", "c-return"), shows("k16", "c-return")),
        ),
        "2026:11:20 16:40:02",
    ),
    _phone(
        "prime_back",
        6,
        at(11, 20, 16, 9, 21),
        655,
        count="c-return",
        pairings=(shows("k03", "c-return", "f-prime"),),
    ),
    _camera(
        "prime_close",
        7,
        1266,
        at(11, 20, 16, 10, 58),
        count="c-return",
        pairings=(shows("k03", "c-return", "f-prime", True),),
    ),
    _phone(
        "monitor_back",
        8,
        at(11, 20, 16, 13, 40),
        201,
        count="c-return",
        pairings=(shows("k09", "c-return", "f-monitor", True),),
    ),
    _camera(
        "panel_back",
        9,
        1267,
        at(11, 20, 16, 17, 5),
        count="c-return",
        pairings=(shows("k18", "c-return", "f-panel"),),
    ),
    _phone(
        "battery_swollen",
        10,
        at(11, 20, 16, 20, 33),
        530,
        count="c-return",
        pairings=(shows("k12", "c-return", "f-battery", True),),
    ),
    Shot(
        id="p11",
        file="received_20261120.jpg",
        scene=SCENES["matte_box_back"],
        seed=2011,
        stamp=None,
        look=PHONE_LOOK,
        count="c-return",
        pairings=(shows("k06", "c-return", "f-matte-box", True),),
        taken_by="Swing",
        note="Came by messenger without a date: take it again before leaving the counter.",
    ),
    _phone(
        "ticket_back",
        12,
        at(11, 20, 16, 24, 18),
        88,
        orientation=6,
        count="c-return",
        pairings=(shows("k14", "c-return", "f-card"),),
        note="The ticket with one signature so far.",
    ),
)


def taken_in(shot: Shot) -> dt.datetime:
    """Pickup photos that evening; return photos minutes later, at the counter."""
    if shot.stamp is None:
        return dt.datetime(2026, 11, 20, 16, 26, 40, tzinfo=dt.UTC)
    if shot.count == "c-pickup":
        return dt.datetime(2026, 11, 16, 19, 12, 5, tzinfo=dt.UTC)
    return dt.datetime(2026, 11, 20, 16, 41, 30, tzinfo=dt.UTC)

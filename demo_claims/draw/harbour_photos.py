"""Demo claim 1: its photos, when and with what they were taken, and what they show."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from demo_claims.draw.develop import Look
from demo_claims.draw.exif import Device, Stamp
from demo_claims.draw.harbour_scenes import SCENES
from demo_claims.draw.records import Shot, clock
from ldapp.claim.photos import Pairing

at = clock("America/New_York")


DOCK = (40.67125, -74.01031)


STAGE = (40.70388, -73.93244)


PHONE = Device(
    "Demo Phone Works",
    "DPW 6 (invented)",
    "DPW6.14.2",
    "IMG",
    little_endian=False,
    focal=(24, 1),
    f_number=(18, 10),
    clock_error_s=462,
)


CAMERA = Device(
    "Demo Camera Works",
    "DCW 20 (invented)",
    "1.03",
    "DCW",
    serial="DCW20-003417",
    lens="DCW 24-70 mm (invented)",
    focal=(35, 1),
    f_number=(40, 10),
    little_endian=True,
    writes_offset=False,
    writes_subseconds=False,
    satellite=False,
)


PHONE_LOOK = Look(exposure=1.08, contrast=1.25, grain=0.8, vignette=0.25)


DARK_LOOK = replace(PHONE_LOOK, exposure=1.4)


DARK = {"pickup_paper", "dead_lamp", "stingers"}


CAMERA_LOOK = Look(exposure=1.14, contrast=1.1, grain=1.1, soft=0.4, vignette=0.45)


def shows(line: str, count: str, finding: str | None = None, close_up: bool = False) -> Pairing:
    return Pairing(line=line, count=count, finding=finding, close_up=close_up)


def _phone(
    scene: str, number: int, when: dt.datetime, where: tuple[float, float], millis: int, **more
) -> Shot:
    shown = when + dt.timedelta(seconds=PHONE.clock_error_s)
    stamp = Stamp(PHONE, when, number, where, 3.5, iso=250, milliseconds=millis)
    return Shot(
        id=f"p{number:02d}",
        file=f"IMG_{shown:%Y%m%d_%H%M%S}.jpg",
        scene=SCENES[scene],
        seed=1000 + number,
        stamp=stamp,
        look=DARK_LOOK if scene in DARK else PHONE_LOOK,
        taken_by="Teo Marsh (invented)",
        **more,
    )


def _camera(scene: str, number: int, counter: int, when: dt.datetime, **more) -> Shot:
    return Shot(
        id=f"p{number:02d}",
        file=f"DCW_{counter:04d}.JPG",
        scene=SCENES[scene],
        seed=1000 + number,
        stamp=Stamp(CAMERA, when, counter, iso=800, exposure=(1, 80)),
        look=CAMERA_LOOK,
        taken_by="Ines Calloway (invented)",
        **more,
    )


SHOTS = (
    _phone(
        "c_stands_out",
        1,
        at(10, 12, 7, 21, 14),
        DOCK,
        412,
        count="c-pickup",
        pairings=(shows("k01", "c-pickup"),),
    ),
    _phone(
        "sandbags",
        2,
        at(10, 12, 7, 30, 52),
        DOCK,
        87,
        count="c-pickup",
        pairings=(shows("k14", "c-pickup", "f-sandbags"),),
    ),
    _camera(
        "flags_out",
        3,
        412,
        at(10, 12, 7, 34, 9),
        count="c-pickup",
        pairings=(shows("k21", "c-pickup", "f-flag"),),
    ),
    _phone(
        "frame_out",
        4,
        at(10, 12, 7, 41, 33),
        DOCK,
        655,
        count="c-pickup",
        pairings=(shows("k27", "c-pickup", "f-corner"),),
    ),
    _camera(
        "dolly_out",
        5,
        413,
        at(10, 12, 7, 44, 51),
        count="c-pickup",
        pairings=(shows("k31", "c-pickup"),),
    ),
    _camera(
        "head_out",
        6,
        414,
        at(10, 12, 7, 49, 27),
        count="c-pickup",
        pairings=(shows("k38", "c-pickup", "f-doors"),),
    ),
    _phone(
        "pickup_paper",
        7,
        at(10, 12, 8, 3, 40),
        DOCK,
        18,
        orientation=6,
        count="c-pickup",
        pairings=(shows("k14", "c-pickup", "f-sandbags"),),
        note="The signed pickup sheet, photographed before the truck left.",
    ),
    _phone(
        "stingers",
        8,
        at(10, 20, 20, 34, 5),
        STAGE,
        731,
        count="c-during",
        pairings=(shows("k47", "c-during", "f-stingers"),),
    ),
    _phone(
        "c_stands_back",
        9,
        at(10, 30, 15, 31, 46),
        DOCK,
        240,
        count="c-return",
        pairings=(shows("k01", "c-return"),),
        confirmed_by="Owen Brask (invented)",
        confirmed_on=dt.date(2026, 10, 30),
    ),
    _camera(
        "flag_torn",
        10,
        498,
        at(10, 30, 15, 44, 20),
        count="c-return",
        pairings=(shows("k21", "c-return", "f-flag", True),),
    ),
    _phone(
        "frame_back",
        11,
        at(10, 30, 15, 52, 8),
        DOCK,
        503,
        count="c-return",
        pairings=(shows("k27", "c-return", "f-corner"),),
    ),
    _camera(
        "dolly_back",
        12,
        499,
        at(10, 30, 15, 57, 31),
        count="c-return",
        pairings=(shows("k31", "c-return"),),
    ),
    _camera(
        "head_back",
        13,
        500,
        at(10, 30, 16, 4, 12),
        count="c-return",
        pairings=(shows("k38", "c-return", "f-doors", True),),
    ),
    _phone(
        "dead_lamp",
        14,
        at(10, 30, 16, 11, 55),
        DOCK,
        366,
        count="c-return",
        pairings=(shows("k44", "c-return"),),
    ),
    replace(
        _phone(
            "combo_bent",
            15,
            at(10, 30, 16, 18, 23),
            DOCK,
            119,
            count="c-return",
            pairings=(shows("k02", "c-return", "f-combo", True),),
        ),
        crop=(0.10, 0.06, 0.94, 0.90),
        note="Cropped and brightened before it was sent on; ask for the original.",
    ),
    Shot(
        id="p16",
        file="photo-from-chat.jpg",
        scene=SCENES["apple_boxes"],
        seed=1016,
        stamp=None,
        look=PHONE_LOOK,
        count="c-return",
        pairings=(shows("k16", "c-return"),),
        taken_by="Swing crew",
        note="Came through a messenger; the original is with the swing crew.",
        statement="Taken at the return count, about half past four.",
    ),
)


_edited = SHOTS[14].stamp


assert _edited is not None


SHOTS = (
    *SHOTS[:14],
    replace(
        SHOTS[14],
        stamp=replace(
            _edited,
            edited_with="Demo Photo Editor 4.2 (invented)",
            edited_at="2026:11:01 09:12:44",
        ),
    ),
    SHOTS[15],
)


def taken_in(shot: Shot) -> dt.datetime:
    """The evening of the day it was taken; the copy from the messenger much later."""
    if shot.stamp is None:
        return dt.datetime(2026, 11, 10, 14, 2, 20, tzinfo=dt.UTC)
    return (shot.stamp.true_time.astimezone(dt.UTC) + dt.timedelta(hours=9)).replace(
        minute=5, second=11
    )

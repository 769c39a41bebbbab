"""Demo claim 3: its photos, when and with what they were taken, and what they show."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from demo_claims.draw.develop import Look
from demo_claims.draw.exif import Device, Stamp
from demo_claims.draw.records import Shot, clock
from demo_claims.draw.school_scenes import SCENES
from ldapp.claim.photos import Pairing

at = clock("America/Chicago")


COUNTER = (43.03921, -87.90312)


SCHOOL = (43.07644, -87.88150)


PHONE = Device(
    "Demo Phone Works", "DPW 5 (invented)", "DPW5.11.0", "IMG", focal=(26, 1), f_number=(18, 10)
)


CAMERA = Device(
    "Demo Camera Works",
    "DCW 20 (invented)",
    "1.03",
    "DCW",
    serial="DCW20-008190",
    lens="DCW 24-70 mm (invented)",
    focal=(40, 1),
    f_number=(40, 10),
    little_endian=True,
    writes_offset=False,
    writes_subseconds=False,
    satellite=False,
    clock_error_s=-738,
)


PHONE_LOOK = Look(exposure=1.12, contrast=1.25, grain=0.9, vignette=0.25)


STAGE_LOOK = Look(exposure=1.12, contrast=1.15, grain=1.0, soft=0.3, vignette=0.4)
BENCH_LOOK = Look(exposure=1.40, contrast=1.2, grain=1.0, soft=0.3, vignette=0.4)


def shows(line: str, count: str, finding: str | None = None, close_up: bool = False) -> Pairing:
    return Pairing(line=line, count=count, finding=finding, close_up=close_up)


def _phone(
    scene: str,
    number: int,
    when: dt.datetime,
    where: tuple[float, float],
    millis: int,
    look: Look = PHONE_LOOK,
    **more,
) -> Shot:
    stamp = Stamp(PHONE, when, number, where, 181.0, iso=400, milliseconds=millis)
    more.setdefault("taken_by", "J. Okonedo-Pell (invented)")
    return Shot(
        id=f"p{number:02d}",
        file=f"IMG_{when:%Y%m%d_%H%M%S}.jpg",
        scene=SCENES[scene],
        seed=3000 + number,
        stamp=stamp,
        look=look,
        **more,
    )


def _camera(scene: str, number: int, counter: int, when: dt.datetime, **more) -> Shot:
    stamp = Stamp(CAMERA, when, counter, iso=1000, exposure=(1, 80))
    return Shot(
        id=f"p{number:02d}",
        file=f"DCW_{counter:04d}.JPG",
        scene=SCENES[scene],
        seed=3000 + number,
        stamp=stamp,
        look=STAGE_LOOK if scene in {"fresnel_out", "fresnel_back"} else BENCH_LOOK,
        taken_by="Ottoline Braithe (invented)",
        **more,
    )


_BENCH_PHONE = replace(PHONE_LOOK, exposure=1.42)


_WINDOW = _phone(
    "window_close",
    10,
    at(10, 18, 7, 3, 26),
    SCHOOL,
    714,
    count="c-after",
    pairings=(shows("k01", "c-after", "f-k01", True),),
    note="Brightened for the police.",
)


assert _WINDOW.stamp is not None


SHOTS = (
    _camera(
        "clock_reference",
        1,
        2240,
        at(10, 15, 10, 4, 30),
        count="c-pickup",
        note="The office's clock beside the camera: it runs 12 min 18 s slow.",
    ),
    _camera(
        "camera_case",
        2,
        2241,
        at(10, 15, 10, 9, 12),
        count="c-pickup",
        pairings=(
            shows("k01", "c-pickup", "f-k01"),
            shows("k11", "c-pickup", "f-k11"),
            shows("k37", "c-pickup", "f-k37"),
        ),
    ),
    _camera(
        "camera_serial",
        3,
        2242,
        at(10, 15, 10, 12, 47),
        count="c-pickup",
        pairings=(shows("k01", "c-pickup", "f-k01", True),),
    ),
    _camera(
        "primes",
        4,
        2243,
        at(10, 15, 10, 17, 20),
        count="c-pickup",
        pairings=(
            shows("k02", "c-pickup", "f-k02"),
            shows("k03", "c-pickup", "f-k03"),
            shows("k04", "c-pickup", "f-k04"),
            shows("k05", "c-pickup", "f-k05"),
        ),
    ),
    Shot(
        id="p05",
        file="from-messenger-0412.jpg",
        scene=SCENES["monitor_kit"],
        seed=3005,
        stamp=None,
        look=_BENCH_PHONE,
        count="c-pickup",
        pairings=(shows("k08", "c-pickup", "f-k08"),),
        taken_by="A fellow student",
        note="Came by messenger; ask for the original.",
    ),
    _camera(
        "fresnel_out",
        6,
        2244,
        at(10, 15, 10, 26, 5),
        count="c-pickup",
        pairings=(shows("k19", "c-pickup", "f-fresnel"),),
    ),
    _phone(
        "report_paper",
        7,
        at(10, 15, 10, 38, 51),
        COUNTER,
        33,
        _BENCH_PHONE,
        orientation=6,
        count="c-pickup",
        pairings=(shows("k01", "c-pickup", "f-k01"),),
        note="The signed pickup sheet.",
    ),
    _phone(
        "fresnel_floor",
        8,
        at(10, 16, 14, 31, 9),
        SCHOOL,
        590,
        replace(PHONE_LOOK, exposure=1.3),
        pairings=(Pairing(line="k19", finding="f-fresnel"),),
    ),
    _phone(
        "van_loaded",
        9,
        at(10, 17, 22, 36, 14),
        SCHOOL,
        268,
        replace(PHONE_LOOK, exposure=1.2),
        count="c-van",
        pairings=(
            shows("k37", "c-van", "f-k37"),
            shows("k38", "c-van", "f-k38"),
            shows("k39", "c-van", "f-k39"),
            shows("k40", "c-van", "f-k40"),
        ),
    ),
    replace(
        _WINDOW,
        stamp=replace(
            _WINDOW.stamp,
            edited_with="Demo Photo Editor 4.2 (invented)",
            edited_at="2026:10:18 09:40:11",
        ),
    ),
    _phone(
        "window_broken",
        11,
        at(10, 18, 7, 1, 52),
        SCHOOL,
        92,
        count="c-after",
        pairings=(shows("k01", "c-after", "f-k01"),),
    ),
    _phone(
        "van_emptied",
        12,
        at(10, 18, 7, 5, 40),
        SCHOOL,
        447,
        replace(PHONE_LOOK, exposure=1.2),
        count="c-after",
        pairings=(
            shows("k37", "c-after", "f-k37"),
            shows("k38", "c-after", "f-k38"),
            shows("k39", "c-after", "f-k39"),
            shows("k40", "c-after", "f-k40"),
        ),
    ),
    _camera(
        "fresnel_back",
        13,
        2251,
        at(10, 20, 15, 48, 30),
        count="c-return",
        pairings=(shows("k19", "c-return", "f-fresnel"),),
    ),
    _camera(
        "fresnel_close",
        14,
        2252,
        at(10, 20, 15, 52, 2),
        count="c-return",
        pairings=(shows("k19", "c-return", "f-fresnel", True),),
    ),
)


def taken_in(shot: Shot) -> dt.datetime:
    """The office took the photos in when the theft was reported, the last ones on the day of the return."""
    if shot.count == "c-return":
        return dt.datetime(2026, 10, 20, 22, 31, 9, tzinfo=dt.UTC)
    if shot.stamp is None:
        return dt.datetime(2026, 10, 21, 14, 0, 55, tzinfo=dt.UTC)
    return dt.datetime(2026, 10, 18, 15, 20, 40, tzinfo=dt.UTC)

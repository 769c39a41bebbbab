"""The 25 ways in which honest photos look false, numbered as in the paper on evidence.

Each is a photo that nobody falsified; none may come out worse than it is.
"""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import timedelta

import pytest
from PIL import Image

from ldapp.claim.photo_facts import ClockReference, MovieFacts, XmpFacts
from ldapp.evidence import pictures
from ldapp.evidence.closely import read_closely
from ldapp.evidence.context import CameraHabits, Neighbour, VerifyContext
from ldapp.evidence.pictures import upright
from ldapp.evidence.read import read_photo
from ldapp.evidence.times import read_date
from ldapp.evidence.verify import verify
from tests.evidence.saying import BERLIN, TAKEN, says, utc, weights
from tests.evidence.test_pictures import encoded, with_preview

NEVER_WORSE = ("backed", "corrected", "camera_only")


def test_trap_1_turned_in_a_viewer(build, save, photo):
    turned = photo(TAKEN, offset="+01:00", changed="2026:02:21 10:02:44", software="Viewer 4.1")
    verdict = verify(replace(turned, preview_match="turned", has_jfif=True))
    assert weights(verdict) == {"E1": "note", "E6": "note"}
    assert verdict.standing == "camera_only"
    large = build.drawn(640, 480)
    data = with_preview(
        build,
        encoded(large.resize((160, 120))),
        encoded(large.transpose(Image.Transpose.ROTATE_90)),
    )
    facts = read_closely(save("a.jpg", data), with_picture=True)
    assert weights(verify(facts)).get("E6") == "note"


def test_trap_2_heic_made_a_jpeg_when_a_phone_is_plugged_in(photo):
    sent = photo(
        TAKEN, offset="+01:00", changed=TAKEN, software="18.3", has_jfif=True,
        first_segment="APP0:JFIF", make="Invented Phones", has_maker_note=False,
    )  # fmt: skip
    habits = CameraHabits(photos=5, with_maker_note=5, first_segments=("APP1:Exif",))
    verdict = verify(sent, VerifyContext(habits=habits))
    assert set(weights(verdict).values()) == {"note"}
    assert verdict.standing == "camera_only"


@pytest.mark.parametrize("raw", ["2000:01:01 00:12:00", "2007:01:01 03:00:00"])
def test_trap_3_a_clock_that_was_reset_is_cured_by_a_reference(photo, raw):
    reset = photo(raw, digitized=raw)
    assert weights(verify(reset))["T7"] == "undermines"
    camera = raw[:10].replace(":", "-") + "T00:00:00"
    reference = ClockReference(
        make="Invented Optics", model="IO-1", camera_local=camera,
        reference=utc("2026-02-14T09:00:00"), accuracy_s=1, says="the counter's code",
    )  # fmt: skip
    assert verify(reset, VerifyContext(references=(reference,))).standing == "corrected"


def test_trap_4_a_clock_left_on_winter_time_or_home_time(photo):
    summer = photo("2026:06:18 19:20:00", offset="+01:00", fix=(*BERLIN, "2026-06-18", "18:20:00"))
    verdict = verify(summer)
    assert weights(verdict)["O4"] == "weakens"
    assert verdict.standing in NEVER_WORSE
    home = photo("2026:06:18 19:20:00", fix=(*BERLIN, "2026-06-18", "22:20:00"))
    corrected = verify(home)
    assert "G4" in weights(corrected)
    assert corrected.standing in NEVER_WORSE


def test_trap_5_the_placeholder_of_some_phones(photo):
    verdict = verify(photo(TAKEN, offset="+01:00", digitized="2002:12:08 12:00:00"))
    assert weights(verdict) == {"T9": "note"}
    assert verdict.standing == "camera_only"


def test_trap_6_satellite_time_in_local_time(photo):
    early_phone = photo(TAKEN, offset="+01:00", fix=(*BERLIN, "2026-02-14", "10:15:30"))
    verdict = verify(early_phone)
    assert weights(verdict)["G7"] == "note"
    assert verdict.standing == "camera_only"
    assert verdict.clock_error_s is None


@pytest.mark.parametrize(("time", "code"), [("09:08:00", "G2"), ("08:40:00", "G3")])
def test_trap_7_an_old_fix_in_a_rental_house(photo, time, code):
    verdict = verify(photo(TAKEN, offset="+01:00", fix=(*BERLIN, "2026-02-14", time)))
    assert code in weights(verdict)
    assert verdict.standing in NEVER_WORSE


def test_trap_8_satellite_dates_with_known_faults(photo):
    back = (utc("2026-02-14T00:00:00") - timedelta(weeks=1024)).date().isoformat()
    verdict = verify(photo(TAKEN, offset="+01:00", fix=(*BERLIN, back, "09:15:28")))
    assert weights(verdict)["G5"] == "note"
    assert verdict.standing in NEVER_WORSE
    odd = photo(TAKEN, offset="+01:00", fix=(*BERLIN, None, "09:15:28"))
    assert odd.satellite is not None
    odd = replace(odd, satellite=replace(odd.satellite, date_raw="2026:02:014", usable=False))
    assert weights(verify(odd))["G8"] == "note"
    assert verify(odd).standing in NEVER_WORSE


@pytest.mark.parametrize("hours", [-8, -1, 0, 1, 7])
def test_trap_9_a_card_copied_across_a_zone(photo, hours):
    moved = utc("2026-02-14T09:15:31") + timedelta(hours=hours)
    verdict = verify(
        photo(TAKEN, offset="+01:00", file_modified=moved), VerifyContext(file_times="card")
    )
    assert weights(verdict) == {"F1": "supports"}


@pytest.mark.parametrize("modified", ["2026-10-01T00:00:00", "2026-02-14T10:15:30"])
def test_trap_10_a_copied_file_is_not_judged_by_its_own_time(photo, modified):
    copied = photo(TAKEN, offset="+01:00", file_modified=utc(modified))
    assert weights(verify(copied)) == {}
    assert weights(verify(copied, VerifyContext(file_times="copy"))) == {}
    # A date of change long before the shot is odd, yet never enough to doubt the photo.
    older = replace(copied, file_modified=utc("2020-01-01T00:00:00"))
    assert verify(older, VerifyContext(file_times="copy")).standing == "camera_only"


def test_trap_11_bursts_and_what_stands_behind_the_end(build, save, photo):
    same = VerifyContext(
        before=Neighbour(file_name="DSC_0000.JPG", number=0, taken_local="2026-02-14T10:15:30"),
        after=Neighbour(file_name="DSC_0002.JPG", number=2, taken_local="2026-02-14T10:15:30"),
    )
    assert "S2" not in weights(verify(photo(TAKEN, offset="+01:00"), same))
    night = photo(TAKEN, offset="+01:00", changed="2026:02:14 10:15:32")
    assert weights(verify(night)) == {}
    block = build.tiff({0x010F: build.ascii("I")}, {0x9003: build.ascii(TAKEN)})
    motion = build.jpeg(block) + build.movie(0)
    facts = read_photo(save("a.jpg", motion))
    assert facts.complete
    assert facts.exif_segments == 1


def test_trap_12_letterboxed_small_pictures(build, save):
    large = build.drawn(600, 400)
    boxed = Image.new("RGB", (160, 120))
    boxed.paste(large.resize((160, 107)), (0, 7))
    facts = read_closely(save("a.jpg", with_preview(build, encoded(boxed), encoded(large))), True)
    assert facts.preview_match == "same"


@pytest.mark.parametrize(
    "name", ["14.3", "G975FXXU7CTF1", "HDR+ 1.0.345618096zd", "Invented Transfer 2.1", "Ver.1.01"]
)
def test_trap_13_firmware_camera_programs_and_card_copiers(photo, name):
    verdict = verify(photo(TAKEN, offset="+01:00", software=name))
    assert weights(verdict) == {}


@pytest.mark.parametrize("numbers", [(9999, 2), (9998, 1), (1, 2)])
def test_trap_14_counters_that_begin_again_and_two_bodies(photo, numbers):
    first, last = numbers
    context = VerifyContext(
        before=Neighbour(
            file_name=f"DSC_{first:04d}.JPG", number=first, taken_local="2026-02-14T10:15:00"
        ),
        after=Neighbour(
            file_name=f"DSC_{last:04d}.JPG", number=last, taken_local="2026-02-14T10:16:00"
        ),
    )
    verdict = verify(photo(TAKEN, offset="+01:00", file_name="DSC_0001.JPG"), context)
    assert "S2" not in weights(verdict)


def test_trap_15_scanners_and_film(photo):
    scan = photo(
        "    :  :     :  :  ", digitized="2026:02:20 11:00:00", changed="2026:02:20 11:00:00",
        make="Invented Optics", model="Film Scanner 2500",
    )  # fmt: skip
    verdict = verify(scan)
    assert "T8" not in weights(verdict)
    assert verdict.taken_from != "digitized"


def test_trap_16_the_zone_beside_a_packets_date_is_the_computers(photo):
    edited = photo(TAKEN, offset="+01:00", xmp=XmpFacts(taken="2026-02-14T10:15:30-08:00"))
    assert weights(verify(edited)) == {}
    alone = photo(None, digitized=None, xmp=XmpFacts(taken="2026-02-14T10:15:30-08:00"))
    verdict = verify(alone)
    assert verdict.taken_from == "xmp"
    assert verdict.offset is None


def test_trap_17_travelling_without_a_recorded_offset(photo):
    away = photo("2026:02:14 02:15:30", fix=(*BERLIN, "2026-02-14", "09:15:30"))
    verdict = verify(away, VerifyContext(zone="America/Denver"))
    assert weights(verdict)["G4"] == "note"
    assert verdict.standing in NEVER_WORSE


def test_trap_18_iso_dates_where_the_standard_has_others():
    odd = read_date("2026-02-14T10:15:30+01:00")
    assert (odd.state, odd.local) == ("unusual", "2026-02-14T10:15:30")
    assert read_date(TAKEN).state == "ok"


def test_trap_19_leap_seconds(photo):
    leap = photo("2016:12:31 23:59:60", offset="+00:00")
    assert "T4" not in weights(verify(leap))
    assert verify(leap).taken_local == "2016-12-31T23:59:60"


def test_trap_20_the_hour_that_comes_twice(photo):
    twice = photo("2025:10:26 02:30:00", fix=(*BERLIN, None, None))
    verdict = verify(twice)
    assert weights(verdict)["O6"] == "weakens"
    assert verdict.earliest is not None
    assert verdict.latest is not None
    assert verdict.latest - verdict.earliest == timedelta(hours=1)
    told = photo("2025:10:26 02:30:00", offset="+02:00", fix=(*BERLIN, None, None))
    assert "O6" not in weights(verify(told))


def test_trap_21_a_movies_header_is_its_end(photo):
    movie = photo(
        None, digitized=None,
        movie=MovieFacts(
            header_seconds=3853553417, creation_date="2026-02-10T08:30:00+0100", duration_s=17.0
        ),
    )  # fmt: skip
    verdict = verify(movie)
    assert verdict.taken_local == "2026-02-10T08:30:00"
    assert "E12" not in weights(verdict)


def test_trap_22_content_credentials_before_the_camera_data(build, save):
    before = build.segment(0xEB, b"JP\0\1\0\0\0\1" + b"\0\0\0\x20jumb" + b"c2pa" * 3)
    block = build.tiff({0x010F: build.ascii("I")}, {0x9003: build.ascii(TAKEN)})
    facts = read_photo(save("a.jpg", build.jpeg(block, before=before)))
    assert facts.taken is not None
    assert facts.taken.local == "2026-02-14T10:15:30"


def test_trap_23_enormous_pictures_keep_their_date(build, save):
    block = build.tiff({0x010F: build.ascii("I")}, {0x9003: build.ascii(TAKEN)})
    picture = bytearray(build.jpeg(block))
    facts = read_photo(save("a.jpg", bytes(picture)))
    assert verify(facts).taken_local == "2026-02-14T10:15:30"
    # The same picture, were it of two hundred megapixels, is still shown at a fraction.
    out = io.BytesIO()
    Image.new("L", (16320, 12240), 120).save(out, "JPEG", quality=30)
    large = save("b.jpg", out.getvalue())
    assert upright(large, read_photo(large), 480).size == (480, 360)
    assert pictures.MOST_PIXELS < 16320 * 12240


def test_trap_24_a_missing_nul_takes_nothing_away(build, save):
    block = build.tiff({0x010F: build.ascii("I")}, {0x9003: (2, b"2026:02:14 12:33:04")})
    facts = read_photo(save("a.jpg", build.jpeg(block)))
    assert facts.taken is not None
    assert facts.taken.local == "2026-02-14T12:33:04"


def test_trap_25_an_eastern_photo_is_not_from_the_future(photo):
    seen = utc("2026-02-14T09:15:30")
    eastern = photo("2026:02:14 23:15:00")
    assert "T5" not in weights(verify(eastern, VerifyContext(now=seen, imported=seen)))
    known = photo("2026:02:14 23:15:00", offset="+14:00")
    assert "T5" not in weights(verify(known, VerifyContext(now=seen, imported=seen)))
    false = photo("2026:02:14 23:15:00", offset="-07:00")
    assert says(verify(false, VerifyContext(imported=seen)), "T5").startswith("The date lies")

"""Many ways to write the same things, written and read back by an independent tool."""

from __future__ import annotations

import json
import random
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from ldapp.evidence.read import read_photo
from tests.evidence.conftest import Build

DATES = (
    "2026:02:14 10:15:30", "2025:10:26 02:30:00", "2024:02:29 23:59:59", "2026:03:29 02:30:00",
    "1999:12:31 23:59:59", "2019:04:06 23:59:42",
)  # fmt: skip
OFFSETS = ("+01:00", "-07:00", "+05:45", "+14:00", "-12:00", "+00:00", "-00:00", "Z", "   :  ")
DIGITS = ("5", "070", "935476", "00", "123456789", "7  ")
ZONES = ("", ".5", "+01:00", "Z", ".123-07:00")
FIELDS = (
    ("DateTimeOriginal", "SubSecTimeOriginal", "OffsetTimeOriginal", "taken"),
    ("CreateDate", "SubSecTimeDigitized", "OffsetTimeDigitized", "digitized"),
    ("ModifyDate", "SubSecTime", "OffsetTime", "changed"),
)
SUFFIXES = ("jpg", "tif", "png", "webp", "avif", "mov", "mp4")


def picture_tags(chance: random.Random) -> list[str]:
    words = [f"-ExifByteOrder={chance.choice(('II', 'MM'))}"]
    for date, digits, offset, _ in FIELDS:
        for tag, values in ((date, DATES), (digits, DIGITS), (offset, OFFSETS)):
            if chance.random() < 0.8:
                words.append(f"-EXIF:{tag}={chance.choice(values)}")
    if chance.random() < 0.8:
        words += [f"-EXIF:Make={chance.choice(('Invented', 'Erfunden', 'Ünïcode'))}"]
        words += ["-EXIF:Model=IO  2 ", "-EXIF:Software=1.0", "-EXIF:SerialNumber= 0041"]
    words.append(f"-EXIF:Orientation={chance.randint(0, 9)}")
    if chance.random() < 0.7:
        words.append(f"-GPS:GPSDateStamp={chance.choice(DATES)[:10]}")
    words.append(f"-GPS:GPSTimeStamp={chance.choice(('09:15:28', '23:59:59.75', '9:5:3.125'))}")
    words.append(f"-GPS:GPSLatitude={chance.choice(('52.52', '0.0001'))}")
    words += [f"-GPS:GPSLatitudeRef={chance.choice('NS')}", "-GPS:GPSLongitude=151.2093"]
    words.append(f"-GPS:GPSLongitudeRef={chance.choice('EW')}")
    return words


def packet_tags(chance: random.Random) -> list[str]:
    date = chance.choice(DATES)
    return [
        f"-{tag}={date}{chance.choice(ZONES)}"
        for tag in ("XMP-exif:DateTimeOriginal", "XMP-xmp:CreateDate", "XMP-xmp:ModifyDate")
        if chance.random() < 0.8
    ] + ["-XMP-xmp:CreatorTool=Invented Editor"]


def movie_tags(chance: random.Random) -> list[str]:
    words = [
        f"-QuickTime:CreateDate={chance.choice(DATES)}",
        "-Keys:GPSCoordinates=52.52 13.405 30",
    ]
    place = chance.choice(("Keys:CreationDate", "UserData:DateTimeOriginal", ""))
    place = place or "ItemList:ContentCreateDate"
    words.append(f"-{place}={chance.choice(DATES)}{chance.choice(('+01:00', '-07:00'))}")
    group = chance.choice(("Keys", "UserData"))
    return [*words, f"-{group}:Make=Invented", f"-{group}:Model=IP 3"]


@pytest.fixture(scope="module")
def variants(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    """Write the files in one go, and return what the independent tool reads from each."""
    assert shutil.which("exiftool"), "install the reference tag writer: exiftool"
    folder = tmp_path_factory.mktemp("variants")
    chance = random.Random(17)
    bases: dict[str, bytes] = {"mov": Build().movie(3853553400)}
    bases["mp4"] = Build().movie(3853553400, brand=b"isom")
    for suffix in SUFFIXES[:5]:
        Image.new("RGB", (64, 48), (90, 30, 20)).save(folder / f"base.{suffix}")
        bases[suffix] = (folder / f"base.{suffix}").read_bytes()
        (folder / f"base.{suffix}").unlink()
    orders: list[str] = []
    for number in range(20 * len(SUFFIXES)):
        suffix = SUFFIXES[number % len(SUFFIXES)]
        path = folder / f"{number:04d}.{suffix}"
        path.write_bytes(bases[suffix])
        movie = suffix in ("mov", "mp4")
        words = movie_tags(chance) if movie else picture_tags(chance)
        if chance.random() < 0.4:
            words = [*words, *packet_tags(chance)] if chance.random() < 0.7 else packet_tags(chance)
        orders += ["-n", "-q", "-m", "-overwrite_original", *words, str(path), "-execute"]
    arguments = folder / "orders"
    arguments.write_text("\n".join(orders) + "\n", encoding="utf-8")
    subprocess.run(["exiftool", "-@", arguments, "-common_args", "-charset", "utf8"], check=True)
    arguments.unlink()
    read = ["exiftool", "-j", "-G1", "-n", "-q", folder]
    text = subprocess.run(read, check=True, capture_output=True).stdout.decode()
    found: list[dict[str, Any]] = json.loads(text, parse_int=str, parse_float=str)
    assert len(found) == 20 * len(SUFFIXES)
    return found


def as_local(value: str | None) -> str | None:
    match = re.match(r"(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)", value or "")
    return f"{match[1]}-{match[2]}-{match[3]}T{match[4]}" if match else None


def as_packet(value: str | None) -> str | None:
    return re.sub(r"^(\d{4}):(\d\d):(\d\d) ", r"\1-\2-\3T", value) if value else None


def said(one: dict[str, Any], *places: str) -> str | None:
    """Return the first of the fields as text without padding behind."""
    value = next((one[place] for place in places if place in one), None)
    return None if value is None else str(value).rstrip() or None


def test_dates_digits_and_offsets_are_those_of_the_independent_reader(variants):
    for one in variants:
        facts = read_photo(Path(one["SourceFile"]))
        for date, digits, offset, name in FIELDS:
            field = getattr(facts, name)
            wanted = as_local(said(one, f"ExifIFD:{date}", f"IFD0:{date}"))
            assert (field.local if field else None) == wanted, one["SourceFile"]
            if field is not None:
                assert field.digits == (said(one, f"ExifIFD:{digits}") or "")
                its = (said(one, f"ExifIFD:{offset}") or "").strip(" :")
                assert (field.offset_raw or "").strip(" :") == its


def test_makers_places_and_satellite_times_are_those_of_the_independent_reader(variants):
    for one in variants:
        facts = read_photo(Path(one["SourceFile"]))
        assert facts.error is None
        assert facts.make == said(one, "IFD0:Make", "Keys:Make", "UserData:Make")
        assert facts.model == said(one, "IFD0:Model", "Keys:Model", "UserData:Model")
        assert facts.serial == said(one, "ExifIFD:SerialNumber")
        turned = said(one, "IFD0:Orientation")
        if facts.movie is None:
            assert facts.orientation == (int(turned) if turned and turned in "12345678" else None)
        fix = facts.satellite
        date = said(one, "GPS:GPSDateStamp")
        assert (fix.date if fix else None) == (date.replace(":", "-") if date else None)
        assert (fix.time if fix else None) == said(one, "GPS:GPSTimeStamp")
        for name in ("latitude", "longitude"):
            wanted = said(one, f"Composite:GPS{name.capitalize()}")
            if wanted is not None:
                assert fix is not None
                assert getattr(fix, name) == pytest.approx(float(wanted), abs=1e-5)


def test_packets_and_movie_dates_are_those_of_the_independent_reader(variants):
    for one in variants:
        facts = read_photo(Path(one["SourceFile"]))
        xmp = facts.xmp
        assert (xmp.taken if xmp else None) == as_packet(said(one, "XMP-exif:DateTimeOriginal"))
        assert (xmp.digitized if xmp else None) == as_packet(said(one, "XMP-xmp:CreateDate"))
        assert (xmp.changed if xmp else None) == as_packet(said(one, "XMP-xmp:ModifyDate"))
        assert (xmp.creator_tool if xmp else None) == said(one, "XMP-xmp:CreatorTool")
        if facts.movie is not None:
            wanted = as_packet(
                said(one, "Keys:CreationDate", "UserData:DateTimeOriginal")
                or said(one, "ItemList:ContentCreateDate")
            )
            mine = facts.movie.creation_date
            assert (mine and re.sub(r"([+-]\d\d):?(\d\d)$", r"\1:\2", mine)) == wanted

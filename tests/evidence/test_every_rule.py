"""Every rule of the table, by files made with an independent tag writer: one that sets it
off and one, as near as can be, that must not."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image

from ldapp.claim.photo_facts import (
    RULE_CODES,
    ClockReference,
    CredentialsCheck,
    PhotoFacts,
    PhotoVerdict,
)
from ldapp.evidence.closely import read_closely
from ldapp.evidence.context import (
    CameraHabits,
    Confirmation,
    Neighbour,
    Sighting,
    VerifyContext,
)
from ldapp.evidence.verify import verify
from tests.evidence.conftest import Build
from tests.evidence.saying import BERLIN, DENVER, utc, weights

NOW = datetime(2026, 11, 1, tzinfo=UTC)
BASE = {
    "Make": "Invented Optics",
    "Model": "IO-1",
    "DateTimeOriginal": "2026:02:14 10:15:30",
    "CreateDate": "2026:02:14 10:15:30",
    "ModifyDate": "2026:02:14 10:15:30",
    "OffsetTimeOriginal": "+01:00",
}
IN_BERLIN = {
    "GPSLatitude": "52.52",
    "GPSLatitudeRef": "N",
    "GPSLongitude": "13.405",
    "GPSLongitudeRef": "E",
}
DATES = ("DateTimeOriginal", "CreateDate", "ModifyDate")


@dataclass(frozen=True)
class File:
    """A file to make: what differs from an ordinary photo, and what is known around it."""

    tags: dict[str, str] = field(default_factory=dict)
    drop: tuple[str, ...] = ()
    name: str = "DSC_0001.JPG"
    small: str = ""
    context: VerifyContext = field(default_factory=lambda: VerifyContext(now=NOW))
    change: Callable[[bytes], bytes] = lambda data: data
    facts: Callable[[PhotoFacts], PhotoFacts] = lambda facts: facts
    movie: int | None = None


def at(taken: str, **more: str) -> File:
    return File(dict.fromkeys(DATES, taken) | more)


def fix(time: str, day: str = "2026:02:14", **more: str) -> File:
    return File({**IN_BERLIN, "GPSDateStamp": day, "GPSTimeStamp": time, **more})


def knowing(base: File | None = None, **known: object) -> File:
    file = base or File()
    return replace(file, context=replace(file.context, **known))  # type: ignore[arg-type]


def second_block(taken: str) -> Callable[[bytes], bytes]:
    def change(data: bytes) -> bytes:
        build = Build()
        block = build.tiff({}, {0x9003: build.ascii(taken)})
        piece = build.segment(0xE1, b"Exif\0\0" + block)
        (length,) = (int.from_bytes(data[4:6], "big"),)
        return data[: 4 + length] + piece + data[4 + length :]

    return change


def between(before: str, after: str) -> File:
    return knowing(
        File(name="DSC_0007.JPG"),
        before=Neighbour(file_name="DSC_0006.JPG", number=6, taken_local=f"2026-02-14T{before}"),
        after=Neighbour(file_name="DSC_0008.JPG", number=8, taken_local=f"2026-02-14T{after}"),
    )


def checked(clock: str, true: str) -> ClockReference:
    return ClockReference(
        make="Invented Optics", model="IO-1", camera_local=clock, reference=utc(true),
        accuracy_s=1, says="the counter's code",
    )  # fmt: skip


def confirmed(other_side: bool) -> File:
    one = Confirmation(
        name="A. Person", company="Invented Rentals", on=date(2026, 2, 14), other_side=other_side
    )
    return knowing(confirmations=(one,))


def habits(first: str = "APP1:Exif", notes: int = 4) -> File:
    return knowing(
        habits=CameraHabits(
            photos=4, with_maker_note=notes, first_segments=(first,), quantisations=()
        )
    )


def far(hours: float) -> File:
    other = utc("2026-02-14T09:15:30") + timedelta(hours=hours)
    sighting = Sighting(file_name="DSC_0002.JPG", taken=other, position=DENVER)
    return knowing(File(dict(IN_BERLIN)), sightings=(sighting,))


def credentials(outcome: str) -> File:
    check = CredentialsCheck(outcome=outcome, signer="A", at=NOW)  # type: ignore[arg-type]
    return File(facts=lambda facts: replace(facts, content_credentials=True, credentials=check))


def modified(moment: str) -> File:
    return knowing(
        File(facts=lambda facts: replace(facts, file_modified=utc(moment))), file_times="card"
    )


BARE = File(drop=tuple(BASE))
NO_OFFSET = ("OffsetTimeOriginal",)
HISTORY = "{Action=saved,When=2026:03:01 10:00:00+01:00,SoftwareAgent=Invented Program}"
PLAIN = File()

RULES: dict[str, tuple[File, File]] = {
    "T1": (File(drop=DATES), PLAIN),
    "T2": (at("0000:00:00 00:00:00"), File(drop=DATES)),
    "T3": (at("2026-02-14 10:15"), PLAIN),
    "T4": (at("2026:02:30 10:15:30"), at("2024:02:29 10:15:30")),
    "T5": (
        knowing(imported=utc("2026-02-14T09:00:00")), knowing(imported=utc("2026-02-14T09:06:00"))
    ),
    "T6": (at("1994:06:30 10:00:00"), at("1995:06:30 10:00:00")),
    "T7": (at("2007:01:01 00:03:27"), at("2007:01:02 00:03:27")),
    "T8": (
        File({"CreateDate": "2026:02:14 10:15:37"}), File({"CreateDate": "2026:02:14 10:15:34"})
    ),
    "T9": (File({"CreateDate": "2002:12:08 12:00:00"}), PLAIN),
    "T10": (
        File(change=second_block("2025:01:05 10:00:00")),
        File(change=second_block("2026:02:14 10:15:30")),
    ),
    "T11": (
        File({"XMP-exif:DateTimeOriginal": "2026:02:14 10:17:00"}),
        File({"XMP-exif:DateTimeOriginal": "2026:02:14 05:45:30"}),
    ),
    "T12": (File(change=lambda data: data[:-400]), PLAIN),
    "O1": (File(dict(IN_BERLIN)), PLAIN),
    "O2": (File(dict(IN_BERLIN), drop=NO_OFFSET), File(dict(IN_BERLIN))),
    "O3": (File(drop=NO_OFFSET), PLAIN),
    "O4": (File(IN_BERLIN | {"OffsetTimeOriginal": "+02:00"}), File(dict(IN_BERLIN))),
    "O5": (
        File(IN_BERLIN | {"OffsetTimeOriginal": "+05:00"}),
        File(IN_BERLIN | {"OffsetTimeOriginal": "+02:00"}),
    ),
    "O6": (
        replace(at("2025:10:26 02:30:00", **IN_BERLIN), drop=NO_OFFSET),
        replace(at("2025:10:26 03:30:00", **IN_BERLIN), drop=NO_OFFSET),
    ),
    "O7": (
        replace(at("2026:03:29 02:30:00", **IN_BERLIN), drop=NO_OFFSET),
        replace(at("2026:03:29 01:30:00", **IN_BERLIN), drop=NO_OFFSET),
    ),
    "G1": (fix("09:15:28"), fix("09:10:28")),
    "G2": (fix("09:10:28"), fix("09:15:28")),
    "G3": (fix("08:55:30"), fix("09:10:28")),
    "G4": (replace(fix("07:15:30"), drop=NO_OFFSET), replace(fix("09:15:30"), drop=NO_OFFSET)),
    "G5": (fix("09:15:28", "2006:07:01"), fix("09:15:28", "2006:08:01")),
    "G6": (fix("09:15:28", "2026:02:10"), fix("09:15:28")),
    "G7": (fix("10:15:30"), fix("10:15:32")),
    "G8": (fix("09:15:28", "2026:02:3x"), fix("09:15:28")),
    "G9": (
        knowing(File(dict(IN_BERLIN)), count_position=DENVER),
        knowing(File(dict(IN_BERLIN)), count_position=BERLIN),
    ),
    "E1": (
        File({"ModifyDate": "2026:02:21 10:02:44"}), File({"ModifyDate": "2026:02:14 10:15:32"})
    ),
    "E2": (
        File({"Software": "Invented Photo Editor", "ModifyDate": "2026:02:21 10:02:44"}),
        File({"Software": "Ver.1.01", "ModifyDate": "2026:02:14 10:15:32"}),
    ),
    "E3": (
        File({"ModifyDate": "2026:02:12 10:00:00"}), File({"ModifyDate": "2026:02:14 10:15:30"})
    ),
    "E4": (File({"XMP-xmpMM:History": HISTORY}), File({"XMP-xmp:Rating": "3"})),
    "E5": (File(small="another"), File(small="own")),
    "E6": (File(small="turned"), File(small="own")),
    "E7": (habits(), habits(notes=0)),
    "E8": (
        File({"ExifImageWidth": "4000", "ExifImageHeight": "3000"}),
        File({"ExifImageWidth": "320", "ExifImageHeight": "240"}),
    ),
    "E9": (habits("APP0:JFIF"), habits("APP1:Exif")),
    "E10": (BARE, File(drop=DATES)),
    "E11": (File({"UserComment": "Screenshot"}, drop=("Make", "Model")), PLAIN),
    "E12": (File(movie=3853553400 + 86400), File(movie=3853553400)),
    "E13": (File(movie=0), File(movie=3853553400)),
    "E14": (File(facts=lambda facts: replace(facts, derivative_of="ab" * 32)), PLAIN),
    "N1": (File(name="IMG_20260214_101530.jpg"), File(name="IMG_20260214_101607.jpg")),
    "N2": (File(name="IMG_20260216_101530.jpg"), File(name="IMG_20260214_190000.jpg")),
    "N3": (File(name="IMG-20260210-WA0007.jpg"), File(name="IMG-20260214-WA0007.jpg")),
    "N4": (
        File(drop=DATES, name="IMG-20260214-WA0007.jpg"), File(name="IMG-20260214-WA0007.jpg")
    ),
    "S1": (
        between("10:15:20", "10:16:00"),
        between("11:15:20", "11:16:00"),
    ),
    "S2": (
        between("11:15:20", "11:16:00"),
        between("10:15:30", "10:15:30"),
    ),
    "S3": (far(1), far(40)),
    "S4": (
        knowing(same_bytes_taken="2026-02-13T10:15:30"),
        knowing(same_bytes_taken="2026-02-14T10:15:30"),
    ),
    "F1": (modified("2026-02-14T09:15:31"), modified("2026-02-14T09:40:00")),
    "F2": (modified("2026-02-10T09:15:31"), modified("2026-02-14T09:15:31")),
    "R1": (
        knowing(references=(checked("2026-02-14T10:00:11", "2026-02-14T09:00:00"),)),
        knowing(references=(checked("2026-01-14T10:00:11", "2026-01-14T09:00:00"),)),
    ),
    "R2": (
        knowing(references=(
            checked("2026-02-14T10:00:11", "2026-02-14T09:00:00"),
            checked("2026-02-14T12:00:11", "2026-02-14T10:30:00"),
        )),
        knowing(references=(
            checked("2026-02-14T10:00:11", "2026-02-14T09:00:00"),
            checked("2026-02-14T12:00:13", "2026-02-14T11:00:00"),
        )),
    ),
    "R3": (knowing(code_issued=utc("2026-02-14T09:15:00")), PLAIN),
    "C1": (credentials("trusted"), credentials("matching")),
    "C2": (credentials("broken"), credentials("matching")),
    "C3": (credentials("matching"), credentials("broken")),
    "I1": (knowing(original_unchanged=False), knowing(original_unchanged=True)),
    "I2": (
        knowing(imported=utc("2026-02-14T18:00:00")), knowing(imported=utc("2026-02-16T18:00:00"))
    ),
    "W1": (confirmed(True), confirmed(False)),
    "W2": (confirmed(False), confirmed(True)),
}  # fmt: skip
"""For each rule the file that sets it off and the one that must not."""

STRENGTHS = {
    "T1": "note", "T2": "note", "T3": "weakens", "T4": "undermines", "T5": "excludes",
    "T6": "undermines", "T7": "undermines", "T8": "weakens", "T9": "note", "T10": "undermines",
    "T11": "weakens", "T12": "undermines", "O1": "note", "O2": "note", "O3": "weakens",
    "O4": "weakens", "O5": "undermines", "O6": "weakens", "O7": "weakens", "G1": "supports",
    "G2": "note", "G3": "weakens", "G4": "note", "G5": "note", "G6": "undermines", "G7": "note",
    "G8": "note", "G9": "weakens", "E1": "note", "E2": "weakens", "E3": "undermines",
    "E4": "weakens", "E5": "weakens", "E6": "note", "E7": "note", "E8": "note", "E9": "note",
    "E10": "note", "E11": "undermines", "E12": "note", "E13": "note", "E14": "weakens",
    "N1": "note", "N2": "weakens", "N3": "excludes", "N4": "note", "S1": "supports",
    "S2": "undermines", "S3": "excludes", "S4": "excludes", "F1": "supports", "F2": "weakens",
    "R1": "supports", "R2": "weakens", "R3": "supports", "C1": "supports", "C2": "undermines",
    "C3": "note", "I1": "excludes", "I2": "supports", "W1": "supports", "W2": "note",
}  # fmt: skip

JARGON = re.compile(
    r"\b(Exif|EXIF|XMP|IFD|APP\d|DQT|JFIF|mvhd|metadata|hash|tag|IPTC|C2PA|GPS|null|None)\b"
)


def made(folder: Path, number: int, file: File, small: dict[str, Path]) -> tuple[Path, list[str]]:
    """Write the picture, and return the orders for the tag writer."""
    path = folder / f"{number:03d}" / file.name
    path.parent.mkdir()
    build = Build()
    if file.movie is not None:
        keys = {"creationdate": "2026-02-10T08:30:00+0100"} if file.movie else {}
        path.write_bytes(build.movie(file.movie, keys=keys))
        return path, []
    out = io.BytesIO()
    build.drawn(320, 240).save(out, "JPEG", quality=90)
    # Cameras write no JFIF segment; what a copy has is its own.
    data = out.getvalue()
    path.write_bytes(data if file is BARE else data[:2] + data[20:])
    tags = {name: value for name, value in (BASE | file.tags).items() if name not in file.drop}
    words = [f"-{name}={value}" for name, value in tags.items()]
    if file.small:
        words.append(f"-ThumbnailImage<={small[file.small]}")
    return path, words


@pytest.fixture(scope="module")
def verdicts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[PhotoVerdict, ...]]:
    """Judge every file once."""
    assert shutil.which("exiftool"), "install the reference tag writer: exiftool"
    folder = tmp_path_factory.mktemp("rules")
    build = Build()
    own = build.drawn(320, 240)
    small = {}
    for name, picture in (
        ("own", own),
        ("turned", own.transpose(Image.Transpose.ROTATE_90)),
        ("another", own.transpose(Image.Transpose.FLIP_LEFT_RIGHT)),
    ):
        small[name] = folder / f"{name}.bin"
        picture.resize((160, 120) if name != "turned" else (120, 160)).save(small[name], "JPEG")
    orders: list[str] = []
    paths: list[tuple[str, File, Path]] = []
    for code, pair in RULES.items():
        for file in pair:
            path, words = made(folder, len(paths), file, small)
            paths.append((code, file, path))
            if words:
                orders += ["-n", "-q", "-m", "-overwrite_original", *words, str(path), "-execute"]
    arguments = folder / "orders"
    arguments.write_text("\n".join(orders) + "\n", encoding="utf-8")
    subprocess.run(["exiftool", "-@", arguments], check=True)
    found: dict[str, tuple[PhotoVerdict, ...]] = {}
    for code, file, path in paths:
        path.write_bytes(file.change(path.read_bytes()))
        facts = file.facts(read_closely(path, with_picture=True))
        assert facts.error is None, (code, facts.error)
        found[code] = (*found.get(code, ()), verify(facts, file.context))
    return found


def test_the_table_is_whole():
    assert set(RULES) == set(STRENGTHS) == set(RULE_CODES)


@pytest.mark.parametrize("code", RULE_CODES)
def test_one_file_sets_the_rule_off_and_one_must_not(verdicts, code):
    triggers, must_not = verdicts[code]
    assert weights(triggers).get(code) == STRENGTHS[code], weights(triggers)
    assert code not in weights(must_not), weights(must_not)


@pytest.mark.parametrize("code", RULE_CODES)
def test_the_reason_is_a_sentence_for_people(verdicts, code):
    (says,) = [reason.says for reason in verdicts[code][0].reasons if reason.code == code]
    assert says[0].isupper() or says[0].isdigit()
    assert says.endswith(".")
    assert len(says) < 200
    assert not JARGON.search(says), says
    assert code not in says
    assert "{" not in says

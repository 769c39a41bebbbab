"""The published object for each file, over files and folders."""

from __future__ import annotations

import json
import os
from datetime import UTC, datetime
from gettext import NullTranslations

import pytest

from ldapp import language as spoken_language
from ldapp.errors import Cancelled, InputError
from ldapp.evidence.report import check_zone, files_under, photo_report, photo_reports
from ldapp.language import speaking

NOW = datetime(2026, 11, 1, tzinfo=UTC)
KEYS = [
    "file", "sha256", "bytes", "kind", "width", "height", "orientation", "make", "model",
    "serial", "software", "taken_local", "offset", "offset_source", "taken_utc", "earliest",
    "latest", "clock_error_s", "corrected_utc", "satellite_utc", "position", "standing",
    "reasons", "error",
]  # fmt: skip


def tagged(build, taken: str = "2026:03:02 07:41:09", **others) -> bytes:
    exif = {
        0x9003: build.ascii(taken), 0x9291: build.ascii("120"), 0x9011: build.ascii("-07:00"),
    }  # fmt: skip
    fix = {
        0x1D: build.ascii("2026:03:02"), 7: (5, [14, 41, 8]), 1: build.ascii("N"),
        2: (5, [39, 44, 24]), 3: build.ascii("W"), 4: (5, [104, 59, 24]),
    }  # fmt: skip
    return build.jpeg(build.tiff({0x010F: build.ascii("Invented")}, exif | others, fix))


def test_the_published_form(build, save):
    report = photo_report(save("IMG_0412.JPG", tagged(build)), now=NOW)
    assert list(report) == KEYS
    assert json.loads(json.dumps(report)) == report
    assert report["taken_local"] == "2026-03-02T07:41:09.120"
    assert report["taken_utc"] == "2026-03-02T14:41:09.120Z"
    assert report["earliest"] == report["latest"] == "2026-03-02T14:41:09.12Z"
    assert (report["offset"], report["offset_source"]) == ("-07:00", "tag")
    assert report["satellite_utc"] == "2026-03-02T14:41:08Z"
    assert report["clock_error_s"] == 1.12
    assert report["corrected_utc"] is None
    assert report["position"] == [pytest.approx(39.74), pytest.approx(-104.99)]
    assert report["standing"] == "backed"
    assert report["reasons"][0] == {
        "code": "G1", "weight": "supports", "says": "Satellite time agrees within 1 s.",
    }  # fmt: skip


def test_no_photo(save):
    report = photo_report(save("a.jpg", b"text"))
    assert list(report) == KEYS
    assert report["standing"] == "none"
    assert report["taken_local"] is None
    assert "is not a photo or movie" in report["error"]


def test_pictures_are_looked_at_when_asked_or_when_there_is_a_sign(build, save, tag):
    path = save("a.jpg", build.drawn_jpeg(640, 480))
    small = save("small.jpg", build.drawn_jpeg(160, 120, seed=9))
    tag(
        path, f"-ThumbnailImage<={small}", "-DateTimeOriginal=2026:02:14 10:15:30",
        "-Make=Invented", "-OffsetTimeOriginal=+01:00",
    )  # fmt: skip
    codes = {reason["code"] for reason in photo_report(path, now=NOW)["reasons"]}
    assert "E5" not in codes
    codes = {r["code"] for r in photo_report(path, with_pictures=True, now=NOW)["reasons"]}
    assert "E5" in codes
    tag(path, "-ModifyDate=2026:02:21 09:00:00")
    codes = {reason["code"] for reason in photo_report(path, now=NOW)["reasons"]}
    assert codes >= {"E1", "E5"}


def test_folders_are_walked_in_path_order(build, tmp_path):
    for name in ("b/2.jpg", "b/1.jpg", "a.jpg", ".hidden.jpg", ".cache/x.jpg", "c/d/3.jpg"):
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(tagged(build))
    found = [name for _, name in files_under([tmp_path])]
    assert found == ["a.jpg", "b/1.jpg", "b/2.jpg", "c/d/3.jpg"]
    named = files_under([tmp_path / "b" / "2.jpg", tmp_path / "a.jpg", tmp_path / "a.jpg"])
    assert [name for _, name in named] == ["a.jpg", "2.jpg"]


def test_names_that_are_no_text_can_still_be_written(build, tmp_path):
    odd = os.fsdecode(b"caf\xe9.jpg")
    (tmp_path / odd).write_bytes(tagged(build))
    (tmp_path / os.fsdecode(b"\xff.txt")).write_bytes(b"text")
    reports = list(photo_reports([tmp_path], now=NOW))
    assert [report["file"] for report in reports] == ["caf\ufffd.jpg", "\ufffd.txt"]
    assert json.dumps(reports, ensure_ascii=False).encode("utf-8")
    gone = tmp_path / os.fsdecode(b"\xfe")
    with pytest.raises(InputError) as raised:
        files_under([gone])
    assert str(raised.value).encode("utf-8")


def test_what_does_not_exist_is_named(tmp_path):
    with pytest.raises(InputError, match="there is no such file or folder"):
        files_under([tmp_path / "gone"])
    with pytest.raises(InputError, match=r"--zone, Mars/Base: no such time zone"):
        check_zone("Mars/Base")
    for odd in ("", "../etc/passwd", "/etc/passwd", "Europe", "a\0b"):
        with pytest.raises(InputError):
            check_zone(odd)
    check_zone(None)
    check_zone("Europe/Berlin")


@pytest.mark.parametrize("workers", [1, 2, None])
def test_many_files_keep_their_order(build, tmp_path, workers):
    for number in range(60):
        data = tagged(build, f"2026:03:02 07:41:{number:02d}") if number % 7 else b"text"
        (tmp_path / f"{number:03d}.jpg").write_bytes(data)
    told = []
    reports = list(
        photo_reports(
            [tmp_path], zone="America/Denver", workers=workers, now=NOW,
            progress=lambda done, of: told.append((done, of)),
        )
    )  # fmt: skip
    assert [report["file"] for report in reports] == [f"{n:03d}.jpg" for n in range(60)]
    assert told == [(n, 60) for n in range(1, 61)]
    assert sum(report["error"] is not None for report in reports) == 9


def _take(reports, seen) -> None:
    for report in reports:
        seen.append(report)


@pytest.mark.parametrize("workers", [1, 2, None])
def test_cancelling(build, tmp_path, workers):
    for number in range(60):
        (tmp_path / f"{number:03d}.jpg").write_bytes(b"text")
    seen = []
    reports = photo_reports([tmp_path], workers=workers, cancelled=lambda: len(seen) >= 3)
    with pytest.raises(Cancelled):
        _take(reports, seen)
    assert len(seen) == 3


def test_a_given_zone_that_is_none(tmp_path):
    with pytest.raises(InputError):
        next(photo_reports([tmp_path], zone="Nowhere"))


class Reversed(NullTranslations):
    """A language that is in no catalogue: every sentence says that it was translated."""

    def gettext(self, message: str) -> str:
        return f"*{message}"


def test_every_thread_speaks_the_language_of_the_call(build, save, tmp_path, monkeypatch):
    for number in range(24):
        save(f"{number}.jpg", build.jpeg())
    monkeypatch.setattr(spoken_language, "_readers", {"de": Reversed})
    monkeypatch.setattr(spoken_language, "_catalogues", {})
    with speaking("de"):
        reports = list(photo_reports([tmp_path], now=NOW, workers=4))
    says = [reason["says"] for report in reports for reason in report["reasons"]]
    assert len(reports) == 24
    assert says.count("*The file carries no date of its own.") == 24
    assert all(one.startswith("*") for one in says)

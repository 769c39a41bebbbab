"""Real and made photo files against reference values, one record for each.

The set is not part of the repository: it is looked for as ``shared/photos`` beside it.
The reference values come from a general-purpose reader; where it and the standards
differ, the exceptions below say which standard decides.  They are found by what the file
holds, never by its name.
"""

from __future__ import annotations

import json
import time
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from ldapp.claim.photo_facts import PhotoFacts
from ldapp.evidence.read import read_photo
from ldapp.evidence.report import photo_report

PHOTOS = Path(__file__).parents[2].parent / "shared" / "photos"
TRUTH = PHOTOS / "truth.json"
NOW = datetime(2026, 11, 1, tzinfo=UTC)

pytestmark = pytest.mark.skipif(
    not TRUTH.exists(), reason="the reference photos (shared/photos) are not beside the repository"
)


@cache
def truth() -> dict[str, dict[str, Any]]:
    files: dict[str, dict[str, Any]] = json.loads(TRUTH.read_text("utf-8"))["files"]
    return files


def names() -> list[str]:
    return sorted(truth()) if TRUTH.exists() else []


@cache
def facts_of(name: str) -> PhotoFacts:
    return read_photo(PHOTOS / name)


def expected(entry: dict[str, Any], key: str) -> str | None:
    """Return the reference value of a tag as text without padding.

    Where the file is cut, the reference tool gives nothing although the segment with the
    tags is whole; then what a tolerant reader finds counts (CIPA DC-008, 4.5.4: the
    segment is complete in itself).
    """
    values = entry["values"]
    if not any(k in values for k in ("date_time_original", "make", "date_time")):
        values = entry.get("tolerant", values)
    value = values.get(key)
    return None if value is None else str(value).rstrip() or None


def as_local(raw: str | None) -> str | None:
    """Return a standard Exif date as ISO 8601; None for blank, nought, odd or impossible."""
    try:
        moment = datetime.strptime(raw or "", "%Y:%m:%d %H:%M:%S").replace(tzinfo=UTC)
    except ValueError:
        return None
    return moment.strftime("%Y-%m-%dT%H:%M:%S") if moment.year else None


@pytest.mark.parametrize("name", names())
def test_every_file_gives_a_record_or_a_sentence_within_two_seconds(name: str) -> None:
    began = time.monotonic()
    report = photo_report(PHOTOS / name, now=NOW)
    assert time.monotonic() - began < 2
    assert report["sha256"] == truth()[name]["sha256"]
    assert report["bytes"] == truth()[name]["size"]
    if report["error"] is not None:
        assert report["error"].endswith(".")
        assert report["taken_local"] is None
    assert report["reasons"] or report["standing"] in ("camera_only", "none")


@pytest.mark.parametrize("name", names())
def test_dates_are_those_of_the_reference(name: str) -> None:
    facts, entry = facts_of(name), truth()[name]
    found = {
        "date_time_original": facts.taken,
        "date_time_digitized": facts.digitized,
        "date_time": facts.changed,
    }
    for key, field in found.items():
        wanted = as_local(expected(entry, key))
        if "tolerant" in entry and field is not None and field.state == "unreadable":
            # TIFF 6.0, section 2: a value lies at the offset of its first entry.  In a
            # fuzzed file other readers look for another one until it resembles a date.
            continue
        assert (field.local if field and field.state == "ok" else None) == wanted


@pytest.mark.parametrize("name", names())
def test_capture_time_is_that_of_the_reference(name: str) -> None:
    report, entry = photo_report(PHOTOS / name, now=NOW), truth()[name]
    original = as_local(expected(entry, "date_time_original"))
    if original is None:
        return
    digits = expected(entry, "subsec_time_original")
    assert report["taken_local"] == original + (f".{digits}" if digits else "")


@pytest.mark.parametrize("name", names())
def test_offset_is_that_of_the_reference(name: str) -> None:
    report, entry = photo_report(PHOTOS / name, now=NOW), truth()[name]
    facts = entry["facts"]
    if facts.get("offset_time_original") == "ok":
        minutes = facts["offset_minutes"]
        sign = "-" if minutes < 0 else "+"
        text = f"{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"
        assert (report["offset"], report["offset_source"]) == (text, "tag")
    elif report["taken_local"] and not report["kind"].startswith("video"):
        assert report["offset_source"] != "tag"


@pytest.mark.parametrize("name", names())
def test_offset_of_the_place_is_that_of_the_reference(name: str) -> None:
    report, facts = photo_report(PHOTOS / name, now=NOW), truth()[name]["facts"]
    if "zone_offset_min" not in facts or report["offset_source"] != "place":
        return
    minutes = facts["zone_offset_min"]
    assert report["offset"] in _texts(minutes, facts.get("zone_offset_min_other"))


def _texts(*minutes: int | None) -> set[str]:
    return {
        f"{'-' if m < 0 else '+'}{abs(m) // 60:02d}:{abs(m) % 60:02d}"
        for m in minutes
        if m is not None
    }


@pytest.mark.parametrize("name", names())
def test_satellite_time_is_that_of_the_reference(name: str) -> None:
    report, facts = photo_report(PHOTOS / name, now=NOW), truth()[name]["facts"]
    wanted = facts.get("gps_utc")
    if wanted is None or report["taken_local"] is None:
        return
    assert report["satellite_utc"] is not None
    moment = datetime.fromisoformat(report["satellite_utc"].replace("Z", "+00:00"))
    other = datetime.fromisoformat(wanted.replace("Z", "+00:00"))
    assert abs(moment - other) < timedelta(milliseconds=1)


@pytest.mark.parametrize("name", names())
def test_clock_error_is_that_against_the_zone_of_the_place(name: str) -> None:
    report, facts = photo_report(PHOTOS / name, now=NOW), truth()[name]["facts"]
    error = facts.get("clock_error_against_zone_s")
    codes = {reason["code"] for reason in report["reasons"]}
    if error is None or abs(error) > 900 or codes & {"G7", "G6"}:
        return
    if report["offset_source"] == "tag" and report["clock_error_s"] is None:
        return
    # The reference leaves the digits behind the second out of the local time.
    assert report["clock_error_s"] == pytest.approx(error, abs=1.0)


@pytest.mark.parametrize("name", names())
def test_maker_and_texts_are_those_of_the_reference(name: str) -> None:
    facts, entry = facts_of(name), truth()[name]
    found = {"make": facts.make, "model": facts.model, "software": facts.software}
    for key, value in found.items():
        wanted = expected(entry, key)
        if wanted is not None and not facts.unusual_characters:
            # Padding in front is kept by some readers and not by others.
            assert (value or "").strip() == wanted.strip()


def test_text_that_is_no_utf8_is_read_byte_for_byte() -> None:
    met = 0
    for name, entry in truth().items():
        for key, hexadecimal in entry.get("not_utf8_hex", {}).items():
            facts = facts_of(name)
            assert facts.unusual_characters
            if key in ("make", "model", "software"):
                met += 1
                assert getattr(facts, key) == bytes.fromhex(hexadecimal).decode("latin-1")
    assert met


@pytest.mark.parametrize("name", names())
def test_structure_is_that_of_the_reference(name: str) -> None:
    facts, wanted = facts_of(name), truth()[name]["facts"]
    assert facts.content_credentials == wanted["content_credentials"]
    if "exif_segments" in wanted:
        assert facts.exif_segments == wanted["exif_segments"]
        assert facts.has_jfif == wanted["has_jfif"]
        assert facts.first_segment == wanted["first_segment"]
    if "maker_note" in wanted:
        assert facts.has_maker_note == wanted["maker_note"]
    if wanted.get("complete") is False and not wanted.get("bytes_after_last_eoi"):
        # ITU-T T.81, B.1.1.2: the end marker ends the picture, whatever follows it.
        assert not facts.complete
    if wanted.get("complete"):
        assert facts.complete


@pytest.mark.parametrize("name", names())
def test_size_and_place_are_those_of_the_reference(name: str) -> None:
    facts, values = facts_of(name), truth()[name]["values"]
    if "width" in values and "height" in values:
        assert (facts.width, facts.height) == (values["width"], values["height"])
    if "gps_latitude" in values and "gps_longitude" in values and facts.satellite:
        if facts.satellite.latitude is not None:
            assert facts.satellite.latitude == pytest.approx(values["gps_latitude"], abs=1e-5)
            assert facts.satellite.longitude == pytest.approx(values["gps_longitude"], abs=1e-5)
        else:
            assert values["gps_latitude"] == values["gps_longitude"] == 0

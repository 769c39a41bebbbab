"""Zones by place, offsets by zone, and the words for times."""

from __future__ import annotations

from datetime import UTC, datetime
from gettext import NullTranslations

import pytest

from ldapp import language as spoken_language
from ldapp.evidence.source import OpenPhoto
from ldapp.evidence.times import (
    choose_taken,
    local_datetime,
    movie_header_time,
    offset_minutes,
    offset_text,
    read_date,
    read_xmp_time,
    shifted,
)
from ldapp.evidence.wording import clock_time, day, duration, utc_offset
from ldapp.evidence.zones import distance_km, read_in_zone, zone_known, zones_near
from ldapp.language import speaking


def local(text: str) -> datetime:
    return datetime.fromisoformat(text)


@pytest.mark.parametrize(
    ("zone", "moment", "offsets", "kind"),
    [
        ("Europe/Berlin", "2026-02-14T10:00", (60,), "once"),
        ("Europe/Berlin", "2026-10-25T02:30", (120, 60), "repeated"),
        ("Europe/Berlin", "2026-03-29T02:30", (60, 120), "skipped"),
        ("Australia/Lord_Howe", "2026-04-05T01:45", (660, 630), "repeated"),
        ("Asia/Kathmandu", "2026-02-14T10:00", (345,), "once"),
    ],
)
def test_wall_clocks_in_a_zone(zone, moment, offsets, kind):
    reading = read_in_zone(zone, local(moment))
    assert (reading.offsets, reading.kind) == (offsets, kind)


def test_zones_of_places():
    assert zones_near(52.52, 13.405) == ("Europe/Berlin",)
    both = zones_near(43.8, 87.6)
    assert set(both) >= {"Asia/Shanghai", "Asia/Urumqi"}
    assert zones_near(0.0, -30.0)[0].startswith("Etc/")
    for pole in (90.0, -90.0):
        assert zones_near(pole, 0.0)
    assert zones_near(10.0, 179.99)


def test_zones_that_exist():
    assert zone_known("Europe/Berlin")
    for odd in ("Europe/Nowhere", "", "../x", "/etc/localtime", "a\0b", "Europe", "x" * 300):
        assert not zone_known(odd)


def test_distances():
    assert distance_km((52.52, 13.405), (48.137, 11.575)) == pytest.approx(504, abs=2)
    assert distance_km((1.0, 2.0), (1.0, 2.0)) == 0
    assert distance_km((0.0, 0.0), (0.0, 180.0)) == pytest.approx(20015, abs=2)


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0, "0 s"), (4.4, "4 s"), (-59, "59 s"), (60, "1 min"), (462, "7 min 42 s"),
        (3600, "1 h"), (5025, "1 h 23 min"), (86400, "24 h"), (3 * 86400, "3 days"),
        (7168 * 86400, "19.6 years"),
    ],
)  # fmt: skip
def test_durations(seconds, words):
    assert duration(seconds) == words


def test_words_for_times():
    moment = datetime(2026, 2, 4, 9, 5, 7, tzinfo=UTC)
    assert (day(moment), clock_time(moment)) == ("4 Feb 2026", "4 Feb 2026, 09:05:07")
    assert [utc_offset(m) for m in (0, 60, -570, 345)] == ["UTC", "UTC+1", "UTC-9:30", "UTC+5:45"]


def test_times_and_durations_have_the_form_of_the_language(monkeypatch):
    monkeypatch.setattr(spoken_language, "_readers", {"de": NullTranslations})
    monkeypatch.setattr(spoken_language, "_catalogues", {})
    moment = datetime(2026, 2, 4, 9, 5, 7, tzinfo=UTC)
    with speaking("de"):
        assert clock_time(moment) == "4. Feb. 2026, 09:05:07"
        assert duration(7168 * 86400) == "19,6 years"
        assert duration(65) == "1 min 5 s"
    assert clock_time(moment) == "4 Feb 2026, 09:05:07"


def test_offsets_as_text_and_back():
    for minutes in (-720, -210, -30, 0, 345, 840):
        assert offset_minutes(offset_text(minutes)) == minutes
    assert offset_text(-30) == "-00:30"


def test_dates_keep_what_was_written():
    field = read_date("2026:02:14 10:15:30 ", " 070 ", "+01:00\0")
    assert (field.digits, field.offset, field.state) == ("070", "+01:00", "ok")
    assert read_date("2026:02:14 10:15:30", "      ").digits == ""
    assert read_date("2026:02:14 10:15:30", "ab").digits == ""
    assert read_date("2026-02-14 10:15:30.25").digits == "25"
    assert read_date("2026-02-14 10:15:30.25", "7").digits == "7"


def test_instants_stop_at_the_ends_of_the_calendar():
    last = datetime(9999, 12, 31, tzinfo=UTC)
    assert shifted(last, 1e6).year == 9999
    assert shifted(datetime(1, 1, 1, tzinfo=UTC), -1e6).year == 1
    assert shifted(last, -60) == datetime(9999, 12, 30, 23, 59, tzinfo=UTC)


def test_leap_seconds_and_fractions():
    assert local_datetime("2016-12-31T23:59:60") == local("2017-01-01T00:00:00")
    assert local_datetime("2026-02-14T10:15:30", "0701234567") == local(
        "2026-02-14T10:15:30.070123"
    )
    assert local_datetime("9999-12-31T23:59:60") is None


def test_xmp_times():
    found = read_xmp_time("2026-02-14T10:15:30.5-0800")
    assert found is not None
    assert (found.local, found.digits, found.offset) == ("2026-02-14T10:15:30", "5", "-08:00")
    assert read_xmp_time(None) is None
    zulu = read_xmp_time("2026-02-14T10:15Z")
    assert zulu is not None
    assert (zulu.local, zulu.offset) == ("2026-02-14T10:15:00", "+00:00")


def test_movie_header_times():
    now = datetime(2026, 11, 1, tzinfo=UTC)
    assert movie_header_time(3853553400, now) == datetime(2026, 2, 10, 7, 30, tzinfo=UTC)
    for odd in (None, 0, 1770708600, 1 << 50):
        assert movie_header_time(odd, now) is None
    # Before 1995 by either count is an old date, not a wrong count.
    assert movie_header_time(2_500_000_000, now) == datetime(1983, 3, 22, 4, 26, 40, tzinfo=UTC)


def test_a_leap_second_at_the_end_of_the_calendar_is_no_date(photo):
    facts = photo("2026:02:14 10:15:30")
    assert choose_taken(facts, datetime(2026, 11, 1, tzinfo=UTC)) is not None
    assert read_date("9999:12:31 23:59:60").state == "impossible"


def test_files_larger_than_what_stays_in_memory(tmp_path):
    path = tmp_path / "a.bin"
    data = bytes(range(256)) * (3 << 12)
    path.write_bytes(data)
    with OpenPhoto(path) as photo:
        assert photo.size == len(data)
        for offset, length in (
            (0, 10), (5, 1 << 20), (1 << 20, 100), ((1 << 20) + 5, 1 << 20), (len(data) - 9, 99),
            (len(data), 5), (-1, 5), (0, 0),
        ):  # fmt: skip
            wanted = data[offset : offset + length] if offset >= 0 else b""
            assert photo.read(offset, length) == wanted


def test_a_file_that_shrinks_while_it_is_read(tmp_path):
    path = tmp_path / "a.bin"
    path.write_bytes(bytes(3 << 20))
    with OpenPhoto(path) as photo:
        with path.open("r+b") as file:
            file.truncate(1 << 20)
        assert photo.read(1 << 20, 100) == b""

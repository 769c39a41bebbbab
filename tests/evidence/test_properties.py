"""What holds for every photo, whatever its fields say."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ldapp.claim.photo_facts import PhotoFacts, SatelliteFix, XmpFacts
from ldapp.evidence.context import Confirmation, VerifyContext
from ldapp.evidence.times import local_datetime, offset_minutes, read_date
from ldapp.evidence.verify import verify
from tests.evidence.saying import BERLIN, BORDER, DENVER

MOMENTS = st.datetimes(datetime(1990, 1, 1), datetime(2030, 1, 1))  # noqa: DTZ001 - wall clocks
OFFSETS = st.sampled_from([None, "   :  ", "+01:00", "-07:00", "+05:45", "+25:00", "+00:00"])
PLACES = st.sampled_from([None, BERLIN, DENVER, BORDER, (27.7, 85.3), (-31.5, 159.1), (43.8, 87.6)])
ZONES = st.sampled_from([None, "Europe/Berlin", "America/Denver", "Australia/Lord_Howe"])
RANK = {"none": 0, "contradicted": 0, "open": 1, "camera_only": 2, "corrected": 3, "backed": 3}


def exif(moment: datetime) -> str:
    return f"{moment:%Y:%m:%d %H:%M:%S}"


@st.composite
def photos(draw) -> PhotoFacts:
    """Make facts whose fields may agree, be off by a little or a lot, or be missing."""
    taken = draw(MOMENTS)
    gap = st.sampled_from([0, 1, 4, 90, 400, 3600, 5025, 90_000, -3600, -7200, -25_200, 10**7])
    digits = draw(st.sampled_from([None, "07", "935476", "   "]))
    fix = None
    place = draw(PLACES)
    if place is not None or draw(st.booleans()):
        instant = taken - timedelta(seconds=draw(gap))
        fix = SatelliteFix(
            latitude=place[0] if place else None,
            longitude=place[1] if place else None,
            date=draw(st.sampled_from([None, instant.date().isoformat()])),
            time=draw(st.sampled_from([None, f"{instant:%H:%M:%S}", "23:59:60.5"])),
        )
    xmp = None
    if draw(st.booleans()):
        xmp = XmpFacts(taken=(taken + timedelta(seconds=draw(gap))).isoformat()[:19])
    raw = draw(
        st.sampled_from([exif(taken), exif(taken), exif(taken), None, "    :  :     :  :  "])
    )
    return PhotoFacts(
        file_name=draw(st.sampled_from(["DSC_0001.JPG", "IMG-20200214-WA0007.jpg", "a.jpg"])),
        sha256="0" * 64,
        bytes=1000,
        kind="image/jpeg",
        make=draw(st.sampled_from([None, "Invented Optics"])),
        model="IO-1",
        software=draw(st.sampled_from([None, "Ver.1.0", "Invented Photo Editor"])),
        taken=None if raw is None else read_date(raw, digits, draw(OFFSETS)),
        digitized=read_date(exif(taken + timedelta(seconds=draw(gap)))),
        changed=read_date(exif(taken + timedelta(seconds=draw(gap)))),
        satellite=fix,
        xmp=xmp,
        complete=draw(st.booleans()),
    )


EASY = settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)


@EASY
@given(photos(), ZONES)
def test_bounds_hold_what_they_bound(facts, zone):
    verdict = verify(facts, VerifyContext(zone=zone))
    if verdict.taken_local is None:
        assert verdict.standing in ("none", "contradicted")
        return
    assert verdict.earliest is not None
    assert verdict.latest is not None
    assert verdict.earliest <= verdict.latest
    for moment in (verdict.taken_utc, verdict.corrected_utc):
        assert moment is None or verdict.earliest <= moment <= verdict.latest
    widest = timedelta(hours=26)
    assert verdict.latest - verdict.earliest <= widest


@EASY
@given(photos(), ZONES)
def test_wall_clock_minus_offset_is_the_instant(facts, zone):
    verdict = verify(facts, VerifyContext(zone=zone))
    if verdict.offset is None:
        assert verdict.offset_source == "none"
        return
    assert verdict.offset_source != "none"
    assert verdict.taken_local is not None
    assert verdict.taken_utc is not None
    local = local_datetime(*verdict.taken_local.partition(".")[::2])
    assert local is not None
    instant = local - timedelta(minutes=offset_minutes(verdict.offset))
    assert instant.replace(tzinfo=UTC) == verdict.taken_utc


@EASY
@given(photos(), ZONES)
def test_standing_follows_from_the_weights(facts, zone):
    verdict = verify(facts, VerifyContext(zone=zone))
    weights = [reason.weight for reason in verdict.reasons]
    if "excludes" in weights:
        assert verdict.standing == "contradicted"
    elif verdict.taken_local is None:
        assert verdict.standing == "none"
    elif "undermines" in weights or weights.count("weakens") > 1:
        assert verdict.standing == "open"
    elif verdict.standing == "backed":
        assert "supports" in weights
    else:
        assert verdict.standing in ("corrected", "camera_only")
    assert all(reason.says.endswith(".") for reason in verdict.reasons)
    assert len(set(verdict.reasons)) == len(verdict.reasons)


@EASY
@given(photos(), ZONES)
def test_a_person_of_the_other_side_never_makes_it_worse(facts, zone):
    person = Confirmation(
        name="A. Person", company="Counter", on=date(2026, 2, 14), other_side=True
    )
    before = verify(facts, VerifyContext(zone=zone))
    after = verify(facts, VerifyContext(zone=zone, confirmations=(person,)))
    assert RANK[after.standing] >= RANK[before.standing]


@EASY
@given(photos(), ZONES)
def test_a_changed_original_is_always_contradicted(facts, zone):
    verdict = verify(facts, VerifyContext(zone=zone, original_unchanged=False))
    assert verdict.standing == "contradicted"
    assert verdict.reasons[0].weight == "excludes"


@EASY
@given(photos(), ZONES)
def test_a_given_zone_never_overrules_what_the_photo_says(facts, zone):
    without = verify(facts)
    given_zone = verify(facts, VerifyContext(zone=zone))
    if without.offset_source in ("tag", "place"):
        assert given_zone.offset == without.offset
        assert given_zone.taken_utc == without.taken_utc


@pytest.mark.parametrize("zone", ["Europe/Berlin", "Australia/Lord_Howe", "America/Denver"])
def test_every_quarter_hour_of_a_year_has_its_instants(photo, zone):
    """No wall clock falls through: each gives one instant, or two bounds."""
    moment = datetime(2026, 1, 1, 0, 7, tzinfo=UTC)
    while moment.year == 2026:
        verdict = verify(photo(exif(moment)), VerifyContext(zone=zone))
        assert verdict.earliest is not None
        assert verdict.latest is not None
        width = verdict.latest - verdict.earliest
        if verdict.offset is None:
            assert width in (timedelta(minutes=30), timedelta(hours=1))
        moment += timedelta(minutes=15) if moment.month in (3, 4, 10, 11) else timedelta(days=1)


def test_the_same_photo_elsewhere_in_the_list_gets_the_same_words(photo):
    facts = photo("2026:02:14 10:15:30", fix=(*BERLIN, "2026-02-14", "09:07:48"))
    again = replace(facts)
    assert verify(facts) == verify(again)

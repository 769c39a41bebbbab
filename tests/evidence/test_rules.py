"""Each rule of the judgement: what sets it off, and what must not."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from ldapp.claim.photo_facts import (
    ClockReference,
    HistoryStep,
    MovieFacts,
    SatelliteFix,
    XmpFacts,
)
from ldapp.evidence.context import (
    CameraHabits,
    Confirmation,
    CredentialsCheck,
    Neighbour,
    Sighting,
    VerifyContext,
)
from ldapp.evidence.verify import verify, wants_pictures

BERLIN = (52.52, 13.405)
DENVER = (39.74, -104.99)
BORDER = (32.47, -85.2)
"""A place on central time, twenty kilometres from eastern time."""

TAKEN = "2026:02:14 10:15:30"
NOON = datetime(2026, 2, 14, 12, 0, tzinfo=UTC)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def weights(verdict) -> dict[str, str]:
    return {reason.code: reason.weight for reason in verdict.reasons}


def says(verdict, code: str) -> str:
    return next(reason.says for reason in verdict.reasons if reason.code == code)


class TestDates:
    def test_t1_no_date(self, photo):
        verdict = verify(photo(None, digitized=None))
        assert weights(verdict) == {"T1": "note"}
        assert (verdict.standing, verdict.taken_local) == ("none", None)
        assert "T1" not in weights(verify(photo()))

    @pytest.mark.parametrize("raw", ["    :  :     :  :  ", " " * 19, "0000:00:00 00:00:00", ""])
    def test_t2_blank(self, photo, raw):
        verdict = verify(photo(raw))
        assert weights(verdict) == {"T1": "note", "T2": "note"}
        assert verdict.standing == "none"

    def test_t2_is_silent_about_other_fields_of_a_dated_photo(self, photo):
        assert "T2" not in weights(verify(photo(TAKEN, changed="0000:00:00 00:00:00")))
        assert "T2" in weights(verify(photo(None, digitized=None, changed="    :  :     :  :  ")))

    @pytest.mark.parametrize(
        ("raw", "local"),
        [
            ("2026/02/14 10:15:30", "2026-02-14T10:15:30"),
            ("2026-02-14T10:15:30Z", "2026-02-14T10:15:30"),
            ("2026:02:14 10:15", "2026-02-14T10:15:00"),
            ("2026-2-14 9:05:01.25", "2026-02-14T09:05:01.25"),
        ],
    )
    def test_t3_unusual_form(self, photo, raw, local):
        verdict = verify(photo(raw, offset="+01:00"))
        assert weights(verdict) == {"T3": "weakens"}
        assert verdict.taken_local == local

    @pytest.mark.parametrize("raw", ["2026:02:30 12:00:00", "2026:02:14 24:00:00"])
    def test_t4_impossible(self, photo, raw):
        verdict = verify(photo(raw))
        assert weights(verdict) == {"T4": "undermines", "T1": "note"}
        assert says(verdict, "T4") == f"The date cannot exist: {raw}."
        assert verdict.standing == "none"

    def test_t4_unreadable(self, photo):
        assert says(verify(photo("yesterday")), "T4") == "The date cannot be read: yesterday."

    def test_t4_not_for_a_leap_second(self, photo):
        verdict = verify(photo("2016:12:31 23:59:60", offset="+00:00"))
        assert "T4" not in weights(verdict)
        assert verdict.taken_local == "2016-12-31T23:59:60"
        assert verdict.taken_utc == utc("2017-01-01T00:00:00")

    def test_t5_after_the_intake(self, photo):
        known = photo(TAKEN, offset="+00:00")
        late = VerifyContext(imported=utc("2026-02-14T10:05:00"))
        assert weights(verify(known, late))["T5"] == "excludes"
        assert verify(known, late).standing == "contradicted"
        in_time = VerifyContext(imported=utc("2026-02-14T10:06:00"))
        assert "T5" not in weights(verify(known, in_time))

    def test_t5_leaves_room_for_every_zone(self, photo):
        unknown = photo(TAKEN)
        eastern = VerifyContext(now=utc("2026-02-13T21:00:00"))
        assert "T5" not in weights(verify(unknown, eastern))
        future = VerifyContext(now=utc("2026-02-13T08:00:00"))
        assert says(verify(unknown, future), "T5").startswith("The date lies in the future")

    def test_t6_too_old(self, photo):
        assert weights(verify(photo("1994:12:30 10:00:00", offset="+00:00")))["T6"] == "undermines"
        assert "T6" not in weights(verify(photo("1995:06:30 10:00:00")))
        job = VerifyContext(agreement_start=date(2026, 2, 29 - 1))
        assert weights(verify(photo("2015:06:30 10:00:00"), job))["T6"] == "undermines"
        assert "T6" not in weights(verify(photo("2016:06:30 10:00:00"), job))

    @pytest.mark.parametrize("raw", ["2000:01:01 00:03:27", "1970:05:01 10:00:00"])
    def test_t7_factory_setting(self, photo, raw):
        assert weights(verify(photo(raw)))["T7"] == "undermines"
        assert "T7" not in weights(verify(photo("2000:01:02 00:03:27")))

    def test_t7_is_silent_where_another_source_supports_the_date(self, photo):
        new_year = photo(
            "2026:01:01 15:00:00", offset="+01:00", fix=(*BERLIN, "2026-01-01", "14:00:00")
        )
        assert verify(new_year).standing == "backed"
        assert "T7" not in weights(verify(new_year))

    def test_t7_is_cured_by_a_reference(self, photo):
        reset = photo("2000:01:01 00:10:00")
        reference = ClockReference(
            make="Invented Optics", model="IO-1", camera_local="2000-01-01T00:05:00",
            reference=utc("2026-02-14T09:00:00"), accuracy_s=1, says="the counter's code",
        )  # fmt: skip
        verdict = verify(reset, VerifyContext(references=(reference,)))
        assert "T7" not in weights(verdict)
        assert verdict.standing == "corrected"
        assert verdict.corrected_utc == utc("2026-02-14T09:05:00")

    def test_t8_two_fields_differ(self, photo):
        assert weights(verify(photo(TAKEN, digitized="2026:02:14 10:15:36")))["T8"] == "weakens"
        assert "T8" not in weights(verify(photo(TAKEN, digitized="2026:02:14 10:15:35")))
        scan = photo(TAKEN, digitized="2026:03:14 10:15:36", model="Film Scanner 2")
        assert "T8" not in weights(verify(scan))

    def test_t9_placeholder(self, photo):
        verdict = verify(photo(TAKEN, digitized="2002:12:08 12:00:00"))
        assert weights(verdict)["T9"] == "note"
        assert "T8" not in weights(verdict)

    def test_the_placeholder_is_never_the_date(self, photo):
        assert verify(photo(None, digitized="2002:12:08 12:00:00")).standing == "none"

    def test_t10_two_blocks(self, photo):
        assert weights(verify(photo(second_taken="2026:02:09 16:00:00")))["T10"] == "undermines"
        assert "T10" not in weights(verify(photo(second_taken=TAKEN)))
        first_blank = photo("    :  :     :  :  ", second_taken=TAKEN)
        assert "T10" not in weights(verify(first_blank))
        assert "T10" not in weights(verify(photo(second_taken="    :  :     :  :  ")))

    @pytest.mark.parametrize(
        ("xmp", "found"),
        [
            ("2026-02-14T10:15:30+01:00", False),
            ("2026-02-14T16:15:31", False),  # whole quarter hours are a zone
            ("2026-02-14T10:15", True),
            ("2026-02-14T10:22:30", True),
            ("2026-02-16T12:15:30", True),
            ("2026-02-15", False),
            ("2026-02-16", True),
            ("2026-02-14T10:15:30A", False),
            ("2026-02-30T10:15:30", False),
            ("2026", False),
        ],
    )
    def test_t11_against_xmp(self, photo, xmp, found):
        verdict = verify(photo(TAKEN, xmp=XmpFacts(taken=xmp)))
        assert ("T11" in weights(verdict)) is found

    def test_t12_incomplete(self, photo):
        verdict = verify(photo(complete=False, offset="+01:00"))
        assert weights(verdict) == {"T12": "undermines"}
        assert verdict.standing == "open"
        assert "copy it" in says(verify(photo(None, digitized=None, complete=False)), "T12")
        assert "T12" not in weights(verify(photo(complete=False, error="x could not be read.")))


class TestWhichDate:
    def test_digitized_unless_scanned(self, photo):
        verdict = verify(photo(None, digitized=TAKEN))
        assert (verdict.taken_from, verdict.taken_local) == ("digitized", "2026-02-14T10:15:30")
        scan = photo(None, digitized=TAKEN, software="Invented Scan 3")
        assert verify(scan).taken_from == "none"

    def test_change_of_an_untouched_camera_file(self, photo):
        camera = photo(None, digitized=None, changed=TAKEN)
        assert verify(camera).taken_from == "changed"
        assert verify(replace(camera, model=None)).taken_from == "none"
        assert verify(replace(camera, software="Invented Photo Editor")).taken_from == "none"

    def test_xmp_before_digitized_and_its_offset_is_not_used(self, photo):
        xmp = XmpFacts(taken="2026-02-14T09:00:00.50-08:00")
        verdict = verify(photo(None, digitized=TAKEN, xmp=xmp))
        assert (verdict.taken_from, verdict.taken_local) == ("xmp", "2026-02-14T09:00:00.50")
        assert verdict.offset is None

    def test_movie_start_with_offset(self, photo):
        movie = MovieFacts(creation_date="2026-02-10T08:30:00+0100", header_seconds=3853553400)
        verdict = verify(photo(None, digitized=None, movie=movie, kind="video/quicktime"))
        assert (verdict.taken_from, verdict.offset) == ("movie", "+01:00")
        assert verdict.taken_utc == utc("2026-02-10T07:30:00")

    def test_movie_header_is_utc_by_the_standard_and_often_local(self, photo):
        movie = photo(None, digitized=None, movie=MovieFacts(header_seconds=3853553400))
        verdict = verify(movie)
        assert verdict.taken_from == "movie_header"
        assert verdict.taken_utc == utc("2026-02-10T07:30:00")
        assert weights(verdict)["O3"] == "weakens"
        assert verdict.earliest == utc("2026-02-09T17:30:00")
        assert verdict.latest == utc("2026-02-10T19:30:00")
        placed = verify(movie, VerifyContext(zone="Europe/Berlin"))
        assert (placed.earliest, placed.latest) == (
            utc("2026-02-10T06:30:00"), utc("2026-02-10T07:30:00"),
        )  # fmt: skip

    def test_satellite_alone(self, photo):
        alone = photo(None, digitized=None, make=None, fix=(*BERLIN, "2026-02-14", "09:15:30.5"))
        verdict = verify(alone)
        assert (verdict.taken_from, verdict.offset_source) == ("satellite", "satellite")
        assert verdict.taken_utc == utc("2026-02-14T09:15:30.5")
        assert verdict.zone == "Europe/Berlin"
        odd = replace(alone, satellite=replace(alone.satellite, date="2026-02-30"))
        assert verify(odd).taken_from == "none"


class TestOffsets:
    def test_o1_fits(self, photo):
        verdict = verify(photo(TAKEN, offset="+01:00", fix=(*BERLIN, None, None)))
        assert weights(verdict) == {"O1": "note"}
        assert (verdict.offset, verdict.offset_source) == ("+01:00", "tag")

    def test_o1_takes_a_zone_within_fifty_kilometres(self, photo):
        verdict = verify(photo("2026:12:14 10:00:00", offset="-05:00", fix=(*BORDER, None, None)))
        assert "O1" in weights(verdict)

    def test_o2_from_the_place(self, photo):
        verdict = verify(photo(TAKEN, fix=(*DENVER, None, None)))
        assert weights(verdict) == {"O2": "note"}
        assert (verdict.offset, verdict.offset_source) == ("-07:00", "place")
        assert verdict.taken_utc == utc("2026-02-14T17:15:30")

    def test_o3_nothing_known(self, photo):
        verdict = verify(photo(TAKEN))
        assert weights(verdict) == {"O3": "weakens"}
        assert verdict.taken_utc is None
        assert verdict.earliest == utc("2026-02-13T20:15:30")
        assert verdict.latest == utc("2026-02-14T22:15:30")
        assert verdict.standing == "camera_only"

    def test_o3_given_zone_is_an_assumption(self, photo):
        verdict = verify(photo(TAKEN), VerifyContext(zone="Asia/Kathmandu"))
        assert weights(verdict) == {"O3": "weakens"}
        assert (verdict.offset, verdict.offset_source) == ("+05:45", "given")
        assert "assumption" in says(verdict, "O3")

    @pytest.mark.parametrize("blank", ["   :  ", "      ", ""])
    def test_a_blank_offset_is_an_absent_one(self, photo, blank):
        assert weights(verify(photo(TAKEN, offset=blank))) == {"O3": "weakens"}

    def test_o4_an_hour_off(self, photo):
        verdict = verify(photo("2026:07:14 10:00:00", offset="-07:00", fix=(*DENVER, None, None)))
        assert weights(verdict) == {"O4": "weakens"}

    def test_o5_does_not_fit(self, photo):
        verdict = verify(photo(TAKEN, offset="+09:00", fix=(*BERLIN, None, None)))
        assert weights(verdict) == {"O5": "undermines"}
        assert verdict.standing == "open"

    @pytest.mark.parametrize("odd", ["+25:00", "+0100", "Z", "-12:30", "+14:15"])
    def test_o5_malformed_is_only_a_note(self, photo, odd):
        verdict = verify(photo(TAKEN, offset=odd))
        assert weights(verdict) == {"O3": "weakens", "O5": "note"}

    def test_o6_repeated_hour_stays_open(self, photo):
        night = "2026:10:25 02:30:00"
        for verdict in (
            verify(photo(night, fix=(*BERLIN, None, None))),
            verify(photo(night), VerifyContext(zone="Europe/Berlin")),
        ):
            assert weights(verdict)["O6"] == "weakens"
            assert verdict.offset is None
            assert verdict.earliest == utc("2026-10-25T00:30:00")
            assert verdict.latest == utc("2026-10-25T01:30:00")

    def test_o6_is_decided_by_tag_or_satellite(self, photo):
        night = "2026:10:25 02:30:00"
        tagged = verify(photo(night, offset="+02:00", fix=(*BERLIN, None, None)))
        assert "O6" not in weights(tagged)
        assert tagged.taken_utc == utc("2026-10-25T00:30:00")
        satellite = verify(photo(night, fix=(*BERLIN, "2026-10-25", "01:29:50")))
        assert satellite.offset == "+01:00"
        assert "O6" not in weights(satellite)
        assert satellite.standing == "backed"
        stale = verify(photo(night, fix=(*BERLIN, "2026-10-25", "00:10:00")))
        assert stale.offset is None
        assert "G3" in weights(stale)

    def test_o7_skipped_hour(self, photo):
        night = "2026:03:29 02:15:00"
        verdict = verify(photo(night, fix=(*BERLIN, None, None)))
        assert weights(verdict)["O7"] == "weakens"
        assert verdict.earliest == utc("2026-03-29T00:15:00")
        assert verdict.latest == utc("2026-03-29T01:15:00")
        tagged = verify(photo(night, offset="+01:00", fix=(*BERLIN, None, None)))
        assert weights(tagged) == {"O7": "weakens"}
        assert "O7" not in weights(verify(photo("2026:03:29 03:15:00", fix=(*BERLIN, None, None))))


class TestSatellite:
    @pytest.mark.parametrize(("time", "error"), [("09:15:30", 0), ("09:13:30", 120)])
    def test_g1_agrees(self, photo, time, error):
        verdict = verify(photo(TAKEN, offset="+01:00", fix=(*BERLIN, "2026-02-14", time)))
        assert weights(verdict)["G1"] == "supports"
        assert (verdict.clock_error_s, verdict.standing) == (error, "backed")
        assert verdict.corrected_utc is None

    def test_g1_says_that_a_phone_may_have_both_from_the_network(self, photo):
        phone = photo(TAKEN, offset="+01:00", fix=(*BERLIN, "2026-02-14", "09:15:30"))
        assert "phone" in verify(phone).summary
        assert "phone" not in verify(replace(phone, serial="00417")).summary

    @pytest.mark.parametrize(("time", "error"), [("09:07:48", 462), ("09:23:12", -462)])
    def test_g2_gives_the_clock_error(self, photo, time, error):
        verdict = verify(photo(TAKEN, fix=(*BERLIN, "2026-02-14", time)))
        assert weights(verdict)["G2"] == "note"
        assert verdict.clock_error_s == error
        assert verdict.offset == "+01:00"
        assert verdict.corrected_utc == utc("2026-02-14T09:15:30") - timedelta(seconds=error)
        assert verdict.standing == "corrected"
        assert ("fast" if error > 0 else "slow") in says(verdict, "G2")
        assert verdict.summary.startswith("Camera clock 7 min 42 s ")

    def test_g3_old_position(self, photo):
        stale = photo(TAKEN, offset="+01:00", fix=(*BERLIN, "2026-02-14", "03:48:00"))
        verdict = verify(stale)
        assert weights(verdict)["G3"] == "weakens"
        assert (verdict.standing, verdict.clock_error_s) == ("camera_only", None)

    def test_g4_another_zone(self, photo):
        verdict = verify(photo(TAKEN, fix=(*BERLIN, "2026-02-14", "15:15:00")))
        assert weights(verdict)["G4"] == "note"
        assert verdict.corrected_utc == utc("2026-02-14T15:15:30")
        assert verdict.standing == "corrected"

    def test_g4_against_a_recorded_offset_weakens(self, photo):
        verdict = verify(photo(TAKEN, offset="+01:00", fix=(*BERLIN, "2026-02-14", "08:15:20")))
        assert weights(verdict)["G4"] == "weakens"
        assert verdict.corrected_utc is None
        assert (verdict.earliest, verdict.latest) == (
            utc("2026-02-14T08:15:30"), utc("2026-02-14T09:15:30"),
        )  # fmt: skip

    def test_g4_leaves_open_which_of_the_two_was_on_local_time(self, photo):
        verdict = verify(photo(TAKEN, fix=(*BERLIN, "2026-02-14", "10:15:26")))
        assert weights(verdict)["G4"] == "note"
        assert verdict.corrected_utc is None
        assert verdict.latest == utc("2026-02-14T10:15:30")
        assert verdict.standing == "camera_only"

    @pytest.mark.parametrize("date", ["2006-07-01", "2006-07-02", "2045-09-30"])
    def test_g5_week_fault_uses_the_time_of_day(self, photo, date):
        verdict = verify(photo(TAKEN, offset="+01:00", fix=(*BERLIN, date, "09:15:28")))
        assert weights(verdict)["G5"] == "note"
        assert weights(verdict)["G1"] == "supports"
        assert verdict.clock_error_s == 2
        assert verdict.satellite_utc == utc(f"{date}T09:15:28")

    def test_g6_days_apart(self, photo):
        for offset in ("+01:00", None):
            apart = photo(TAKEN, offset=offset, fix=(None, None, "2026-02-10", "09:15:30"))
            assert weights(verify(apart))["G6"] == "undermines"

    @pytest.mark.parametrize("offset", ["+01:00", None])
    def test_g7_local_time_written_as_utc(self, photo, offset):
        verdict = verify(photo(TAKEN, offset=offset, fix=(*BERLIN, "2026-02-14", "10:15:30")))
        assert weights(verdict)["G7"] == "note"
        assert "G1" not in weights(verdict)
        assert verdict.standing == "camera_only"

    def test_g7_is_no_fault_where_the_zone_is_utc(self, photo):
        accra = photo(TAKEN, fix=(5.6, -0.19, "2026-02-14", "10:15:30"))
        assert "G7" not in weights(verify(accra))
        assert verify(accra).standing == "backed"

    def test_g8_unusable(self, photo):
        odd = photo(satellite=SatelliteFix(time_raw="undefined", usable=False))
        assert weights(verify(odd))["G8"] == "note"
        assert "G8" not in weights(verify(photo(fix=(*BERLIN, None, None))))

    def test_g3_beyond_every_offset(self, photo):
        apart = photo(TAKEN, fix=(None, None, "2026-02-13", "12:15:30"))
        assert weights(verify(apart)) == {"G3": "weakens", "O3": "weakens"}
        assert "8 h" in says(verify(apart), "G3")

    def test_in_the_repeated_hour_nothing_is_corrected(self, photo):
        night = "2026:10:25 02:30:00"
        near = verify(photo(night, fix=(*BERLIN, "2026-10-25", "01:22:00")))
        assert weights(near) == {"O6": "weakens", "G2": "note"}
        assert near.corrected_utc is None
        far = verify(photo(night, fix=(*BERLIN, "2026-10-25", "04:30:00")))
        assert weights(far) == {"O6": "weakens", "G3": "weakens"}

    def test_a_missing_satellite_date_is_assumed(self, photo):
        late = verify(photo("2026:10:03 00:10:00", fix=(50.08, 14.44, None, "22:09:58")))
        assert late.satellite_utc == utc("2026-10-02T22:09:58")
        assert late.clock_error_s == 2
        assert "assumed" in says(late, "G1")

    def test_a_malformed_satellite_date_is_not_replaced(self, photo):
        fix = SatelliteFix(date_raw="2026:02:259", time="09:15:30", usable=False)
        assert verify(photo(TAKEN, offset="+01:00", satellite=fix)).satellite_utc is None

    def test_satellite_gives_the_offset_where_the_place_is_unknown(self, photo):
        verdict = verify(photo(TAKEN, fix=(None, None, "2026-02-14", "04:30:40")))
        assert (verdict.offset, verdict.offset_source) == ("+05:45", "satellite")
        assert weights(verdict) == {"G1": "note"}
        assert verdict.standing == "camera_only"

    def test_the_given_zone_goes_before_rounding(self, photo):
        slow = photo(TAKEN, fix=(None, None, "2026-02-14", "09:06:00"))
        assert verify(slow).offset == "+01:15"
        verdict = verify(slow, VerifyContext(zone="Europe/Berlin"))
        assert (verdict.offset, verdict.offset_source) == ("+01:00", "satellite")
        assert verdict.clock_error_s == 570
        far = verify(slow, VerifyContext(zone="Asia/Tokyo"))
        assert far.offset == "+01:15"

    def test_equal_to_the_second_without_a_place_gives_no_offset(self, photo):
        same = photo(TAKEN, fix=(None, None, "2026-02-14", "10:15:30"))
        assert weights(verify(same)) == {"G7": "note", "O3": "weakens"}
        given = verify(same, VerifyContext(zone="Europe/Berlin"))
        assert (given.offset, given.offset_source) == ("+01:00", "given")
        london = verify(same, VerifyContext(zone="Europe/London"))
        assert (london.offset, london.offset_source) == ("+00:00", "satellite")

    def test_g9_far_from_the_count(self, photo):
        here = photo(TAKEN, offset="+01:00", fix=(*BERLIN, None, None))
        far = VerifyContext(count_position=(48.14, 11.58))
        assert weights(verify(here, far))["G9"] == "weakens"
        assert "504 km" in says(verify(here, far), "G9")
        near = VerifyContext(count_position=(52.4, 13.1))
        assert "G9" not in weights(verify(here, near))
        job = VerifyContext(job_position=(48.14, 11.58))
        assert weights(verify(here, job))["G9"] == "note"
        assert "G9" not in weights(verify(photo(TAKEN), far))

    def test_the_nearer_zone_of_a_border_is_taken_by_satellite(self, photo):
        verdict = verify(photo("2026:12:14 10:00:00", fix=(*BORDER, "2026-12-14", "15:00:00")))
        assert (verdict.offset, verdict.zone) == ("-05:00", "America/New_York")
        assert weights(verdict)["G1"] == "supports"


class TestHandling:
    def test_e1_saved_again(self, photo):
        verdict = verify(photo(TAKEN, offset="+01:00", changed="2026:02:21 10:02:44"))
        assert weights(verdict) == {"E1": "note"}
        assert verdict.standing == "camera_only"
        edge = photo(TAKEN, offset="+01:00", changed="2026:02:14 10:15:36")
        assert weights(verify(edge)) == {"E1": "note"}
        hdr = photo(TAKEN, offset="+01:00", changed="2026:02:14 10:15:35")
        assert weights(verify(hdr)) == {}

    def test_e1_for_viewers_and_card_copiers(self, photo):
        for name in ("Invented Viewer 4.1", "Invented Transfer", "Invented Image Capture"):
            turned = photo(TAKEN, offset="+01:00", changed="2026:02:21 10:02:44", software=name)
            assert weights(verify(turned)) == {"E1": "note"}

    @pytest.mark.parametrize(
        "others",
        [
            {"software": "Invented Photo Editor 2"},
            {"xmp": XmpFacts(creator_tool="Invented Image Studio")},
            {"editing_programs": ("Bildwerk",)},
        ],
    )
    def test_e2_editor(self, photo, others):
        edited = photo(TAKEN, offset="+01:00", changed="2026:02:21 10:02:44", **others)
        verdict = verify(edited)
        assert weights(verdict) == {"E2": "weakens"}
        assert "on 21 Feb 2026, 10:02:44" in says(verdict, "E2")
        undated = verify(photo(TAKEN, offset="+01:00", **others))
        assert " on " not in says(undated, "E2")

    @pytest.mark.parametrize(
        "name",
        [
            "14.3", "Ver.1.01", "G975FXXU7CTF1", "HDR+ 1.0.199571065z", "Version 1.0",
            "IO-1 Photo v1.00", "fw 05.15 prm 07.53", "1.00(B0563)", "some-user 5.1.1 release-keys",
            "Invented Photo Ver 2", "unknown words", "",
        ],
    )  # fmt: skip
    def test_e2_not_for_firmware(self, photo, name):
        assert weights(verify(photo(TAKEN, offset="+01:00", software=name))) == {}

    def test_e2_not_for_what_the_camera_writes_everywhere(self, photo):
        odd = photo(TAKEN, offset="+01:00", software="Photo Edit Engine")
        habits = CameraHabits(photos=5, with_maker_note=0, software=("Photo Edit Engine",))
        assert weights(verify(odd, VerifyContext(habits=habits))) == {}
        saved = photo(
            TAKEN, offset="+01:00", software="Photo Edit Engine", changed="2026:02:15 10:00:00"
        )
        assert weights(verify(saved, VerifyContext(habits=habits))) == {"E2": "weakens"}

    def test_e2_for_what_only_this_photo_of_the_camera_carries(self, photo):
        habits = CameraHabits(photos=5, with_maker_note=0, software=("Engine 7",))
        context = VerifyContext(habits=habits)
        odd = photo(TAKEN, offset="+01:00", software="Zwielicht")
        assert weights(verify(odd)) == {}
        assert weights(verify(odd, context)) == {"E2": "weakens"}
        for plain in ("Ver.1.02", "Invented Viewer", None):
            firmware = replace(odd, software=plain)
            assert weights(verify(firmware, context)) == {}
        named = replace(odd, software="Invented Photo Editor")
        assert "Invented Photo Editor" in says(verify(named, context), "E2")

    def test_e3_changed_before_taken(self, photo):
        old = photo(TAKEN, offset="+01:00", changed="2026:02:13 08:00:00")
        assert weights(verify(old))["E3"] == "undermines"
        zone = photo(TAKEN, offset="+01:00", changed="2026:02:13 09:00:00")
        assert "E3" not in weights(verify(zone))
        assert "E3" not in weights(verify(photo(TAKEN, changed="2026:02:14 07:00:00")))
        edge = photo(TAKEN, offset="+01:00", changed="2026:02:13 08:15:30")
        assert "E3" not in weights(verify(edge))
        same = photo(TAKEN, offset="+01:00", changed="2026:02:14 10:15:27", changed_offset="+01:00")
        assert weights(verify(same))["E3"] == "undermines"

    def test_e4_history(self, photo):
        steps = (
            HistoryStep(action="saved", when="2026-02-15T10:00:00+01:00"),
            HistoryStep(action="converted", when="2026-02-16T10:00:00"),
            HistoryStep(action="published"),
        )
        edited = photo(TAKEN, offset="+01:00", xmp=XmpFacts(history=steps))
        verdict = verify(edited)
        assert weights(verdict) == {"E4": "weakens"}
        assert says(verdict, "E4") == (
            "The edit history lists 2 steps, last on 16 Feb 2026, 10:00:00."
        )
        named = replace(edited, software="Invented Photo Editor")
        assert weights(verify(named)) == {"E2": "weakens"}
        harmless = photo(TAKEN, offset="+01:00", xmp=XmpFacts(history=steps[2:]))
        assert weights(verify(harmless)) == {}
        undated = XmpFacts(history=(HistoryStep(action="saved"),))
        assert says(verify(photo(xmp=undated)), "E4") == "The edit history lists 1 step."

    def test_e5_and_e6_preview(self, photo):
        plain = photo(TAKEN, offset="+01:00")
        differs = replace(plain, preview_match="differs")
        assert weights(verify(differs)) == {"E5": "weakens"}
        assert weights(verify(replace(plain, preview_match="turned"))) == {"E6": "note"}
        for nothing in ("same", "unknown", None):
            assert weights(verify(replace(plain, preview_match=nothing))) == {}
        edited = replace(differs, software="Invented Photo Editor")
        assert weights(verify(edited))["E5"] == "undermines"

    def test_e7_private_data_missing(self, photo):
        habits = VerifyContext(habits=CameraHabits(photos=3, with_maker_note=3))
        assert weights(verify(photo(offset="+01:00"), habits)) == {"E7": "note"}
        kept = photo(offset="+01:00", has_maker_note=True)
        assert weights(verify(kept, habits)) == {}
        assert weights(verify(photo(offset="+01:00", make=None), habits)) == {}

    def test_e8_size(self, photo):
        whole = photo(offset="+01:00", pixel_width=4000, pixel_height=3000)
        assert weights(verify(whole)) == {}
        turned = replace(whole, pixel_width=3000, pixel_height=4000)
        assert weights(verify(turned)) == {}
        small = replace(whole, width=400, height=300)
        assert weights(verify(small)) == {"E8": "note"}
        both = verify(replace(small, preview_match="differs"))
        assert weights(both) == {"E5": "weakens", "E8": "weakens"}
        assert weights(verify(replace(small, kind="image/x-adobe-dng"))) == {}

    def test_e9_built_differently(self, photo):
        habits = CameraHabits(
            photos=4, with_maker_note=0, first_segments=("APP1:Exif",), quantisations=("aa",)
        )
        usual = photo(offset="+01:00", quantisation="aa")
        assert weights(verify(usual, VerifyContext(habits=habits))) == {}
        for odd in (replace(usual, first_segment="APP0:JFIF"), replace(usual, quantisation="bb")):
            assert weights(verify(odd, VerifyContext(habits=habits))) == {"E9": "note"}

    def test_e10_messenger_copy(self, photo):
        copy = photo(None, digitized=None, make=None, model=None, has_jfif=True)
        assert weights(verify(copy)) == {"E10": "note", "T1": "note"}
        assert "E10" not in weights(verify(photo(None, digitized=None, has_jfif=True)))

    @pytest.mark.parametrize(
        "others",
        [
            {"user_comment": "Screenshot"},
            {"file_name": "Screenshot 2026-02-06 at 11.11.11.png"},
            {"file_name": "Bildschirmfoto 3.png"},
            {"file_name": "a.png", "kind": "image/png", "width": 2532, "height": 1170},
        ],
    )
    def test_e11_screenshot(self, photo, others):
        screen = photo("2026:02:06 11:11:11", make=None, model=None, offset="+01:00", **others)
        verdict = verify(screen)
        assert weights(verdict)["E11"] == "undermines"
        assert verdict.standing == "open"

    def test_e11_not_for_a_camera(self, photo):
        named = photo(offset="+01:00", file_name="Screenshot.jpg")
        assert weights(verify(named)) == {}
        drawing = photo(None, digitized=None, make=None, kind="image/png", width=713, height=444)
        assert "E11" not in weights(verify(drawing))

    def test_e12_saved_again_movie(self, photo):
        start = "2026-02-10T08:30:00+01:00"
        base = 3853553400
        for late, found in ((17, False), (150, False), (151, True), (5 * 365 * 86400, True)):
            movie = MovieFacts(creation_date=start, header_seconds=base + late, duration_s=30.0)
            verdict = verify(photo(None, digitized=None, movie=movie))
            assert ("E12" in weights(verdict)) is found

    @pytest.mark.parametrize("seconds", [0, 1770708600, 1 << 60])
    def test_e13_header_never_set(self, photo, seconds):
        movie = photo(None, digitized=None, movie=MovieFacts(header_seconds=seconds))
        verdict = verify(movie, VerifyContext(now=NOON))
        assert weights(verdict)["E13"] == "note"
        assert verdict.standing == "none"

    def test_c_credentials(self, photo):
        signed = photo(offset="+01:00", content_credentials=True)
        assert weights(verify(signed)) == {"C3": "note"}
        good = VerifyContext(credentials=CredentialsCheck(valid=True, signer="A", at=NOON))
        assert weights(verify(signed, good)) == {"C1": "supports"}
        assert verify(signed, good).standing == "backed"
        undated = VerifyContext(credentials=CredentialsCheck(valid=True, signer="A"))
        assert weights(verify(signed, undated)) == {}
        bad = VerifyContext(credentials=CredentialsCheck(valid=False))
        assert weights(verify(signed, bad)) == {"C2": "undermines"}

    def test_pictures_are_wanted_after_signs_of_handling(self, photo):
        from ldapp.claim.photo_facts import EmbeddedPreview

        small = EmbeddedPreview(offset=10, length=10)
        edited = photo(changed="2026:02:21 10:02:44", preview=small)
        assert wants_pictures(edited)
        assert not wants_pictures(replace(edited, preview=None))
        assert not wants_pictures(photo(preview=small))
        assert wants_pictures(photo(preview=small, complete=False))
        assert wants_pictures(photo(preview=small, pixel_width=8, pixel_height=8))


class TestNames:
    def test_n1_agrees_but_is_no_second_source(self, photo):
        named = photo(TAKEN, offset="+01:00", file_name="IMG_20260214_101530.jpg")
        assert weights(verify(named)) == {"N1": "note"}
        for name in (
            "PXL_20260214_091530123.MP.jpg", "IMG20260214101530.jpg", "2026-02-14 10.15.30-1.jpg",
            "Foto 2026-02-14 um 10.15.30.jpg", "FLY_20260214101530_0007.JPG",
        ):  # fmt: skip
            assert weights(verify(replace(named, file_name=name))) == {"N1": "note"}
        backed = photo(
            TAKEN, offset="+01:00", file_name="20260214_101530.jpg",
            fix=(*BERLIN, "2026-02-14", "09:15:30"),
        )  # fmt: skip
        assert weights(verify(backed))["N1"] == "supports"

    def test_n2_another_day(self, photo):
        other = photo(TAKEN, offset="+01:00", file_name="IMG_20260216_101530.jpg")
        assert weights(verify(other)) == {"N2": "weakens"}
        near = replace(other, file_name="IMG_20260214_190000.jpg")
        assert weights(verify(near)) == {}

    def test_n3_received_before_it_was_taken(self, photo):
        name = "IMG-20260210-WA0007.jpg"
        assert weights(verify(photo(TAKEN, file_name=name)))["N3"] == "excludes"
        same_day = photo(TAKEN, offset="+01:00", file_name="IMG-20260214-WA0007.jpg")
        assert weights(verify(same_day)) == {}
        zones_apart = photo(TAKEN, offset="+01:00", file_name="IMG-20260213-WA0007.jpg")
        assert weights(verify(zones_apart)) == {"N3": "weakens"}

    def test_n4_received(self, photo):
        verdict = verify(photo(None, digitized=None, file_name="IMG-20260214-WA0007.jpg"))
        assert weights(verdict) == {"T1": "note", "N4": "note"}
        assert verdict.latest == utc("2026-02-15T12:00:00")

    def test_a_time_in_the_name_is_no_date(self, photo):
        verdict = verify(photo(None, digitized=None, file_name="PXL_20260214_101530123.jpg"))
        assert weights(verdict) == {"T1": "note"}
        assert verdict.taken_local is None

    @pytest.mark.parametrize(
        "name", ["DSC_0001.JPG", "IMG-20261399-WA0007.jpg", "20260230_101530.jpg", "12345678.jpg"]
    )
    def test_names_without_a_time(self, photo, name):
        assert weights(verify(photo(TAKEN, offset="+01:00", file_name=name))) == {}


class TestSequence:
    before = Neighbour(file_name="IMG_0102.JPG", number=102, taken_local="2026-02-07T09:01:10")
    after = Neighbour(file_name="IMG_0104.JPG", number=104, taken_local="2026-02-07T09:03:30.5")

    def context(self) -> VerifyContext:
        return VerifyContext(before=self.before, after=self.after)

    def test_s1_in_step_is_weak(self, photo):
        verdict = verify(photo("2026:02:07 09:02:00", offset="+01:00"), self.context())
        assert weights(verdict) == {"S1": "supports"}
        assert verdict.standing == "camera_only"

    def test_s2_out_of_step(self, photo):
        odd = photo("2026:01:07 09:02:00", offset="+01:00", file_name="IMG_0103.JPG")
        verdict = verify(odd, self.context())
        assert weights(verdict) == {"S2": "undermines"}
        assert says(verdict, "S2").startswith("Number 0103 lies between 0102 ")
        unnumbered = verify(replace(odd, file_name="crop.jpg"), self.context())
        assert says(unnumbered, "S2").startswith("crop.jpg lies between")

    def test_s2_leaves_bursts_alone(self, photo):
        burst = photo("2026:02:07 09:03:32", offset="+01:00")
        assert weights(verify(burst, self.context())) == {}
        later = photo("2026:02:07 09:03:33", offset="+01:00")
        assert weights(verify(later, self.context())) == {"S2": "undermines"}

    def test_neighbours_that_disagree_say_nothing(self, photo):
        swapped = VerifyContext(before=self.after, after=self.before)
        assert weights(verify(photo(offset="+01:00"), swapped)) == {}
        odd = replace(self.before, taken_local="")
        one = VerifyContext(before=odd, after=self.after)
        assert weights(verify(photo(offset="+01:00"), one)) == {}
        assert weights(verify(photo(None, digitized=None), self.context())) == {"T1": "note"}

    def test_s3_two_far_places(self, photo):
        here = photo(TAKEN, offset="+01:00", fix=(*BERLIN, None, None), serial="1")
        there = Sighting(file_name="b.jpg", taken=utc("2026-02-14T10:00:00"), position=DENVER)
        verdict = verify(here, VerifyContext(sightings=(there,)))
        assert weights(verdict)["S3"] == "excludes"
        later = replace(there, taken=utc("2026-02-15T10:00:00"))
        near = replace(there, position=(52.4, 13.1))
        for one in (later, near):
            assert "S3" not in weights(verify(here, VerifyContext(sightings=(one,))))

    def test_s3_needs_an_instant(self, photo):
        there = Sighting(file_name="b.jpg", taken=utc("2026-02-14T10:00:00"), position=DENVER)
        night = photo("2026:10:25 02:30:00", fix=(*BERLIN, None, None))
        assert "S3" not in weights(verify(night, VerifyContext(sightings=(there,))))

    def test_s4_same_bytes_another_date(self, photo):
        again = VerifyContext(same_bytes_taken="2026-02-13T10:15:30")
        assert weights(verify(photo(offset="+01:00"), again)) == {"S4": "excludes"}
        same = VerifyContext(same_bytes_taken="2026-02-14T10:15:30")
        assert weights(verify(photo(offset="+01:00"), same)) == {}


class TestFileAndIntake:
    def test_f1_card_date_is_weak_and_allows_whole_hours(self, photo):
        card = VerifyContext(file_times="card")
        for hour in (10, 9, 14):
            stamped = photo(offset="+01:00", file_modified=utc(f"2026-02-14T{hour:02d}:15:32"))
            assert weights(verify(stamped, card)) == {"F1": "supports"}
            assert verify(stamped, card).standing == "camera_only"
        off = photo(offset="+01:00", file_modified=utc("2026-02-14T10:17:00"))
        assert weights(verify(off, card)) == {}
        copy = VerifyContext(file_times="copy")
        assert weights(verify(replace(off, file_modified=utc(TIME)), copy)) == {}

    def test_f2_older_file(self, photo):
        old = photo(offset="+01:00", file_modified=utc("2026-02-13T08:00:00"))
        assert weights(verify(old, VerifyContext(file_times="copy"))) == {"F2": "weakens"}
        edge = replace(old, file_modified=utc("2026-02-13T08:15:30"))
        assert weights(verify(edge, VerifyContext(file_times="copy"))) == {}
        assert weights(verify(old)) == {}

    def test_i1_changed_original(self, photo):
        verdict = verify(photo(offset="+01:00"), VerifyContext(original_unchanged=False))
        assert weights(verdict) == {"I1": "excludes"}
        assert verdict.standing == "contradicted"
        intact = VerifyContext(original_unchanged=True)
        assert weights(verify(photo(offset="+01:00"), intact)) == {}
        undated = verify(photo(None, digitized=None), VerifyContext(original_unchanged=False))
        assert undated.summary.startswith("The sources exclude each other: The stored original")

    def test_i2_soon_after(self, photo):
        soon = VerifyContext(imported=utc("2026-02-14T11:15:30"))
        verdict = verify(photo(offset="+01:00"), soon)
        assert weights(verdict) == {"I2": "supports"}
        assert says(verdict, "I2") == "Taken in 2 h after the shot."
        assert verdict.standing == "camera_only"
        for context in (
            VerifyContext(imported=utc("2026-02-16T11:15:30")),
            replace(soon, journal_intact=False),
        ):
            assert weights(verify(photo(offset="+01:00"), context)) == {}
        assert "I2" not in weights(verify(photo(), soon))

    def test_two_weak_supports_of_different_families_make_one(self, photo):
        card = photo(offset="+01:00", file_modified=utc(TIME))
        both = VerifyContext(file_times="card", imported=utc("2026-02-14T11:15:30"))
        assert weights(verify(card, both)) == {"F1": "supports", "I2": "supports"}
        assert verify(card, both).standing == "backed"
        assert "The card's file date agrees." in verify(card, both).summary

    def test_r3_code(self, photo):
        code = VerifyContext(code_issued=utc("2026-02-14T09:00:00"))
        verdict = verify(photo(offset="+01:00"), code)
        assert weights(verdict) == {"R3": "supports"}
        assert verdict.standing == "backed"

    def test_w_persons(self, photo):
        other = Confirmation(name="A. Person", company="Counter", on=date(2026, 2, 14),
                             other_side=True)  # fmt: skip
        verdict = verify(photo(offset="+01:00"), VerifyContext(confirmations=(other,)))
        assert weights(verdict) == {"W1": "supports"}
        assert verdict.standing == "backed"
        own = replace(other, other_side=False)
        verdict = verify(photo(offset="+01:00"), VerifyContext(confirmations=(own,)))
        assert weights(verdict) == {"W2": "note"}
        assert verdict.standing == "camera_only"


TIME = "2026-02-14T09:15:30"

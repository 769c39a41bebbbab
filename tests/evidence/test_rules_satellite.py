"""What each rule is set off by, and what not: satellite time against the camera's clock."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from ldapp.claim.photo_facts import (
    SatelliteFix,
)
from ldapp.evidence.context import (
    VerifyContext,
)
from ldapp.evidence.verify import verify
from tests.evidence.saying import BERLIN, BORDER, TAKEN, says, utc, weights


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

    def test_g1_by_the_offset_of_the_place_where_the_recorded_one_is_an_hour_off(self, photo):
        # The clock was moved for summer by hand; only the daylight-saving switch was forgotten.
        summer = photo(
            "2026:06:18 19:20:00", offset="+01:00", fix=(*BERLIN, "2026-06-18", "17:19:58")
        )
        verdict = verify(summer)
        assert weights(verdict) == {"O4": "weakens", "G1": "supports"}
        assert (verdict.standing, verdict.offset) == ("corrected", "+01:00")
        assert verdict.corrected_utc == utc("2026-06-18T17:20:00")
        assert verdict.clock_error_s == 3600

    def test_g4_stays_where_satellite_and_place_do_not_agree_either(self, photo):
        summer = photo(
            "2026:06:18 19:20:00", offset="+01:00", fix=(*BERLIN, "2026-06-18", "15:19:58")
        )
        assert weights(verify(summer)) == {"O4": "weakens", "G4": "weakens"}

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

"""What each rule is set off by, and what not: dates, which one counts, and its offset."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from ldapp.claim.photo_facts import (
    ClockReference,
    MovieFacts,
    XmpFacts,
)
from ldapp.evidence.context import (
    VerifyContext,
)
from ldapp.evidence.verify import verify
from tests.evidence.saying import BERLIN, BORDER, DENVER, TAKEN, says, utc, weights


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

    @pytest.mark.parametrize(
        "raw",
        [
            "2007:06:01 00:00:00", "2012:10:01 12:00:00", "1980:01:06 00:00:12",
            "1999:12:31 16:00:00", "1904:01:01 00:00:00",
        ],
    )  # fmt: skip
    def test_t7_other_factory_settings_by_their_form(self, photo, raw):
        assert weights(verify(photo(raw)))["T7"] == "undermines"

    @pytest.mark.parametrize(
        "raw",
        [
            "2007:06:01 00:00:01", "2012:10:01 11:00:00", "2012:10:02 12:00:00",
            "1999:12:31 11:00:00", "1999:12:31 16:20:00", "2026:03:01 18:00:00",
        ],
    )  # fmt: skip
    def test_t7_leaves_ordinary_moments(self, photo, raw):
        assert "T7" not in weights(verify(photo(raw)))

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

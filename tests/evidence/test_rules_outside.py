"""What each rule is set off by, and what not: names, neighbours, files, intake, persons."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from ldapp.evidence.context import (
    Confirmation,
    Neighbour,
    Sighting,
    VerifyContext,
)
from ldapp.evidence.verify import verify
from tests.evidence.saying import BERLIN, DENVER, TAKEN, says, utc, weights

TIME = "2026-02-14T09:15:30"


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

"""Clock errors from photos of a known time."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from ldapp.claim.photo_facts import ClockReference
from ldapp.evidence.context import VerifyContext
from ldapp.evidence.verify import verify


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def reference(local: str, true: str, **others) -> ClockReference:
    values = {
        "make": "Invented Optics", "model": "IO-1", "camera_local": local,
        "reference": utc(true), "accuracy_s": 1, "says": "the counter's code",
    }  # fmt: skip
    return ClockReference(**(values | others))


def codes(verdict) -> list[str]:
    return [reason.code for reason in verdict.reasons]


def test_one_reference_corrects_without_any_zone(photo):
    shot = photo("2026:02:14 10:15:30")
    one = reference("2026-02-14T09:15:30", "2026-02-14T08:05:30")
    verdict = verify(shot, VerifyContext(references=(one,)))
    assert verdict.corrected_utc == utc("2026-02-14T09:05:30")
    assert codes(verdict) == ["R1"]
    assert verdict.standing == "corrected"
    assert verdict.clock_error_s is None
    assert verdict.summary == (
        "Camera clock corrected; corrected time 14 Feb 2026, 09:05:30 (UTC) ± 1 s."
    )
    assert verdict.reasons[0].says == "Clock checked against the counter's code on 14 Feb 2026."


def test_with_an_offset_the_error_is_said(photo):
    shot = photo("2026:02:14 10:15:30", offset="+01:00")
    one = reference("2026-02-14T09:15:30", "2026-02-14T08:05:30")
    verdict = verify(shot, VerifyContext(references=(one,)))
    assert verdict.clock_error_s == 600
    assert verdict.summary == (
        "Camera clock 10 min fast; corrected time 14 Feb 2026, 10:05:30 (UTC+1) ± 1 s."
    )


def test_a_right_clock_is_backed(photo):
    shot = photo("2026:02:14 10:15:30", offset="+01:00")
    one = reference("2026-02-14T09:15:30", "2026-02-14T08:15:29")
    verdict = verify(shot, VerifyContext(references=(one,)))
    assert verdict.standing == "backed"
    assert verdict.clock_error_s == 1
    assert verdict.earliest < verdict.corrected_utc < verdict.latest


def test_between_two_references_the_error_is_interpolated(photo):
    shot = photo("2026:02:16 12:00:00", offset="+00:00")
    first = reference("2026-02-15T12:00:00", "2026-02-15T11:59:50")
    second = reference("2026-02-17T12:00:00.0", "2026-02-17T11:59:30")
    verdict = verify(shot, VerifyContext(references=(second, first)))
    assert verdict.clock_error_s == 20
    assert verdict.uncertainty_s == 4
    assert codes(verdict) == ["R1"]


def test_a_clock_that_was_changed_between(photo):
    shot = photo("2026:02:16 12:00:00", offset="+00:00")
    first = reference("2026-02-15T18:00:00", "2026-02-15T18:00:00")
    second = reference("2026-02-17T12:00:00", "2026-02-17T11:00:00")
    verdict = verify(shot, VerifyContext(references=(first, second)))
    assert codes(verdict) == ["R2", "R1"]
    assert verdict.clock_error_s == 0
    assert verdict.uncertainty_s > 3600


def test_only_the_same_body_within_a_week(photo):
    shot = photo("2026:02:14 10:15:30", offset="+01:00", serial="1")
    one = reference("2026-02-14T09:15:30", "2026-02-14T08:05:30")
    for other in (
        replace(one, model="IO-2"),
        replace(one, serial="2"),
        replace(one, camera_local="2026-02-06T09:15:30"),
        replace(one, camera_local="unknown"),
    ):
        assert verify(shot, VerifyContext(references=(other,))).corrected_utc is None
    assert verify(shot, VerifyContext(references=(replace(one, serial="1"),))).corrected_utc
    assert verify(shot, VerifyContext(references=(one,))).corrected_utc


def test_the_reach_of_a_reference_is_a_week_to_the_second(photo):
    one = reference("2026-02-14T09:15:30", "2026-02-14T08:15:30")
    week = VerifyContext(references=(one,))
    assert verify(photo("2026:02:21 09:15:30"), week).corrected_utc is not None
    assert verify(photo("2026:02:21 09:15:31"), week).corrected_utc is None


def test_how_far_a_clock_may_drift_between_two(photo):
    """60 s and 10 s a day: 80 s in two days is drift, 81 s is a hand at the clock."""
    shot = photo("2026:02:16 12:00:00", offset="+00:00")
    first = reference("2026-02-15T12:00:00", "2026-02-15T12:00:00")
    for second, found in (("2026-02-17T11:58:40", ["R1"]), ("2026-02-17T11:58:39", ["R2", "R1"])):
        both = VerifyContext(references=(first, reference("2026-02-17T12:00:00", second)))
        assert codes(verify(shot, both)) == found


def test_a_reference_goes_before_a_satellite_correction(photo):
    shot = photo("2026:02:14 10:15:30", fix=(52.52, 13.405, "2026-02-14", "09:07:48"))
    one = reference("2026-02-14T09:15:30", "2026-02-14T08:15:30")
    verdict = verify(shot, VerifyContext(references=(one,)))
    assert verdict.corrected_utc == utc("2026-02-14T09:15:30")
    assert verdict.standing == "backed"

"""Standing, order of reasons, words, and the window of a count."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from pydantic import TypeAdapter

from ldapp.claim.photo_facts import (
    RULE_CODES,
    STANDING_SAYS,
    STANDINGS,
    PhotoFacts,
    PhotoVerdict,
    XmpFacts,
)
from ldapp.evidence.context import VerifyContext
from ldapp.evidence.verify import verify

BERLIN = (52.52, 13.405)
TAKEN = "2026:02:14 10:15:30"


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def test_one_weakness_leaves_the_second_source(photo):
    backed = photo(TAKEN, offset="+01:00", fix=(*BERLIN, "2026-02-14", "09:15:26"), serial="1")
    assert verify(backed).standing == "backed"
    edited = replace(backed, software="Invented Photo Editor")
    assert verify(edited).standing == "backed"
    twice = replace(edited, xmp=XmpFacts(taken="2026-02-10T10:07:00"))
    assert verify(twice).standing == "open"
    assert verify(backed).summary == (
        "Taken 14 Feb 2026, 10:15:30 (UTC+1). The camera's clock and the satellite time agree "
        "within 4 s."
    )


def test_words_of_each_standing(photo):
    assert verify(photo(TAKEN, offset="+05:45")).summary == (
        "The camera says 14 Feb 2026, 10:15:30 (UTC+5:45). Nothing else confirms it."
    )
    assert verify(photo(TAKEN)).summary.startswith("The camera says 14 Feb 2026, 10:15:30. ")
    opened = verify(photo("2000:01:01 00:00:10"))
    assert opened.summary.startswith("The date may be wrong: This looks like the factory setting")
    none = photo(None, digitized=None)
    assert verify(none).summary == "The file carries no date."
    taken_in = VerifyContext(imported=utc("2026-06-18T17:20:00"))
    assert verify(none, taken_in).summary == (
        "The file carries no date. It existed by 18 Jun 2026, 17:20:00 (UTC), when it was taken in."
    )
    assert verify(none, taken_in).latest == utc("2026-06-18T17:20:00")
    late = VerifyContext(imported=utc("2026-02-01T00:00:00"))
    assert verify(photo(TAKEN), late).summary == (
        "The sources exclude each other: The date lies after the moment the file was taken in."
    )
    broken = photo(None, digitized=None, error="a.jpg is empty. Copy it from the camera again.")
    assert verify(broken).summary == broken.error


def test_reasons_stand_in_order_of_strength_and_always_the_same(photo):
    messy = photo(
        "2000:01:01 00:00:10", changed="1999:01:01 00:00:00", complete=False,
        content_credentials=True, second_taken=TAKEN, preview_match="turned",
    )  # fmt: skip
    context = VerifyContext(original_unchanged=False)
    first = verify(messy, context)
    order = ("excludes", "undermines", "weakens", "supports", "note")
    ranks = [order.index(reason.weight) for reason in first.reasons]
    assert ranks == sorted(ranks)
    assert len(ranks) > 5
    assert verify(messy, context) == first


@pytest.mark.parametrize(
    ("start", "end", "wanted"),
    [
        ("2026-02-14T09:00:00", "2026-02-14T10:00:00", "yes"),
        ("2026-02-14T09:15:30", "2026-02-14T09:15:30", "yes"),
        ("2026-02-14T09:15:31", "2026-02-14T10:00:00", "no"),
        ("2026-02-14T08:00:00", "2026-02-14T09:15:29", "no"),
    ],
)
def test_window_of_the_count(photo, start, end, wanted):
    context = VerifyContext(window=(utc(start), utc(end)))
    assert verify(photo(TAKEN, offset="+01:00"), context).in_window == wanted


def test_window_is_partly_met_where_the_offset_is_unknown(photo):
    context = VerifyContext(window=(utc("2026-02-14T09:00:00"), utc("2026-02-14T11:00:00")))
    assert verify(photo(TAKEN), context).in_window == "partly"
    assert verify(photo(TAKEN), replace(context, zone="Europe/Berlin")).in_window == "yes"
    assert verify(photo(None, digitized=None), context).in_window == "unknown"
    assert verify(photo(TAKEN)).in_window is None


def test_a_zone_that_does_not_exist_is_none(photo):
    verdict = verify(photo(TAKEN), VerifyContext(zone="Mars/Base"))
    assert (verdict.offset, verdict.zone) == (None, None)


def test_extreme_years_are_judged_without_fault(photo):
    for raw in ("9999:12:31 23:59:59", "0001:01:01 00:00:00", "9999:12:31 23:59:60"):
        for offset in (None, "+14:00", "-12:00"):
            verdict = verify(photo(raw, offset=offset, fix=(*BERLIN, "2026-02-14", "09:15:30")))
            assert verdict.standing in ("open", "contradicted", "none")
        now = VerifyContext(zone="America/New_York", now=utc("2026-02-14T12:00:00"))
        assert verify(photo(raw), now).standing in ("open", "contradicted", "none")


def test_the_ends_of_the_calendar(photo):
    last = "9999:12:31 23:59:59"
    for taken, offset, date in (
        (last, "+00:00", "9999-12-31"), ("0001:01:01 00:00:00", "+00:00", "0001-01-01"),
        (last, "-12:00", None), ("0001:01:01 00:00:00", "+14:00", None),
    ):  # fmt: skip
        for time in ("23:59:60", "23:50:00", "00:00:00", "00:10:00", "12:00:00"):
            shot = photo(taken, offset=offset, fix=(*BERLIN, date, time))
            assert verify(shot).summary
            assert verify(replace(shot, taken=replace(shot.taken, offset=None))).summary


def test_facts_and_verdicts_survive_the_claim_file(photo):
    facts = photo(
        TAKEN, offset="+01:00", fix=(*BERLIN, "2026-02-14", "09:15:26.5"),
        file_modified=utc("2026-02-14T09:15:30"),
    )  # fmt: skip
    verdict = verify(facts)
    one, two = TypeAdapter(PhotoFacts), TypeAdapter(PhotoVerdict)
    assert one.validate_json(one.dump_json(facts)) == facts
    assert two.validate_json(two.dump_json(verdict)) == verdict


def test_the_published_words():
    assert STANDINGS == ("backed", "corrected", "camera_only", "open", "contradicted", "none")
    assert set(STANDING_SAYS) == set(STANDINGS)
    assert len(RULE_CODES) == len(set(RULE_CODES)) == 62

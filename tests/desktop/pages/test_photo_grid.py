"""The photo model and its grid: thousands of tiles, lazily drawn, never in the way."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from PySide6.QtCore import QObject, QSize, Qt
from PySide6.QtGui import QPalette
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoFacts, RecordedTime
from ldapp.claim.photos import Pairing, Photo
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.photo_groups import ALL, NONE, group_photos
from ldapp.desktop.pages.photo_model import (
    TILE_ROLE,
    PhotoModel,
    photo_ids_as_mime,
    photo_ids_of_mime,
)
from ldapp.desktop.pages.photos import PhotosPage
from ldapp.desktop.pages.previews import Previews
from ldapp.desktop.pages.standing_mark import standing_colour
from tests.desktop.pulse import Pulse

from .conftest import PICKUP, page_claim

Prepare = Callable[[ClaimContext], None]


def record(number: int) -> Photo:
    """A photo as a claim knows it, without a file behind it."""
    taken = (PICKUP + dt.timedelta(seconds=40 * number)).replace(tzinfo=None).isoformat()
    facts = PhotoFacts(
        file_name=f"IMG_{number:05d}.JPG",
        sha256=f"{number:064x}",
        bytes=1,
        make="Invented",
        model="Demo One" if number % 3 else "Demo Two",
        taken=RecordedTime(raw=taken, state="ok", local=taken, offset="-07:00"),
    )
    pairings = (Pairing(line=f"line-{number % 6 + 1}", count="c1"),) if number % 2 else ()
    return Photo(id=f"photo-{number}", name=facts.file_name, facts=facts, pairings=pairings)


def big_claim(photos: int, lines: int = 6) -> Claim:
    claim = page_claim(lines)
    return dataclasses.replace(claim, photos=tuple(record(n) for n in range(photos)))


@contextmanager
def no_originals() -> Iterator[Any]:
    class Nothing:
        def path_of(self, sha256: str) -> Any:
            from ldapp.errors import LdappError

            raise LdappError("The original is not there.")

    yield Nothing()


@pytest.fixture
def model(qtbot: QtBot, qapp: Any) -> Iterator[PhotoModel]:
    owner = QObject()
    with no_originals() as originals:
        previews = Previews(originals, QSize(176, 132), owner)
        yield PhotoModel(previews, owner)
        previews.shut_down()


def test_the_model_keeps_qts_rules(qtmodeltester: ModelTester, model: PhotoModel) -> None:
    claim = big_claim(30)
    qtmodeltester.check(model)
    model.show(claim, {}, [photo.id for photo in claim.photos])
    qtmodeltester.check(model)
    model.show(claim, {}, [photo.id for photo in claim.photos[3:9]])
    qtmodeltester.check(model)
    assert model.rowCount() == 6


def test_a_change_of_one_photo_touches_its_row_alone(qtbot: QtBot, model: PhotoModel) -> None:
    claim = big_claim(10)
    ids = [photo.id for photo in claim.photos]
    model.show(claim, {}, ids)
    assert model.data(model.index(2), TILE_ROLE).paired is False
    photos = list(claim.photos)
    photos[2] = dataclasses.replace(photos[2], pairings=(Pairing(line="line-1"),))
    with qtbot.waitSignal(model.dataChanged) as changed, qtbot.assertNotEmitted(model.modelReset):
        model.show(dataclasses.replace(claim, photos=tuple(photos)), {}, ids)
    assert (changed.args[0].row(), changed.args[1].row()) == (2, 2)
    assert model.data(model.index(2), TILE_ROLE).line == "1 · Combo stand with head"


def test_a_tile_says_everything_for_those_who_do_not_see_it(model: PhotoModel) -> None:
    claim = big_claim(2)
    model.show(claim, {}, ["photo-1"])
    words = model.data(model.index(0), int(Qt.ItemDataRole.AccessibleTextRole))
    assert words == "IMG_00001.JPG, being read, being verified, 2 · Sandbag, heavy"


def test_dragged_photos_travel_by_id() -> None:
    assert photo_ids_of_mime(photo_ids_as_mime(["a", "b"])) == ("a", "b")


def test_groups_hold_every_photo_once_and_empty_lines_too() -> None:
    claim = big_claim(50, lines=7)
    groups = {group.key: group for group in group_photos(claim, {}, "line")}
    assert len(groups[ALL].photos) == 50
    assert len(groups[NONE].photos) == 25
    assert groups["line-7"].photos == ()
    inside = [one for key, group in groups.items() if key != ALL for one in group.photos]
    assert sorted(inside) == sorted(groups[ALL].photos)
    devices = group_photos(claim, {}, "device")
    assert [group.title for group in devices[1:]] == ["Invented Demo One", "Invented Demo Two"]


def test_a_pause_of_half_an_hour_begins_a_new_group() -> None:
    from ldapp.casework.verdicts import verdicts_of

    claim = big_claim(4)
    late = dataclasses.replace(
        claim.photos[3],
        facts=dataclasses.replace(
            claim.photos[3].facts,
            taken=RecordedTime(raw="", state="ok", local="2026-03-02T08:40:00", offset="-07:00"),
        ),
    )
    claim = dataclasses.replace(claim, photos=(*claim.photos[:3], late))
    groups = group_photos(claim, verdicts_of(claim), "gap")
    assert [len(group.photos) for group in groups] == [4, 3, 1]


def test_doubtful_standings_are_not_shown_in_the_ordinary_colour(qapp: Any) -> None:
    palette = QPalette()
    ordinary = standing_colour("backed", palette)
    assert standing_colour("contradicted", palette) != ordinary
    assert standing_colour("open", palette) != ordinary
    assert standing_colour("corrected", palette) == ordinary


def test_five_thousand_photos_never_hold_the_window(
    qtbot: QtBot, show_page: Callable[..., PhotosPage]
) -> None:
    """quality.md: open, scroll, filter; the event loop is never held longer than 100 ms."""
    page = show_page(PhotosPage, big_claim(5000, lines=2000))
    pulse = Pulse()
    qtbot.waitUntil(lambda: page.model.rowCount() == 5000)
    qtbot.wait(300)
    pulse.begin()
    bar = page.grid.verticalScrollBar()
    for part in range(12):
        bar.setValue(bar.maximum() * part // 12)
        qtbot.wait(30)
    page.shelf.choose(NONE)
    qtbot.wait(50)
    qtbot.keyClicks(page.shelf.search, "sandbag")
    qtbot.wait(50)
    page.shelf.choose(ALL)
    page.grid.selectAll()
    qtbot.wait(100)
    assert page.model.rowCount() == 5000
    assert pulse.end() < 0.1, pulse.held_by

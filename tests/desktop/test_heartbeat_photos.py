"""Photos come in by the hundred, and lie there by the thousand, and the window goes on."""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
import time
from collections.abc import Callable
from pathlib import Path

from PIL import Image
from PySide6.QtCore import Qt, QThread
from pytestqt.qtbot import QtBot

from ldapp.casework.places import PAGES, Page
from ldapp.casework.register import Register
from ldapp.claim.claim import Claim
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.pages.photo_groups import ALL, NONE
from ldapp.desktop.pages.photos import PhotosPage
from tests.desktop.conftest import keep
from tests.desktop.desk_claims import RETURN, desk_claim
from tests.desktop.pages.test_photo_grid import record
from tests.desktop.pulse import Pulse

MOST_S = 0.1


def draw_twelve_megapixels(folder: Path, number: int) -> list[Path]:
    """One drawn photo of 4000 × 3000, copied with other times and other bytes each."""
    folder.mkdir()
    shade = Image.linear_gradient("L").resize((4000, 3000))
    grain = Image.effect_noise((1000, 750), 30).resize((4000, 3000))
    image = Image.merge("RGB", (shade, grain, Image.blend(shade, grain, 0.5)))
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Invented", "Demo One"
    first = RETURN.strftime("%Y:%m:%d %H:%M:%S")
    exif.get_ifd(0x8769)[0x9003] = first
    exif.get_ifd(0x8769)[0x9011] = "-07:00"
    stream = io.BytesIO()
    image.save(stream, "JPEG", quality=80, exif=exif)
    data = stream.getvalue()
    paths = []
    for one in range(number):
        when = (RETURN + dt.timedelta(seconds=7 * one)).strftime("%Y:%m:%d %H:%M:%S")
        words = f"photo {one}".encode()
        comment = b"\xff\xfe" + (len(words) + 2).to_bytes(2, "big") + words
        path = folder / f"IMG_{one:04d}.JPG"
        tagged = data.replace(first.encode(), when.encode())
        path.write_bytes(tagged[:-2] + comment + tagged[-2:])
        paths.append(path)
    return paths


def test_a_held_event_loop_is_noticed_and_what_held_it_is_named(qtbot: QtBot) -> None:
    pulse = Pulse()
    pulse.begin()
    qtbot.wait(50)
    QThread.msleep(180)
    qtbot.wait(50)
    assert pulse.end() > 0.15
    assert "msleep" in pulse.held_by
    computing = Pulse()
    computing.begin()
    qtbot.wait(20)
    until = time.thread_time() + 0.15
    while time.thread_time() < until:
        pass
    qtbot.wait(20)
    assert computing.end() > 0.14


def test_two_hundred_photos_of_twelve_megapixels_are_taken_in(
    qtbot: QtBot, view: ClaimView, window: MainWindow, tmp_path: Path, idle: Callable[[], None]
) -> None:
    """Issue: importing 200 twelve-megapixel photos never holds the loop longer than 100 ms."""
    draw_twelve_megapixels(tmp_path / "card", 200)
    view.show_page("photos")
    page = view.page("photos")
    assert isinstance(page, PhotosPage)
    idle()
    pulse = Pulse()
    pulse.begin()
    window.take_files("photos", [tmp_path / "card"])
    qtbot.waitUntil(lambda: len(view.context.claim.photos) == 200, timeout=240_000)
    qtbot.waitUntil(lambda: page.model.rowCount() == 200, timeout=20_000)
    qtbot.waitUntil(lambda: view.context.up_to_date, timeout=60_000)
    bar = page.grid.verticalScrollBar()
    for part in range(9):
        bar.setValue(bar.maximum() * part // 8)
        qtbot.wait(60)
    longest = pulse.end()
    assert pulse.beats > 50
    assert longest < MOST_S, f"held for {longest * 1000:.0f} ms\n{pulse.held_by}"


def large_claim() -> Claim:
    claim = desk_claim(2000, "large-claim")
    return dataclasses.replace(claim, photos=tuple(record(number) for number in range(5000)))


def click_page(qtbot: QtBot, view: ClaimView, name: Page) -> None:
    names = view.pages_list
    where = names.visualItemRect(names.item(PAGES.index(name))).center()
    qtbot.mouseClick(names.viewport(), Qt.MouseButton.LeftButton, pos=where)


def test_two_thousand_lines_and_five_thousand_photos_are_opened_and_walked_through(
    qtbot: QtBot, window: MainWindow, register: Register, idle: Callable[[], None]
) -> None:
    keep(register, large_claim())
    window.refresh_register()
    idle()
    held: dict[str, tuple[float, str]] = {}

    def measure(name: str, act: Callable[[], object], settle: Callable[[], object]) -> None:
        pulse = Pulse()
        pulse.begin()
        act()
        settle()
        held[name] = (pulse.end(), pulse.held_by)

    def studied() -> None:
        view = window.claim_view
        assert view is not None
        qtbot.waitUntil(lambda: view.context.up_to_date, timeout=60_000)
        qtbot.wait(100)

    def opened() -> None:
        qtbot.waitUntil(lambda: window.claim_view is not None, timeout=60_000)
        studied()

    measure("open", lambda: window.open_claim("large-claim"), opened)
    view = window.claim_view
    assert view is not None
    for name in PAGES[:-1]:
        measure(name, lambda name=name: click_page(qtbot, view, name), lambda: qtbot.wait(400))
        assert view.current_page == name
        assert view.page(name).isVisible()
    view.show_page("photos")
    page = view.page("photos")
    assert isinstance(page, PhotosPage)
    qtbot.waitUntil(lambda: page.model.rowCount() == 5000)

    def scroll() -> None:
        bar = page.grid.verticalScrollBar()
        for part in range(12):
            bar.setValue(bar.maximum() * part // 11)
            qtbot.wait(30)

    measure("scroll photos", scroll, lambda: qtbot.wait(50))
    measure("photos without a line", lambda: page.shelf.choose(NONE), lambda: qtbot.wait(100))
    measure("all photos", lambda: page.shelf.choose(ALL), lambda: qtbot.wait(100))
    late = {name: longest for name, (longest, _) in held.items() if longest >= MOST_S}
    assert not late, "\n\n".join(f"{name}: {held[name]}" for name in late)

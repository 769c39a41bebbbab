"""The counter's code, the watched folder, alike pictures and the check of originals."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Callable
from pathlib import Path

from PIL import Image, ImageFilter
from PySide6.QtCore import QBuffer, QIODevice, Qt
from pytestqt.qtbot import QtBot

from ldapp.casework.counter_codes import code_at
from ldapp.casework.photo_intake import take_in_photos
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.counter_code_window import CounterCodeWindow, show_counter_code
from ldapp.desktop.pages.photos import PhotosPage
from ldapp.desktop.watched_folder import WatchedFolder
from ldapp.evidence.counter_code import SHOWN_FOR, read_code_text

from .conftest import draw_photo, page_claim

Prepare = Callable[[ClaimContext], None]
Show = Callable[..., PhotosPage]
LEFT = Qt.MouseButton.LeftButton


def code_window(page: PhotosPage) -> CounterCodeWindow:
    page.evidence.show_code.trigger()
    window = page.window().findChild(CounterCodeWindow)
    assert isinstance(window, CounterCodeWindow)
    return window


def photographed(qtbot: QtBot, window: CounterCodeWindow, path: Path) -> Path:
    """What a camera sees of the window, as the camera would write it, 75 s fast."""
    code = read_code_text(window.symbol.accessibleName().removeprefix("The code "))
    assert code is not None
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    window.grab().save(buffer, "PNG")
    path.with_suffix(".png").write_bytes(bytes(buffer.data().data()))
    with Image.open(path.with_suffix(".png")) as seen:
        local = code.issued - dt.timedelta(hours=7) + dt.timedelta(seconds=75)
        exif = Image.Exif()
        exif[0x010F], exif[0x0110] = "Invented", "Demo One"
        exif.get_ifd(0x8769)[0x9003] = local.strftime("%Y:%m:%d %H:%M:%S")
        exif.get_ifd(0x8769)[0x9011] = "-07:00"
        blurred = seen.convert("RGB").rotate(4, expand=True).filter(ImageFilter.GaussianBlur(1))
        blurred.save(path, "JPEG", exif=exif, quality=80)
    path.with_suffix(".png").unlink()
    return path


def test_the_code_on_the_screen_is_photographed_and_the_person_sets_the_clock(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    entries = len(page.context.desk.outline())
    window = code_window(page)
    window.show_now()
    window.show_now()
    assert len(page.context.desk.outline()) == entries + 1
    path = photographed(qtbot, window, tmp_path / "code.jpg")
    qtbot.mouseClick(window.close_button, LEFT)
    page.take_files([path])
    qtbot.waitUntil(page.evidence.code_strip.isVisible, timeout=10000)
    assert "The clock of Invented Demo One is 1 min 15 s fast." in page.evidence.code_says.text()
    assert page.context.claim.clock_corrections == ()
    qtbot.mouseClick(page.evidence.accept, LEFT)
    (correction,) = page.context.claim.clock_corrections
    assert correction.reference == "the counter's code"
    assert not page.evidence.code_strip.isVisible()
    page.context.desk.undo()
    qtbot.waitUntil(page.evidence.code_strip.isVisible)
    qtbot.mouseClick(page.evidence.not_now, LEFT)
    assert not page.evidence.code_strip.isVisible()
    assert page.context.claim.clock_corrections == ()


def test_the_code_changes_with_the_second_and_a_long_showing_is_begun_anew(
    qtbot: QtBot, show_page: Show
) -> None:
    page = show_page(PhotosPage, page_claim())
    window = show_counter_code(page.context, page)
    assert window is not None
    first, word = window.symbol.accessibleName(), window.word.text()
    qtbot.waitUntil(lambda: window.symbol.accessibleName() != first, timeout=3000)
    assert window.word.text() != word
    old = window.showing
    window.showing = type(old)(
        id=old.id, word=old.word, issued=old.issued - SHOWN_FOR, issued_by=old.issued_by
    )
    window.show_now()
    assert len(page.context.claim.issued_codes) == 2
    assert window.showing == page.context.claim.issued_codes[1]
    assert window.word.text() in {
        code_at(window.showing.word, dt.datetime.now(dt.UTC) - dt.timedelta(seconds=back)).word
        for back in range(3)
    }
    window.close()


def test_new_photos_of_a_watched_folder_come_in_until_the_person_stops(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    folder = tmp_path / "phone"
    folder.mkdir()
    draw_photo(folder / "old.jpg", None, "old")
    watched = page.evidence.watched
    assert not page.evidence.watch_strip.isVisible()
    watched.watch(folder)
    qtbot.waitUntil(lambda: watched.ready, timeout=5000)
    assert "Watching phone for new photos" in page.evidence.watch_says.text()
    page.evidence.at_count.set_value("c2")
    page.evidence.at_count.committed.emit("c2")
    (folder / "DCIM").mkdir()
    draw_photo(folder / "DCIM" / "new.jpg", None, "new")
    qtbot.waitUntil(lambda: len(page.context.claim.photos) == 1, timeout=10000)
    (photo,) = page.context.claim.photos
    assert (photo.name, photo.source, photo.count) == ("new.jpg", "watched_folder", "c2")
    qtbot.waitUntil(lambda: "1 photo taken in" in page.evidence.watch_says.text(), timeout=5000)
    qtbot.mouseClick(page.evidence.stop, LEFT)
    assert not page.evidence.watch_strip.isVisible()
    draw_photo(folder / "later.jpg", None, "later")
    qtbot.wait(2500)
    assert len(page.context.claim.photos) == 1
    assert page.evidence.go_on.text() == "Go on watching phone"


def test_a_file_that_still_grows_is_not_taken_before_it_rests(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    whole = draw_photo(tmp_path / "whole.jpg", None, "whole").read_bytes()
    folder = tmp_path / "phone"
    folder.mkdir()
    watched = WatchedFolder.of(page.context)
    watched.watch(folder)
    qtbot.waitUntil(lambda: watched.ready, timeout=5000)
    with (folder / "IMG_1.jpg").open("wb") as file:
        for part in range(6):
            file.write(whole[part * len(whole) // 6 : (part + 1) * len(whole) // 6])
            file.flush()
            qtbot.wait(700)
            assert page.context.claim.photos == ()
    qtbot.waitUntil(lambda: len(page.context.claim.photos) == 1, timeout=10000)
    assert page.context.claim.photos[0].facts.bytes == len(whole)


def test_a_folder_out_of_reach_is_said_and_watched_again_when_it_is_back(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    folder = tmp_path / "phone"
    folder.mkdir()
    watched = page.evidence.watched
    watched.watch(folder)
    qtbot.waitUntil(lambda: watched.ready, timeout=5000)
    shutil.move(folder, tmp_path / "away")
    qtbot.waitUntil(lambda: "cannot be reached" in page.evidence.watch_says.text(), timeout=6000)
    shutil.move(tmp_path / "away", folder)
    qtbot.waitUntil(lambda: "Watching phone" in page.evidence.watch_says.text(), timeout=6000)


def test_alike_pictures_stand_in_one_group_and_nothing_is_removed(
    show_page: Show, tmp_path: Path
) -> None:
    picture = Image.linear_gradient("L").rotate(90).convert("RGB")
    picture.save(tmp_path / "a.png")
    picture.resize((128, 128)).save(tmp_path / "b.jpg", quality=60)
    Image.radial_gradient("L").convert("RGB").save(tmp_path / "c.png")

    def prepare(context: ClaimContext) -> None:
        assert context.register is not None
        paths = [tmp_path / name for name in ("a.png", "b.jpg", "c.png")]
        take_in_photos(context.desk, context.register.originals, paths)

    page = show_page(PhotosPage, page_claim(), prepare)
    page.shelf.set_grouping("alike")
    page.shelf.grouping_changed.emit("alike")
    groups = {group.title: len(group.photos) for group in page.shelf.model.all_rows}
    assert groups == {"All photos": 3, "Like a.png": 2, "Like no other": 1}


def test_a_changed_original_is_said_and_its_photo_is_contradicted(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    page = show_page(PhotosPage, page_claim(), with_photos)
    with qtbot.waitSignal(page.context.message, timeout=10000) as said:
        page.evidence.check.trigger()
    assert said.args == ["8 originals checked: all as they were taken in."]
    photo = page.context.claim.photos[0]
    path = page.context.desk.originals.path_of(photo.facts.sha256)
    path.chmod(0o644)
    path.write_bytes(b"another")
    with qtbot.waitSignal(page.context.failed, timeout=10000) as failed:
        page.evidence.check.trigger()
    assert f"Changed since they were taken in: {photo.name}." in str(failed.args[0])
    qtbot.waitUntil(
        lambda: page.context.verdicts[photo.id].standing == "contradicted", timeout=10000
    )


def test_a_pulled_card_is_said_in_one_sentence(
    qtbot: QtBot, show_page: Show, tmp_path: Path
) -> None:
    page = show_page(PhotosPage, page_claim())
    paths = [draw_photo(tmp_path / "IMG_1.jpg", None, "one"), tmp_path / "IMG_2.jpg"]
    for gone in (paths[1:], [*paths[1:], tmp_path / "IMG_3.jpg"]):
        with qtbot.waitSignal(page.context.failed, timeout=10000) as failed:
            page.intake.take_in(gone, "card")
        assert str(failed.args[0]).startswith(f"The card was pulled: 0 of its {len(gone)} photos")
    with qtbot.waitSignal(page.context.message, timeout=10000) as said:
        page.intake.take_in(paths, "card")
    assert said.args == ["1 photo taken in, 1 refused."]

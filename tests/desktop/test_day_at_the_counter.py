"""The crew member's day in the window: count, photograph, set the clock, sign, go home.

One story, invented.  The kit goes out in the morning and comes back at night; one panel is
bent, the rental company's person will not sign, and the phone's clock is 75 seconds fast.
"""

from __future__ import annotations

import datetime as dt
import subprocess
from collections.abc import Iterator
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from PIL import Image
from PySide6.QtCore import QBuffer, QIODevice, Qt
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from ldapp.casework.cautions import cautions_for_damage
from ldapp.casework.counts import entry_of
from ldapp.claim.photos import Photo
from ldapp.desktop.counter_view import CounterView
from ldapp.desktop.dropped_files import DroppedFilesDialog
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.pages.count_parts.damage_dialog import DamageDialog
from ldapp.desktop.pages.counter_code_window import CounterCodeWindow
from ldapp.desktop.pages.counts import CountsPage
from ldapp.desktop.pages.dossier import DossierPage
from ldapp.desktop.pages.findings import FindingsPage
from ldapp.desktop.pages.kit import KitPage
from ldapp.desktop.pages.photos import PhotosPage
from ldapp.desktop.widgets.pieces import Label
from ldapp.evidence.counter_code import read_code_text
from tests.desktop.pages.conftest import draw_photo
from tests.desktop.walk import Walk, begin_count, make_claim, sign

WEST = dt.timezone(dt.timedelta(hours=-7))
FAST = dt.timedelta(seconds=75)
KIT = """Line,Description,Quantity,Location
1,C-stand with arm,10,Cart A
2,"Sandbag, heavy",20,Cart A
3,"LED panel, wide",4,Cart B
4,"Battery, brick",6,Cart B
"""


@pytest.fixture
def walk(qtbot: QtBot, window: MainWindow, qapp: QApplication, tmp_path: Path) -> Iterator[Walk]:
    # Qt's own file dialogs: those of a desktop cannot be typed into by a test.
    qapp.setAttribute(Qt.ApplicationAttribute.AA_DontUseNativeDialogs, True)
    yield Walk(qtbot, window, tmp_path)
    qapp.setAttribute(Qt.ApplicationAttribute.AA_DontUseNativeDialogs, False)


def import_kit(walk: Walk) -> None:
    file = walk.folder / "list.csv"
    file.write_text(KIT, encoding="utf-8")

    def dropped(dialog: DroppedFilesDialog) -> None:
        walk.person.click(dialog.buttons["kit_list"])

    with walk.person.answering(DroppedFilesDialog, dropped):
        walk.person.drop_files(walk.window, [file])
    page = walk.view.page("kit")
    assert isinstance(page, KitPage)
    walk.qtbot.waitUntil(lambda: page.importer.reading is not None, timeout=10_000)
    walk.settle()
    walk.person.click(page.importer.import_button)
    assert [line.quantity for line in walk.claim.kit] == [10, 20, 4, 6]


def counter_of(walk: Walk, page: CountsPage) -> CounterView:
    walk.person.click(page.counter_button)
    counter = page.counter_view
    assert isinstance(counter, CounterView)
    return counter


def count_at_pickup(walk: Walk, page: CountsPage) -> None:
    """Everything is there: two carts, two keys."""
    begin_count(walk, page._no_counts.button, "pickup", "2026-11-16 07:40", "Counter person")
    counter = counter_of(walk, page)
    walk.qtbot.keyClick(counter.number, Qt.Key.Key_R)
    walk.qtbot.keyClick(counter.number, Qt.Key.Key_R)
    end = counter.end
    walk.qtbot.waitUntil(end.isVisible)
    for side, name in (("ours", "Ada"), ("theirs", "Counter person")):
        walk.person.write(end.signatures.names[side], name)
        sign(walk, end.signatures.pads[side])
    walk.person.click(end.sign_button)
    walk.person.click(end.close_button)
    (count,) = walk.claim.counts
    assert [entry.quantity for entry in count.entries] == [10, 20, 4, 6]
    assert count.acknowledgement == "signed_by_both"


def photograph_the_code(walk: Walk, counter: CounterView, path: Path) -> dt.datetime:
    """Photograph the code on the screen with the phone; return when that really was."""
    walk.person.click(counter.head.code_button)
    window = counter.findChild(CounterCodeWindow)
    assert isinstance(window, CounterCodeWindow)
    code = read_code_text(window.symbol.accessibleName().removeprefix("The code "))
    assert code is not None
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    window.grab().save(buffer, "PNG")
    seen = walk.folder / "screen.png"
    seen.write_bytes(bytes(buffer.data().data()))
    taken = code.issued.astimezone(WEST)
    camera = draw_photo(walk.folder / "camera.jpg", taken + FAST, "code")
    with Image.open(seen) as screen, Image.open(camera) as photo:
        screen.convert("RGB").rotate(3, expand=True).save(
            path, "JPEG", exif=photo.getexif(), quality=85
        )
    walk.person.click(window.close_button)
    return taken


def photo_named(walk: Walk, name: str) -> Photo:
    return next(one for one in walk.claim.photos if one.name == name)


def test_the_day_of_a_crew_member_at_the_counter(walk: Walk) -> None:
    person, bot = walk.person, walk.qtbot
    make_claim(walk)
    import_kit(walk)
    page = walk.go(3)
    assert isinstance(page, CountsPage)
    count_at_pickup(walk, page)

    # Back at the counter at night, with a phone on a cable.
    begin_count(walk, page.add_button, "return", "2026-11-16 21:10", "Counter person")
    counter = counter_of(walk, page)
    phone = walk.folder / "phone"
    phone.mkdir()
    with person.answering(QFileDialog, person.names_file(phone)):
        person.click(counter.photos.watch_button)
    bot.waitUntil(lambda: counter.photos.watched.ready, timeout=5000)
    taken = photograph_the_code(walk, counter, phone / "IMG_0101.JPG")
    bot.waitUntil(lambda: len(walk.claim.photos) == 1, timeout=15_000)

    bot.keyClicks(counter.number, "10")
    bot.keyClick(counter.number, Qt.Key.Key_Return)
    bot.keyClick(counter.number, Qt.Key.Key_R)
    assert counter.row is not None
    assert counter.row.line.number == "3"

    def damage(dialog: DamageDialog) -> None:
        shown = [one.text() for one in dialog.findChildren(Label)]
        for caution in cautions_for_damage(walk.claim.kit[2].kind):
            assert caution in shown
        person.choose(dialog.condition, "damaged")
        bot.keyClicks(dialog.note, "Frame bent at one corner")
        person.accept(dialog)

    with person.answering(DamageDialog, damage):
        bot.keyClick(counter.number, Qt.Key.Key_D)
    assert "close up" in counter.photos.wanted.text()
    panel = walk.claim.kit[2].id
    before = {photo.id for photo in walk.claim.photos}
    for number, says in ((102, "tag"), (103, "whole panel"), (104, "corner close up")):
        at = taken + FAST + dt.timedelta(seconds=number)
        draw_photo(phone / f"IMG_0{number}.JPG", at, says)
    bot.waitUntil(lambda: len(walk.claim.photos) == 4, timeout=15_000)
    bot.waitUntil(counter.photos.pair_button.isEnabled, timeout=5000)
    bot.keyClick(counter.number, Qt.Key.Key_P)
    paired = [one for one in walk.claim.photos if panel in [p.line for p in one.pairings]]
    assert {one.id for one in paired} >= {one.id for one in walk.claim.photos} - before
    bot.keyClicks(counter.number, "4")
    bot.keyClick(counter.number, Qt.Key.Key_Return)
    bot.keyClick(counter.number, Qt.Key.Key_R)

    # The other side will not sign; that is written down, and both get the count as a PDF.
    end = counter.end
    bot.waitUntil(end.isVisible)
    assert "4 of 4 lines counted" in end._says.text()
    person.write(end.signatures.names["theirs"], "Counter person")
    person.click(end.refused_button)
    target = walk.folder / "count.pdf"
    with person.answering(QFileDialog, person.names_file(target)):
        person.click(end.pdf_button)
    bot.waitUntil(target.exists, timeout=20_000)
    walk.settle()
    person.click(end.close_button)
    count = walk.claim.counts[-1]
    assert (count.acknowledgement, count.acknowledged_by) == ("refused_to_sign", "Counter person")
    assert entry_of(count, panel).condition == "damaged"

    # The phone's clock, which the photographed code has shown, is set by the person.
    photos = walk.go(4)
    assert isinstance(photos, PhotosPage)
    bot.waitUntil(photos.evidence.code_strip.isVisible, timeout=10_000)
    assert "1 min 15 s fast" in photos.evidence.code_says.text()
    person.click(photos.evidence.accept)
    walk.settle()
    close = photo_named(walk, "IMG_0104.JPG")
    verdict = walk.view.context.verdicts[close.id]
    assert verdict.corrected_utc == taken + dt.timedelta(seconds=104)

    findings = walk.go(5)
    assert isinstance(findings, FindingsPage)
    bot.waitUntil(lambda: findings.proposals.rowCount() == 1, timeout=10_000)
    person.click(findings.accept_all)
    (finding,) = walk.claim.findings
    assert (finding.kind, walk.line_number(finding.line)) == ("damaged", "3")

    write_photo_sheet(walk, taken)


def write_photo_sheet(walk: Walk, taken: dt.datetime) -> None:
    """What is handed over at the counter shows the pictures with the time that was set."""
    page = walk.go(8)
    assert isinstance(page, DossierPage)
    walk.person.click(page.versions.button(2))
    target = walk.folder / "photos.pdf"
    with walk.person.answering(QFileDialog, walk.person.names_file(target)):
        walk.person.click(page.side.write)
    walk.qtbot.waitUntil(lambda: page.written == (target,), timeout=30_000)
    done = subprocess.run(
        ["pdftotext", "-layout", str(target), "-"], check=True, capture_output=True, text=True
    )
    assert "IMG_0104.JPG" in done.stdout
    right = (taken + dt.timedelta(seconds=104)).astimezone(ZoneInfo("America/Denver"))
    printed = " ".join(done.stdout.replace("\u00a0", " ").split())
    assert f"corrected to {right.day} {right:%B %Y}, {right:%H:%M:%S} UTC" in printed

"""The Dossier page: what is missing first, pages as they will be, write, hand on."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialogButtonBox, QFileDialog, QLabel
from pytestqt.qtbot import QtBot

from ldapp.casework.cautions import cautions_before_sending
from ldapp.casework.charges import switch_ground
from ldapp.casework.places import Place
from ldapp.catalogues import make_languages_known
from ldapp.claim.documents import Document
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.bundle_dialog import BundleDialog
from ldapp.desktop.pages.dossier import DossierPage
from ldapp.desktop.pages.dossier_side import DossierSide
from ldapp.desktop.pages.seal_dialog import SealDialog, SealingChoice
from ldapp.desktop.widgets.fields import ChoiceField
from ldapp.desktop.widgets.pieces import Label
from ldapp.errors import MachineError
from tests.dossier.conftest import words_of
from tests.dossier.signing import TestAuthority

from .conftest import page_claim

Show = Callable[..., DossierPage]
Prepare = Callable[[ClaimContext], None]
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture(autouse=True, scope="module")
def every_language_is_known() -> None:
    make_languages_known()


@pytest.fixture
def page(qtbot: QtBot, show_page: Show, with_photos: Prepare) -> DossierPage:
    page = show_page(DossierPage, page_claim(), with_photos)
    page.form.fields["date"].set_value(dt.date(2026, 3, 20))
    qtbot.waitUntil(lambda: bool(page.preview._sizes), timeout=30000)
    qtbot.waitUntil(lambda: not page.context.jobs.busy, timeout=30000)
    return page


def test_the_pages_are_seen_before_anything_is_written(qtbot: QtBot, page: DossierPage) -> None:
    qtbot.waitUntil(lambda: bool(page.preview._images), timeout=15000)
    assert not page.preview._refused
    image = next(iter(page.preview._images.values()))
    assert image.width() > 300
    assert page._page_says.text().startswith("Page 1 of ")
    qtbot.keyClick(page.preview, Qt.Key.Key_PageDown)
    assert page._page_says.text().startswith("Page 2 of ")
    qtbot.keyClick(page.preview, Qt.Key.Key_End)
    assert page.preview.current_page >= len(page.preview._sizes) - 2
    assert page.written == ()


def test_what_is_missing_comes_first_and_leads_to_its_place(
    qtbot: QtBot, page: DossierPage
) -> None:
    says = [one.says for one in page.side.points.rows]
    assert any("Signed rental agreement" in one for one in says)
    marks = [one.mark for one in page.side.points.rows]
    assert marks == sorted(marks, key=lambda mark: mark != "✕ missing")
    row = next(n for n, one in enumerate(page.side.points.rows) if one.place is not None)
    page.side.point_table.setCurrentIndex(page.side.points.index(row, 0))
    with qtbot.waitSignal(page.context.go_to) as gone:
        qtbot.keyClick(page.side.point_table, Qt.Key.Key_Return)
    assert isinstance(gone.args[0], Place)


def test_the_completeness_list_belongs_to_the_insurer_alone(
    qtbot: QtBot, page: DossierPage
) -> None:
    page.versions.button(1).click()
    assert not any("Signed rental agreement" in one.says for one in page.side.points.rows)


def test_the_cautions_stand_where_the_letter_is_written(page: DossierPage) -> None:
    texts = "\n".join(label.text() for label in page.findChildren(Label))
    for caution in cautions_before_sending():
        assert caution in texts


def test_writing_makes_the_file_and_says_what_fell_short(
    qtbot: QtBot, page: DossierPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "statement.pdf"
    proposed: list[str] = []

    def ask(parent: object, title: str, name: str, kinds: str) -> tuple[str, str]:
        proposed.append(Path(name).name)
        return str(target), kinds

    monkeypatch.setattr(QFileDialog, "getSaveFileName", ask)
    assert not page.side.open_file.isEnabled()
    qtbot.mouseClick(page.side.write, LEFT)
    qtbot.waitUntil(lambda: page.written == (target,), timeout=30000)
    assert target.read_bytes().startswith(b"%PDF-")
    assert proposed == ["2026-017-insurer-2026-03-20.pdf"]
    assert "Fell short" in page.side.result.text()
    assert page.side.open_file.isEnabled()


def test_the_same_choices_write_the_same_bytes(
    qtbot: QtBot, page: DossierPage, tmp_path: Path
) -> None:
    written = []
    for name in ("one.pdf", "two.pdf"):
        page.write_to(tmp_path / name)
        qtbot.waitUntil(lambda name=name: page.written == (tmp_path / name,), timeout=30000)
        written.append((tmp_path / name).read_bytes())
    assert written[0] == written[1]


def test_a_place_that_cannot_be_written_is_one_sentence(
    qtbot: QtBot, page: DossierPage, tmp_path: Path
) -> None:
    (tmp_path / "gone").write_text("a file where the folder should be")
    with qtbot.waitSignal(page.context.failed, timeout=30000) as failed:
        page.write_to(tmp_path / "gone" / "statement.pdf")
    assert isinstance(failed.args[0], MachineError)
    assert "statement.pdf" in str(failed.args[0]) or "gone" in str(failed.args[0])
    assert page.written == ()


def test_another_version_draws_its_own_pages(qtbot: QtBot, page: DossierPage) -> None:
    before = page.preview._pages
    page.versions.button(3).click()
    qtbot.waitUntil(lambda: page.preview._pages != before, timeout=30000)
    assert page.version == "counts"
    labels = {one.text().replace("&", ""): one for one in page.form.findChildren(QLabel)}
    seen = {}
    for number in range(4):
        page.versions.button(number).click()
        names = ("agreement", "stage", "device_serials")
        seen[page.version] = [one for one in names if page.form.fields[one].isVisible()]
        assert labels["For the count at"].isVisible() == ("stage" in seen[page.version])
    assert seen == {
        "insurer": ["device_serials"],
        "dispute": ["agreement"],
        "photos": [],
        "counts": ["stage"],
    }


def test_an_answer_that_concedes_what_nobody_weighed_is_asked_about_once(
    qtbot: QtBot, page: DossierPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "answer.pdf"
    asked: list[str] = []
    says = [False, True]

    def answer(parent: object, title: str, question: str, details: str, yes: str) -> bool:
        asked.append(question)
        return says[len(asked) - 1]

    monkeypatch.setattr("ldapp.desktop.pages.dossier.ask", answer)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    page.versions.button(1).click()
    qtbot.mouseClick(page.side.write, LEFT)
    assert asked == [
        "3 charges have not been weighed: they will stand as not disputed. Write all the same?"
    ]
    assert page._sendable is None
    switch_ground(page.context.desk, "ch1", "quantity", False)
    qtbot.mouseClick(page.side.write, LEFT)
    qtbot.waitUntil(lambda: page.written == (target,), timeout=30000)
    assert asked[1].startswith("2 charges have not been weighed")
    page.versions.button(0).click()
    qtbot.mouseClick(page.side.write, LEFT)
    assert len(asked) == 2
    qtbot.waitUntil(lambda: not page.context.jobs.busy, timeout=30000)


def test_a_change_of_the_claim_marks_the_pages_as_old(qtbot: QtBot, page: DossierPage) -> None:
    from ldapp.casework.papers import change_facts

    assert not page.stale.isVisible()
    change_facts(page.context.desk, title="Another title")
    qtbot.waitUntil(page.stale.isVisible)
    before = page.preview._pages
    qtbot.mouseClick(page.stale, LEFT)
    qtbot.waitUntil(lambda: page.preview._pages != before, timeout=30000)
    assert not page.stale.isVisible()


def test_the_covering_email_goes_to_the_clipboard(qtbot: QtBot, page: DossierPage) -> None:
    page.versions.button(1).click()
    with qtbot.waitSignal(page.context.message) as said:
        qtbot.mouseClick(page.side.copy_email, LEFT)
    text = QGuiApplication.clipboard().text()
    assert text.startswith("To: d@example.org\nSubject: 2026-017: answer to your invoice LD-0932")
    assert "d@example.org" in said.args[0]


def test_the_claim_file_is_written_with_its_originals(
    qtbot: QtBot, page: DossierPage, tmp_path: Path
) -> None:
    page.write_claim_file_to(tmp_path / "out")
    qtbot.waitUntil(lambda: bool(page.written), timeout=30000)
    assert list((tmp_path / "out").rglob("*.json"))
    assert len(list((tmp_path / "out").rglob("*.JPG"))) == 8


def test_a_bundle_holds_the_dossier_and_verifies(
    qtbot: QtBot, page: DossierPage, tmp_path: Path
) -> None:
    from ldapp.casework.claim_file_outputs import verify_bundle_file

    target = tmp_path / "bundle.zip"
    page.handing.write_bundle_to(target)
    qtbot.waitUntil(lambda: page.written == (target,), timeout=30000)
    assert verify_bundle_file(target) == ()
    with zipfile.ZipFile(target) as bundle:
        assert any(name.endswith(".pdf") for name in bundle.namelist())


def test_a_written_dossier_is_logged_as_sent_with_its_hash(
    qtbot: QtBot, page: DossierPage, tmp_path: Path
) -> None:
    assert not page.side.log_sent.isEnabled()
    target = tmp_path / "statement.pdf"
    page.write_to(target)
    qtbot.waitUntil(page.side.log_sent.isEnabled, timeout=30000)
    qtbot.mouseClick(page.side.log_sent, LEFT)
    entry = page.context.claim.correspondence[0]
    assert (entry.step, entry.direction, entry.party) == ("statement_of_loss", "sent", "p3")
    assert entry.sha256 == hashlib.sha256(target.read_bytes()).hexdigest()
    assert not page.side.log_sent.isEnabled()
    qtbot.waitUntil(lambda: page.context.up_to_date, timeout=10000)
    assert not page.stale.isVisible()
    assert page.context.desk.undo() == "Log statement.pdf as sent"


def write_first(qtbot: QtBot, page: DossierPage, target: Path) -> None:
    page.write_to(target)
    qtbot.waitUntil(lambda: page.written == (target,), timeout=30000)
    qtbot.waitUntil(lambda: not page.context.jobs.busy, timeout=30000)


def test_what_was_written_is_signed_with_a_key_of_ones_own(
    qtbot: QtBot, page: DossierPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    authority = TestAuthority()
    key = authority.signer.write_key_file(tmp_path / "office.p12", "word", authority.root)
    target = tmp_path / "statement.pdf"
    assert not page.side.sign.isEnabled()
    write_first(qtbot, page, target)
    asked: list[str] = []

    def fill_in(dialog: SealDialog) -> int:
        asked.append(dialog.password.text())
        qtbot.keyClicks(dialog.key_file, str(key))
        qtbot.keyClicks(dialog.password, "word")
        return 1

    monkeypatch.setattr(SealDialog, "exec", fill_in)
    qtbot.mouseClick(page.side.sign, LEFT)
    qtbot.waitUntil(lambda: "Signed by" in page.side.result.text(), timeout=30000)
    assert page.side.result.text().startswith("statement.pdf: Signed by Invented Production Office")
    assert b"/ByteRange" in target.read_bytes()
    qtbot.mouseClick(page.side.sign, LEFT)
    qtbot.waitUntil(lambda: not page.context.jobs.busy, timeout=30000)
    assert asked == ["", ""], "the password is asked each time"


def test_a_wrong_password_is_a_sentence(qtbot: QtBot, page: DossierPage, tmp_path: Path) -> None:
    authority = TestAuthority()
    key = authority.signer.write_key_file(tmp_path / "office.p12", "word", authority.root)
    target = tmp_path / "statement.pdf"
    write_first(qtbot, page, target)
    before = target.read_bytes()
    with qtbot.waitSignal(page.context.failed, timeout=30000) as failed:
        page.handing.sign(SealingChoice(key, "wrong", ""))
    assert "the password is wrong" in str(failed.args[0])
    assert target.read_bytes() == before


def test_without_the_extra_the_dialog_says_how_to_get_it(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("ldapp.desktop.pages.seal_dialog.is_sealing_installed", lambda: False)
    dialog = SealDialog("a.pdf")
    qtbot.addWidget(dialog)
    dialog.key_file.setText("key.p12")
    assert not dialog.buttons.button(QDialogButtonBox.StandardButton.Ok).isEnabled()
    assert any("pip install 'ldapp[seal]'" in one.text() for one in dialog.findChildren(Label))


def test_a_bundle_to_pass_on_is_chosen_with_what_it_holds(
    qtbot: QtBot, page: DossierPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from ldapp.casework.claim_file_outputs import verify_bundle_file

    target = tmp_path / "shared.zip"
    proposed: list[str] = []

    def choose_shared(dialog: BundleDialog) -> int:
        shared = dialog.profiles.button(1)
        assert shared.isEnabled()
        shared.click()
        return 1

    def ask(parent: object, title: str, name: str, kinds: str) -> tuple[str, str]:
        proposed.append(Path(name).name)
        return str(target), kinds

    monkeypatch.setattr(BundleDialog, "exec", choose_shared)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", ask)
    qtbot.mouseClick(page.side.write_bundle, LEFT)
    qtbot.waitUntil(lambda: page.written == (target,), timeout=60000)
    assert proposed == ["2026-017-bundle-insurer.zip"]
    assert verify_bundle_file(target) == ()
    with zipfile.ZipFile(target) as bundle:
        names = [name.split("/", 1)[1] for name in bundle.namelist()]
    assert not any(name.startswith("data/originals/") for name in names)
    assert any(name.startswith("data/derivatives/") for name in names)


def test_a_photo_sheet_is_not_passed_on_as_a_bundle(qtbot: QtBot) -> None:
    dialog = BundleDialog("Photo sheet", may_be_shared=False)
    qtbot.addWidget(dialog)
    assert not dialog.profiles.button(1).isEnabled()
    assert dialog.profile == "complete"


def test_a_dossier_in_volumes_is_shown_whole_written_and_named_in_the_mail(
    qtbot: QtBot, page: DossierPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(DossierSide, "largest_file", property(lambda self: 330_000))
    page.draw_preview()
    qtbot.waitUntil(lambda: not page.context.jobs.busy, timeout=30000)
    assert len({path for path, _ in page.preview._pages}) > 1
    page.write_to(tmp_path / "claim.pdf")
    qtbot.waitUntil(lambda: len(page.written) > 1, timeout=30000)
    assert [path.name for path in page.written][:2] == ["claim.pdf", "claim volume 2.pdf"]
    assert all(path.is_file() for path in page.written)
    assert page.side.result.text().startswith(f"Written in {len(page.written)} volumes")
    pages = page.side.result.text().split("; ")[1].split()[0]
    assert int(pages) == len(page.preview._pages)
    page._copy_email()
    mail = QGuiApplication.clipboard().text()
    for path in page.written:
        assert f"– {path.name}" in mail


def test_the_largest_file_is_asked_for_in_megabytes(page: DossierPage) -> None:
    assert page.side.largest_file == 20_000_000
    page.form.fields["largest_file"].set_value(8)
    assert page.choice().largest_file == 8_000_000


def test_what_the_pages_lack_is_said_before_they_are_written(
    qtbot: QtBot, show_page: Show, with_photos: Prepare
) -> None:
    ticket = Document(id="ticket", title="Ticket", kind="other")
    page = show_page(
        DossierPage, dataclasses.replace(page_claim(), documents=(ticket,)), with_photos
    )

    def in_print() -> list[str]:
        return [one.says for one in page.side.points.rows if one.mark == "⚠ in print"]

    qtbot.waitUntil(lambda: bool(in_print()), timeout=30000)
    assert "Exhibit A (Ticket): No file was taken in for it." in in_print()
    assert page.written == ()
    page.versions.button(3).click()
    assert in_print() == []


def test_a_dossier_is_written_in_the_language_that_is_chosen_for_it(
    qtbot: QtBot, page: DossierPage, tmp_path: Path
) -> None:
    languages = page.form.fields["language"]
    assert isinstance(languages, ChoiceField)
    assert page.choice().language == languages.value() == "en"
    assert [languages.itemText(row) for row in range(languages.count())] == ["English", "Deutsch"]
    languages.setCurrentIndex(1)
    languages.activated.emit(1)
    assert page.choice().language == "de"
    # The pages that are shown are drawn anew, and what they lack is said once, in English.
    qtbot.waitUntil(lambda: page._drawn is not None and page._drawn[1].language == "de")
    qtbot.waitUntil(lambda: not page.context.jobs.busy, timeout=30000)
    said = [one.says for one in page.side.points.rows]
    assert len(said) == len(set(said))
    assert page._page_says.text().startswith("Page 1 of ")
    target = tmp_path / "meldung.pdf"
    page.write_to(target)
    qtbot.waitUntil(lambda: page.written == (target,), timeout=30000)
    assert "Sehr geehrte Damen und Herren," in words_of(target)
    assert page.side.result.text().startswith("Written: meldung.pdf")

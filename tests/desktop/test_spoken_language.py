"""A person chooses the language of the window; it is spoken from the next start on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale, QSettings, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QDialogButtonBox, QMenu
from pytestqt.qtbot import QtBot

from ldapp import language as spoken_language
from ldapp.casework.register import Register
from ldapp.desktop.certificate_dialog import CertificateDialog
from ldapp.desktop.guide import Guide
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.main_window import MainWindow
from ldapp.desktop.record_dialog import RecordDialog
from ldapp.desktop.spoken_language import (
    LANGUAGE_SETTING,
    _let_qt_speak,
    speak_in_window,
    wanted_language,
)
from ldapp.desktop.widgets.fields import ParsedField
from ldapp.language import language, languages, speak


@pytest.fixture(autouse=True)
def free_to_choose(settings: QSettings, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Nothing in the environment decides; English is chosen, whatever the system speaks."""
    readers = dict(spoken_language._readers)
    locale = QLocale()
    monkeypatch.delenv("LDAPP_LANGUAGE")
    settings.setValue(LANGUAGE_SETTING, "en")
    speak_in_window(settings)
    yield
    speak("en")
    _let_qt_speak("en")
    QLocale.setDefault(locale)
    spoken_language._readers.clear()
    spoken_language._readers.update(readers)
    spoken_language._catalogues.clear()


Restart = Callable[[], MainWindow]


@pytest.fixture
def restart(
    qtbot: QtBot, jobs: JobRunner, settings: QSettings, register: Register
) -> Iterator[Restart]:
    """Start the program anew on the same settings and the same library."""
    windows: list[MainWindow] = []

    def start() -> MainWindow:
        for window in windows:
            window.register = None
            window.close()
        speak_in_window(settings)
        window = MainWindow(jobs, settings)
        window.resize(1280, 800)
        qtbot.addWidget(window)
        window.show()
        window.open_library(lambda: register)
        qtbot.waitUntil(lambda: window.register is not None, timeout=10_000)
        windows.append(window)
        return window

    yield start
    for window in windows:
        window.register = None
        window.close()
    jobs.shut_down()
    qtbot.waitUntil(lambda: not jobs.busy, timeout=10_000)


def _menus(window: MainWindow) -> list[str]:
    return [one.text().replace("&", "") for one in window.menuBar().actions()]


def _choice(window: MainWindow, text: str) -> QAction:
    menu = window.actions_of_window.languages
    return next(one for one in menu.actions() if one.text().replace("&", "") == text)


def _enter(qtbot: QtBot, field: ParsedField, text: str) -> None:
    field.setFocus()
    field.selectAll()
    # Letters beyond ASCII are no keys of their own to the test, but are entered like these.
    field.insert(text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def test_deutsch_is_chosen_in_the_menu_and_spoken_after_the_next_start(restart: Restart) -> None:
    window = restart()
    assert _menus(window) == ["Claim", "Register", "Edit", "View", "Help"]
    offered = [one.text().replace("&", "") for one in window.actions_of_window.languages.actions()]
    assert offered == ["Language of the system", "English", "Deutsch"]
    assert _choice(window, "English").isChecked()
    _choice(window, "Deutsch").trigger()
    assert "The program speaks Deutsch from its next start on." in window.strip.text()
    assert language() == "en"

    window = restart()
    assert _menus(window) == ["Fall", "Fallregister", "Bearbeiten", "Ansicht", "Hilfe"]
    assert _choice(window, "Deutsch").isChecked()
    page = window.register_page
    headings = [column.heading for column in page._model.columns[:3]]
    assert headings == ["Aktenzeichen", "Produktion", "Vermieter"]
    assert page.search.placeholderText() == "Alle Spalten durchsuchen"
    assert page.views.text() == "Ansichten"
    _choice(window, "English").trigger()
    assert "English" in window.strip.text()

    window = restart()
    assert _menus(window) == ["Claim", "Register", "Edit", "View", "Help"]


def test_only_languages_that_are_there_are_offered(restart: Restart) -> None:
    window = restart()
    codes = [one.data() for one in window.actions_of_window.languages.actions()]
    assert codes == ["", *languages()]


def test_the_environment_goes_first_and_that_is_said(
    restart: Restart, settings: QSettings, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = restart()
    monkeypatch.setenv("LDAPP_LANGUAGE", "en")
    _choice(window, "Deutsch").trigger()
    assert "LDAPP_LANGUAGE in the environment decides" in window.strip.text()
    assert wanted_language(settings) == "en"
    monkeypatch.delenv("LDAPP_LANGUAGE")
    assert wanted_language(settings) == "de"


@pytest.mark.parametrize(
    ("system", "wanted"),
    [
        (["de-AT", "de", "en"], "de"),
        (["fr-CA", "fr", "de", "en"], "de"),
        (["en-GB", "en", "de"], "en"),
        (["fr"], "en"),
        (["C"], "en"),
        ([], "en"),
    ],
)
def test_without_a_choice_the_systems_languages_decide(
    system: list[str], wanted: str, settings: QSettings, monkeypatch: pytest.MonkeyPatch
) -> None:
    class System:
        def uiLanguages(self) -> list[str]:  # noqa: N802 - as Qt calls it
            return system

    settings.remove(LANGUAGE_SETTING)
    with monkeypatch.context() as patched:
        patched.setattr(QLocale, "system", staticmethod(System))
        assert wanted_language(settings) == wanted
        settings.setValue(LANGUAGE_SETTING, "en")
        assert wanted_language(settings) == "en"


def test_qt_speaks_the_language_too(qtbot: QtBot, settings: QSettings) -> None:
    cancel = QDialogButtonBox.StandardButton.Cancel
    settings.setValue(LANGUAGE_SETTING, "de")
    speak_in_window(settings)
    box = QDialogButtonBox(cancel)
    qtbot.addWidget(box)
    assert box.button(cancel).text().replace("&", "") == "Abbrechen"
    assert QLocale().decimalPoint() == ","
    assert QLocale().monthName(3) == "März"
    settings.setValue(LANGUAGE_SETTING, "en")
    speak_in_window(settings)
    again = QDialogButtonBox(cancel)
    qtbot.addWidget(again)
    assert again.button(cancel).text().replace("&", "") == "Cancel"
    assert QLocale().decimalPoint() == "."


@pytest.mark.parametrize(
    ("code", "amount", "shown", "day", "day_shown"),
    [
        ("de", "1.234,50", "1234,50", "2. März 2026", "02.03.2026"),
        ("de", "1.234", "1234,00", "2026-03-02", "02.03.2026"),
        ("en", "1,234.50", "1234.50", "2 March 2026", "2026-03-02"),
        ("en", "1,234", "1234.00", "2.3.2026", "2026-03-02"),
    ],
)
def test_amounts_and_days_are_entered_as_the_language_writes_them(
    qtbot: QtBot,
    settings: QSettings,
    code: str,
    amount: str,
    shown: str,
    day: str,
    day_shown: str,
) -> None:
    settings.setValue(LANGUAGE_SETTING, code)
    speak_in_window(settings)
    dialog = CertificateDialog(None, "P-1", "EUR")
    qtbot.addWidget(dialog)
    dialog.show()
    _enter(qtbot, dialog.fields["limit"], amount)
    _enter(qtbot, dialog.fields["begins"], day)
    assert dialog.fields["limit"].text() == shown
    assert dialog.fields["limit"].value() == Decimal(shown.replace(",", "."))
    assert dialog.fields["begins"].text() == day_shown
    assert dialog.fields["begins"].value() == dt.date(2026, 3, 2)
    # What stands in a field can be typed again as it stands.
    _enter(qtbot, dialog.fields["limit"], shown)
    assert dialog.fields["limit"].value() == Decimal(shown.replace(",", "."))


def test_the_guide_shows_a_chapter_in_the_language_or_in_english(
    qtbot: QtBot, settings: QSettings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "guide"
    (folder / "de").mkdir(parents=True)
    (folder / "kit.md").write_text("# Kit\n", encoding="utf-8")
    (folder / "counts.md").write_text("# Counts\n", encoding="utf-8")
    (folder / "de" / "kit.md").write_text("# Geräte\n", encoding="utf-8")
    monkeypatch.setattr("ldapp.catalogues.resource_folder", lambda: tmp_path)
    settings.setValue(LANGUAGE_SETTING, "de")
    speak("de")
    guide = Guide()
    qtbot.addWidget(guide)
    guide.show_page("kit")
    assert guide.text.toPlainText() == "Geräte"
    guide.show_page("counts")
    assert guide.text.toPlainText() == "Counts"
    speak("en")
    guide.show_page("kit")
    assert guide.text.toPlainText() == "Kit"


def test_every_menu_has_a_letter_of_its_own_for_each_entry(
    restart: Restart, settings: QSettings
) -> None:
    for code in ("en", "de"):
        settings.setValue(LANGUAGE_SETTING, code)
        window = restart()
        bar = window.menuBar()
        for menu in (bar, *bar.findChildren(QMenu)):
            letters = [
                text[text.index("&") + 1].casefold()
                for text in (one.text().replace("&&", "") for one in menu.actions())
                if "&" in text
            ]
            assert len(letters) == len(set(letters)), (code, [a.text() for a in menu.actions()])


def test_the_record_of_changes_is_read_in_german(
    qtbot: QtBot, settings: QSettings, register: Register
) -> None:
    desk = register.create("2026-001", "First", "EUR", "Europe/Berlin")
    settings.setValue(LANGUAGE_SETTING, "de")
    speak_in_window(settings)
    dialog = RecordDialog(desk)
    qtbot.addWidget(dialog)
    entry = dialog.entries_model.rows[0]
    local = entry.at.astimezone()
    at = dialog.entries_model.index(0, dialog.entries_model.column_number("at")).data()
    assert at == f"{local:%d.%m.%Y %H:%M}"

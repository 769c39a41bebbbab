"""The language of the window: which one it speaks, and that Qt's own texts speak it too."""

from __future__ import annotations

import os

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QSettings, QTranslator

from ldapp.catalogues import make_languages_known
from ldapp.language import best_language, speak

LANGUAGE_SETTING = "look/language"
"""The code of the language that a person chose; empty follows the system."""

_of_qt: list[QTranslator] = []


def named_language() -> str:
    """Return what LDAPP_LANGUAGE names, which goes before what is chosen; empty where unset."""
    return os.environ.get("LDAPP_LANGUAGE", "")


def wanted_language(settings: QSettings) -> str:
    """Return the language for the window.

    It is LDAPP_LANGUAGE, else what was chosen, else the first of the system's languages that
    the program speaks, else English.
    """
    chosen = str(settings.value(LANGUAGE_SETTING, ""))
    return best_language([named_language(), chosen, *QLocale.system().uiLanguages()])


def speak_in_window(settings: QSettings) -> None:
    """Speak the language for the window from now on; called before anything is shown."""
    make_languages_known()
    language = wanted_language(settings)
    speak(language)
    _let_qt_speak(language)


def _let_qt_speak(language: str) -> None:
    """Let the texts of Qt's own buttons and dialogs, calendars and spin boxes follow."""
    for translator in _of_qt:
        QCoreApplication.removeTranslator(translator)
    _of_qt.clear()
    system = QLocale.system()
    # A system that speaks the language knows its country, and so writes it as people there do.
    same = system.language() == QLocale(language).language()
    QLocale.setDefault(system if same else QLocale(language))
    translator = QTranslator()
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    if translator.load(f"qtbase_{language}", folder):
        QCoreApplication.installTranslator(translator)
        _of_qt.append(translator)

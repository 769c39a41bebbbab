"""Reads the catalogues of translated sentences and makes their languages known.

One folder for each language under ``resources/languages`` holds ``ldapp.po`` for translators
and ``ldapp.mo``, compiled from it, for the program; both are files of GNU gettext.
"""

from __future__ import annotations

import gettext
import logging
import os
import struct
from functools import partial
from pathlib import Path

from ldapp.language import best_language, make_known, speak
from ldapp.resources import resource_folder

_log = logging.getLogger(__name__)


def make_languages_known() -> None:
    """Make every language known that has a catalogue."""
    for path in sorted((resource_folder() / "languages").glob("*/ldapp.mo")):
        make_known(path.parent.name, partial(_read, path))


def _read(path: Path) -> gettext.NullTranslations:
    """Read a catalogue; one that cannot be read says nothing, and so English is spoken."""
    try:
        with path.open("rb") as file:
            return gettext.GNUTranslations(file)
    except (OSError, ValueError, struct.error) as error:
        _log.warning("%s is no catalogue: %s", path, error)
        return gettext.NullTranslations()


def speak_as_asked() -> None:
    """Speak the language that LDAPP_LANGUAGE names; English where it names none we speak.

    What a script reads does not change with the machine's locale.
    """
    make_languages_known()
    speak(best_language([os.environ.get("LDAPP_LANGUAGE", "")]))


def resource_in_language(language: str, *parts: str) -> Path:
    """Return a resource in a language, or the English one where there is no other.

    ``resource_in_language("de", "wording", "letters.toml")`` is
    ``wording/de/letters.toml`` if that exists.
    """
    folder = resource_folder()
    translated = folder.joinpath(*parts[:-1], language, parts[-1])
    return translated if translated.is_file() else folder.joinpath(*parts)

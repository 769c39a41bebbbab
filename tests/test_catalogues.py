"""Catalogues are found where the resources are; what cannot be read is spoken in English."""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo

from ldapp import catalogues
from ldapp import language as spoken_language
from ldapp.catalogues import make_languages_known, resource_in_language, speak_as_asked
from ldapp.errors import Fault, LdappError
from ldapp.language import language, languages, said, said_of, speak


@pytest.fixture
def resources(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder of resources in place of the program's own."""
    known = dict(spoken_language._readers)
    spoken_language._readers.clear()
    spoken_language._catalogues.clear()
    monkeypatch.setattr(catalogues, "resource_folder", lambda: tmp_path)
    monkeypatch.delenv("LDAPP_LANGUAGE", raising=False)
    yield tmp_path
    speak("en")
    spoken_language._readers.clear()
    spoken_language._readers.update(known)
    spoken_language._catalogues.clear()


def put_catalogue(resources: Path, code: str, content: bytes | None = None) -> None:
    catalogue = Catalog(locale=code, charset="utf-8")
    catalogue.add("{file} is gone.", "Weg ist {file}.")
    catalogue.add(("{count} line", "{count} lines"), ("{count} Zeile", "{count} Zeilen"))
    catalogue.add(
        "{where}: {wrong}. Expected: {expected}.", "{where}: {wrong}. Erwartet: {expected}."
    )
    stream = io.BytesIO()
    write_mo(stream, catalogue)
    folder = resources / "languages" / code
    folder.mkdir(parents=True)
    (folder / "ldapp.mo").write_bytes(stream.getvalue() if content is None else content)


def test_every_folder_with_a_catalogue_is_a_language(resources: Path) -> None:
    put_catalogue(resources, "de")
    put_catalogue(resources, "fr")
    (resources / "languages" / "it").mkdir()
    make_languages_known()
    assert languages() == ("en", "de", "fr")


def test_without_catalogues_english_is_all(resources: Path) -> None:
    make_languages_known()
    assert languages() == ("en",)


@pytest.mark.parametrize("named", ["de", "de_AT.UTF-8", "DE", "de-CH"])
def test_the_language_that_is_named_is_spoken(
    resources: Path, monkeypatch: pytest.MonkeyPatch, named: str
) -> None:
    put_catalogue(resources, "de")
    monkeypatch.setenv("LDAPP_LANGUAGE", named)
    speak_as_asked()
    assert language() == "de"
    assert said("{file} is gone.", file="{a}.jpg") == "Weg ist {a}.jpg."
    assert said_of(1, "{count} line", "{count} lines") == "1 Zeile"
    assert said_of(12_500, "{count} line", "{count} lines") == "12.500 Zeilen"
    assert said("In no catalogue.") == "In no catalogue."


@pytest.mark.parametrize("named", ["", "xx", "C", "../de", "\x7f", "de" * 5000])
def test_a_language_that_is_not_spoken_is_english(
    resources: Path, monkeypatch: pytest.MonkeyPatch, named: str
) -> None:
    put_catalogue(resources, "de")
    monkeypatch.setenv("LDAPP_LANGUAGE", named)
    speak_as_asked()
    assert language() == "en"
    assert said("{file} is gone.", file="a.jpg") == "a.jpg is gone."


def test_the_machine_s_locale_changes_nothing(
    resources: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put_catalogue(resources, "de")
    for name in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"):
        monkeypatch.setenv(name, "de_DE.UTF-8")
    speak_as_asked()
    assert language() == "en"


@pytest.mark.parametrize(
    "content",
    [b"", b"no catalogue at all", b"\xde\x12\x04\x95", b"\xde\x12\x04\x95" + b"\xff" * 40],
    ids=["empty", "text", "cut off", "lengths beyond the end"],
)
def test_a_damaged_catalogue_is_said_in_the_log_and_english_is_spoken(
    resources: Path,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
    content: bytes,
) -> None:
    put_catalogue(resources, "de", content)
    monkeypatch.setenv("LDAPP_LANGUAGE", "de")
    speak_as_asked()
    with caplog.at_level(logging.WARNING):
        assert said("{file} is gone.", file="a.jpg") == "a.jpg is gone."
        assert said_of(2, "{count} line", "{count} lines") == "2 lines"
    assert "ldapp.mo is no catalogue" in caplog.text


def test_faults_are_said_in_the_language_spoken(
    resources: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put_catalogue(resources, "de")
    monkeypatch.setenv("LDAPP_LANGUAGE", "de")
    speak_as_asked()
    fault = Fault("kit.csv", "row 3", "x", "y")
    assert fault.sentence() == "kit.csv, row 3: x. Erwartet: y."
    with pytest.raises(LdappError, match="does not speak 'fr'"):
        speak("fr")


def test_a_resource_is_taken_in_its_language_where_there_is_one(resources: Path) -> None:
    for path in ("wording/letters.toml", "wording/de/letters.toml", "wording/other.toml"):
        (resources / path).parent.mkdir(parents=True, exist_ok=True)
        (resources / path).write_text(path, encoding="utf-8")
    found = resource_in_language("de", "wording", "letters.toml")
    assert found.read_text(encoding="utf-8") == "wording/de/letters.toml"
    assert resource_in_language("fr", "wording", "letters.toml").name == "letters.toml"
    assert resource_in_language("de", "wording", "other.toml") == resources / "wording/other.toml"

"""A library keeps what photos say of themselves; what is said about them is said when shown."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from gettext import NullTranslations
from pathlib import Path

import pytest

from ldapp import language as spoken_language
from ldapp.casework.summary import empty_summary
from ldapp.casework.verdicts import verdicts_of
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import Photo
from ldapp.language import speaking
from ldapp.store.claim_library import Library
from tests.reckoning.claims import loss_claim

SAYS = "The file carries no date of its own."


class Invented(NullTranslations):
    """A language that is in no catalogue."""

    def gettext(self, message: str) -> str:
        return "Ohne Datum." if message == SAYS else message


@pytest.fixture(autouse=True)
def known(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spoken_language, "_readers", {"de": Invented})
    monkeypatch.setattr(spoken_language, "_catalogues", {})


def test_a_claim_saved_in_one_language_is_told_of_in_the_other(tmp_path: Path) -> None:
    facts = PhotoFacts(file_name="a.png", sha256="ab" * 32, bytes=9, kind="image/png")
    taken_in = dt.datetime(2026, 3, 2, 9, tzinfo=dt.UTC)
    photo = Photo(id="p1", name="a.png", facts=facts, taken_in=taken_in)
    claim = replace(loss_claim(["100"]), photos=(photo,))
    with speaking("de"):
        library = Library.open(tmp_path)
        library.create(claim, who="Ada", label="Angelegt", summary=empty_summary(claim))
        assert SAYS not in str(verdicts_of(claim))
        library.close()

    library = Library.open(tmp_path)
    opened, _ = library.load(claim.id)
    library.close()
    assert [one.says for one in verdicts_of(opened)["p1"].reasons] == [SAYS]
    with speaking("de"):
        assert [one.says for one in verdicts_of(opened)["p1"].reasons] == ["Ohne Datum."]
    assert [one.says for one in verdicts_of(opened)["p1"].reasons] == [SAYS]
    for file in tmp_path.rglob("*.sqlite*"):
        content = file.read_bytes()
        assert SAYS.encode() not in content
        assert b"Ohne Datum." not in content

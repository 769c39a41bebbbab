from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtGui import QTextCursor
from pytestqt.qtbot import QtBot

from ldapp.casework.cautions import general_cautions
from ldapp.catalogues import make_languages_known
from ldapp.desktop.guide import GUIDE_PAGES, Guide
from ldapp.language import speaking
from ldapp.resources import resource


@pytest.mark.parametrize("name", [name for name, _ in GUIDE_PAGES])
def test_every_page_of_the_guide_is_there_and_its_links_lead_somewhere(name: str) -> None:
    text = resource("guide", f"{name}.md").read_text(encoding="utf-8")
    assert text.startswith("# ")
    known = {page for page, _ in GUIDE_PAGES}
    for target in re.findall(r"(?<!!)\[[^\]]*\]\(([^)]+)\)", text):
        page, _, fragment = target.partition("#")
        assert page.removesuffix(".md") in known
        if fragment:
            there = resource("guide", page).read_text(encoding="utf-8")
            headings = re.findall(r"^#+ (.+)$", there, re.MULTILINE)
            assert fragment in [words.lower().replace(" ", "-") for words in headings]


@pytest.mark.parametrize("name", [name for name, _ in GUIDE_PAGES])
def test_every_picture_of_the_guide_is_there_in_light_and_dark(name: str) -> None:
    text = resource("guide", f"{name}.md").read_text(encoding="utf-8")
    for words, target in re.findall(r"!\[([^\]]*)\]\(([^)]+)\)", text):
        assert words
        assert target.startswith("pictures/light/")
        for scheme in ("light", "dark"):
            file = target.rpartition("/")[2]
            assert resource("guide", "pictures", scheme, file).is_file()
            assert resource("guide", "pictures", scheme, "de", file).is_file()


def test_a_link_opens_its_page(qtbot: QtBot) -> None:
    guide = Guide()
    qtbot.addWidget(guide)
    guide.show_page("index")
    guide.text.anchorClicked.emit("counter_view.md")
    assert "Counter view" in guide.text.toPlainText()[:20]


def test_a_link_to_a_heading_brings_it_in_sight(qtbot: QtBot) -> None:
    guide = Guide()
    qtbot.addWidget(guide)
    guide.resize(800, 400)
    guide.show_page("production_manager")
    guide.text.anchorClicked.emit("charges.md#after-sending")
    heading = guide.text.document().find("After sending", QTextCursor(guide.text.document()))
    while not heading.blockFormat().headingLevel():
        heading = guide.text.document().find("After sending", heading)
    assert guide.text.verticalScrollBar().value() > 0
    assert guide.text.viewport().rect().contains(guide.text.cursorRect(heading))


def test_the_index_keeps_the_cautions() -> None:
    text = resource("guide", "index.md").read_text(encoding="utf-8")
    assert "no legal, insurance or tax advice" in text
    assert "no legal, insurance or tax advice" in " ".join(general_cautions())


_NAMES = [name for name, _ in GUIDE_PAGES]


def _chapter(name: str, *language: str) -> str:
    return resource("guide", *language, f"{name}.md").read_text(encoding="utf-8")


def _headings(text: str) -> list[str]:
    """Return a chapter's headings, each with the signs of its level."""
    return re.findall(r"^#+ .+$", text, re.MULTILINE)


def _fragments(text: str) -> list[str]:
    return [words.lstrip("# ").lower().replace(" ", "-") for words in _headings(text)]


def _links(text: str) -> list[str]:
    return re.findall(r"(?<!!)\[[^\]]*\]\(([^)]+)\)", text)


def _without_code(text: str) -> str:
    return re.sub(r"^ *```.*?^ *```$", "", text, flags=re.MULTILINE | re.DOTALL)


def test_the_german_guide_has_the_chapters_of_the_english_one() -> None:
    english = {path.name for path in Path(resource("guide")).glob("*.md")}
    german = {path.name for path in Path(resource("guide", "de")).glob("*.md")}
    assert german == english == {f"{name}.md" for name in _NAMES}


@pytest.mark.parametrize("name", _NAMES)
def test_a_german_chapter_is_built_like_the_english_one(name: str) -> None:
    english, german = _chapter(name), _chapter(name, "de")

    def built(text: str) -> dict[str, object]:
        return {
            "levels of headings": [words.partition(" ")[0] for words in _headings(text)],
            "paragraphs": len(re.split(r"\n\s*\n", text.strip())),
            "entries of lists": re.findall(r"^ *(?:-|\d+\.) ", text, re.MULTILINE),
            "cells of tables": [
                line.count("|") for line in text.splitlines() if line.startswith("|")
            ],
            "pictures": re.findall(r"!\[[^\]]+\]\(([^)]+)\)", text),
            "linked chapters": Counter(link.partition("#")[0] for link in _links(text)),
            "code": Counter(re.findall(r"`[^`\n]+`", _without_code(text))),
            "blocks of code": re.findall(r"^ *```.*?^ *```$", text, flags=re.MULTILINE | re.DOTALL),
        }

    assert built(german) == built(english)


@pytest.mark.parametrize("name", _NAMES)
def test_a_link_to_a_german_heading_leads_to_the_same_place(name: str) -> None:
    def places(*language: str) -> list[tuple[str, int]]:
        found = []
        for link in _links(_chapter(name, *language)):
            page, _, fragment = link.partition("#")
            if fragment:
                there = _fragments(_chapter(page.removesuffix(".md"), *language))
                found.append((page, there.index(fragment)))
        return found

    assert places("de") == places()


def test_the_german_index_keeps_the_cautions() -> None:
    assert "keinen Rechts-, Versicherungs- oder Steuerrat" in _chapter("index", "de")


def test_the_guide_speaks_german_at_the_page_in_sight(qtbot: QtBot) -> None:
    make_languages_known()
    with speaking("de"):
        guide = Guide()
        qtbot.addWidget(guide)
        for number, name in enumerate(_NAMES):
            guide.show_page(name)
            title = _headings(_chapter(name, "de"))[0].removeprefix("# ")
            assert guide.contents.currentRow() == number
            assert guide.text.toPlainText().startswith(title)


def test_a_german_link_to_a_heading_brings_it_in_sight(qtbot: QtBot) -> None:
    make_languages_known()
    with speaking("de"):
        guide = Guide()
        qtbot.addWidget(guide)
        guide.resize(800, 400)
        guide.show_page("production_manager")
        guide.text.anchorClicked.emit("charges.md#nach-dem-versand")
        document = guide.text.document()
        heading = document.find("Nach dem Versand", QTextCursor(document))
        while not heading.isNull() and not heading.blockFormat().headingLevel():
            heading = document.find("Nach dem Versand", heading)
        assert not heading.isNull()
        assert guide.text.verticalScrollBar().value() > 0
        assert guide.text.viewport().rect().contains(guide.text.cursorRect(heading))

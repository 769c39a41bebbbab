from __future__ import annotations

import re

import pytest
from PySide6.QtGui import QTextCursor
from pytestqt.qtbot import QtBot

from ldapp.casework.cautions import general_cautions
from ldapp.desktop.guide import GUIDE_PAGES, Guide
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
            assert resource("guide", "pictures", scheme, target.rpartition("/")[2]).is_file()


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

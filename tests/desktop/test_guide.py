from __future__ import annotations

import re

import pytest
from pytestqt.qtbot import QtBot

from ldapp.casework.cautions import general_cautions
from ldapp.desktop.guide import GUIDE_PAGES, Guide
from ldapp.resources import resource


@pytest.mark.parametrize("name", [name for name, _ in GUIDE_PAGES])
def test_every_page_of_the_guide_is_there_and_its_links_lead_somewhere(name: str) -> None:
    text = resource("guide", f"{name}.md").read_text(encoding="utf-8")
    assert text.startswith("# ")
    known = {page for page, _ in GUIDE_PAGES}
    for target in re.findall(r"\]\(([^)]+)\)", text):
        assert target.removesuffix(".md") in known


def test_a_link_opens_its_page(qtbot: QtBot) -> None:
    guide = Guide()
    qtbot.addWidget(guide)
    guide.show_page("index")
    guide.text.anchorClicked.emit("counter_view.md")
    assert "Counter view" in guide.text.toPlainText()[:20]


def test_the_index_keeps_the_cautions() -> None:
    text = resource("guide", "index.md").read_text(encoding="utf-8")
    assert "no legal, insurance or tax advice" in text
    assert "no legal, insurance or tax advice" in " ".join(general_cautions())

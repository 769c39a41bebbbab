"""Text that tries to be something else prints as itself: window, PDF, CSV, JSON, library.

One list for all of them.  What has no sign of its own shows as a mark, ``[U+202E]``.
"""

from __future__ import annotations

import csv
import dataclasses
import io
import json
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from PySide6.QtCore import QAbstractItemModel, Qt
from PySide6.QtGui import Qt as Gui
from PySide6.QtGui import QTextDocument
from PySide6.QtWidgets import QApplication, QLabel, QTableView
from pytestqt.qtbot import QtBot

from ldapp.casework.register import Register, fresh_summary
from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.plain_text import never_markup, shown
from ldapp.exchange.claim_file import claim_as_json, claim_from_json
from ldapp.exchange.csv_out import csv_bytes
from ldapp.store.claim_library import Library
from tests.desktop.desk_claims import desk_claim
from tests.dossier.conftest import Write, text_of

HOSTILE = {
    "markup": "<b>bold</b> &amp; &lt; <!-- gone --> <table><tr><td>x",
    "picture": "<img src='file:///etc/hostname'> <img src=http://x.example/a.png>",
    "link": "<a href='https://x.example'>press</a> https://x.example [press](https://x.example)",
    "script": "<script>alert(1)</script> javascript:alert(1)",
    "path": "../../etc/passwd C:\\temp\\nul /dev/null file:///etc/passwd",
    "formula": '=HYPERLINK("http://x.example","press") +1+1 -2+3 @SUM(A1:A9)',
    "sql": "'; DROP TABLE claim; -- \" OR 1=1 /*",
    "format": "%s %n %(x)s {0} {title} {{}} ${HOME} $(id) `id` \\n \\x41",
    "turned round": "invoice\u202efdp.exe\u202c \u2066isolated\u2069 \u200fmark",
    "control": "bell\x07 back\x08 escape\x1b[31mred form\x0cfeed delete\x7f",
    "shell": "; rm -rf ~ | cat && true > x",
    "long": "long " * 2000,
    "one word": "W" * 10_000,
    "ampersand": "Fish & Chips &File &&",
}


def as_marked(text: str) -> str:
    """Return a text as it must be seen: characters without a sign of their own as marks."""
    return "".join(
        f"[U+{ord(one):04X}]" if unicodedata.category(one) in {"Cc", "Cf"} else one for one in text
    )


def without_blanks(text: str) -> str:
    """Return a text without white space, in which lines may break anywhere."""
    return "".join(text.split())


hostile = pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)


def _plain_of(tip: str) -> str:
    """Return what a tool tip shows, which is rich text where the toolkit takes it for some."""
    if not Gui.mightBeRichText(tip):
        return tip
    document = QTextDocument()
    document.setHtml(tip)
    return document.toPlainText()


def _cells(model: QAbstractItemModel, role: Qt.ItemDataRole) -> list[str]:
    return [
        str(model.index(row, column).data(role))
        for row in range(model.rowCount())
        for column in range(model.columnCount())
    ]


@hostile
def test_in_the_tables_and_tool_tips_of_the_window(
    text: str, open_claim: Callable[[Claim], ClaimView]
) -> None:
    claim = desk_claim(8)
    first = dataclasses.replace(claim.kit[0], description=text, location=text)
    invoices = tuple(
        dataclasses.replace(
            one,
            charges=tuple(dataclasses.replace(charge, description=text) for charge in one.charges),
        )
        for one in claim.invoices
    )
    view = open_claim(
        dataclasses.replace(claim, kit=(first, *claim.kit[1:]), invoices=invoices, title=text)
    )
    seen: list[str] = []
    tips: list[str] = []
    for name in ("kit", "charges", "findings"):
        view.show_page(name)
        for table in view.page(name).findChildren(QTableView):
            seen += _cells(table.model(), Qt.ItemDataRole.DisplayRole)
            tips += _cells(table.model(), Qt.ItemDataRole.ToolTipRole)
    wanted = as_marked(text)
    assert any(wanted in one for one in seen)
    assert not any(text in one for one in seen if text != wanted)
    assert any(without_blanks(wanted) in without_blanks(_plain_of(tip)) for tip in tips)
    assert wanted in view._title.text()
    labels = [one for one in view.findChildren(QLabel) if wanted in one.text()]
    assert labels
    assert all(one.textFormat() == Qt.TextFormat.PlainText for one in labels)


@hostile
def test_in_a_label_and_in_whatever_guesses_at_markup(text: str, qapp: QApplication) -> None:
    assert Label(text).text() == as_marked(text)
    label = Label()
    label.setText(text)
    assert label.text() == as_marked(text)
    assert without_blanks(_plain_of(never_markup(text))) == without_blanks(as_marked(text))
    assert "<img" not in never_markup(text) or not Gui.mightBeRichText(never_markup(text))


def test_ordinary_words_are_left_alone() -> None:
    for text in ("C-stand 40″ – Nº 3", "Łódź\nline two", "שלום", "नमस्ते", "a\u200db"):
        assert shown(text) == text


@hostile
def test_in_the_dossier(text: str, write: Write, claim: Claim) -> None:
    occurrences = tuple(dataclasses.replace(one, narrative=text) for one in claim.occurrences)
    lines = (dataclasses.replace(claim.kit[0], description=text), *claim.kit[1:])
    result, _ = write(dataclasses.replace(claim, occurrences=occurrences, kit=lines), "insurer")
    read = without_blanks(text_of(result.path, "-raw"))
    wanted = without_blanks(as_marked(text))
    # A page may end inside ten thousand characters: then each stretch of them is looked for.
    for start in range(0, len(wanted), 40):
        assert wanted[start : start + 40] in read or len(wanted) > 4000
    assert read.count("W" * 60) >= 150 or "W" * 60 not in wanted
    assert read.count("long" * 12) >= 150 or "long" * 12 not in wanted
    with pikepdf.open(result.path) as pdf:
        for page in pdf.pages:
            for note in page.obj.get("/Annots", []):
                assert "/URI" not in str(note.get("/A", ""))
                assert "/Launch" not in str(note.get("/A", ""))
        assert "/JavaScript" not in pdf.Root.get("/Names", {})
        assert "/OpenAction" not in pdf.Root


@hostile
def test_in_a_table_for_spreadsheets(text: str) -> None:
    written = csv_bytes([("a", text), (text, "b")]).decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(written, newline="")))
    for cell in (rows[0][1], rows[1][0]):
        assert cell in {text, f"'{text}"}
        assert not cell.lstrip().startswith(("=", "+", "-", "@"))


@hostile
def test_in_the_claim_file(text: str) -> None:
    claim = Claim(
        id="c", reference="R", currency="USD", zone="UTC", title=text, note=text,
        kit=(KitLine(id="k", number=text[:50], agreement="a", description=text, quantity=1),),
    )  # fmt: skip
    data = json.loads(claim_as_json(claim))
    assert (data["title"], data["note"], data["kit"][0]["description"]) == (text, text, text)
    data["kit"], data["agreements"] = [], []
    assert claim_from_json(json.dumps(data), "claim.json").title == text


@hostile
def test_in_the_library_and_its_record(text: str, tmp_path: Path) -> None:
    register = Register(Library.open(tmp_path / "of its own"), text[:200])
    try:
        claim = desk_claim(8)
        register._library.create(claim, who="A", label="New", summary=fresh_summary(claim))
        desk = register.open(claim.id)
        kit = (dataclasses.replace(claim.kit[0], description=text), *claim.kit[1:])
        desk.change(text, lambda old: dataclasses.replace(old, kit=kit, title=text))
        again = register.open(claim.id)
        assert (again.claim.title, again.claim.kit[0].description) == (text, text)
        assert again.outline()[-1].label == text
        assert register.summaries()[0].title == text
        assert register.check().wrong == ()
    finally:
        register.close()


def test_the_window_stays_on_its_feet_with_all_of_them_at_once(
    open_claim: Callable[[Claim], ClaimView], qtbot: QtBot
) -> None:
    claim = desk_claim(len(HOSTILE))
    kit = tuple(
        dataclasses.replace(line, description=text)
        for line, text in zip(claim.kit, HOSTILE.values(), strict=True)
    )
    view = open_claim(dataclasses.replace(claim, kit=kit))
    for page in ("kit", "counts", "photos", "findings", "charges", "reckoning", "dossier"):
        view.show_page(page)  # type: ignore[arg-type]
        qtbot.wait(20)
    view.grab()

"""The production manager's day: from a PDF invoice of 40 lines to the written answer.

Everything is done with the widgets that a person would use; the dossier is read back.
Invented: nobody and nothing in it exists.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import subprocess
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot
from reportlab.lib import colors
from reportlab.lib.pagesizes import LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, SimpleDocTemplate, Spacer, Table

from ldapp.claim.claim import Claim
from ldapp.claim.counts import CountEntry
from ldapp.claim.kit import KitLine
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.charges import ChargesPage
from ldapp.desktop.pages.dossier import DossierPage
from ldapp.dossier.formats import amount_text

from .conftest import PICKUP, RETURN, page_claim

LEFT = Qt.MouseButton.LeftButton
LINES = 40
THINGS = (
    *("stand", "flag", "cable", "panel", "head", "arm", "yoke", "door", "scrim", "case"),
    *("net", "silk", "clamp", "sandbag", "box", "track", "wheel", "monitor", "cap", "rod"),
)


def thing(number: int) -> str:
    """Return what line ``number`` is called, unlike all others."""
    first, second = THINGS[(number - 1) % 20], THINGS[(number * 7 + number // 21) % 20]
    return f"Invented {first} with {second}, model {100 + number * 7}"


def price(number: int) -> Decimal:
    return Decimal(20 + number * 3) + Decimal("0.50")


def big_claim() -> Claim:
    """Return a claim of forty lines, three of each out, and one of each even line missing."""
    claim = page_claim()
    kit = tuple(
        KitLine(
            id=f"n{number}",
            number=str(number),
            agreement="a1",
            description=thing(number),
            quantity=3,
            replacement_cost=price(number),
            acquired=dt.date(2023, 5, 1),
            serials=(),
        )
        for number in range(1, LINES + 1)
    )
    pickup, back = claim.counts
    return dataclasses.replace(
        claim,
        id="forty",
        kit=kit,
        counts=(
            dataclasses.replace(
                pickup, at=PICKUP, entries=tuple(CountEntry(line=k.id, quantity=3) for k in kit)
            ),
            dataclasses.replace(
                back,
                at=RETURN,
                entries=tuple(
                    CountEntry(line=k.id, quantity=2 if n % 2 == 0 else 3)
                    for n, k in enumerate(kit, 1)
                ),
            ),
        ),
        occurrences=(),
        findings=(),
        invoices=(),
    )


def draw_invoice(path: Path) -> Decimal:
    """Draw a PDF invoice over two pages, one unit of every line; return its net amount."""
    style = ParagraphStyle("cell", fontName="Helvetica", fontSize=9, leading=11)
    rows: list[list[Any]] = [["No.", "Description", "Qty", "Unit price", "Amount"]]
    net = Decimal(0)
    for number in range(1, LINES + 1):
        amount = price(number)
        net += amount
        rows.append(
            [str(number), Paragraph(thing(number), style), "1", f"{amount:,.2f}", f"{amount:,.2f}"]
        )
    rows.append(["", "Total due", "", "", f"{net:,.2f}"])
    table = Table(rows, colWidths=(30, 270, 40, 80, 80), repeatRows=1)
    table.setStyle(
        [
            ("FONTSIZE", (0, 0), (-1, -1), 9),
            ("LINEBELOW", (0, 0), (-1, -1), 0.4, colors.grey),
            ("ALIGN", (2, 0), (-1, -1), "RIGHT"),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ]
    )
    heading = Paragraph("Invoice LD-4001, dated 2026-03-16", style)
    SimpleDocTemplate(str(path), pagesize=LETTER, invariant=1).build(
        [heading, Spacer(0, 14), table]
    )
    return net


@pytest.fixture
def desk(
    qtbot: QtBot, open_context: Callable[[Claim], ClaimContext]
) -> Iterator[tuple[ChargesPage, DossierPage]]:
    """Return both pages of one open claim."""
    context = open_context(big_claim())
    charges, dossier = ChargesPage(context), DossierPage(context)
    for page in (charges, dossier):
        qtbot.addWidget(page)
        page.resize(1100, 720)
    charges.show()
    qtbot.waitUntil(lambda: context.up_to_date and context.reckoning is not None, timeout=10000)
    yield charges, dossier
    charges.shut_down()
    dossier.shut_down()


OFFERED = {"returned", "quantity", "depreciation"}


def test_from_a_pdf_of_forty_lines_to_the_written_answer(
    qtbot: QtBot,
    desk: tuple[ChargesPage, DossierPage],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    page, dossier = desk
    context = page.context
    paper = tmp_path / "ld-4001.pdf"
    net = draw_invoice(paper)

    # The file is chosen, its lines are looked at, nothing has to be set right.
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(paper), ""))
    qtbot.mouseClick(page.import_file, LEFT)
    importer = page.importer
    qtbot.waitUntil(lambda: importer.model.rowCount() == LINES, timeout=20000)
    assert importer.facts.fields["number"].value() == "LD-4001"
    assert importer.facts.fields["dated"].value() == dt.date(2026, 3, 16)
    qtbot.mouseClick(importer.add, LEFT)
    qtbot.waitUntil(lambda: bool(context.claim.invoices) and page.table.isVisible(), timeout=20000)
    invoice = context.claim.invoices[0]
    assert len(invoice.charges) == LINES
    assert sum(one.amount for one in invoice.charges) == net
    assert not page.foot.faults.isVisible()

    # Each line finds its kit line; the person accepts all at once.
    qtbot.waitUntil(lambda: page.matches.model.rowCount() == LINES, timeout=20000)
    # A panel that has just come up is laid out a moment later; a click before that hits nothing.
    accept = page.matches.accept_all
    qtbot.waitUntil(lambda: accept.isVisible() and 10 < accept.height() < page.matches.height())
    qtbot.wait(50)
    qtbot.mouseClick(accept, LEFT)
    matched = {one.number: one.line for one in context.claim.invoices[0].charges}
    assert matched == {str(n): f"n{n}" for n in range(1, LINES + 1)}

    # What came back is disputed as returned, switch by switch, where the page proposes it.
    qtbot.waitUntil(lambda: context.up_to_date, timeout=20000)
    switched = 0
    for charge in context.claim.invoices[0].charges[:6]:
        page.table.go_to_row(charge.id)
        qtbot.waitUntil(lambda key=charge.id: page.panel.charge.id == key)
        # Proposals come from a worker, one look at the claim later.
        qtbot.waitUntil(lambda: bool(OFFERED & set(page.panel.rows)), timeout=20000)
        code = "returned" if "returned" in page.panel.rows else "quantity"
        if int(charge.number) % 2 and code in page.panel.rows:
            page.panel.rows[code].switch.click()
            switched += 1
        elif "depreciation" in page.panel.rows:
            page.panel.rows["depreciation"].switch.click()
            switched += 1
        qtbot.waitUntil(lambda: context.up_to_date, timeout=20000)
    assert switched == 6
    results = context.reckoning.charges
    for one in results:
        assert one.owed + one.disputed == one.billed
        assert sum(fall.amount for fall in one.grounds) == one.disputed
    disputed = sum(one.disputed for one in results)
    assert disputed > 0
    assert "disputed " in page.foot.sums.text()

    # The answer is written, logged, and says what the page says.
    page.hide()
    dossier.show()
    dossier.versions.button(1).click()
    dossier.form.fields["date"].set_value(dt.date(2026, 3, 20))
    target = tmp_path / "answer.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    monkeypatch.setattr("ldapp.desktop.pages.dossier.ask", lambda *_: True)
    qtbot.mouseClick(dossier.side.write, LEFT)
    qtbot.waitUntil(lambda: dossier.written == (target,), timeout=60000)
    done = subprocess.run(
        ["pdftotext", "-enc", "UTF-8", str(target), "-"], check=True, capture_output=True, text=True
    )
    words = " ".join(done.stdout.replace("\u00a0", " ").split())
    total = amount_text(disputed, "USD")
    assert f"{total} is disputed" in words or f"USD {total} is disputed" in words
    for number in range(1, LINES + 1):
        assert f"model {100 + number * 7}" in words
    qtbot.mouseClick(dossier.side.log_sent, LEFT)
    assert context.claim.correspondence[0].step == "answer_to_charges"
    assert context.claim.stage == "sent"

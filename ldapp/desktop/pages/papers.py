"""The Papers page: the claim's facts, parties, agreements, policy and documents."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import Qt, QTimer, QUrl, Slot
from PySide6.QtGui import QAction, QDesktopServices
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import papers
from ldapp.casework.edit import find
from ldapp.casework.places import Page, Place
from ldapp.casework.viewing import copy_for_viewing, is_pdf
from ldapp.claim.documents import Document
from ldapp.desktop.claim_context import EVERYTHING, ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.jobs import Progress
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.paper_beside import PaperBeside
from ldapp.desktop.pages.paper_parts.agreement_panel import AgreementPanel
from ldapp.desktop.pages.paper_parts.documents_panel import DocumentsPanel
from ldapp.desktop.pages.paper_parts.facts_panel import FactsPanel
from ldapp.desktop.pages.paper_parts.name_dialog import NameDialog
from ldapp.desktop.pages.paper_parts.panel import PaperPanel
from ldapp.desktop.pages.paper_parts.parties_panel import PartiesPanel
from ldapp.desktop.pages.paper_parts.policy_panel import PolicyPanel
from ldapp.desktop.pages.paper_parts.shares_panel import SharesPanel
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Separator
from ldapp.language import marked, said
from ldapp.local_forms import grouped

_BEFORE = ("facts", "parties")
_AFTER = ("policy", "shares", "documents")
_TITLES = {
    "facts": marked("Claim"),
    "parties": marked("Parties"),
    "policy": marked("Policy"),
    "shares": marked("Shares"),
    "documents": marked("Documents"),
}
_PARTS_BY_KIND = {"claim": "facts", "party": "parties", "document": "documents",
                  "policy": "policy", "split": "shares"}  # fmt: skip


class PapersPage(ClaimPage):
    """One tab a part; each is made when it is first looked at."""

    name: ClassVar[Page] = "papers"
    title: ClassVar[str] = marked("Papers")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self._panels: dict[str, PaperPanel] = {}
        self._stale: frozenset[str] = EVERYTHING
        self._stale_panels: dict[str, frozenset[str]] = {}
        self._parts: list[str] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        head = QHBoxLayout()
        head.setContentsMargins(GRID * 2, GRID, GRID * 2, 0)
        self.tabs = QTabBar()
        self.tabs.setAccessibleName(said("Parts of the papers"))
        self.tabs.setExpanding(False)
        self.tabs.setDrawBase(False)
        self.tabs.setUsesScrollButtons(True)
        self.tabs.currentChanged.connect(self._on_tab)
        head.addWidget(self.tabs, 1)
        self.add_button = QPushButton(said("Add agreement…"))
        keep_icon(self.add_button, "add")
        self.add_button.clicked.connect(self.add_agreement)
        head.addWidget(self.add_button)
        column.addLayout(head)
        column.addWidget(Separator())
        self._stack = QStackedWidget()
        self._paper: PaperBeside | None = None
        self._split = QSplitter(Qt.Orientation.Horizontal)
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(self._stack)
        self._split.setStretchFactor(0, 1)
        column.addWidget(self._split, 1)
        add = QAction(said("Add a rental agreement…"), self)
        add.triggered.connect(self.add_agreement)
        self.addAction(add)
        take_in = QAction(said("Take in papers…"), self)
        take_in.triggered.connect(self._take_in)
        self.addAction(take_in)

    # --- parts ------------------------------------------------------------------------

    def panel(self, part: str) -> PaperPanel:
        """Return a part, made when it is first wanted; an agreement's part is its id."""
        if part not in self._panels:
            makers: dict[str, type[PaperPanel]] = {
                "facts": FactsPanel,
                "parties": PartiesPanel,
                "policy": PolicyPanel,
                "shares": SharesPanel,
                "documents": DocumentsPanel,
            }
            maker = makers.get(part)
            made = maker(self.context) if maker else AgreementPanel(self.context, part)
            self._panels[part] = made
            self._stale_panels[part] = EVERYTHING
            made.paper_asked.connect(self.show_paper)
            self._stack.addWidget(made)
        return self._panels[part]

    def refresh(self, kinds: frozenset[str]) -> None:
        """Show the tabs of the claim, and the part in sight as it is."""
        self._show_tabs()
        for part, panel in self._panels.items():
            if kinds & (panel.kinds | EVERYTHING):
                self._stale_panels[part] = self._stale_panels.get(part, frozenset()) | kinds
        self._refresh_shown()

    def _refresh_shown(self) -> None:
        part = self._part()
        if part is None:
            return
        panel = self.panel(part)
        if self._stale_panels.pop(part, frozenset()):
            panel.refresh()
        self._stack.setCurrentWidget(panel)

    def _part(self) -> str | None:
        number = self.tabs.currentIndex()
        return self._parts[number] if 0 <= number < len(self._parts) else None

    def _show_tabs(self) -> None:
        claim = self.context.claim
        names = {party.id: party.name for party in claim.parties}
        titles = {part: said(title) for part, title in _TITLES.items()}
        for agreement in claim.agreements:
            name = names.get(agreement.lessor, "") or agreement.reference or said("Agreement")
            titles[agreement.id] = name if len(name) <= 26 else name[:25] + "…"
        titles["documents"] = said("Documents ({number})", number=grouped(len(claim.documents)))
        parts = [*_BEFORE, *(one.id for one in claim.agreements), *_AFTER]
        shown = self._part()
        if parts != self._parts:
            self.tabs.blockSignals(True)
            while self.tabs.count():
                self.tabs.removeTab(0)
            self._parts = parts
            for _ in parts:
                self.tabs.addTab("")
            self.tabs.setCurrentIndex(parts.index(shown) if shown in parts else 0)
            self.tabs.blockSignals(False)
            for part in [one for one in self._panels if one not in parts]:
                panel = self._panels.pop(part)
                self._stack.removeWidget(panel)
                panel.deleteLater()
        for number, part in enumerate(parts):
            text = titles[part].replace("&", "&&")
            if self.tabs.tabText(number) != text:
                self.tabs.setTabText(number, text)

    def show_part(self, part: str) -> None:
        """Bring a part into sight."""
        if part in self._parts:
            self.tabs.setCurrentIndex(self._parts.index(part))
            self._refresh_shown()

    @Slot(int)
    def _on_tab(self, number: int) -> None:
        del number
        self._refresh_shown()

    def show_place(self, place: Place) -> None:
        """Bring a fact, party, agreement, term or document into sight."""
        self._show_tabs()
        if place.field.startswith("terms."):
            place = place._replace(field=re.split(r"[.\[]", place.field)[1])
        part = place.key if place.kind == "agreement" else _PARTS_BY_KIND.get(place.kind, "facts")
        if part in self._parts:
            self.show_part(part)
            self.panel(part).show_place(place)

    # --- a paper beside its sentences ---------------------------------------------------

    @Slot(str, object)
    def show_paper(self, document: str, page: int | None) -> None:
        """Show a page of a document beside the sentences that it is entered into."""
        one = find(self.context.claim.documents, document)
        if one is None:
            self.context.message.emit(said("This paper is no longer among the documents."))
            return
        if not is_pdf(one):
            self.context.run(said("Opening"), self._copy_of(one), self._on_copied)
            return
        path = self.context.attempt(lambda: self.context.desk.originals.path_of(one.sha256))
        if path is None:
            return
        if self._paper is None:
            self._paper = PaperBeside(self.context, said("Pages of the paper"))
            self._paper.closed.connect(self._close_paper)
            self._paper.hide()
            self._split.addWidget(self._paper)
        if self._paper.isHidden():
            self._paper.show()
            # Only now is it known how wide the page is without the weak points.
            QTimer.singleShot(0, self._share_width)
        self._paper.open(path, one.title, page or 1)

    @Slot()
    def _share_width(self) -> None:
        width = self._split.width()
        self._split.setSizes([width * 11 // 20, width - width * 11 // 20])

    def _copy_of(self, document: Document) -> Callable[[Progress], Path]:
        originals = self.context.desk.originals

        def work(progress: Progress) -> Path:
            progress(0, 0, document.title)
            return copy_for_viewing(originals, document)

        return work

    @Slot(object)
    def _on_copied(self, path: Path) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
            self.context.message.emit(
                said("No program opens it by itself. A copy lies at {path}.", path=path)
            )

    @Slot()
    def _close_paper(self) -> None:
        if self._paper is not None:
            self._paper.hide()
        shown = self._stack.currentWidget()
        if shown is not None:
            shown.setFocus()

    def shut_down(self) -> None:
        """Stop drawing pages; called before the claim is closed."""
        if self._paper is not None:
            self._paper.shut_down()

    # --- what can be done ---------------------------------------------------------------

    def take_files(self, paths: list[Path]) -> None:
        """Take papers in."""
        self.refresh_if_stale()
        self.show_part("documents")
        panel = self.panel("documents")
        assert isinstance(panel, DocumentsPanel)
        panel.take_in(paths)

    @Slot()
    def _take_in(self) -> None:
        self.show_part("documents")
        panel = self.panel("documents")
        assert isinstance(panel, DocumentsPanel)
        panel.add_button.click()

    @Slot()
    def add_agreement(self) -> None:
        """Ask for the rental company and add an agreement with it."""
        known = [
            party.name for party in self.context.claim.parties if party.role == "rental_company"
        ]
        name = NameDialog.ask(said("New agreement"), said("&Rental company"), known, self)
        if not name:
            return
        made = self.context.attempt(lambda: papers.add_agreement(self.context.desk, name))
        if made is not None:
            self.show_part(made.id)

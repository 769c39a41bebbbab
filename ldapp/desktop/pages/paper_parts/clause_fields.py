"""Where a sentence is written: the clause's number, its paper and page, and its words."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from ldapp.claim.clause import Clause
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import (
    ChoiceField,
    ComposedField,
    LongTextField,
    text_field,
    whole_field,
)
from ldapp.desktop.widgets.pieces import icon_button
from ldapp.language import said

CLAUSE_WIDTH = GRID * 26


class Papers(Protocol):
    """The papers that a clause can stand in."""

    def documents(self) -> list[tuple[str, str]]:
        """Return id and title of every attached document."""
        ...

    def own_document(self) -> str | None:
        """Return the paper that a clause stands in where it names none."""
        ...

    def open_page(self, document: str, page: int | None) -> None:
        """Show a page of a document beside the sentences."""
        ...


class ClauseFields(ComposedField):
    """A clause: its number and page, and on demand its words and the paper it stands in."""

    committed = Signal(object)

    def __init__(self, title: str, papers: Papers, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._papers = papers
        self.setFixedWidth(CLAUSE_WIDTH)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._title = title
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        row = QHBoxLayout()
        row.setSpacing(4)
        self.reference = text_field(characters=6)
        self.reference.setPlaceholderText(said("clause"))
        self.reference.setAccessibleName(said("{title}: number of the clause", title=title))
        self.page = whole_field(least=1)
        self.page.setPlaceholderText(said("page"))
        self.page.setAccessibleName(said("{title}: page of the document", title=title))
        self.open = icon_button("eye", said("{title}: open the page", title=title))
        self.open.clicked.connect(self._on_open)
        self.more = icon_button("text", said("{title}: words and paper of the clause", title=title))
        self.more.setCheckable(True)
        self.more.toggled.connect(self._on_more)
        for widget in (self.reference, self.page, self.open, self.more):
            row.addWidget(widget)
        column.addLayout(row)
        self.details = QWidget()
        details = QVBoxLayout(self.details)
        details.setContentsMargins(0, 0, 0, 0)
        details.setSpacing(4)
        self.document = ChoiceField()
        self.document.setAccessibleName(
            said("{title}: paper that the clause stands in", title=title)
        )
        self.document.setSizeAdjustPolicy(
            ChoiceField.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.words = LongTextField(lines=3)
        self.words.setPlaceholderText(said("words of the clause"))
        self.words.setAccessibleName(said("{title}: words of the clause", title=title))
        details.addWidget(self.document)
        details.addWidget(self.words)
        self.details.hide()
        column.addWidget(self.details)
        for field in (self.reference, self.page, self.words, self.document):
            field.committed.connect(self._on_committed)
        self.reference.refused.connect(self.refused)
        self.page.refused.connect(self.refused)
        self.words.refused.connect(self.refused)
        self.setFocusProxy(self.reference)
        self.set_value(None)

    def set_value(self, value: Clause | None) -> None:
        """Show a clause, or that none is given."""
        super().set_value(value)
        self.reference.set_value(value.reference if value and value.reference else None)
        self.page.set_value(value.page if value else None)
        self.words.set_value(value.text if value else "")
        self._show_document()

    def _show_document(self) -> None:
        clause: Clause | None = self.value()
        documents = self._papers.documents()
        titles = dict(documents)
        if not self.details.isHidden():
            own = titles.get(self._papers.own_document() or "")
            none = said("in {paper}", paper=own) if own else said("no paper named")
            self.document.set_choices([(None, none), *documents])
            self.document.set_value(clause.document if clause else None)
        paper = titles.get(self._document() or "")
        self.open.setEnabled(paper is not None)
        if not paper:
            says = said("No paper is attached that it could stand in")
        elif clause and clause.page:
            says = said("Open {paper}, page {page}", paper=paper, page=clause.page)
        else:
            says = said("Open {paper}", paper=paper)
        self.open.setToolTip(says)

    def _document(self) -> str | None:
        clause: Clause | None = self.value()
        named = clause.document if clause else None
        return named or self._papers.own_document()

    @Slot()
    def _on_open(self) -> None:
        document = self._document()
        if document is not None:
            self._papers.open_page(document, self.page.value())

    @Slot(bool)
    def _on_more(self, shown: bool) -> None:
        self.details.setVisible(shown)
        self._show_document()
        self.updateGeometry()
        if shown:
            self.document.setFocus()

    @Slot(object)
    def _on_committed(self, value: object) -> None:
        del value
        before: Clause | None = self.value()
        document = before.document if before else None
        if not self.details.isHidden():
            document = self.document.value()
        reference = self.reference.value() or ""
        page, words = self.page.value(), self.words.value()
        stated = bool(reference or page or words or document)
        self.enter(
            Clause(reference=reference, page=page, text=words, document=document)
            if stated
            else None
        )
        self._show_document()

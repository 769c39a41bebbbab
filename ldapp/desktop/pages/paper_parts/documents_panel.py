"""The papers that were taken in: what each is, whether it is an exhibit, whether it is private."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QUrl, Slot
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog, QPushButton, QStackedWidget, QWidget

from ldapp.casework import papers
from ldapp.casework.free_text import refuse_card_numbers
from ldapp.casework.places import Place
from ldapp.casework.viewing import copy_for_viewing, not_shown
from ldapp.claim.documents import Document
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.paper_parts.panel import PaperPanel
from ldapp.desktop.pages.paper_parts.words import (
    DOCUMENT_KINDS,
    chosen_by_words,
    said_choices,
    said_words,
)
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import EmptyState, Label, Section
from ldapp.desktop.widgets.table_model import CellEdit, Column, RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.desktop.widgets.values import date_text, parse_date
from ldapp.errors import LdappError
from ldapp.language import marked, said, said_of
from ldapp.local_forms import local_number

_YES_NO = (("yes", marked("yes")), ("no", marked("no")))


def _kinds(document: Document) -> Sequence[tuple[str, str]]:
    del document
    return said_choices(DOCUMENT_KINDS)


def _yes_no(document: Document) -> Sequence[tuple[str, str]]:
    del document
    return said_choices(_YES_NO)


def _size(document: Document) -> str:
    size = document.bytes
    if size < 1024:
        return f"{size} B"
    return local_number(
        f"{size / 1024:,.0f} kB" if size < 1_048_576 else f"{size / 1_048_576:,.1f} MB"
    )


def _flag(name: str, title: str, width: int = 9) -> Column[Document]:
    return Column(
        name=name,
        title=title,
        text=lambda document: said("yes") if getattr(document, name) else said("no"),
        edit_text=lambda document: "yes" if getattr(document, name) else "no",
        editable=True,
        choices=_yes_no,
        width=width,
    )


DOCUMENT_COLUMNS: tuple[Column[Document], ...] = (
    Column(
        name="title", title=marked("Title"), text=lambda one: one.title, editable=True, width=34
    ),
    Column(
        name="kind",
        title=marked("Kind"),
        text=lambda one: said_words(DOCUMENT_KINDS, one.kind),
        edit_text=lambda one: one.kind,
        editable=True,
        choices=_kinds,
        width=24,
    ),
    Column(
        name="dated",
        title=marked("Dated"),
        text=lambda one: date_text(one.dated) if one.dated else "",
        key=lambda one: one.dated,
        editable=True,
        width=12,
    ),
    _flag("exhibit", marked("Exhibit")),
    _flag("private", marked("Private")),
    _flag("signed_by_other_side", marked("Signed by them"), 15),
    Column(name="name", title=marked("File"), text=lambda one: one.name, width=26),
    Column(
        name="size",
        title=marked("Size"),
        text=_size,
        key=lambda one: one.bytes,
        right=True,
        width=9,
    ),
)


class DocumentsPanel(PaperPanel):
    """Take papers in, name them, open them."""

    kinds = frozenset({"document"})
    spoken = marked("Documents")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        section = Section(said("Documents"))
        self.open_button = QPushButton(said("Open"))
        self.open_button.clicked.connect(self._on_open)
        self.remove_button = QPushButton(said("Remove"))
        self.remove_button.clicked.connect(self._on_remove)
        self.add_button = QPushButton(said("Take in papers…"))
        keep_icon(self.add_button, "import")
        self.add_button.clicked.connect(self._on_add)
        for button in (self.open_button, self.remove_button, self.add_button):
            section.add_head(button)
        self.model = RowsModel(
            DOCUMENT_COLUMNS, lambda one: one.id, writer=self._write, parent=self
        )
        self.table = TableView(said("Documents"))
        self.table.setModel(self.model)
        self.table.setSortingEnabled(True)
        self.table.setMinimumHeight(GRID * 40)
        self.table.remove_wanted.connect(self._remove)
        self.table.opened.connect(self._open)
        self.table.selectionModel().selectionChanged.connect(self._show_buttons)
        self._empty = EmptyState(
            said(
                "No papers yet. The signed agreement, tickets, estimates and messages "
                "belong here; drop them on the window or take them in."
            ),
            said("Take in papers…"),
        )
        self._empty.acted.connect(self._on_add)
        self._stack = QStackedWidget()
        self._stack.addWidget(self.table)
        self._stack.addWidget(self._empty)
        section.body.addWidget(self._stack)
        section.body.addWidget(
            Label(
                said(
                    "An exhibit is carried by dossiers. A private paper never goes to the "
                    "rental company. Originals are kept untouched."
                ),
                muted=True,
                wrap=True,
            )
        )
        self.column.addWidget(section, 1)

    def refresh(self) -> None:
        """Show the documents."""
        self.model.set_rows(self.context.claim.documents)
        self._stack.setCurrentIndex(0 if self.context.claim.documents else 1)
        self._show_buttons()

    def show_place(self, place: Place) -> None:
        """Put the cursor on a document."""
        self.table.go_to_row(place.key)
        self.table.setFocus()

    @Slot()
    def _show_buttons(self) -> None:
        chosen = bool(self.table.selected_rows())
        self.open_button.setEnabled(chosen)
        self.remove_button.setEnabled(chosen)

    def _write(self, edits: Sequence[CellEdit]) -> bool:
        changed: dict[str, Document] = {}
        try:
            for row, column, text in edits:
                document = changed.get(row.id, row)
                changed[row.id] = _with_text(document, column, text.strip())
        except LdappError as error:
            self.context.failed.emit(error)
            return False
        done = [
            self.context.attempt(partial(papers.put_document, self.context.desk, one))
            for one in changed.values()
        ]
        return all(one is not None for one in done)

    @Slot()
    def _on_add(self) -> None:
        names, _ = QFileDialog.getOpenFileNames(self, said("Papers to take in"))
        if names:
            self.take_in([Path(name) for name in names])

    def take_in(self, paths: list[Path]) -> None:
        """Copy papers in, in a worker; all of them or none."""
        keeper = self.context.keeper
        if keeper is None:
            self.context.refuse(said("This claim has no library to keep papers in."))
            return
        desk = self.context.desk
        files = [
            file
            for path in paths
            for file in (sorted(path.rglob("*")) if path.is_dir() else [path])
            if file.is_file()
        ]

        def work(progress: Progress) -> tuple[tuple[Document, ...], tuple[str, ...]]:
            taken = papers.take_in_documents(desk, keeper, files, progress=progress)
            return taken, not_shown(desk.originals, taken)

        self.context.run(said("Taking papers in"), work, self._on_taken)

    @Slot(object)
    def _on_taken(self, outcome: tuple[tuple[Document, ...], tuple[str, ...]]) -> None:
        taken, hidden = outcome
        if not taken:
            says = said("Nothing new: what was there is in the claim already.")
        else:
            says = said_of(
                len(taken),
                "{count} paper taken in. Its kind is proposed from the file's name; please "
                "look at it.",
                "{count} papers taken in. Their kinds are proposed from the files' names; "
                "please look at them.",
            )
        self.context.message.emit(" ".join((says, *hidden[:3])))

    @Slot()
    def _on_open(self) -> None:
        rows = self.table.selected_rows()
        if rows:
            self._open(rows[0])

    @Slot(object)
    def _open(self, document: Document | None) -> None:
        if document is None:
            return
        originals = self.context.desk.originals

        def work(progress: Progress) -> Path:
            del progress
            return copy_for_viewing(originals, document)

        self.context.run(said("Opening"), work, self._on_copied)

    @Slot(object)
    def _on_copied(self, path: Path) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
            self.context.message.emit(
                said("No program opens it by itself. A copy lies at {path}.", path=path)
            )

    @Slot()
    def _on_remove(self) -> None:
        self._remove(self.table.selected_rows())

    @Slot(object)
    def _remove(self, documents: list[Any]) -> None:
        for document in documents:
            self.context.attempt(partial(papers.remove_document, self.context.desk, document.id))


def _with_text(document: Document, column: str, text: str) -> Document:
    if column == "title":
        if not text:
            raise LdappError(said("A document needs a title: exhibits are listed by it."))
        return dataclasses.replace(document, title=refuse_card_numbers(text))
    if column == "dated":
        return dataclasses.replace(document, dated=parse_date(text) if text else None)
    if column == "kind":
        kind = chosen_by_words(DOCUMENT_KINDS, text)
        if kind is None:
            raise LdappError(
                said("“{text}” is no kind of document. Choose one from the list.", text=text)
            )
        return dataclasses.replace(document, kind=kind)
    answer = chosen_by_words(_YES_NO, text or "no")
    if answer is None:
        raise LdappError(said("“{text}” is neither yes nor no.", text=text))
    value = answer == "yes"
    if column == "exhibit":
        return dataclasses.replace(document, exhibit=value)
    if column == "private":
        return dataclasses.replace(document, private=value)
    return dataclasses.replace(document, signed_by_other_side=value)

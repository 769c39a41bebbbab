"""What was sent and received: the list, the chosen entry as fields, its paper."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QModelIndex, Qt, Slot
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFileDialog,
    QFrame,
    QPushButton,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import after_sending as work
from ldapp.casework import sent_papers
from ldapp.claim.documents import CorrespondenceStep, Document
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.dropped_files import local_files
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.after_sending_gone import GoneOffersStrip
from ldapp.desktop.pages.after_sending_rows import ENTRY_COLUMNS, EntryRow, entry_rows
from ldapp.desktop.pages.correspondence_form import CorrespondenceForm
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.flow_layout import FlowLayout
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.table_model import RowsModel
from ldapp.desktop.widgets.table_view import TableView
from ldapp.language import marked, said, said_of

_LOGGED: tuple[tuple[CorrespondenceStep, str], ...] = (
    ("answer_to_charges", marked("Answer &sent")),
    ("reply", marked("Rep&ly received")),
    ("offer", marked("O&ffer")),
    ("payment", marked("Pay&ment")),
    ("other", marked("Somethin&g else")),
)


class EntriesPanel(QWidget):
    """The entries above, the chosen one below."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self.agreement: str | None = None
        """Whose rental company new entries are with."""
        self.setAcceptDrops(True)
        self.entries: RowsModel[EntryRow] = RowsModel(
            ENTRY_COLUMNS, lambda row: row.entry.id, parent=self
        )
        self.table = TableView(said("Sent and received"))
        self.table.setModel(self.entries)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.gone = GoneOffersStrip(context)
        self.form = CorrespondenceForm(context)
        for field in self.form.form.fields.values():
            # A file that is dropped on a field is a paper, not a text.
            field.setAcceptDrops(False)
        self.attach = QPushButton(said("A&ttach a paper…"))
        self.log_buttons: dict[CorrespondenceStep, QPushButton] = {}
        self._hint = Label(
            said(
                "Log what was sent and what came back: choose a button above. A paper "
                "that is dropped here is attached to the chosen entry."
            ),
            muted=True,
            wrap=True,
        )
        self._lay_out()
        self.attach.clicked.connect(self._ask_paper)
        self.table.selectionModel().currentRowChanged.connect(self._on_entry)
        self.table.remove_wanted.connect(self._remove)

    def _lay_out(self) -> None:
        buttons = QWidget()
        row = FlowLayout(buttons, spacing=GRID)
        slots = {
            "answer_to_charges": self._log_answer,
            "reply": self._log_reply,
            "offer": self._log_offer,
            "payment": self._log_payment,
            "other": self._log_other,
        }
        for step, says in _LOGGED:
            button = QPushButton(said(says))
            button.clicked.connect(slots[step])
            self.log_buttons[step] = button
            row.addWidget(button)
        row.addWidget(self.attach)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setAccessibleName(said("The chosen entry"))
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, GRID * 2, GRID, 0)
        column.addWidget(self._hint)
        column.addWidget(self.form)
        column.addStretch(1)
        area.setWidget(inside)
        split = QSplitter(Qt.Orientation.Vertical)
        split.setChildrenCollapsible(False)
        split.addWidget(self.table)
        split.addWidget(area)
        split.setStretchFactor(0, 1)
        split.setSizes([240, 330])
        self.table.setMinimumHeight(GRID * 14)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(GRID)
        whole.addWidget(buttons)
        whole.addWidget(self.gone)
        whole.addWidget(split, 1)

    def show_claim(self) -> None:
        """Show the entries as they stand."""
        self.entries.set_rows(entry_rows(self._context.claim))
        self.gone.show_claim()
        self._show_entry(self.form.key)

    def _show_entry(self, key: str) -> None:
        self.form.show_entry(key)
        chosen = bool(self.form.key)
        self.form.setVisible(chosen)
        self._hint.setVisible(not chosen)
        self.attach.setEnabled(chosen)

    def show_entry(self, key: str) -> None:
        """Choose an entry."""
        self.table.go_to_row(key)
        self.table.setFocus()

    @Slot(QModelIndex, QModelIndex)
    def _on_entry(self, current: QModelIndex, before: QModelIndex) -> None:
        del before
        row = self.entries.row_at(current)
        self._show_entry(row.entry.id if row is not None else "")

    # --- logging -------------------------------------------------------------------------

    def _log(self, step: CorrespondenceStep) -> None:
        context = self._context
        entry = work.new_entry(context.claim, step, self.agreement)
        if context.attempt(lambda: work.put_entry(context.desk, entry)):
            self.show_claim()
            self.table.go_to_row(entry.id)
            self.form.form.fields["subject"].setFocus()

    @Slot()
    def _log_answer(self) -> None:
        self._log("answer_to_charges")

    @Slot()
    def _log_reply(self) -> None:
        self._log("reply")

    @Slot()
    def _log_offer(self) -> None:
        self._log("offer")

    @Slot()
    def _log_payment(self) -> None:
        self._log("payment")

    @Slot()
    def _log_other(self) -> None:
        self._log("other")

    @Slot(object)
    def _remove(self, rows: list[EntryRow]) -> None:
        ids = [row.entry.id for row in rows]
        if ids:
            self._context.attempt(lambda: work.remove_entries(self._context.desk, ids))

    # --- papers --------------------------------------------------------------------------

    @Slot()
    def _ask_paper(self) -> None:
        names, _ = QFileDialog.getOpenFileNames(self, said("The paper that was sent or received"))
        if names:
            self.take_files([Path(name) for name in names])

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files while an entry is chosen that they can belong to."""
        if local_files(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Attach the files that were dropped."""
        files = local_files(event.mimeData())
        if files:
            event.acceptProposedAction()
            self.take_files(files)

    def take_files(self, paths: list[Path]) -> None:
        """Attach papers to the chosen entry; without one a reply received is logged for them."""
        context = self._context
        keeper, desk = context.keeper, context.desk
        if keeper is None:
            context.refuse(said("This claim has no library to keep papers in."))
            return
        if not self.form.key:
            self._log("reply")
        key = self.form.key
        if not key:
            return

        def take(progress: Progress) -> tuple[Document, ...]:
            return sent_papers.attach_papers(desk, keeper, key, paths, progress)

        context.run(said("Attaching papers"), take, self._on_attached)

    @Slot(object)
    def _on_attached(self, papers: tuple[Document, ...]) -> None:
        if not papers:
            return
        says = said("“{title}” is attached.", title=papers[0].title)
        if len(papers) > 1:
            others = said_of(
                len(papers) - 1,
                "The other {count} stands among the documents on the Papers page.",
                "The other {count} stand among the documents on the Papers page.",
            )
            says = f"{says} {others}"
        self._context.message.emit(says)

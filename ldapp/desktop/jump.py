"""Ctrl+K: jump to any line, photo, page or action by typing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Slot,
)
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import QDialog, QLineEdit, QListView, QVBoxLayout, QWidget

from ldapp.casework.counts import STAGE_NAMES
from ldapp.casework.places import PAGES, Page, Place
from ldapp.claim.claim import Claim
from ldapp.claim.findings import FindingKind
from ldapp.desktop.icons import icon
from ldapp.desktop.page_titles import page_title
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.plain_text import shown
from ldapp.desktop.widgets.values import instant_text
from ldapp.language import marked, said

_SHOWN = 60
_FINDINGS: dict[FindingKind, str] = {
    "missing": marked("Missing"),
    "damaged": marked("Damaged"),
    "short_at_pickup": marked("Short at pickup"),
    "exchanged": marked("Exchanged"),
    "over": marked("Over"),
}
Index = QModelIndex | QPersistentModelIndex


class Target(NamedTuple):
    """Something to jump to: what it is called, what kind, and what happens."""

    text: str
    kind: str
    icon: str
    place: Place | None = None
    action: QAction | None = None


def targets_in(claim: Claim) -> list[Target]:
    """Return everything in a claim that can be jumped to, in the order of the work."""
    found = [Target(page_title(name), said("Page"), name, Place(name)) for name in PAGES]

    def add(text: str, kind: str, page: Page, record: str, key: str) -> None:
        found.append(Target(text, kind, page, Place(page, record, key)))

    for party in claim.parties:
        add(party.name, said("Party"), "papers", "party", party.id)
    for agreement in claim.agreements:
        add(
            said("Agreement {reference}", reference=agreement.reference),
            said("Agreement"),
            "papers",
            "agreement",
            agreement.id,
        )
    for document in claim.documents:
        add(document.title, said("Document"), "papers", "document", document.id)
    for line in claim.kit:
        serials = " ".join((*line.serials, *line.asset_tags))
        add(
            f"{line.number}  {line.description}  {serials}".strip(),
            said("Kit line"),
            "kit",
            "kit_line",
            line.id,
        )
    for count in claim.counts:
        text = said("{stage} count", stage=said(STAGE_NAMES[count.stage]))
        when = f", {instant_text(count.at)}" if count.at else ""
        add(f"{text}{when}", said("Count"), "counts", "count", count.id)
    for photo in claim.photos:
        add(photo.name, said("Photo"), "photos", "photo", photo.id)
    lines = {line.id: line for line in claim.kit}
    for finding in claim.findings:
        on = lines.get(finding.line)
        what = f"{on.number}  {on.description}" if on else ""
        add(
            f"{said(_FINDINGS[finding.kind])}: {what}",
            said("Finding"),
            "findings",
            "finding",
            finding.id,
        )
    for occurrence in claim.occurrences:
        add(occurrence.title, said("Occurrence"), "findings", "occurrence", occurrence.id)
    for invoice in claim.invoices:
        add(
            said("Invoice {number}", number=invoice.number),
            said("Invoice"),
            "charges",
            "invoice",
            invoice.id,
        )
        for charge in invoice.charges:
            add(
                f"{charge.number}  {charge.description}",
                said("Charge"),
                "charges",
                "charge",
                charge.id,
            )
    return found


def targets_of(actions: Iterable[QAction]) -> list[Target]:
    """Return the actions that can be done now."""
    return [
        Target(action.text().replace("&", "").rstrip("…"), said("Action"), "check", action=action)
        for action in actions
        if action.isEnabled() and action.text() and not action.menu() and not action.isSeparator()
    ]


def matching(targets: Sequence[Target], text: str, most: int = _SHOWN) -> list[Target]:
    """Return the targets that hold every word, those that begin with the text first."""
    words = text.casefold().split()
    if not words:
        return list(targets[:most])
    ranked: list[tuple[int, int, Target]] = []
    for number, target in enumerate(targets):
        whole = f"{target.text} {target.kind}".casefold()
        if all(word in whole for word in words):
            start = 0 if whole.startswith(words[0]) else 1 if f" {words[0]}" in whole else 2
            ranked.append((start, number, target))
    ranked.sort(key=lambda one: one[:2])
    return [target for _, _, target in ranked[:most]]


class _Targets(QAbstractListModel):
    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.rows: list[Target] = []

    def show_targets(self, rows: list[Target]) -> None:
        self.beginResetModel()
        self.rows = rows
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:
        return 0 if parent.isValid() else len(self.rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        target = self.rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return shown(f"{target.text}   ·   {target.kind}")
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{target.kind}: {target.text}"
        if role == Qt.ItemDataRole.DecorationRole:
            return icon(target.icon)
        return None


class JumpDialog(QDialog):
    """A line to type in and the places that match."""

    def __init__(
        self,
        targets: Sequence[Target],
        go: Callable[[Target], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("Jump to"))
        self._targets = list(targets)
        self._go = go
        self.resize(GRID * 76, GRID * 56)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        self.line = QLineEdit()
        self.line.setPlaceholderText(said("A line, serial number, photo, page or action"))
        self.line.setAccessibleName(said("Jump to"))
        self.line.setClearButtonEnabled(True)
        self.line.textChanged.connect(self._on_text)
        self.line.returnPressed.connect(self._on_enter)
        self.line.installEventFilter(self)
        self.list = QListView()
        self.list.setAccessibleName(said("What matches"))
        self.list.setUniformItemSizes(True)
        self.list.setSpacing(2)
        self.list.activated.connect(self._on_activated)
        self.list.clicked.connect(self._on_activated)
        self._model = _Targets(self)
        self.list.setModel(self._model)
        column.addWidget(self.line)
        column.addWidget(self.list, 1)
        self._on_text("")

    @property
    def shown(self) -> Sequence[Target]:
        """What matches now."""
        return self._model.rows

    @Slot(str)
    def _on_text(self, text: str) -> None:
        self._model.show_targets(matching(self._targets, text))
        self.list.setCurrentIndex(self._model.index(0, 0))

    @Slot()
    def _on_enter(self) -> None:
        self._on_activated(self.list.currentIndex())

    @Slot(QModelIndex)
    def _on_activated(self, index: QModelIndex) -> None:
        if index.isValid():
            target = self._model.rows[index.row()]
            self.accept()
            self._go(target)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Up and down in the line move through the list."""
        if (
            watched is self.line
            and event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down)
        ):
            step = 1 if event.key() == Qt.Key.Key_Down else -1
            row = min(max(self.list.currentIndex().row() + step, 0), self._model.rowCount() - 1)
            self.list.setCurrentIndex(self._model.index(row, 0))
            return True
        return super().eventFilter(watched, event)

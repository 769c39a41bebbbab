"""Occurrences as cards in a row: findings are dragged onto the event that caused them."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragLeaveEvent,
    QDropEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from ldapp.claim.causes import CAUSE_LABELS
from ldapp.claim.claim import Claim
from ldapp.claim.findings import Occurrence
from ldapp.desktop.pages.finding_rows import finding_ids_of_mime
from ldapp.desktop.pages.said import day_text, moment_text
from ldapp.desktop.theme import GRID, Role, TypeSize, colour
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import said, said_of
from ldapp.reckoning.result import Reckoning

CARD_WIDTH = GRID * 31
UNEXPLAINED = ""


class OccurrenceCard(QWidget):
    """One event: when, where, why, how many findings, what it comes to."""

    chosen = Signal(str)
    dropped = Signal(str, object)
    """The occurrence's id (empty: explained by none) and the ids of the findings."""

    def __init__(self, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.key = key
        self._marked = False
        self._under_drag = False
        self.setAcceptDrops(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFixedWidth(CARD_WIDTH)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        column.setSpacing(2)
        self._title = Label("", bold=True, wrap=True)
        self._when = Label("", TypeSize.SMALL, muted=True, wrap=True)
        self._cause = Label("", TypeSize.SMALL, wrap=True)
        self._sum = Label("", TypeSize.SMALL)
        self._flag = Label("", TypeSize.SMALL, wrap=True)
        self._flag.set_tone("amber")
        for label in (self._title, self._when, self._cause):
            column.addWidget(label)
        column.addStretch(1)
        column.addWidget(self._flag)
        column.addWidget(self._sum)

    def show_texts(self, title: str, when: str, cause: str, total: str, flag: str) -> None:
        """Write the card."""
        texts = {
            self._title: title,
            self._when: when,
            self._cause: cause,
            self._sum: total,
            self._flag: flag,
        }
        for label, text in texts.items():
            label.setText(text)
            label.setVisible(bool(text))
        self.setAccessibleName(said("Occurrence {title}", title=title))
        self.setAccessibleDescription(", ".join(text for text in texts.values() if text))

    def mark(self, on: bool) -> None:
        """Show it as the chosen one."""
        self._marked = on
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw a quiet ground; a line in the accent colour where it is chosen."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        painter.setBrush(colour("chosen" if self._under_drag else "base"))
        tone: Role = "accent" if self._marked or self._under_drag else "separator"
        painter.setPen(QPen(colour(tone), 2 if self._marked or self.hasFocus() else 1))
        painter.drawRoundedRect(box, 4, 4)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose it."""
        del event
        self.setFocus()
        self.chosen.emit(self.key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter or blank chooses it."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.chosen.emit(self.key)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that the focus went."""
        super().focusOutEvent(event)
        self.update()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take findings, and nothing else."""
        if finding_ids_of_mime(event.mimeData()):
            self._under_drag = True
            self.update()
            event.acceptProposedAction()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        """The findings went elsewhere."""
        del event
        self._under_drag = False
        self.update()

    def dropEvent(self, event: QDropEvent) -> None:
        """Say which findings were dropped here."""
        self._under_drag = False
        self.update()
        ids = finding_ids_of_mime(event.mimeData())
        if ids:
            event.acceptProposedAction()
            self.dropped.emit(self.key, ids)


class OccurrenceCards(QScrollArea):
    """All occurrences in a row, the findings that none explains last."""

    chosen = Signal(str)
    dropped = Signal(str, object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(said("Occurrences"))
        self.setMinimumHeight(GRID * 16)
        body = QWidget()
        self._row = QHBoxLayout(body)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(GRID)
        self._row.addStretch(1)
        self.setWidget(body)
        self.cards: dict[str, OccurrenceCard] = {}
        self._marked = ""

    def show_claim(self, claim: Claim, reckoning: Reckoning | None) -> None:
        """Show the claim's occurrences."""
        keys = [*(one.id for one in claim.occurrences), UNEXPLAINED]
        for key in set(self.cards) - set(keys):
            card = self.cards.pop(key)
            self._row.removeWidget(card)
            card.hide()
            card.deleteLater()
        for place, key in enumerate(keys):
            card = self.cards.get(key) or self._new_card(key)
            if self._row.indexOf(card) != place:
                self._row.insertWidget(place, card)
        for one in claim.occurrences:
            self._write(self.cards[one.id], one, claim, reckoning)
        self._write(self.cards[UNEXPLAINED], None, claim, reckoning)
        self.mark(self._marked)

    def mark(self, key: str) -> None:
        """Show one card as chosen."""
        self._marked = key
        for one, card in self.cards.items():
            card.mark(bool(key) and one == key)

    def _new_card(self, key: str) -> OccurrenceCard:
        card = OccurrenceCard(key)
        card.chosen.connect(self.chosen)
        card.dropped.connect(self.dropped)
        self.cards[key] = card
        return card

    def _write(
        self,
        card: OccurrenceCard,
        one: Occurrence | None,
        claim: Claim,
        reckoning: Reckoning | None,
    ) -> None:
        key = one.id if one else None
        number = sum(finding.occurrence == key for finding in claim.findings)
        results = reckoning.occurrences if reckoning else ()
        result = next((group for group in results if group.occurrence == key), None)
        if number:
            total = said_of(number, "{count} finding", "{count} findings")
        elif one is None and claim.findings:
            total = said("Every finding has its event")
        else:
            total = said("No findings yet")
        if result is not None:
            total += f" · {amount_text(result.loss, claim.currency)} {claim.currency}"
        flag = said("⚠ probably not insured") if result and result.probably_uninsured else ""
        if one is None:
            card.show_texts(
                said("Explained by no event"),
                said("Found at a count; drag findings from here on to an event."),
                "",
                total,
                flag,
            )
            return
        when = moment_text(one.at) or day_text(one.day) or said("time not known")
        card.show_texts(
            one.title,
            ", ".join(part for part in (when, one.place) if part),
            said(CAUSE_LABELS[one.cause]) if one.cause else said("cause not said"),
            total,
            flag,
        )

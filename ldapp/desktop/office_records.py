"""What the office keeps for all claims, beside one claim: taken into it, or kept from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.shared_policies import (
    Kept,
    keep_party,
    keep_policy,
    remove_party,
    remove_policy,
    shared_parties,
    shared_policies,
    use_party,
    use_policy,
)
from ldapp.desktop.pages.paper_parts.words import ROLES, within_a_sentence
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label, MessageStrip, Section
from ldapp.desktop.widgets.values import date_text
from ldapp.errors import LdappError
from ldapp.language import said, said_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from ldapp.casework.open_claim import OpenClaim
    from ldapp.casework.register import Register

_ROLE_LABELS = dict(ROLES)


class OfficeRecordsDialog(QDialog):
    """Policies and parties of the office; every button acts at once and can be undone."""

    def __init__(self, register: Register, desk: OpenClaim, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._register = register
        self._desk = desk
        self.setWindowTitle(said("The office's records"))
        self.resize(GRID * 84, GRID * 66)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 2, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(
            Label(
                said(
                    "A claim takes a copy of what the office keeps, so that it can be sent "
                    "away and read alone. Nothing changes in other claims here."
                ),
                TypeSize.SMALL,
                muted=True,
                wrap=True,
            )
        )
        self.strip = MessageStrip()
        column.addWidget(self.strip)
        self.policies = _list(said("Policies of the office"))
        self.parties = _list(said("Parties of the office"))
        self.parties.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        for title, box, buttons in (
            (
                said("Policies"),
                self.policies,
                (
                    (said("Take into this claim"), self.take_policy),
                    (said("Keep this claim's policy"), self.keep_policy),
                    (said("Remove from the office"), self.remove_policy),
                ),
            ),
            (
                said("Parties"),
                self.parties,
                (
                    (said("Take into this claim"), self.take_parties),
                    (said("Keep this claim's parties"), self.keep_parties),
                    (said("Remove from the office"), self.remove_parties),
                ),
            ),
        ):
            section = Section(title)
            section.body.addWidget(box)
            row = QHBoxLayout()
            for text, slot in buttons:
                button = QPushButton(text)
                button.setAccessibleName(f"{title}: {text}")
                button.clicked.connect(slot)
                row.addWidget(button)
            row.addStretch(1)
            section.body.addLayout(row)
            column.addWidget(section, 1)
        close = QPushButton(said("Close"))
        close.clicked.connect(self.accept)
        column.addWidget(close, 0, Qt.AlignmentFlag.AlignRight)
        self._attempt(self._show)

    def _show(self) -> None:
        self.policies.clear()
        for one in shared_policies(self._register):
            kept = one.record
            period = kept.terms.period
            number = kept.number or said("no number")
            if period is None:
                text = said(
                    "{number}, {insurer} ({currency})",
                    number=number,
                    insurer=kept.insurer.name,
                    currency=kept.currency,
                )
            else:
                text = said(
                    "{number}, {insurer}, until {day} ({currency})",
                    number=number,
                    insurer=kept.insurer.name,
                    day=date_text(period.ends.date()),
                    currency=kept.currency,
                )
            _add(self.policies, text, one)
        self.parties.clear()
        for one in shared_parties(self._register):
            party = one.record
            _add(
                self.parties,
                f"{party.name}, {within_a_sentence(said(_ROLE_LABELS[party.role]))}",
                one,
            )

    def _attempt(self, act: Callable[[], str | None]) -> None:
        try:
            says = act()
        except LdappError as error:
            self.strip.refuse(str(error))
            return
        if says:
            self.strip.say(says)

    @Slot()
    def take_policy(self) -> None:
        """Put the chosen policy into the claim."""
        self._attempt(self._take_policy)

    def _take_policy(self) -> str:
        kept = _chosen(self.policies)
        if not kept:
            raise LdappError(said("Choose a policy in the list first."))
        if use_policy(self._desk, kept[0].record):
            return said("Taken into the claim. Its own claim number, papers and days stayed.")
        return said("The claim's policy is as the office keeps it already.")

    @Slot()
    def keep_policy(self) -> None:
        """Keep the claim's policy for other claims."""
        self._attempt(self._keep_policy)

    def _keep_policy(self) -> str:
        kept = keep_policy(self._register, self._desk)
        self._show()
        return said(
            "Kept: {number}. Claims under it that differ are listed under Register, "
            "Policies and certificates, where they can be brought to it.",
            number=kept.number or kept.insurer.name,
        )

    @Slot()
    def remove_policy(self) -> None:
        """Remove the chosen policy from the office's records; claims keep theirs."""
        self._attempt(self._remove_policy)

    def _remove_policy(self) -> str:
        kept = _chosen(self.policies)
        if not kept:
            raise LdappError(said("Choose a policy in the list first."))
        remove_policy(self._register, kept[0].record.id)
        self._show()
        return said("Removed from the office's records; claims under it keep their copies.")

    @Slot()
    def take_parties(self) -> None:
        """Put the chosen parties into the claim."""
        self._attempt(self._take_parties)

    def _take_parties(self) -> str:
        chosen = _chosen(self.parties)
        if not chosen:
            raise LdappError(said("Choose one or several parties in the list first."))
        for one in chosen:
            use_party(self._desk, one.record)
        return said_of(
            len(chosen),
            "{count} party taken into the claim.",
            "{count} parties taken into the claim.",
        )

    @Slot()
    def keep_parties(self) -> None:
        """Keep the claim's parties for other claims."""
        self._attempt(self._keep_parties)

    def _keep_parties(self) -> str:
        named = [one for one in self._desk.claim.parties if one.name.strip()]
        if not named:
            raise LdappError(
                said("The claim has no party with a name yet. Enter them under Papers.")
            )
        for one in named:
            keep_party(self._register, one)
        self._show()
        return said_of(
            len(named),
            "{count} party kept for other claims.",
            "{count} parties kept for other claims.",
        )

    @Slot()
    def remove_parties(self) -> None:
        """Remove the chosen parties from the office's records; claims keep theirs."""
        self._attempt(self._remove_parties)

    def _remove_parties(self) -> str:
        chosen = _chosen(self.parties)
        if not chosen:
            raise LdappError(said("Choose one or several parties in the list first."))
        for one in chosen:
            remove_party(self._register, one.record.id)
        self._show()
        return said_of(
            len(chosen),
            "{count} party removed; claims keep their copies.",
            "{count} parties removed; claims keep their copies.",
        )


def _list(name: str) -> QListWidget:
    box = QListWidget()
    box.setAccessibleName(name)
    return box


def _add(box: QListWidget, text: str, one: Kept) -> None:
    item = QListWidgetItem(text)
    item.setData(Qt.ItemDataRole.UserRole, one)
    box.addItem(item)


def _chosen(box: QListWidget) -> list[Kept]:
    return [item.data(Qt.ItemDataRole.UserRole) for item in box.selectedItems()]

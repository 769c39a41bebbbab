"""What narrows the register: filters beside the search, and the views that a person named."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QComboBox, QInputDialog, QMenu, QPushButton, QWidget

from ldapp.casework.saved_views import RegisterView
from ldapp.claim.summary import ClaimSummary
from ldapp.desktop.register_columns import STAGE_LABELS, STAGES
from ldapp.desktop.widgets.fields import ChoiceField, SwitchField, whole_field
from ldapp.desktop.widgets.flow_layout import FlowLayout
from ldapp.desktop.widgets.pieces import Label, link_button
from ldapp.language import said, said_in

_CHARACTERS = 15


class RegisterFilters(QWidget):
    """A row of filters; each offers what occurs in the register."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = FlowLayout(self, spacing=8)
        self.stage = _choice(said("All stages"), said("Show only this stage"), 11)
        self.stage.set_choices(
            [(None, said("All stages")), *((one, said(STAGE_LABELS[one])) for one in STAGES)]
        )
        self.rental_company = _choice(
            said("All rental companies"), said("Show only this rental company")
        )
        self.production = _choice(said("All productions"), said("Show only this production"))
        self.policy = _choice(said("All policies"), said("Show only claims under this policy"))
        self.person = _choice(
            said("All schools and students"), said("Show only claims of this person"), 18
        )
        self._lists = {
            "rental_company": self.rental_company,
            "production": self.production,
            "policy": self.policy,
            "person": self.person,
        }
        for field in (self.stage, *self._lists.values()):
            field.committed.connect(self._on_changed)
            row.addWidget(field)
        before = Label(said("Deadline within"))
        self.within = whole_field()
        self.within.setAccessibleName(said("Show only claims with a deadline within so many days"))
        self.within.committed.connect(self._on_changed)
        before.setBuddy(self.within)
        row.addWidget(before)
        row.addWidget(self.within)
        row.addWidget(Label(said_in("deadline within", "days")))
        self.papers = SwitchField(said("Papers missing"))
        self.papers.committed.connect(self._on_changed)
        row.addWidget(self.papers)
        self.clear_button = link_button(said("Show all claims"))
        self.clear_button.hide()
        row.addWidget(self.clear_button)

    def offer(self, rows: Iterable[ClaimSummary]) -> None:
        """Offer what occurs in these claims; what is chosen stays chosen."""
        found: dict[str, set[str]] = {name: set() for name in self._lists}
        for one in rows:
            found["rental_company"].update(one.rental_companies)
            found["production"].add(one.title)
            found["policy"].add(one.policy)
            found["person"].update(one.people)
        for name, field in self._lists.items():
            chosen = field.value()
            values = sorted(found[name] - {""} | ({chosen} if chosen else set()), key=str.casefold)
            field.set_choices([("", field.itemText(0)), *((value, value) for value in values)])
            field.set_value(chosen or "")

    def view(self, search: str, sort: str, descending: bool) -> RegisterView:
        """Return what is chosen as a view."""
        return RegisterView(
            search=search,
            stage=self.stage.value(),
            rental_company=self.rental_company.value() or "",
            production=self.production.value() or "",
            policy=self.policy.value() or "",
            person=self.person.value() or "",
            within_days=self.within.value(),
            papers_missing=self.papers.value(),
            sort=sort,
            descending=descending,
        )

    def show_view(self, view: RegisterView) -> None:
        """Choose what a view says; a value that no longer occurs is offered again."""
        self.stage.set_value(view.stage)
        for name, field in self._lists.items():
            value = getattr(view, name)
            offered = [field.itemText(at) for at in range(1, field.count())]
            if value and value not in offered:
                field.set_choices(
                    [("", field.itemText(0)), *((one, one) for one in [*offered, value])]
                )
            field.set_value(value)
        self.within.set_value(view.within_days)
        self.papers.set_value(view.papers_missing)

    @Slot()
    def _on_changed(self, *_: Any) -> None:
        self.changed.emit()


def _choice(everything: str, says: str, characters: int = _CHARACTERS) -> ChoiceField:
    field = ChoiceField([("", everything)])
    # Thousands of productions may be offered: their widths are not measured.
    field.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    field.setMinimumContentsLength(characters)
    field.setMaxVisibleItems(20)
    field.setAccessibleName(says)
    field.setToolTip(says)
    return field


class ViewsButton(QPushButton):
    """The kept views in a menu, with keeping the present one and removing one."""

    chosen = Signal(str)
    keep_wanted = Signal(str)
    remove_wanted = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setText(said("Views"))
        self.setAccessibleName(said("Kept views of the register"))
        self.names: Sequence[str] = ()
        menu = QMenu(self)
        self.setMenu(menu)
        self.offer({})

    def offer(self, views: Mapping[str, RegisterView]) -> None:
        """Offer these views by their names."""
        self.names = tuple(sorted(views, key=str.casefold))
        menu = self.menu()
        menu.clear()
        for name in self.names:
            self._add(menu, name, name, self._on_chosen)
        if self.names:
            menu.addSeparator()
        self.keep_action = QAction(said("&Keep this view…"), menu)
        self.keep_action.triggered.connect(self._on_keep)
        menu.addAction(self.keep_action)
        if self.names:
            away = menu.addMenu(said("&Remove a view"))
            for name in self.names:
                self._add(away, name, name, self._on_remove)

    def _add(self, menu: QMenu, text: str, name: str, slot: Any) -> None:
        action = QAction(text.replace("&", "&&"), menu)
        action.setData(name)
        action.triggered.connect(slot)
        menu.addAction(action)

    @Slot()
    def _on_chosen(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.chosen.emit(action.data())

    @Slot()
    def _on_remove(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.remove_wanted.emit(action.data())

    @Slot()
    def _on_keep(self) -> None:
        name, is_sure = QInputDialog.getText(
            self,
            said("Keep this view"),
            said("Name of the view (search, filters and order are kept):"),
        )
        if is_sure and name.strip():
            self.keep_wanted.emit(name)

"""All terms of a paper, group by group, with how many are stated."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QTimer, Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from ldapp.desktop.pages.paper_parts.term_fields import TermFields
from ldapp.desktop.pages.paper_parts.term_rows import TermRow
from ldapp.desktop.pages.paper_parts.term_specs import TermGroup
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Section
from ldapp.language import said

_AT_ONCE = 2
_NARROW = GRID * 84
"""Below this width a title stands above its sentence, and the clause below it."""


class TermsList(QWidget):
    """Rows for every term of an agreement or a policy."""

    changed = Signal(str, object)
    """The attribute of the terms and its new value; None takes it off."""
    refused = Signal(str)

    def __init__(
        self, groups: tuple[TermGroup, ...], makes: TermFields, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._makes = makes
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._rows: dict[str, TermRow] = {}
        self._terms: Any = None
        self._narrow = False
        self._sections: list[tuple[TermGroup, Section]] = []
        # A few rows at a time: all at once would hold the window for too long.
        self._to_build = [(group, spec) for group in groups for spec in group.terms]
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._build_some)
        self._timer.start()

    @property
    def rows(self) -> dict[str, TermRow]:
        """The rows by the attribute of the terms; those not made yet are made now."""
        while self._to_build:
            self._build_next()
        return self._rows

    @Slot()
    def _build_some(self) -> None:
        for _ in range(_AT_ONCE):
            if not self._to_build:
                self._timer.stop()
                return
            self._build_next()

    def _build_next(self) -> None:
        group, spec = self._to_build.pop(0)
        if not self._sections or self._sections[-1][0] is not group:
            section = Section(said(group.title))
            section.body.setSpacing(0)
            self._column.addWidget(section)
            self._sections.append((group, section))
        row = TermRow(spec, self._makes)
        row.changed.connect(self.changed)
        row.refused.connect(self.refused)
        row.stack(narrow=self._narrow)
        self._sections[-1][1].body.addWidget(row)
        self._rows[spec.attribute] = row
        if self._terms is not None:
            row.show_value(spec.read(self._terms))
            self._count()

    def fit(self, width: int) -> None:
        """Stack titles, sentences and clauses where they do not fit side by side."""
        self._narrow = width < _NARROW
        for row in self._rows.values():
            row.stack(narrow=self._narrow)

    def show_terms(self, terms: Any) -> None:
        """Show the terms as the claim has them."""
        self._terms = terms
        for row in self._rows.values():
            row.show_value(row.spec.read(terms))
        self._count()

    @Slot()
    def _count(self) -> None:
        for group, section in self._sections:
            stated = sum(
                self._rows[spec.attribute].is_stated
                for spec in group.terms
                if spec.attribute in self._rows
            )
            section.set_title(
                said(group.title)
                if len(group.terms) == 1
                else said(
                    "{group}  ({stated} of {number} stated)",
                    group=said(group.title),
                    stated=stated,
                    number=len(group.terms),
                )
            )

"""All terms of a paper, group by group, with how many are stated."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from ldapp.desktop.pages.paper_parts.term_fields import TermFields
from ldapp.desktop.pages.paper_parts.term_rows import TermRow
from ldapp.desktop.pages.paper_parts.term_specs import TermGroup
from ldapp.desktop.widgets.pieces import Section


class TermsList(QWidget):
    """Rows for every term of an agreement or a policy."""

    changed = Signal(str, object)
    """The attribute of the terms and its new value; None takes it off."""
    refused = Signal(str)

    def __init__(
        self, groups: tuple[TermGroup, ...], makes: TermFields, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self.rows: dict[str, TermRow] = {}
        self._sections: list[tuple[TermGroup, Section]] = []
        for group in groups:
            section = Section(group.title)
            section.body.setSpacing(0)
            for spec in group.terms:
                row = TermRow(spec, makes)
                row.changed.connect(self.changed)
                row.refused.connect(self.refused)
                section.body.addWidget(row)
                self.rows[spec.attribute] = row
            column.addWidget(section)
            self._sections.append((group, section))

    def show_terms(self, terms: Any) -> None:
        """Show the terms as the claim has them."""
        for attribute, row in self.rows.items():
            row.show_value(getattr(terms, attribute))
        self._count()

    @Slot()
    def _count(self) -> None:
        for group, section in self._sections:
            stated = sum(self.rows[spec.attribute].is_stated for spec in group.terms)
            section.set_title(
                f"{group.title}"
                if len(group.terms) == 1
                else f"{group.title}  ({stated} of {len(group.terms)} stated)"
            )

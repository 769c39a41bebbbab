"""Findings as rows of a table, which can be dragged onto an occurrence."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from PySide6.QtCore import QMimeData, QModelIndex, QObject, Qt

from ldapp.casework.edit import find
from ldapp.casework.findings import FINDING_NAMES
from ldapp.claim.causes import CAUSE_LABELS, CAUSES
from ldapp.claim.claim import Claim
from ldapp.claim.findings import Finding
from ldapp.claim.kit import KitLine
from ldapp.claim.record import with_fields
from ldapp.desktop.pages.said import line_text
from ldapp.desktop.widgets.table_model import CellEdit, Column, Index, RowsModel, Writer
from ldapp.desktop.widgets.values import amount_text, parse_whole
from ldapp.errors import LdappError
from ldapp.language import marked, said
from ldapp.local_forms import grouped
from ldapp.reckoning.proposals import ProposedFinding
from ldapp.reckoning.result import Reckoning

FINDING_MIME = "application/x-ldapp-finding-ids"
NO_OCCURRENCE = "-"


class FindingRow(NamedTuple):
    """One finding with what the table writes beside it."""

    finding: Finding
    line: KitLine | None
    occurrence: str
    reckoned: Decimal | None
    is_reckoned: bool
    """Whether there is a reckoning; its amount may still be None: cannot be said yet."""
    photos: int
    currency: str
    occurrences: tuple[tuple[str, str], ...]


def finding_rows(claim: Claim, reckoning: Reckoning | None) -> list[FindingRow]:
    """Return the claim's findings in their order."""
    lines = {line.id: line for line in claim.kit}
    titles = {one.id: one.title for one in claim.occurrences}
    results = {one.finding: one.reckoned for one in reckoning.findings} if reckoning else {}
    photos: dict[str, int] = {}
    for photo in claim.photos:
        for key in {pairing.line for pairing in photo.pairings}:
            photos[key] = photos.get(key, 0) + 1
    choices = ((NO_OCCURRENCE, said("none")), *((one.id, one.title) for one in claim.occurrences))
    return [
        FindingRow(
            one,
            lines.get(one.line),
            titles.get(one.occurrence or "", ""),
            results.get(one.id),
            one.id in results,
            photos.get(one.line, 0),
            claim.currency,
            choices,
        )
        for one in claim.findings
    ]


def _value(row: FindingRow) -> str:
    if not row.is_reckoned:
        return ""
    return said("not yet") if row.reckoned is None else amount_text(row.reckoned, row.currency)


def _value_key(row: FindingRow) -> Decimal | None:
    return row.reckoned


def _line(row: FindingRow) -> str:
    parts = row.line.parts if row.line else ()
    part = next((one for one in parts if one.id == row.finding.part), None)
    return _with_part(row.line, part.description if part else "")


def _with_part(line: KitLine | None, part: str) -> str:
    whole = line_text(line)
    return said("{line}, only the {part}", line=whole, part=part) if part else whole


def _kinds(row: FindingRow) -> Sequence[tuple[str, str]]:
    del row
    return [(kind, said(label)) for kind, label in FINDING_NAMES.items()]


def _causes(row: FindingRow) -> Sequence[tuple[str, str]]:
    del row
    return [("", said("not said")), *((cause, said(CAUSE_LABELS[cause])) for cause in CAUSES)]


FINDING_COLUMNS: tuple[Column[FindingRow], ...] = (
    Column(
        name="line",
        title=marked("Line"),
        text=_line,
        tip=_line,
        width=21,
    ),
    Column(
        name="kind",
        title=marked("Finding"),
        text=lambda row: said(FINDING_NAMES[row.finding.kind]),
        edit_text=lambda row: row.finding.kind,
        editable=True,
        choices=_kinds,
        width=17,
    ),
    Column(
        name="quantity",
        title=marked("Units"),
        text=lambda row: str(row.finding.quantity),
        key=lambda row: row.finding.quantity,
        editable=True,
        right=True,
        width=4,
    ),
    Column(
        name="value", title=marked("Reckoned"), text=_value, key=_value_key, right=True, width=10
    ),
    Column(
        name="occurrence",
        title=marked("Occurrence"),
        text=lambda row: row.occurrence,
        edit_text=lambda row: row.finding.occurrence or NO_OCCURRENCE,
        editable=True,
        choices=lambda row: row.occurrences,
        width=15,
    ),
    Column(
        name="cause",
        title=marked("Cause"),
        text=lambda row: said(CAUSE_LABELS[row.finding.cause]) if row.finding.cause else "",
        edit_text=lambda row: row.finding.cause or "",
        editable=True,
        choices=_causes,
        width=14,
    ),
    Column(
        name="photos",
        title=marked("Photos"),
        text=lambda row: grouped(row.photos) if row.photos else said("none"),
        key=lambda row: row.photos,
        right=True,
        width=6,
    ),
)


def edited(edit: CellEdit) -> Finding:
    """Return a row's finding with what was typed in a cell.

    Raises:
        LdappError: the number of units is no whole number above 0, or there is no such event.
    """
    row: FindingRow = edit.row
    match edit.column:
        case "quantity":
            return dataclasses.replace(row.finding, quantity=parse_whole(edit.text, 1))
        case "occurrence":
            if edit.text in ("", NO_OCCURRENCE):
                return dataclasses.replace(row.finding, occurrence=None)
            if edit.text not in {key for key, _ in row.occurrences}:
                raise LdappError(
                    said(
                        "“{text}” is no occurrence of this claim. Choose one from the list.",
                        text=edit.text,
                    )
                )
            return dataclasses.replace(row.finding, occurrence=edit.text)
        case "cause":
            return with_fields(row.finding, cause=edit.text or None)
        case "kind":
            return with_fields(row.finding, kind=edit.text)
    return row.finding


class FindingsModel(RowsModel[FindingRow]):
    """Findings; rows can be dragged."""

    def __init__(self, writer: Writer, parent: QObject) -> None:
        super().__init__(FINDING_COLUMNS, lambda row: row.finding.id, writer=writer, parent=parent)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Rows can be dragged onto an occurrence."""
        flags = super().flags(index)
        return flags | Qt.ItemFlag.ItemIsDragEnabled if index.isValid() else flags

    def mimeTypes(self) -> list[str]:
        """Return the one kind of data that is dragged."""
        return [FINDING_MIME]

    def mimeData(self, indexes: Sequence[QModelIndex]) -> QMimeData:
        """Return the ids of dragged findings."""
        rows = sorted({index.row() for index in indexes})
        data = QMimeData()
        ids = "\n".join(self.rows[row].finding.id for row in rows)
        data.setData(FINDING_MIME, ids.encode())
        return data


def finding_ids_of_mime(data: QMimeData) -> tuple[str, ...]:
    """Return the ids of dragged findings; empty where something else is dragged."""
    if not data.hasFormat(FINDING_MIME):
        return ()
    return tuple(bytes(data.data(FINDING_MIME).data()).decode().splitlines())


class ProposalRow(NamedTuple):
    """A proposed finding with its words."""

    finding: Finding
    line: KitLine | None
    part: str
    why: str


def proposal_rows(claim: Claim, proposals: Sequence[ProposedFinding]) -> list[ProposalRow]:
    """Return proposed findings with their lines."""
    rows = []
    for proposed in proposals:
        one = proposed.finding
        line = find(claim.kit, one.line)
        part = next((p.description for p in (line.parts if line else ()) if p.id == one.part), "")
        rows.append(ProposalRow(one, line, part, proposed.reason))
    return rows


def _proposal_key(row: ProposalRow) -> Any:
    return row.finding.line, row.finding.kind, row.finding.part, row.finding.serials


def _proposed_line(row: ProposalRow) -> str:
    return _with_part(row.line, row.part)


PROPOSAL_COLUMNS: tuple[Column[ProposalRow], ...] = (
    Column(name="line", title=marked("Line"), text=_proposed_line, tip=_proposed_line, width=26),
    Column(
        name="kind",
        title=marked("The counts say"),
        text=lambda row: said(FINDING_NAMES[row.finding.kind]),
        width=14,
    ),
    Column(
        name="quantity",
        title=marked("Units"),
        text=lambda row: str(row.finding.quantity),
        key=lambda row: row.finding.quantity,
        right=True,
        width=5,
    ),
    Column(
        name="why",
        title=marked("Why"),
        text=lambda row: row.why,
        tip=lambda row: row.why,
        width=44,
    ),
)


def proposals_model(parent: QObject) -> RowsModel[ProposalRow]:
    """Return a model for proposed findings."""
    return RowsModel(PROPOSAL_COLUMNS, _proposal_key, parent=parent)

"""Kit lists and invoices as tables: read as the import would, with their faults."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from ldapp.exchange.column_match import ColumnMatch, read_column_match
from ldapp.exchange.invoice_file import invoice_as_json, read_invoice
from ldapp.exchange.kit_list import kit_list_as_json, read_kit_list


def _match(columns: Path | None) -> ColumnMatch | None:
    return None if columns is None else read_column_match(columns)


def kit_list_report(file: Path, columns: Path | None) -> dict[str, Any]:
    """Return a kit list as the JSON object of ``ldapp kit``; raises InputError where it is none."""
    report: dict[str, Any] = kit_list_as_json(read_kit_list(file, _match(columns)))
    return report


def invoice_report(file: Path, columns: Path | None) -> dict[str, Any]:
    """Return an invoice as the JSON object of ``ldapp invoice``; raises InputError likewise."""
    report: dict[str, Any] = invoice_as_json(read_invoice(file, _match(columns)))
    return report

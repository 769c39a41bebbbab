"""The report over all claims as a file: PDF, or CSV that no spreadsheet executes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

from ldapp.casework.report_drawing import draw_report, period_text
from ldapp.casework.reports import Report
from ldapp.dossier.report import report_pdf
from ldapp.exchange.csv_out import Value, csv_bytes
from ldapp.language import marked, said
from ldapp.local_forms import day_in_digits
from ldapp.whole_file import write_whole

TITLE = marked("Loss and damage: report over all claims")
_FOOTER = marked("Prepared from the register. It is no legal, insurance or tax advice.")


def write_report_pdf(
    report: Report, target: Path, *, who: str, today: dt.date, paper: str = "a4"
) -> Path:
    """Write the figures as a PDF on paper "a4" or "letter".

    Raises:
        MachineError: the file cannot be written; what was there before stays.
    """
    subtitle = said(
        "{period}; {currency}; made on {day} by {who}",
        period=period_text(report),
        currency=report.currency,
        day=day_in_digits(today),
        who=who,
    )
    data = report_pdf(said(TITLE), subtitle, draw_report(report), paper=paper, footer=said(_FOOTER))
    return _write(target, data)


def write_report_csv(report: Report, target: Path) -> Path:
    """Write the figures as CSV: one line for each part of each figure.

    Raises:
        MachineError: the file cannot be written; what was there before stays.
    """
    return _write(target, csv_bytes(_rows(report)))


def _rows(report: Report) -> Iterator[tuple[Value, ...]]:
    currency = report.currency
    # The heads of columns and the names of figures are its form, for programs: English always.
    yield ("Figure", "Part", "Claims", "Number", "Amount", "Currency")
    yield ("Period", period_text(report), report.claims, None, None, currency)
    yield ("Totals", said("owed for losses"), report.claims, None, report.amount, currency)
    yield ("Totals", said("disputed"), None, None, report.disputed, currency)
    yield ("Totals", said("paid by others"), None, None, report.paid_by_others, currency)
    yield (
        "Totals",
        said("losses without an amount yet"),
        None,
        report.without_amount,
        None,
        None,
    )
    for title, parts in (
        ("By cause", report.by_cause),
        ("By kind of equipment", report.by_kind),
        ("By where it was found", report.by_found),
        ("By stage", report.by_stage),
        ("By production", report.by_production),
    ):
        for part in parts:
            yield (title, part.label, part.claims, part.units, part.amount, currency)
    for policy in report.policies:
        for title, amount in (
            ("Policy: annual limit", policy.limit),
            ("Policy: used", policy.used),
            ("Policy: paid", policy.paid),
            ("Policy: deductibles", policy.deductible),
        ):
            yield (title, policy.label, policy.claims, None, amount, currency)
    for bearer in report.by_bearer:
        for title, amount in (
            ("Part: to bear", bearer.amount),
            ("Part: paid", bearer.paid),
            ("Part: open", bearer.open),
        ):
            yield (title, bearer.label, bearer.claims, None, amount, currency)
    settling = "From sending to settling"
    for part in report.settling:
        yield (settling, part.label, part.claims, None, None, None)
    yield (settling, said("median, days"), None, report.median_days, None, None)
    yield (settling, said("sent and not settled"), report.waiting, None, None, None)


def _write(target: Path, data: bytes) -> Path:
    remedy = said("Choose another folder, or close the program that shows it.")
    write_whole(target, data, said("{target} cannot be written", target=target), remedy)
    return target

"""The report over all claims: figures of a period, shown and written as PDF and CSV."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSettings, Qt, Slot
from PySide6.QtWidgets import (
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QWidget,
)

from ldapp.casework.report_drawing import draw_report
from ldapp.casework.reports import Report, report_of
from ldapp.desktop.figure_view import FigureView
from ldapp.desktop.overview_page import OverviewPage
from ldapp.desktop.register_columns import today
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import ChoiceField, date_field
from ldapp.desktop.widgets.pieces import EmptyState, Label, Separator
from ldapp.language import marked, said, said_in

if TYPE_CHECKING:
    from ldapp.casework.register import Register
    from ldapp.claim.summary import ClaimSummary
    from ldapp.desktop.jobs import Progress

_SPANS = (
    ("all", marked("All losses")),
    ("this_year", marked("This calendar year")),
    ("last_year", marked("Last calendar year")),
    ("twelve_months", marked("The last twelve months")),
    ("own", marked("From … until …")),
)
_PAPERS = (("a4", "A4"), ("letter", "Letter"))


def span_of(name: str, day: dt.date) -> tuple[dt.date | None, dt.date | None]:
    """Return first and last day of a period that is named; None is open."""
    if name == "this_year":
        return dt.date(day.year, 1, 1), dt.date(day.year, 12, 31)
    if name == "last_year":
        return dt.date(day.year - 1, 1, 1), dt.date(day.year - 1, 12, 31)
    if name == "twelve_months":
        # A year before 29 February is 28 February.
        before = day.replace(year=day.year - 1, day=min(day.day, 28) if day.month == 2 else day.day)
        return before + dt.timedelta(days=1), day
    return None, None


class ReportPage(OverviewPage):
    """Choose a period and a currency above, read the figures below."""

    title = marked("Report over all claims")
    name = "report"

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._rows: tuple[ClaimSummary, ...] = ()
        self.report: Report | None = None
        self.csv_button = QPushButton(said("Write as CSV…"))
        self.csv_button.clicked.connect(self._on_csv)
        self.pdf_button = QPushButton(said("Write as PDF…"))
        self.pdf_button.clicked.connect(self._on_pdf)
        self.paper = ChoiceField(_PAPERS)
        self.paper.setAccessibleName(said("Paper of the PDF"))
        self.paper.set_value(str(settings.value("report/paper", "a4")))
        self.paper.committed.connect(self._on_paper)
        for widget in (self.csv_button, self.paper, self.pdf_button):
            self.head.addWidget(widget)
        self.column.addLayout(self._period())
        self.column.addWidget(Separator())
        self.figures = FigureView()
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(self.figures)
        area.setAccessibleName(said("Figures"))
        self.empty = EmptyState(
            said(
                "No claim has a loss in this period. Choose another period, or confirm "
                "what the counts say under Findings in a claim."
            ),
            said("Show all losses"),
        )
        self.empty.acted.connect(self._show_all)
        self._stack = QStackedWidget()
        self._stack.addWidget(area)
        self._stack.addWidget(self.empty)
        self.column.addWidget(self._stack, 1)
        self._set_state()

    def _period(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        row.setSpacing(GRID)
        self.span = ChoiceField([(name, said(label)) for name, label in _SPANS])
        self.span.setAccessibleName(said("Period of the losses"))
        self.span.set_value("all")
        self.span.committed.connect(self._on_span)
        self.starts = date_field()
        self.starts.setAccessibleName(said("First day"))
        self.ends = date_field()
        self.ends.setAccessibleName(said("Last day"))
        for field in (self.starts, self.ends):
            field.committed.connect(self._on_day)
        self.currency = ChoiceField()
        self.currency.setAccessibleName(said("Currency"))
        self.currency.committed.connect(self._draw)
        row.addWidget(self.span)
        row.addWidget(Label(said_in("first day of a period", "from")))
        row.addWidget(self.starts)
        row.addWidget(Label(said_in("last day of a period", "until")))
        row.addWidget(self.ends)
        row.addSpacing(GRID)
        row.addWidget(self.currency)
        row.addStretch(1)
        return row

    def reload(self) -> None:
        """Read every claim's figures anew."""

        def work(register: Register, progress: Progress) -> tuple[ClaimSummary, ...]:
            progress(0, 0)
            return register.rows_with_figures()

        self.job_wanted.emit(said("Report"), work, self._on_rows)

    @Slot(object)
    def _on_rows(self, rows: tuple[ClaimSummary, ...]) -> None:
        self._rows = rows
        self._draw()

    @Slot(object)
    def _on_span(self, name: Any) -> None:
        if name != "own":
            starts, ends = span_of(str(name), today())
            self.starts.set_value(starts)
            self.ends.set_value(ends)
            self._draw()
        else:
            self.starts.setFocus()

    @Slot(object)
    def _on_day(self, day: Any) -> None:
        del day
        self.span.set_value("own")
        self._draw()

    @Slot()
    def _show_all(self) -> None:
        self.span.set_value("all")
        self._on_span("all")

    @Slot()
    def _draw(self, *_: Any) -> None:
        """Compute the report of the chosen period in a worker: claims may be thousands."""
        rows = self._rows
        starts, ends = self.starts.value(), self.ends.value()
        currency = self.currency.value()

        def work(register: Register, progress: Progress) -> Report:
            del register
            progress(0, 0)
            report = report_of(rows, starts, ends, currency)
            # The chosen currency may not occur in this period.
            return report if report.claims else report_of(rows, starts, ends)

        self.job_wanted.emit(said("Report"), work, self._show)

    @Slot(object)
    def _show(self, report: Report) -> None:
        self.report = report
        self.currency.set_choices([(one, one) for one in report.currencies or (report.currency,)])
        self.currency.set_value(report.currency)
        self.figures.show_sections(draw_report(report))
        self._set_state()

    def _set_state(self) -> None:
        has_figures = self.report is not None and self.report.claims > 0
        self._stack.setCurrentIndex(0 if has_figures or self.report is None else 1)
        for button in (self.csv_button, self.pdf_button):
            button.setEnabled(has_figures)

    @Slot(object)
    def _on_paper(self, paper: Any) -> None:
        self._settings.setValue("report/paper", paper)

    # --- files -----------------------------------------------------------------------------

    @Slot()
    def _on_pdf(self) -> None:
        paper = str(self.paper.value() or "a4")
        day = today()

        def write(register: Register, report: Report, target: Path) -> Path:
            from ldapp.casework.report_export import write_report_pdf  # noqa: PLC0415

            return write_report_pdf(report, target, who=register.who, today=day, paper=paper)

        self._write("pdf", said("PDF files (*.pdf)"), write)

    @Slot()
    def _on_csv(self) -> None:
        def write(register: Register, report: Report, target: Path) -> Path:
            from ldapp.casework.report_export import write_report_csv  # noqa: PLC0415

            del register
            return write_report_csv(report, target)

        self._write("csv", said("CSV files (*.csv)"), write)

    def _write(self, suffix: str, kinds: str, write: Any) -> None:
        report = self.report
        if report is None:
            return
        folder = str(self._settings.value("report/folder", ""))
        chosen, _ = QFileDialog.getSaveFileName(
            self, said("Write the report"), str(Path(folder) / f"report.{suffix}"), kinds
        )
        if not chosen:
            return
        target = Path(chosen).with_suffix(f".{suffix}")
        self._settings.setValue("report/folder", str(target.parent))

        def work(register: Register, progress: Progress) -> Path:
            progress(0, 0)
            written: Path = write(register, report, target)
            return written

        self.job_wanted.emit(said("Writing the report"), work, self._on_written)

    @Slot(object)
    def _on_written(self, path: Path) -> None:
        self.told.emit(said("Written: {path}", path=path))

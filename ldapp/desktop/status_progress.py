"""Progress with cancel in the status line, never in the way."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QWidget

from ldapp.desktop.jobs import Job
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import said


class StatusProgress(QWidget):
    """Shows the job that was started last among those that run."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._jobs: list[Job] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(GRID, 0, GRID, 0)
        row.setSpacing(GRID)
        self.label = Label("", TypeSize.SMALL)
        self.bar = QProgressBar()
        self.bar.setAccessibleName(said("Progress"))
        self.bar.setTextVisible(False)
        self.bar.setFixedWidth(GRID * 22)
        self.bar.setFixedHeight(GRID)
        self.cancel = QPushButton(said("Cancel"))
        self.cancel.setFlat(True)
        self.cancel.clicked.connect(self._on_cancel)
        for widget in (self.label, self.bar, self.cancel):
            row.addWidget(widget)
        self.hide()

    @Slot(object)
    def follow(self, job: Job) -> None:
        """Show a job until it ends."""
        self._jobs.append(job)
        job.progressed.connect(self._on_progress)
        job.finished.connect(self._on_finished)
        self._show(job, 0, 0, "")

    def _show(self, job: Job, done: int, total: int, text: str) -> None:
        short = text if len(text) <= 48 else f"{text[:22]}…{text[-24:]}"
        self.label.setText(f"{job.label}: {short}" if short else job.label)
        self.bar.setRange(0, total)
        self.bar.setValue(done)
        self.cancel.setEnabled(True)
        self.show()

    @Slot(int, int, str)
    def _on_progress(self, done: int, total: int, text: str) -> None:
        job = self.sender()
        if isinstance(job, Job) and self._jobs and job is self._jobs[-1]:
            self._show(job, done, total, text)

    @Slot()
    def _on_finished(self) -> None:
        job = self.sender()
        self._jobs = [one for one in self._jobs if one is not job]
        if self._jobs:
            self._show(self._jobs[-1], 0, 0, "")
        else:
            self.hide()

    @Slot()
    def _on_cancel(self) -> None:
        if self._jobs:
            self._jobs[-1].cancel()
            self.cancel.setEnabled(False)
            self.label.setText(said("{work}: stopping", work=self._jobs[-1].label))

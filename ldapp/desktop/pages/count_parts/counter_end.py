"""The end of a count: what is open, both names, both signatures, the count as a PDF."""

from __future__ import annotations

import datetime as dt
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import counts
from ldapp.casework.count_sheet import SheetRow, progress_of
from ldapp.casework.counter_codes import cameras_without_code
from ldapp.casework.edit import find
from ldapp.claim.counts import Count
from ldapp.claim.signed_counts import changed_words
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.count_parts.sheet import cell_remark, count_title
from ldapp.desktop.pages.count_parts.signature_pad import SignatureFields
from ldapp.desktop.pages.said import first_upper
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label, primary_button
from ldapp.language import said, said_of
from ldapp.local_forms import grouped

if TYPE_CHECKING:
    from ldapp.casework.dossier import Written


_SAME_DAY = dt.timedelta(hours=18)
"""So long after a count its cameras can still be asked for the code."""


class CounterEnd(QWidget):
    """Shown after the last line."""

    line_wanted = Signal(str)
    code_wanted = Signal()
    closed = Signal()

    def __init__(self, context: ClaimContext, count: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._count = count
        self._open = 0
        """So many lines are not counted."""
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 4, GRID * 2, GRID * 4, GRID * 3)
        column.setSpacing(GRID * 2)
        self._title = Label("", TypeSize.FIGURE)
        column.addWidget(self._title)
        self._says = Label("", TypeSize.LARGE, wrap=True)
        column.addWidget(self._says)
        asked = QHBoxLayout()
        asked.setSpacing(GRID * 2)
        self.cameras = Label("", wrap=True)
        asked.addWidget(self.cameras, 1)
        self.code_button = QPushButton(said("Show the counter's code"))
        keep_icon(self.code_button, "clock")
        self.code_button.clicked.connect(self.code_wanted)
        asked.addWidget(self.code_button, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(asked)
        self.lines = QListWidget()
        self.lines.setAccessibleName(said("Lines to look at again"))
        self.lines.setSpacing(4)
        self.lines.itemActivated.connect(self._on_line)
        self.lines.itemClicked.connect(self._on_line)
        column.addWidget(self.lines, 1)
        self.signatures = SignatureFields(context.desk.who)
        self.signatures.changed.connect(self._show_buttons)
        column.addWidget(self.signatures)
        row = QHBoxLayout()
        row.setSpacing(GRID)
        self.refused_button = QPushButton(said("They refuse to sign"))
        self.refused_button.clicked.connect(self._on_refused)
        self.pdf_button = QPushButton(said("Count as a PDF…"))
        keep_icon(self.pdf_button, "print")
        self.pdf_button.clicked.connect(self._on_pdf)
        self.close_button = QPushButton(said("Back to the sheet"))
        self.close_button.clicked.connect(self.closed)
        self.sign_button = primary_button(said("Sign"))
        self.sign_button.clicked.connect(self._on_sign)
        row.addWidget(self.refused_button)
        row.addWidget(self.pdf_button)
        self.state = Label("", muted=True, wrap=True)
        row.addWidget(self.close_button)
        self.state.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.state, 1)
        row.addWidget(self.sign_button)
        column.addLayout(row)

    def _present(self) -> Count | None:
        return find(self.context.claim.counts, self._count)

    def begin(self) -> None:
        """Show the names and signatures that the count has."""
        count = self._present()
        if count is not None:
            self.signatures.show_count(count)

    def take_focus(self) -> None:
        """Put the keys on the lines to look at again; where there are none, on their name."""
        if self.lines.count():
            self.lines.setCurrentRow(0)
            self.lines.setFocus()
        else:
            self.signatures.names["theirs"].setFocus()

    def refresh(self, rows: tuple[SheetRow, ...]) -> None:
        """Show what the count says as a whole."""
        count = self._present()
        if count is None:
            return
        done = progress_of(rows, self._count)
        self._open = done.lines - done.counted
        self._title.setText(count_title(count))
        if done.counted:
            says = said_of(
                done.lines,
                "{counted} of {count} line counted, {short} short, {over} over.",
                "{counted} of {count} lines counted, {short} short, {over} over.",
                counted=grouped(done.counted),
                short=grouped(done.short),
                over=grouped(done.over),
            )
        else:
            says = said_of(done.lines, "0 of {count} line counted.", "0 of {count} lines counted.")
        self._says.setText(says)
        self._ask_for_cameras(count)
        self.lines.clear()
        for row in rows:
            cell = row.cells.get(self._count)
            if cell is None:
                continue
            remark = said("not counted") if cell.quantity is None else cell_remark(cell)
            if remark:
                item = QListWidgetItem(
                    said(
                        "Line {number}  {description}:  {remark}",
                        number=row.line.number,
                        description=row.line.description,
                        remark=remark,
                    )
                )
                item.setData(Qt.ItemDataRole.UserRole, row.line.id)
                self.lines.addItem(item)
        self._show_buttons()

    def _ask_for_cameras(self, count: Count) -> None:
        """Ask whether every camera of this count has photographed the counter's code."""
        cameras = cameras_without_code(self.context.claim, count)
        names = ", ".join(
            said_of(
                len(one.photos), "{name} ({count} photo)", "{name} ({count} photos)", name=one.name
            )
            for one in cameras
        )
        going_on = count.at is None or dt.datetime.now(dt.UTC) - count.at < _SAME_DAY
        if going_on:
            says = said(
                "Did every camera take the counter's code today? Not yet: {names}.", names=names
            )
        else:
            says = said("No picture of the counter's code was taken by {names}.", names=names)
        self.cameras.setText(says if names else "")
        self.cameras.setVisible(bool(names))
        self.code_button.setVisible(bool(names) and going_on)

    @Slot()
    def _show_buttons(self) -> None:
        count = self._present()
        if count is None:
            return
        made = self.signatures.signatures(self.context.claim.zone)
        # Signing again without a new stroke would only move the time of a signature.
        new = [(one.side, one.name, one.strokes) for one in made]
        present = [(one.side, one.name, one.strokes) for one in count.signatures]
        self.sign_button.setEnabled(bool(made) and new != present)
        self.sign_button.setText(said("Sign for both") if len(made) == 2 else said("Sign"))
        words = {
            "signed_by_both": said("Signed by both."),
            "refused_to_sign": said("{name} refused to sign.", name=count.acknowledged_by)
            if count.acknowledged_by
            else said("They refused to sign."),
            "one_side": said("Signed by one side."),
        }
        says = [words.get(count.acknowledgement, "")]
        changed = changed_words(count, self.context.claim.kit)
        if changed:
            says = [f"! {says[0]}", f"{first_upper(changed)}."]
        if self._open:
            says.append(
                said_of(
                    self._open, "{count} line is not counted.", "{count} lines are not counted."
                )
            )
        self.state.setText(" ".join(one for one in says if one))
        self.state.set_tone("amber" if changed else "muted")
        signed = count.acknowledgement == "signed_by_both"
        named = bool(self.signatures.names["theirs"].text().strip())
        # Who has signed, or has refused already, is not asked to refuse.
        self.refused_button.setVisible(not signed and count.acknowledgement != "refused_to_sign")
        self.refused_button.setEnabled(named)
        self.pdf_button.setEnabled(count.stage != "check_in")
        self.pdf_button.setToolTip(
            said("The company's own check-in is its paper, not ours to write.")
            if count.stage == "check_in"
            else ""
        )
        self.refused_button.setToolTip(said("Needs the name of the person who refuses."))

    @Slot()
    def _on_sign(self) -> None:
        made = self.signatures.signatures(self.context.claim.zone)
        if made:
            self.context.attempt(partial(counts.sign, self.context.desk, self._count, made))

    @Slot()
    def _on_refused(self) -> None:
        now = dt.datetime.now(ZoneInfo(self.context.claim.zone)).replace(microsecond=0)
        fixed = now.replace(tzinfo=dt.timezone(now.utcoffset() or dt.timedelta()))
        name = self.signatures.names["theirs"].text().strip()
        self.context.attempt(
            partial(
                counts.acknowledge,
                self.context.desk,
                self._count,
                "refused_to_sign",
                name,
                fixed,
            )
        )

    @Slot()
    def _on_pdf(self) -> None:
        count = self._present()
        if count is None or count.stage == "check_in":
            return
        claim, stage, key = self.context.claim, count.stage, count.id
        date = (count.at or dt.datetime.now(ZoneInfo(claim.zone))).date()
        folder = self.context.register.exports if self.context.register else Path.home()
        # The PDF's part of the program is loaded when a PDF is wanted, not to count.
        from ldapp.casework import dossier  # noqa: PLC0415

        name = dossier.file_name(claim, "counts", date)
        path, _ = QFileDialog.getSaveFileName(
            self, said("Count as a PDF"), str(folder / name), said("PDF (*.pdf)")
        )
        if not path:
            return
        originals = self.context.desk.originals

        def work(progress: Progress) -> Written:
            return dossier.write(
                claim,
                originals,
                dossier.Choices("counts", date, stage=stage, count=key),
                Path(path),
                progress=progress,
            )

        self.context.run(said("Writing the count"), work, self._on_written)

    @Slot(object)
    def _on_written(self, written: Written) -> None:
        self.state.setText(
            said("Written: {files}", files=", ".join(str(path) for path in written.paths))
        )

    @Slot(QListWidgetItem)
    def _on_line(self, item: QListWidgetItem) -> None:
        self.line_wanted.emit(str(item.data(Qt.ItemDataRole.UserRole)))

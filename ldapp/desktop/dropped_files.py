"""Files dropped anywhere on the window: asked once what they are."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Literal, TypeAlias

from PySide6.QtCore import QMimeData, Qt, Slot
from PySide6.QtWidgets import QCommandLinkButton, QDialog, QPushButton, QVBoxLayout, QWidget

from ldapp.desktop.icons import keep_icon
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import marked, said, said_of

DroppedKind: TypeAlias = Literal["photos", "documents", "kit_list", "invoice", "claim_file"]

_SUFFIXES: dict[DroppedKind, frozenset[str]] = {
    "photos": frozenset(
        {".jpg", ".jpeg", ".heic", ".heif", ".png", ".tif", ".tiff", ".dng", ".mov", ".mp4"}
    ),
    "kit_list": frozenset({".csv", ".tsv", ".xlsx", ".xls", ".ods", ".txt"}),
    "claim_file": frozenset({".json", ".zip"}),
    "documents": frozenset({".pdf", ".docx", ".odt", ".eml", ".msg"}),
}

_OFFERS: dict[DroppedKind, tuple[str, str, str]] = {
    "photos": (
        "photos",
        marked("Photos"),
        marked("Copied in untouched, their times read and verified."),
    ),
    "documents": (
        "papers",
        marked("Documents"),
        marked("Agreement, tickets, estimates, messages: kept as papers of the claim."),
    ),
    "kit_list": (
        "kit",
        marked("A kit list"),
        marked("Its columns are matched before anything is added."),
    ),
    "invoice": (
        "charges",
        marked("The rental company's invoice"),
        marked("Its lines become charges."),
    ),
    "claim_file": (
        "open",
        marked("Claim files or bundles"),
        marked("Each is verified and becomes a claim of its own in the register."),
    ),
}


def local_files(mime: QMimeData) -> list[Path]:
    """Return the local files of a drag; text is never taken for a path."""
    return [Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile()]


def likely_kinds(paths: Sequence[Path]) -> tuple[DroppedKind, ...]:
    """Return what the files may be by their names, likeliest first."""
    if any(path.is_dir() for path in paths):
        return ("photos", "documents")
    suffixes = {path.suffix.lower() for path in paths}
    if suffixes <= _SUFFIXES["claim_file"]:
        return ("claim_file", "documents")
    if suffixes <= _SUFFIXES["photos"]:
        return ("photos", "documents")
    if suffixes <= _SUFFIXES["kit_list"] and len(paths) == 1:
        return ("kit_list", "invoice", "documents")
    if suffixes == {".pdf"} and len(paths) == 1:
        return ("documents", "invoice", "kit_list")
    return ("documents", "photos")


class DroppedFilesDialog(QDialog):
    """One question: what are these?"""

    def __init__(
        self,
        paths: Sequence[Path],
        kinds: Sequence[DroppedKind],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("What are these?"))
        self.setMinimumWidth(GRID * 56)
        self.chosen: DroppedKind | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(
            Label(
                said("What is {file}?", file=paths[0].name)
                if len(paths) == 1
                else said_of(
                    len(paths), "What is this {count} file?", "What are these {count} files?"
                ),
                TypeSize.LARGE,
                wrap=True,
            )
        )
        self.buttons: dict[DroppedKind, QCommandLinkButton] = {}
        for number, kind in enumerate(kinds):
            icon_name, title, says = _OFFERS[kind]
            title, says = said(title), said(says)
            button = QCommandLinkButton(title, says)
            keep_icon(button, icon_name)
            button.setAccessibleName(title)
            button.setAccessibleDescription(says)
            button.setProperty("kind", kind)
            button.clicked.connect(self._on_chosen)
            button.setDefault(number == 0)
            column.addWidget(button)
            self.buttons[kind] = button
        cancel = QPushButton(said("Cancel"))
        cancel.clicked.connect(self.reject)
        column.addWidget(cancel, 0, Qt.AlignmentFlag.AlignRight)

    @Slot()
    def _on_chosen(self) -> None:
        button = self.sender()
        if button is not None:
            self.chosen = button.property("kind")
            self.accept()

    @classmethod
    def ask(
        cls,
        paths: Sequence[Path],
        kinds: Sequence[DroppedKind],
        parent: QWidget | None = None,
    ) -> DroppedKind | None:
        """Ask; return None where it was cancelled."""
        dialog = cls(paths, kinds, parent)
        try:
            dialog.exec()
            return dialog.chosen
        finally:
            dialog.deleteLater()

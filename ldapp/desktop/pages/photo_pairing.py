"""Pairing the chosen photos: dropped, asked for by typing, taken back."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot

from ldapp.casework import photos as work
from ldapp.casework.edit import find
from ldapp.claim.photos import Pairing
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.pages.photo_grid import PhotoGrid
from ldapp.desktop.pages.photo_groups import ALL, NONE
from ldapp.desktop.pages.photo_shelf import PhotoShelf
from ldapp.desktop.pages.record_chooser import Choice, RecordChooser
from ldapp.desktop.pages.said import count_text, finding_text, line_text
from ldapp.language import said, said_of


class PhotoPairing(QObject):
    """Says what photos show."""

    def __init__(self, context: ClaimContext, grid: PhotoGrid, shelf: PhotoShelf) -> None:
        super().__init__(grid)
        self._context = context
        self._grid = grid
        self._shelf = shelf

    @Slot(str, object)
    def drop(self, key: str, ids: tuple[str, ...]) -> None:
        """Pair with the line, or set the count, that photos were dropped on."""
        if self._shelf.grouping == "line":
            self.pair(ids, key)
        elif self._shelf.grouping == "count":
            self._context.attempt(lambda: work.set_count(self._context.desk, ids, key))

    def pair(self, ids: tuple[str, ...], line: str) -> None:
        """Pair photos with a line, each at the count it was taken at."""
        claim = self._context.claim
        pairs = []
        for one in ids:
            photo = find(claim.photos, one)
            if photo is not None:
                pairs.append((one, Pairing(line=line, count=work.count_of(photo))))
        name = line_text(find(claim.kit, line))
        label = said_of(
            len(pairs),
            "Pair {count} photo with {line}",
            "Pair {count} photos with {line}",
            line=name,
        )
        self._context.attempt(lambda: work.pair_each(self._context.desk, pairs, label))

    @Slot()
    def ask_line(self) -> None:
        """Ask for a line by typing, and pair the chosen photos with it."""
        ids = self._grid.chosen()
        lines = [
            Choice(line.id, line_text(line), line.location) for line in self._context.claim.kit
        ]
        key = RecordChooser.ask(said("Pair with a line"), lines, self._grid) if ids else None
        if key is not None:
            self.pair(ids, key)

    @Slot()
    def ask_count(self) -> None:
        """Ask at which count the chosen photos were taken."""
        ids = self._grid.chosen()
        counts = [Choice(one.id, count_text(one), one.place) for one in self._context.claim.counts]
        key = RecordChooser.ask(said("Taken at which count"), counts, self._grid) if ids else None
        if key is not None:
            self._context.attempt(lambda: work.set_count(self._context.desk, ids, key))

    @Slot()
    def ask_finding(self) -> None:
        """Ask which finding the chosen photos show."""
        ids = self._grid.chosen()
        claim = self._context.claim
        findings = [
            Choice(one.id, finding_text(claim, one), line_text(find(claim.kit, one.line)))
            for one in claim.findings
        ]
        key = (
            RecordChooser.ask(said("Which finding they show"), findings, self._grid)
            if ids
            else None
        )
        finding = find(claim.findings, key)
        if finding is not None:
            pairs = [
                (
                    photo.id,
                    Pairing(line=finding.line, count=work.count_of(photo), finding=finding.id),
                )
                for photo in claim.photos
                if photo.id in ids
            ]
            label = said_of(
                len(pairs),
                "{count} photo of {finding}",
                "{count} photos of {finding}",
                finding=finding_text(claim, finding),
            )
            self._context.attempt(lambda: work.pair_each(self._context.desk, pairs, label))

    @Slot()
    def unpair(self) -> None:
        """Take back the pairing with the line that is seen, or with any."""
        ids = self._grid.chosen()
        by_line = self._shelf.grouping == "line" and self._shelf.key not in (ALL, NONE)
        line = self._shelf.key if by_line else None
        self._context.attempt(lambda: work.unpair(self._context.desk, ids, line))

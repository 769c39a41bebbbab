"""The pictures of one line at one count, those that are still wanted, and a watched folder."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from ldapp.casework import photos
from ldapp.casework.count_sheet import Cell, pictures_wanted
from ldapp.casework.photo_intake import Intake
from ldapp.claim.kit import KitLine
from ldapp.claim.photos import Pairing, Photo
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.pages.previews import Previews
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.watched_folder import WatchedFolder
from ldapp.desktop.widgets.pieces import Label
from ldapp.desktop.widgets.plain_text import never_markup, shown
from ldapp.language import said, said_of

_TILE = QSize(GRID * 15, GRID * 11)
_FINE = 2
_SHOWN = 8


class _Tile(QWidget):
    """A picture, and below it whether it shows this line or is still to be paired."""

    def __init__(self, photo: Photo, *, paired: bool) -> None:
        super().__init__()
        self._name = photo.name
        words = said("this line") if paired else said("new, not paired")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        self._picture = QLabel()
        self._picture.setFixedSize(_TILE)
        self._picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.mark = Label(
            f"✓ {words}" if paired else f"○ {words}", TypeSize.SMALL, muted=not paired
        )
        self.mark.setFixedWidth(_TILE.width())
        self.mark.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        column.addWidget(self._picture)
        column.addWidget(self.mark)
        self.setToolTip(never_markup(f"{photo.name}: {words}"))
        self.setAccessibleName(f"{photo.name}: {words}")

    def show_picture(self, picture: QPixmap | None, refusal: str) -> None:
        """Show the picture, or the reason why there is none, or the photo's name until it comes."""
        if picture is not None:
            # Drawn finer than it is shown, for screens of 200 %.
            fine = QPixmap(picture)
            fine.setDevicePixelRatio(_FINE)
            self._picture.setPixmap(fine)
        else:
            self._picture.setTextFormat(Qt.TextFormat.PlainText)
            self._picture.setText(shown(refusal or self._name))
            self._picture.setWordWrap(True)


class PhotoStrip(QWidget):
    """Fills from the watched folder; nothing is paired until the person says so."""

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.context = context
        self._line: KitLine | None = None
        self._count = ""
        self._previews = Previews(context.desk.originals, _TILE * _FINE, self)
        self._previews.arrived.connect(self._show_tiles)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        head = QHBoxLayout()
        head.setSpacing(GRID)
        self.wanted = Label("", TypeSize.NORMAL, bold=True, wrap=True)
        head.addWidget(self.wanted, 1)
        self.pair_button = QPushButton(said("Pair (P)"))
        keep_icon(self.pair_button, "link")
        self.pair_button.clicked.connect(self.pair_new)
        head.addWidget(self.pair_button)
        self.watch_button = QPushButton(said("Watch a folder…"))
        keep_icon(self.watch_button, "eye")
        self.watch_button.clicked.connect(self._on_watch)
        head.addWidget(self.watch_button)
        column.addLayout(head)
        self._row = QHBoxLayout()
        self._row.setSpacing(GRID)
        self._row.addStretch(1)
        column.addLayout(self._row)
        self.tiles: list[_Tile] = []
        self._begun_here = False
        self.watched = WatchedFolder.of(context)
        self.watched.changed.connect(self._show_watch)
        self.watched.taken.connect(self._on_taken)
        self._show_watch()

    def show_line(self, line: KitLine, cell: Cell | None, count: str) -> None:
        """Show the pictures of another line, or of the same one after a change."""
        self._line, self._count = line, count
        self.watched.count = count
        wanted = pictures_wanted(line, cell, self.context.claim.photos, count)
        self.wanted.setText(
            said("! Wanted: {pictures}.", pictures="; ".join(wanted))
            if wanted
            else said("The pictures of this line are there.")
        )
        self.wanted.set_tone("amber" if wanted else "muted")
        new = self.new_photos()
        self.pair_button.setEnabled(bool(new))
        self.pair_button.setText(
            said_of(len(new), "Pair {count} new (P)", "Pair {count} new (P)")
            if new
            else said("Pair (P)")
        )
        self._show_tiles()

    def new_photos(self) -> list[Photo]:
        """Return the photos of this count that show nothing in particular yet."""
        return [
            photo
            for photo in self.context.claim.photos
            if photo.count == self._count and not photo.pairings and not photo.left_out
        ]

    @Slot()
    def _show_tiles(self) -> None:
        for tile in self.tiles:
            self._row.removeWidget(tile)
            tile.deleteLater()
        self.tiles = []
        if self._line is None:
            return
        here = photos.photos_of_line(self.context.claim, self._line.id, self._count)
        shown_now = [*((one, True) for one in here), *((one, False) for one in self.new_photos())]
        for photo, paired in shown_now[-_SHOWN:]:
            tile = _Tile(photo, paired=paired)
            tile.show_picture(self._previews.picture(photo), self._previews.refusal(photo))
            self._row.insertWidget(self._row.count() - 1, tile)
            self.tiles.append(tile)

    @Slot()
    def pair_new(self) -> None:
        """Say that the new photos show this line at this count."""
        new = self.new_photos()
        if new and self._line is not None:
            pairing = Pairing(
                line=self._line.id, count=self._count, reason=said("paired at the count")
            )
            self.context.attempt(
                partial(photos.pair, self.context.desk, [one.id for one in new], pairing)
            )

    # --- the watched folder -----------------------------------------------------------------

    @Slot()
    def _on_watch(self) -> None:
        if self.watched.folder is not None:
            self.watched.stop()
            return
        folder = QFileDialog.getExistingDirectory(self, said("Folder into which photos come"))
        if folder:
            self.watch(Path(folder))

    def watch(self, folder: Path) -> None:
        """Take in photos that come into a folder from now on, at this count."""
        self._begun_here = True
        self.watched.watch(folder, self._count)

    @Slot()
    def _show_watch(self) -> None:
        folder = self.watched.folder
        self.watch_button.setText(
            said("Stop watching {folder}", folder=folder.name)
            if folder
            else said("Watch a folder…")
        )
        self.watch_button.setToolTip(str(folder) if folder else "")

    @Slot(object)
    def _on_taken(self, intake: Intake) -> None:
        for refused in intake.refused:
            self.context.message.emit(f"{refused.path.name}: {refused.says}")

    def shut_down(self) -> None:
        """Stop watching and drawing."""
        if self._begun_here:
            self.watched.stop()
        self._previews.shut_down()

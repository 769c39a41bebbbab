"""The photos of one group as a list model."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from PySide6.QtCore import (
    QAbstractListModel,
    QMimeData,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Slot,
)
from PySide6.QtGui import QPixmap

from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from ldapp.claim.photo_facts import STANDING_SAYS, PhotoVerdict, Standing
from ldapp.claim.photos import Photo
from ldapp.desktop.pages.previews import PictureKey, Previews, key_of
from ldapp.desktop.pages.said import line_text, taken_text
from ldapp.desktop.widgets.plain_text import never_markup, shown
from ldapp.language import said

PHOTO_ROLE = int(Qt.ItemDataRole.UserRole) + 1
TILE_ROLE = PHOTO_ROLE + 1
PHOTO_MIME = "application/x-ldapp-photo-ids"

_NO_PARENT = QModelIndex()


class Tile(NamedTuple):
    """What a tile writes under its picture."""

    time: str
    standing: Standing | None
    standing_text: str
    line: str
    paired: bool
    left_out: bool


def photo_ids_as_mime(ids: Sequence[str]) -> QMimeData:
    """Return dragged photos as data for a drop."""
    data = QMimeData()
    data.setData(PHOTO_MIME, "\n".join(ids).encode())
    return data


def photo_ids_of_mime(data: QMimeData) -> tuple[str, ...]:
    """Return the ids of dragged photos; empty where something else is dragged."""
    if not data.hasFormat(PHOTO_MIME):
        return ()
    return tuple(bytes(data.data(PHOTO_MIME).data()).decode().splitlines())


class PhotoModel(QAbstractListModel):
    """Photos in the order given; texts and small pictures are made when first painted."""

    def __init__(self, previews: Previews, parent: QObject) -> None:
        super().__init__(parent)
        self._previews = previews
        self._photos: dict[str, Photo] = {}
        self._lines: dict[str, KitLine] = {}
        self._verdicts: dict[str, PhotoVerdict] = {}
        self._shown: list[str] = []
        self._rows: dict[str, int] = {}
        self._asked: dict[PictureKey, set[str]] = {}
        """Which photos on the screen wait for a picture."""
        self._tiles: dict[str, Tile] = {}
        previews.arrived.connect(self._on_picture)

    # --- what is shown -----------------------------------------------------------------

    def show(self, claim: Claim, verdicts: dict[str, PhotoVerdict], ids: Sequence[str]) -> None:
        """Show these photos in this order; where only contents changed, rows stay."""
        photos = {photo.id: photo for photo in claim.photos}
        wanted = [one for one in ids if one in photos]
        lines = {line.id: line for line in claim.kit}
        same_rows = wanted == self._shown
        if not same_rows:
            self.beginResetModel()
        changed = [
            one
            for one in (wanted if same_rows else ())
            if photos[one] is not self._photos.get(one)
            or verdicts.get(one) is not self._verdicts.get(one)
        ]
        if lines != self._lines:
            changed = wanted if same_rows else []
            self._tiles.clear()
        for one in changed:
            self._tiles.pop(one, None)
        if not same_rows:
            self._tiles.clear()
        self._photos, self._lines, self._verdicts = photos, lines, dict(verdicts)
        self._shown = wanted
        self._rows = {one: row for row, one in enumerate(wanted)}
        self._asked.clear()
        if not same_rows:
            self.endResetModel()
        elif changed:
            rows = sorted(self._rows[one] for one in changed)
            self.dataChanged.emit(self.index(rows[0]), self.index(rows[-1]))

    def row_of(self, photo: str) -> int | None:
        """Return the row of a photo, or None where it is not shown."""
        return self._rows.get(photo)

    def photo_at(self, row: int) -> Photo:
        """Return the photo of a row."""
        return self._photos[self._shown[row]]

    # --- QAbstractListModel ------------------------------------------------------------

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = _NO_PARENT) -> int:
        """One row a photo."""
        return 0 if parent.isValid() else len(self._shown)

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Name, picture, photo, tile texts, and all of it as words."""
        if not index.isValid():
            return None
        photo = self.photo_at(index.row())
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return shown(photo.name)
            case Qt.ItemDataRole.DecorationRole:
                return self._picture(photo)
            case Qt.ItemDataRole.ToolTipRole:
                return never_markup(self._words(photo))
            case Qt.ItemDataRole.AccessibleTextRole:
                return self._words(photo)
            case _ if role == PHOTO_ROLE:
                return photo
            case _ if role == TILE_ROLE:
                return self._tile(photo)
        return None

    def flags(self, index: QModelIndex | QPersistentModelIndex) -> Qt.ItemFlag:
        """Photos can be chosen and dragged."""
        plain = super().flags(index)
        return plain | Qt.ItemFlag.ItemIsDragEnabled if index.isValid() else plain

    def mimeTypes(self) -> list[str]:
        """Return the one kind of data that is dragged."""
        return [PHOTO_MIME]

    def mimeData(self, indexes: Sequence[QModelIndex]) -> QMimeData:
        """Return the ids of dragged photos."""
        return photo_ids_as_mime([self._shown[index.row()] for index in indexes])

    def refusal(self, photo: Photo) -> str:
        """Return why a picture cannot be drawn, or nothing."""
        return self._previews.refusal(photo)

    def _picture(self, photo: Photo) -> QPixmap | None:
        picture = self._previews.picture(photo)
        if picture is None:
            self._asked.setdefault(key_of(photo), set()).add(photo.id)
        return picture

    def _tile(self, photo: Photo) -> Tile:
        tile = self._tiles.get(photo.id)
        if tile is None:
            verdict = self._verdicts.get(photo.id)
            lines = [self._lines.get(one.line) for one in photo.pairings]
            line = line_text(lines[0]) if lines else said("not paired")
            if len(lines) > 1:
                line = said("{line} and {number} more", line=line, number=len(lines) - 1)
            tile = Tile(
                time=taken_text(verdict),
                standing=verdict.standing if verdict else None,
                standing_text=said(STANDING_SAYS[verdict.standing])
                if verdict
                else said("being verified"),
                line=line,
                paired=bool(lines),
                left_out=photo.left_out,
            )
            self._tiles[photo.id] = tile
        return tile

    def _words(self, photo: Photo) -> str:
        tile = self._tile(photo)
        words = [photo.name, tile.time, tile.standing_text, tile.line]
        if tile.left_out:
            words.append(said("left out of the dossier"))
        return ", ".join(words)

    @Slot(object)
    def _on_picture(self, key: PictureKey) -> None:
        for one in self._asked.pop(key, ()):
            row = self._rows.get(one)
            if row is not None:
                index = self.index(row)
                self.dataChanged.emit(index, index, [Qt.ItemDataRole.DecorationRole])

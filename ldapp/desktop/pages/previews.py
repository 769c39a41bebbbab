"""Small pictures for the photo grid: made in a worker, kept in memory up to a bound."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtCore import QObject, QSize, Qt, Signal, Slot
from PySide6.QtGui import QImage, QPixmap

from ldapp.casework.originals import Originals
from ldapp.casework.photo_previews import GRID_EDGE, preview_jpeg
from ldapp.claim.photos import Photo
from ldapp.desktop.jobs import JobRunner, Progress
from ldapp.language import said

KEPT_IN_MEMORY = 240
AT_ONCE = 2


class PictureKey(NamedTuple):
    """What makes two small pictures the same."""

    sha256: str
    turns: int


class _Drawn(NamedTuple):
    key: PictureKey
    image: QImage | None
    says: str


def key_of(photo: Photo) -> PictureKey:
    """Return the key of a photo's small picture."""
    return PictureKey(photo.facts.sha256, photo.quarter_turns % 4)


def read_image(originals: Originals, photo: Photo, long_edge: int) -> QImage:
    """Return the upright picture with at most ``long_edge`` pixels; runs in a worker.

    Raises LdappError where the picture cannot be shown.
    """
    image = QImage.fromData(preview_jpeg(originals, photo, long_edge))
    return QImage(image)


class Previews(QObject):
    """Hands out small pictures; one that is not there yet is queued, the newest wish first."""

    arrived = Signal(object)
    """The PictureKey of a picture that can now be had (or cannot be drawn)."""

    def __init__(self, originals: Originals, size: QSize, parent: QObject) -> None:
        super().__init__(parent)
        self._originals = originals
        self._size = size
        self._jobs = JobRunner(self, threads=AT_ONCE)
        self._pixmaps: OrderedDict[PictureKey, QPixmap] = OrderedDict()
        self._refused: dict[PictureKey, str] = {}
        self._wanted: OrderedDict[PictureKey, Photo] = OrderedDict()
        self._under_way: set[PictureKey] = set()

    def picture(self, photo: Photo) -> QPixmap | None:
        """Return the small picture, or None while it is being made or where it cannot be."""
        key = key_of(photo)
        pixmap = self._pixmaps.get(key)
        if pixmap is not None:
            self._pixmaps.move_to_end(key)
            return pixmap
        if key not in self._refused and key not in self._under_way:
            self._wanted[key] = photo
            self._wanted.move_to_end(key)
            # What was scrolled past is not drawn: only the newest wishes are kept.
            while len(self._wanted) > 80:
                self._wanted.popitem(last=False)
            self._start_next()
        return None

    def refusal(self, photo: Photo) -> str:
        """Return the sentence why a picture cannot be shown, or nothing."""
        return self._refused.get(key_of(photo), "")

    def _start_next(self) -> None:
        while self._wanted and len(self._under_way) < AT_ONCE:
            key, photo = self._wanted.popitem()
            self._under_way.add(key)
            self._jobs.run("Previews", self._drawing(key, photo), self._on_drawn)

    def _drawing(self, key: PictureKey, photo: Photo) -> Callable[[Progress], _Drawn]:
        originals, size = self._originals, self._size

        def draw(progress: Progress) -> _Drawn:
            try:
                image = read_image(originals, photo, GRID_EDGE)
            except Exception as error:  # noqa: BLE001 - one picture must not stop the others; shown
                return _Drawn(key, None, str(error) or said("The picture cannot be drawn."))
            scaled = image.scaled(
                size,
                Qt.AspectRatioMode.KeepAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
            return _Drawn(
                key, scaled, "" if not image.isNull() else said("The picture cannot be drawn.")
            )

        return draw

    @Slot(object)
    def _on_drawn(self, drawn: _Drawn) -> None:
        self._under_way.discard(drawn.key)
        if drawn.image is None or drawn.image.isNull():
            self._refused[drawn.key] = drawn.says
        else:
            self._pixmaps[drawn.key] = QPixmap.fromImage(drawn.image)
            while len(self._pixmaps) > KEPT_IN_MEMORY:
                self._pixmaps.popitem(last=False)
        self.arrived.emit(drawn.key)
        self._start_next()

    def shut_down(self) -> None:
        """Stop drawing; to be called before the page goes."""
        self._wanted.clear()
        self._jobs.shut_down()

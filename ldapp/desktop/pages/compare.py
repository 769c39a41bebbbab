"""One photo large, or two beside each other with zoom and movement locked; markings beside them."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtGui import QActionGroup, QImage, QKeyEvent
from PySide6.QtWidgets import (
    QLineEdit,
    QSplitter,
    QToolBar,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import photos as work
from ldapp.casework.edit import find
from ldapp.claim.photo_facts import STANDING_SAYS
from ldapp.claim.photos import Marking, MarkingKind, Photo
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.icons import keep_icon
from ldapp.desktop.jobs import JobRunner, Progress
from ldapp.desktop.pages.marking_items import MARKING_NAMES, WITH_TEXT
from ldapp.desktop.pages.picture_view import PictureView, PointsTuple, Tool, ViewPort
from ldapp.desktop.pages.previews import read_image
from ldapp.desktop.pages.said import taken_text
from ldapp.desktop.theme import GRID, TypeSize
from ldapp.desktop.widgets.pieces import Label
from ldapp.language import said

QUICK_EDGE = 1600
FULL_EDGE = 12_000
"""More pixels than a camera has: the picture is never enlarged."""

_ICONS: dict[MarkingKind, str] = {
    "ring": "ring",
    "arrow": "arrow",
    "box": "box",
    "measure": "measure",
    "note": "text",
    "redaction": "redaction",
}


class PicturePane(QWidget):
    """One photo with its name, time and standing above it."""

    moved = Signal(object)
    stepped = Signal(int)

    def __init__(self, context: ClaimContext, name: str, jobs: JobRunner, parent: QWidget) -> None:
        super().__init__(parent)
        self._context = context
        self._jobs = jobs
        self._photo: Photo | None = None
        self._pixels = 0
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        self._title = Label("", bold=True)
        self._title.setContentsMargins(GRID, 4, GRID, 0)
        self._says = Label("", TypeSize.SMALL, muted=True)
        self._says.setContentsMargins(GRID, 0, GRID, 0)
        self.view = PictureView(name)
        column.addWidget(self._title)
        column.addWidget(self._says)
        column.addWidget(self.view, 1)
        self.view.moved.connect(self.moved)
        self.view.stepped.connect(self.stepped)
        self.view.drawn.connect(self._on_drawn)
        self.view.marking_moved.connect(self._on_marking_moved)
        self.view.marking_removed.connect(self._on_marking_removed)
        self.text = ""
        """Written beside the next note or measure."""

    @property
    def photo(self) -> Photo | None:
        """The photo that is shown."""
        return self._photo

    def show_photo(self, photo: Photo | None) -> None:
        """Show a photo: quickly first, then with all its pixels."""
        before, self._photo = self._photo, photo
        if photo is None:
            self.view.clear_image()
            self._title.setText("")
            self._says.setText("")
            return
        verdict = self._context.verdicts.get(photo.id)
        self._title.setText(photo.name)
        standing = said(STANDING_SAYS[verdict.standing]) if verdict else said("being verified")
        self._says.setText(f"{taken_text(verdict)} · {standing}")
        self.view.setAccessibleDescription(f"{photo.name}, {taken_text(verdict)}, {standing}")
        same = (
            before is not None
            and before.id == photo.id
            and before.quarter_turns == photo.quarter_turns
        )
        if not same:
            self.view.clear_image()
            self._pixels = 0
            for edge in (QUICK_EDGE, FULL_EDGE):
                self._read(photo, edge)
        self.view.show_markings(photo.markings)

    def _read(self, photo: Photo, edge: int) -> None:
        originals = self._context.desk.originals
        key = (photo.id, photo.quarter_turns)

        def read(progress: Progress) -> tuple[object, QImage]:
            del progress
            return key, read_image(originals, photo, edge)

        self._jobs.run(said("Picture"), read, self._on_read, self._on_not_read)

    @Slot(object)
    def _on_read(self, outcome: tuple[object, QImage]) -> None:
        key, image = outcome
        photo = self._photo
        if photo is None or key != (photo.id, photo.quarter_turns) or image.isNull():
            return
        if image.width() > self._pixels:
            self._pixels = image.width()
            self.view.show_image(image)

    @Slot(object)
    def _on_not_read(self, error: BaseException) -> None:
        if not self._pixels:
            self._says.setText(str(error) or said("The picture cannot be shown."))

    # --- markings ------------------------------------------------------------------------

    @Slot(str, object)
    def _on_drawn(self, kind: MarkingKind, points: PointsTuple) -> None:
        text = self.text if kind in WITH_TEXT else ""
        if kind == "note" and not text:
            self._context.message.emit(said("Write the note's text in the field above first."))
            return
        self._set([*self._markings(), Marking(kind=kind, points=points, text=text)])

    @Slot(int, object)
    def _on_marking_moved(self, place: int, points: PointsTuple) -> None:
        markings = self._markings()
        one = markings[place]
        markings[place] = Marking(kind=one.kind, points=points, text=one.text)
        self._set(markings)

    @Slot(int)
    def _on_marking_removed(self, place: int) -> None:
        markings = self._markings()
        del markings[place]
        self._set(markings)

    def _markings(self) -> list[Marking]:
        return list(self._photo.markings) if self._photo else []

    def _set(self, markings: list[Marking]) -> None:
        photo = self._photo
        if photo is not None:
            self._context.attempt(
                lambda: work.set_markings(self._context.desk, photo.id, tuple(markings))
            )


class CompareView(QWidget):
    """One or two photos with the tools; Escape goes back to the grid."""

    closed = Signal()
    stepped = Signal(int)

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._context = context
        self._jobs = JobRunner(self, threads=2)
        self._ids: tuple[str, ...] = ()
        self._locked = True
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.bar = QToolBar(said("Looking and marking"))
        self.bar.setIconSize(QSize(20, 20))
        column.addWidget(self.bar)
        self._splitter = QSplitter(Qt.Orientation.Horizontal)
        self._splitter.setChildrenCollapsible(False)
        self.left = PicturePane(context, said("First photo"), self._jobs, self)
        self.right = PicturePane(context, said("Second photo"), self._jobs, self)
        self._splitter.addWidget(self.left)
        self._splitter.addWidget(self.right)
        column.addWidget(self._splitter, 1)
        self._hint = Label(
            said(
                "Wheel or + and \u2212 zoom, 0 shows the whole, 1 shows pixels, arrows move, "
                "Page Up and Page Down change the photo. With a tool: drag, or Enter in "
                "the middle; Delete removes the chosen marking, Ctrl with arrows moves "
                "it."
            ),
            TypeSize.SMALL,
            muted=True,
            wrap=True,
        )
        self._hint.setContentsMargins(GRID, 4, GRID, 4)
        column.addWidget(self._hint)
        self._make_bar()
        self.left.moved.connect(self._on_left_moved)
        self.right.moved.connect(self._on_right_moved)
        self.left.stepped.connect(self.stepped)
        self.right.stepped.connect(self.stepped)

    def _make_bar(self) -> None:
        back = self.bar.addAction(said("Back to the photos"))
        back.setShortcut(Qt.Key.Key_Escape)
        back.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        keep_icon(back, "chevron_left")
        back.triggered.connect(self.closed)
        self.addAction(back)
        self.bar.addSeparator()
        self.lock = self.bar.addAction(said("Lock zoom and movement"))
        self.lock.setCheckable(True)
        self.lock.setChecked(True)
        keep_icon(self.lock, "lock")
        self.lock.toggled.connect(self._on_lock)
        closer = self.bar.addAction(said("Zoom in"))
        keep_icon(closer, "zoom_in")
        closer.triggered.connect(self._zoom_in)
        farther = self.bar.addAction(said("Zoom out"))
        keep_icon(farther, "zoom_out")
        farther.triggered.connect(self._zoom_out)
        whole = self.bar.addAction(said("Show the whole picture"))
        keep_icon(whole, "eye")
        whole.triggered.connect(self._show_whole)
        self.bar.addSeparator()
        self.turn_left = self.bar.addAction(said("Turn left"))
        keep_icon(self.turn_left, "turn_left")
        self.turn_left.triggered.connect(self._turn_left)
        self.turn_right = self.bar.addAction(said("Turn right"))
        keep_icon(self.turn_right, "turn_right")
        self.turn_right.triggered.connect(self._turn_right)
        self.bar.addSeparator()
        self.tools = QActionGroup(self)
        self.tools.setExclusionPolicy(QActionGroup.ExclusionPolicy.ExclusiveOptional)
        for kind, says in MARKING_NAMES.items():
            tool = self.bar.addAction(said(says))
            tool.setCheckable(True)
            tool.setData(kind)
            keep_icon(tool, _ICONS[kind])
            self.tools.addAction(tool)
        self.tools.triggered.connect(self._on_tool)
        self.text = QLineEdit()
        self.text.setPlaceholderText(said("Text of the note or measure"))
        self.text.setAccessibleName(said("Text of the note or measure"))
        self.text.setMaximumWidth(GRID * 28)
        self.text.textChanged.connect(self._on_text)
        self.bar.addWidget(self.text)

    # --- what is shown -------------------------------------------------------------------

    @property
    def photo_ids(self) -> tuple[str, ...]:
        """The photos that are shown: one or two."""
        return self._ids

    def show_photos(self, ids: tuple[str, ...]) -> None:
        """Show one photo, or two beside each other."""
        self._ids = ids[:2]
        self.refresh()
        self.left.view.show_whole()
        self.right.view.show_whole()
        self.right.setVisible(len(self._ids) == 2)
        self.lock.setVisible(len(self._ids) == 2)
        self._splitter.setSizes([4000, 4000])
        self.left.view.setFocus()

    def refresh(self) -> None:
        """Show the photos as they now stand in the claim."""
        claim = self._context.claim
        photos = [find(claim.photos, one) for one in self._ids]
        self.left.show_photo(photos[0] if photos else None)
        self.right.show_photo(photos[1] if len(photos) > 1 else None)

    def shut_down(self) -> None:
        """Stop reading pictures."""
        self._jobs.shut_down()

    def _active(self) -> PicturePane:
        return self.right if self.right.view.hasFocus() else self.left

    # --- zoom and movement ---------------------------------------------------------------

    @Slot(bool)
    def _on_lock(self, on: bool) -> None:
        self._locked = on
        if on:
            self.right.view.show_port(self.left.view.port)

    @Slot(object)
    def _on_left_moved(self, port: ViewPort) -> None:
        if self._locked:
            self.right.view.show_port(port)

    @Slot(object)
    def _on_right_moved(self, port: ViewPort) -> None:
        if self._locked:
            self.left.view.show_port(port)

    @Slot()
    def _zoom_in(self) -> None:
        self._active().view.zoom_by(1.25)

    @Slot()
    def _zoom_out(self) -> None:
        self._active().view.zoom_by(0.8)

    @Slot()
    def _show_whole(self) -> None:
        self._active().view.show_whole()

    @Slot()
    def _turn_left(self) -> None:
        self._turn(-1)

    @Slot()
    def _turn_right(self) -> None:
        self._turn(1)

    def _turn(self, quarters: int) -> None:
        photo = self._active().photo
        if photo is not None:
            self._context.attempt(lambda: work.turn(self._context.desk, (photo.id,), quarters))

    # --- marking -------------------------------------------------------------------------

    @Slot()
    def _on_tool(self) -> None:
        chosen = self.tools.checkedAction()
        tool: Tool = chosen.data() if chosen is not None else None
        for pane in (self.left, self.right):
            pane.view.set_tool(tool)
        if tool in WITH_TEXT and not self.text.text():
            self.text.setFocus()
        else:
            self._active().view.setFocus()

    @Slot(str)
    def _on_text(self, text: str) -> None:
        for pane in (self.left, self.right):
            pane.text = text.strip()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape goes back to the grid."""
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
        else:
            super().keyPressEvent(event)

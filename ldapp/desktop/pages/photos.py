"""The Photos page: take in, look, pair with lines, correct clocks, compare."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import QItemSelection, QPoint, QSize, Qt, QTimer, Slot
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QResizeEvent
from PySide6.QtWidgets import (
    QMenu,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework import photos as work
from ldapp.casework.edit import find
from ldapp.casework.photo_intake import PHOTO_SUFFIXES
from ldapp.casework.places import Page, Place
from ldapp.desktop.claim_context import EVERYTHING, ClaimContext
from ldapp.desktop.page import ClaimPage
from ldapp.desktop.pages.clock_reference import ClockReferencePanel
from ldapp.desktop.pages.compare import CompareView
from ldapp.desktop.pages.photo_actions import PhotoActions, PhotoBar
from ldapp.desktop.pages.photo_evidence import PhotoEvidence
from ldapp.desktop.pages.photo_facts_view import PhotoFactsView
from ldapp.desktop.pages.photo_grid import PICTURE, PhotoGrid
from ldapp.desktop.pages.photo_groups import ALL, NONE, group_photos
from ldapp.desktop.pages.photo_intake import PhotoIntake
from ldapp.desktop.pages.photo_model import PhotoModel
from ldapp.desktop.pages.photo_pairing import PhotoPairing
from ldapp.desktop.pages.photo_shelf import PhotoShelf
from ldapp.desktop.pages.photo_suggestions import SuggestionsPanel
from ldapp.desktop.pages.previews import Previews
from ldapp.desktop.pages.refused_files import RefusedFiles
from ldapp.desktop.widgets.pieces import EmptyState
from ldapp.language import marked, said

_WIDE = 960
"""Below this width the facts of a photo are shown only when asked for (I)."""
_KINDS = frozenset({"photo", "kit_line", "count", "finding", "verdicts", "clock_correction"})


class PhotosPage(ClaimPage):
    """Thousands of tiles; beside them the groups to pair with, and the facts of the chosen."""

    name: ClassVar[Page] = "photos"
    title: ClassVar[str] = marked("Photos")

    def __init__(self, context: ClaimContext, parent: QWidget | None = None) -> None:
        super().__init__(context, parent)
        self.setAcceptDrops(True)
        self.previews = Previews(context.desk.originals, PICTURE * 2, self)
        self.model = PhotoModel(self.previews, self)
        self.shelf = PhotoShelf()
        self.grid = PhotoGrid()
        self.grid.setModel(self.model)
        self.facts = PhotoFactsView(context)
        self._facts_asked = False
        self._suggestions: SuggestionsPanel | None = None
        self._clock: ClockReferencePanel | None = None
        self._compare_view: CompareView | None = None
        self.refused = RefusedFiles()
        self.intake = PhotoIntake(context, self, self._seen_count)
        self.evidence = PhotoEvidence(context, self._seen_count)
        self.pairing = PhotoPairing(context, self.grid, self.shelf)
        self._grid_or_empty = QStackedWidget()
        self.empty = EmptyState(
            said(
                "Photos of the kit belong here: from a folder, a card, or dropped on "
                "this page. The originals stay as they are."
            ),
            said("Add photos"),
            said("Add a folder"),
        )
        self._none_here = EmptyState(
            said("No photo in this group yet. Drag photos onto it, or press P.")
        )
        self._stack = QStackedWidget()
        self.bar = PhotoBar(said("Photos"))
        self._lay_out()
        self.do = PhotoActions(self)
        self.do.fill(self.bar, self.evidence.actions_here())
        self._connect()

    # --- layout --------------------------------------------------------------------------

    def _lay_out(self) -> None:
        for shown in (self.grid, self._none_here, self.empty):
            self._grid_or_empty.addWidget(shown)
        self._middle = QSplitter(Qt.Orientation.Vertical)
        self._middle.setChildrenCollapsible(False)
        self._middle.addWidget(self._grid_or_empty)
        self._middle.setStretchFactor(0, 1)
        centre = QWidget()
        column = QVBoxLayout(centre)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.bar.setIconSize(QSize(20, 20))
        column.addWidget(self.bar)
        column.addWidget(self.evidence)
        column.addWidget(self.refused)
        column.addWidget(self._middle, 1)
        self._split = QSplitter(Qt.Orientation.Horizontal)
        self._split.setChildrenCollapsible(False)
        for pane in (self.shelf, centre, self.facts):
            self._split.addWidget(pane)
        self._split.setStretchFactor(1, 1)
        self._split.setSizes([240, 700, 300])
        self._stack.addWidget(self._split)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._stack)

    def _connect(self) -> None:
        for action, slot in (
            (self.do.add_files, self.intake.ask_files),
            (self.do.add_folder, self.intake.ask_folder),
            (self.do.add_card, self.intake.ask_card),
            (self.do.suggest, self._show_suggestions),
            (self.do.pair_with, self.pairing.ask_line),
            (self.do.choose_count, self.pairing.ask_count),
            (self.do.choose_finding, self.pairing.ask_finding),
            (self.do.unpair, self.pairing.unpair),
            (self.do.look, self._look),
            (self.do.side_by_side, self._compare),
            (self.do.trusted_clock, self._reference),
            (self.do.leave_out, self._leave_out),
            (self.do.turn_right, self._turn_right),
            (self.do.turn_left, self._turn_left),
            (self.do.remove, self._remove),
        ):
            action.triggered.connect(slot)
        self.do.show_facts.toggled.connect(self._on_show_facts)
        self.empty.acted.connect(self.intake.ask_files)
        self.empty.second_acted.connect(self.intake.ask_folder)
        self.shelf.grouping_changed.connect(self._show_groups)
        self.shelf.group_chosen.connect(self._show_group)
        self.shelf.dropped.connect(self.pairing.drop)
        self.intake.refused.connect(self.refused.show_refused)
        self.grid.opened.connect(self._on_opened)
        self.grid.removal_asked.connect(self._remove)
        self.grid.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.grid.customContextMenuRequested.connect(self._menu)
        # Many tiles chosen at once are described once, after the last of them.
        self._describe_soon = QTimer(self)
        self._describe_soon.setSingleShot(True)
        self._describe_soon.setInterval(30)
        self._describe_soon.timeout.connect(self._describe)
        self.grid.selectionModel().selectionChanged.connect(self._on_selection)
        self.model.modelReset.connect(self._describe_soon.start)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give a narrow page's room to the photos, until the person wants the facts."""
        super().resizeEvent(event)
        if not self._facts_asked:
            self.do.show_facts.blockSignals(True)
            self.do.show_facts.setChecked(self.width() >= _WIDE)
            self.do.show_facts.blockSignals(False)
            self.facts.setVisible(self.do.show_facts.isChecked())

    @Slot(bool)
    def _on_show_facts(self, on: bool) -> None:
        self._facts_asked = True
        self.facts.setVisible(on)

    # --- parts that are made when they are first wanted -----------------------------------

    @property
    def suggestions(self) -> SuggestionsPanel:
        """The suggested pairings below the grid."""
        if self._suggestions is None:
            self._suggestions = SuggestionsPanel(self.context)
            self._suggestions.hide()
            self._suggestions.photo_chosen.connect(self._show_photo)
            self._middle.addWidget(self._suggestions)
        return self._suggestions

    @property
    def clock(self) -> ClockReferencePanel:
        """The reference picture below the grid."""
        if self._clock is None:
            self._clock = ClockReferencePanel(self.context)
            self._clock.hide()
            self._clock.picture_wanted.connect(self._on_opened)
            self._middle.addWidget(self._clock)
        return self._clock

    @property
    def compare(self) -> CompareView:
        """The photo large, or two beside each other."""
        if self._compare_view is None:
            self._compare_view = CompareView(self.context)
            self._compare_view.closed.connect(self._back_to_grid)
            self._compare_view.stepped.connect(self._step)
            self._stack.addWidget(self._compare_view)
        return self._compare_view

    # --- showing -------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        """Show the photos as they stand."""
        if kinds != EVERYTHING and not kinds & _KINDS:
            return
        self._show_groups()
        if self._compare_view is not None and self._compare_view.isVisible():
            self._compare_view.refresh()
        self._describe()
        if self._suggestions is not None and self._suggestions.isVisible():
            self._suggestions.refresh()

    @Slot()
    def _show_groups(self) -> None:
        groups = group_photos(self.context.claim, self.context.verdicts, self.shelf.grouping)
        self.shelf.show_groups(groups)
        self._show_group()

    @Slot()
    def _show_group(self) -> None:
        chosen = self.grid.chosen()
        ids = self.shelf.photos_of(self.shelf.key)
        self.model.show(self.context.claim, self.context.verdicts, ids)
        if chosen and not self.grid.chosen():
            self.grid.choose(chosen)
        shown: QWidget = self.grid
        if not self.context.claim.photos:
            shown = self.empty
        elif not ids:
            shown = self._none_here
        self._grid_or_empty.setCurrentWidget(shown)

    def show_place(self, place: Place) -> None:
        """Show a photo, or the photos of a line or count."""
        if place.kind == "photo" and place.key:
            self._show_photo(place.key)
        elif place.kind in ("kit_line", "count") and place.key:
            self.shelf.set_grouping("line" if place.kind == "kit_line" else "count")
            self._show_groups()
            self.shelf.choose(place.key)
            self.grid.setFocus()

    @Slot(str)
    def _show_photo(self, photo: str) -> None:
        self._back_to_grid()
        if self.model.row_of(photo) is None:
            self.shelf.choose(ALL)
        self.grid.choose((photo,))
        self.grid.setFocus()

    @Slot(QItemSelection, QItemSelection)
    def _on_selection(self, chosen: QItemSelection, dropped: QItemSelection) -> None:
        del chosen, dropped
        self._describe_soon.start()

    @Slot()
    def _describe(self) -> None:
        chosen = self.grid.chosen()
        for action in self.do.on_chosen:
            action.setEnabled(bool(chosen))
        self.do.side_by_side.setEnabled(bool(chosen))
        by_id = {photo.id: photo for photo in self.context.claim.photos} if chosen else {}
        self.facts.show_photos(tuple(by_id[one] for one in chosen if one in by_id))

    @Slot(QPoint)
    def _menu(self, at: QPoint) -> None:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addActions(list(self.do.on_chosen))
        menu.popup(self.grid.viewport().mapToGlobal(at))

    # --- taking in -----------------------------------------------------------------------

    def take_files(self, paths: list[Path]) -> None:
        """Take in photos that were dropped."""
        self.intake.take_in(paths, "dropped")

    def _seen_count(self) -> str | None:
        key = self.shelf.key
        return key if self.shelf.grouping == "count" and key not in (ALL, NONE) else None

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take photos and folders; of anything else the window asks what it is."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if paths and all(path.is_dir() or path.suffix.lower() in PHOTO_SUFFIXES for path in paths):
            event.acceptProposedAction()
        else:
            event.ignore()

    def dropEvent(self, event: QDropEvent) -> None:
        """Take dropped files and folders in."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if paths:
            event.acceptProposedAction()
            self.take_files(paths)

    @Slot()
    def _show_suggestions(self) -> None:
        if self._clock is not None:
            self._clock.hide()
        self.suggestions.setVisible(not self.suggestions.isVisible())
        if self.suggestions.isVisible():
            self.suggestions.refresh()
            self.suggestions.table.setFocus()

    # --- looking -------------------------------------------------------------------------

    @Slot(str)
    def _on_opened(self, photo: str) -> None:
        self.compare.show_photos((photo,))
        self._stack.setCurrentWidget(self.compare)

    @Slot()
    def _look(self) -> None:
        chosen = self.grid.chosen()
        if chosen:
            self._on_opened(chosen[0])

    @Slot()
    def _compare(self) -> None:
        chosen = self.grid.chosen()
        if len(chosen) == 1:
            other = work.other_photo_of_line(self.context.claim, chosen[0])
            chosen = (*chosen, other) if other else chosen
        if len(chosen) < 2:
            self.context.message.emit(
                said("Choose two photos to compare: this one has no other photo of the same line.")
            )
            return
        self.compare.show_photos(chosen[:2])
        self._stack.setCurrentWidget(self.compare)

    @Slot(int)
    def _step(self, by: int) -> None:
        shown = self.compare.photo_ids
        row = self.model.row_of(shown[0]) if shown else None
        if row is not None and 0 <= row + by < self.model.rowCount():
            photo = self.model.photo_at(row + by).id
            self.grid.choose((photo,))
            self.compare.show_photos((photo, *shown[1:]))

    @Slot()
    def _back_to_grid(self) -> None:
        if self._stack.currentWidget() is not self._split:
            self._stack.setCurrentWidget(self._split)
            self.grid.setFocus()

    # --- the rest ------------------------------------------------------------------------

    @Slot()
    def _reference(self) -> None:
        chosen = self.grid.chosen()
        photo = find(self.context.claim.photos, chosen[0]) if chosen else None
        if photo is not None:
            if self._suggestions is not None:
                self._suggestions.hide()
            self.clock.show_photo(photo)
            self.clock.show()
            self.clock.form.fields["reference_time"].setFocus()

    @Slot()
    def _leave_out(self) -> None:
        ids = self.grid.chosen()
        photos = [photo for photo in self.context.claim.photos if photo.id in set(ids)]
        out = not all(photo.left_out for photo in photos)
        self.context.attempt(lambda: work.set_left_out(self.context.desk, ids, out))

    @Slot()
    def _turn_right(self) -> None:
        ids = self.grid.chosen()
        self.context.attempt(lambda: work.turn(self.context.desk, ids, 1))

    @Slot()
    def _turn_left(self) -> None:
        ids = self.grid.chosen()
        self.context.attempt(lambda: work.turn(self.context.desk, ids, -1))

    @Slot()
    def _remove(self) -> None:
        ids = self.grid.chosen()
        if ids:
            self.context.attempt(lambda: work.remove_photos(self.context.desk, ids))

    def shut_down(self) -> None:
        """Stop drawing pictures; called before the claim is closed."""
        self.previews.shut_down()
        if self._compare_view is not None:
            self._compare_view.shut_down()

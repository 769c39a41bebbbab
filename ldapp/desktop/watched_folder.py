"""A folder whose new photos come into the open claim, for as long as the person wants.

The system tells of changes where it can; a look every two seconds finds the rest, for
phones and network drives tell nothing.  Every look is made by a worker.
"""

from __future__ import annotations

import time
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer, Signal, Slot

from ldapp.casework import photo_intake
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.jobs import Progress
from ldapp.language import said

LOOK_EVERY_MS = 2000
SETTLED_S = 1.5
"""A file is taken once its size and time of change have stayed the same for so long."""
_REMEMBERED = "watched folder of "


class _State(NamedTuple):
    size: int
    modified_ns: int


class WatchedFolder(QObject):
    """At most one folder for one open claim; see :meth:`of`."""

    changed = Signal()
    """Begun, stopped, out of reach, or photos came."""
    taken = Signal(object)
    """The Intake of new photos."""

    def __init__(self, context: ClaimContext) -> None:
        super().__init__(context)
        self._context = context
        self.folder: Path | None = None
        self.count: str | None = None
        """At which count new photos are taken in."""
        self.number = 0
        """How many photos came since the watch began."""
        self.ready = False
        """Whether it is known what was there before."""
        self.reachable = True
        self._seen: set[Path] = set()
        self._refused: dict[Path, _State] = {}
        self._waiting: dict[Path, tuple[_State, float]] = {}
        self._looking: Path | None = None
        self._taking: dict[Path, _State] = {}
        self._system = QFileSystemWatcher(self)
        self._system.directoryChanged.connect(self._look)
        self._every = QTimer(self)
        self._every.setInterval(LOOK_EVERY_MS)
        self._every.timeout.connect(self._look)
        context.closed.connect(self.stop)

    @classmethod
    def of(cls, context: ClaimContext) -> WatchedFolder:
        """Return the one of an open claim."""
        found = context.findChild(cls)
        return found if isinstance(found, cls) else cls(context)

    @property
    def last(self) -> Path | None:
        """The folder that was watched for this claim before, to go on with if wanted."""
        text = self._context.remembered(_REMEMBERED + self._context.claim.id)
        return Path(text) if isinstance(text, str) and text else None

    def watch(self, folder: Path, count: str | None = None) -> None:
        """Take in photos that come into a folder, or one in it, from now on."""
        self.stop()
        if self._context.keeper is None:
            self._context.message.emit(said("This claim is open for reading only."))
            return
        self.folder, self.count = folder, count
        self.number, self.ready, self.reachable = 0, False, True
        self._seen, self._refused, self._waiting = set(), {}, {}
        self._context.remember(_REMEMBERED + self._context.claim.id, str(folder))
        self._every.start()
        self._look()
        self.changed.emit()

    @Slot()
    def stop(self) -> None:
        """Watch no more; what came in stays."""
        if self.folder is None:
            return
        self.folder = None
        self._every.stop()
        if self._system.directories():
            self._system.removePaths(self._system.directories())
        self.changed.emit()

    @Slot()
    def _look(self) -> None:
        folder = self.folder
        if folder is None or self._looking is not None:
            return
        self._looking = folder

        def look(progress: Progress) -> dict[Path, _State] | None:
            del progress
            return _photos_in(folder)

        job = self._context.jobs.run("Watching", look, self._on_looked)
        job.finished.connect(self._on_look_ended)

    @Slot()
    def _on_look_ended(self) -> None:
        self._looking = None

    @Slot(object)
    def _on_looked(self, found: dict[Path, _State] | None) -> None:
        if self.folder is None or self.folder != self._looking:
            return
        if (found is not None) != self.reachable:
            self.reachable = found is not None
            self.changed.emit()
        if found is None:
            return
        folders = {str(self.folder), *(str(path.parent) for path in found)}
        unwatched = sorted(folders - set(self._system.directories()))
        if unwatched:
            self._system.addPaths(unwatched)
        if not self.ready:
            self._seen, self.ready = set(found), True
            self.changed.emit()
            return
        now = time.monotonic()
        waiting: dict[Path, tuple[_State, float]] = {}
        settled: dict[Path, _State] = {}
        for path, state in found.items():
            if path in self._seen and self._refused.get(path, state) == state:
                continue
            before = self._waiting.get(path)
            since = before[1] if before is not None and before[0] == state else now
            waiting[path] = (state, since)
            if now - since >= SETTLED_S:
                settled[path] = state
        self._waiting = waiting
        if settled and not self._taking:
            self._take_in(settled)

    def _take_in(self, settled: dict[Path, _State]) -> None:
        keeper, desk, count = self._context.keeper, self._context.desk, self.count
        if keeper is None:
            return
        self._taking = settled
        paths = sorted(settled)

        def take(progress: Progress) -> photo_intake.Intake:
            return photo_intake.take_in_photos(
                desk, keeper, paths, source="watched_folder", count=count, progress=progress
            )

        job = self._context.run(said("Taking in photos"), take, self._on_taken)
        # What fails or is cancelled once would be tried again every two seconds.
        job.failed.connect(self.stop)
        job.cancelled.connect(self.stop)
        job.finished.connect(self._on_taking_ended)

    @Slot(object)
    def _on_taken(self, intake: photo_intake.Intake) -> None:
        self._seen |= self._taking.keys()
        for path in self._taking:
            self._refused.pop(path, None)
            self._waiting.pop(path, None)
        for refused in intake.refused:
            if refused.path in self._taking:
                self._refused[refused.path] = self._taking[refused.path]
        self.number += len(intake.taken)
        self.taken.emit(intake)
        self.changed.emit()

    @Slot()
    def _on_taking_ended(self) -> None:
        self._taking = {}


def _photos_in(folder: Path) -> dict[Path, _State] | None:
    """Return the photos in a folder and below; None where it cannot be reached."""
    try:
        if not folder.is_dir():
            return None
    except OSError:
        return None
    found = {}
    for path in photo_intake.photo_files([folder]):
        try:
            state = path.stat()
        except OSError:
            # Gone or out of reach by now: the next look sees it again, or never.
            continue
        found[path] = _State(state.st_size, state.st_mtime_ns)
    return found

"""What the pages of one open claim share: the claim, its reckoning, its weak points, jobs."""

from __future__ import annotations

import datetime as dt
import logging
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar
from zoneinfo import ZoneInfo

from PySide6.QtCore import QObject, QSettings, QTimer, Signal, Slot

from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.originals import KeepsOriginals
from ldapp.casework.weak_points import WeakPoint
from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoVerdict
from ldapp.desktop.jobs import Job, JobRunner, Progress
from ldapp.errors import LdappError
from ldapp.reckoning.result import Reckoning

if TYPE_CHECKING:
    from ldapp.casework.register import Register
    from ldapp.casework.study import Study

_log = logging.getLogger(__name__)
_Result = TypeVar("_Result")

DEBOUNCE_MS = 150
"""How long after the last change everything that follows from the claim is computed anew."""

EVERYTHING: frozenset[str] = frozenset({"everything"})
"""Given to a page's ``refresh`` where anything may have changed."""


Studier = Callable[[Claim, frozenset[str]], "Study"]


def study_claim(claim: Claim, changed_originals: frozenset[str] = frozenset()) -> Study:
    """Compute everything that follows from the claim; runs in a worker."""
    from ldapp.casework.study import study  # noqa: PLC0415 - loaded by the worker

    return study(claim, dt.datetime.now(ZoneInfo(claim.zone)).date(), changed_originals)


class ClaimContext(QObject):
    """One open claim for its pages; lives in the window's thread."""

    claim_changed = Signal(object)
    """frozenset of the kinds of record that changed (ldapp.claim.changes)."""
    reckoned = Signal(object)
    """The Reckoning, or None where a term cannot be right (a weak point says which)."""
    weak_points_found = Signal(object)
    verdicts_found = Signal(object)
    room_wanted = Signal(bool)
    """Something wide came into sight on a page (True), or is gone again."""
    go_to = Signal(object)
    """A Place that should be shown."""
    message = Signal(str)
    failed = Signal(object)
    job_started = Signal(object)
    closed = Signal()
    _changed_anywhere = Signal(object)

    def __init__(
        self,
        desk: OpenClaim,
        jobs: JobRunner,
        *,
        register: Register | None = None,
        settings: QSettings | None = None,
        studier: Studier = study_claim,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.desk = desk
        self.jobs = jobs
        self.register = register
        """The library's register; None where the claim stands alone (a test)."""
        self.settings = settings or QSettings()
        self.reckoning: Reckoning | None = None
        """The latest; None until the first one is ready, and where a term cannot be as entered."""
        self.verdicts: dict[str, PhotoVerdict] = {}
        self.weak_points: tuple[WeakPoint, ...] = ()
        self.changed_originals: frozenset[str] = frozenset()
        """SHA-256 of the stored originals that the last check found changed."""
        self._studier = studier
        self._studied: Claim | None = None
        self._studying: Claim | None = None
        self._judged_with: frozenset[str] = frozenset()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(DEBOUNCE_MS)
        self._timer.timeout.connect(self.study_now)
        # A change may be made by a worker (an import); the signal brings it to this thread.
        self._changed_anywhere.connect(self._on_changed)
        self._tell = self._changed_anywhere.emit
        desk.listen(self._tell)
        self._timer.start()

    @property
    def keeper(self) -> KeepsOriginals | None:
        """Takes photos and documents in; None where the claim cannot take any."""
        return self.register.originals if self.register is not None else None

    def remembered(self, key: str) -> Any:
        """Return a small value kept in the library (a column match, a template), or None."""
        return self.register.remembered(key) if self.register is not None else None

    def remember(self, key: str, value: Any) -> None:
        """Keep a small JSON value in the library under a key."""
        if self.register is not None:
            self.register.remember(key, value)

    @property
    def claim(self) -> Claim:
        """The claim as it stands now."""
        return self.desk.claim

    @property
    def up_to_date(self) -> bool:
        """Whether reckoning, verdicts and weak points are those of the claim as it stands."""
        return self._studied is self.desk.claim

    def originals_checked(self, changed: frozenset[str]) -> None:
        """Judge the photos anew, with the originals that were found changed."""
        if changed != self.changed_originals:
            self.changed_originals = changed
            self._studied = None
            self._timer.start()

    def close(self) -> None:
        """Listen to the claim no more."""
        self.desk.stop_listening(self._tell)
        self._timer.stop()
        self.closed.emit()

    @Slot(object)
    def _on_changed(self, kinds: frozenset[str]) -> None:
        self.claim_changed.emit(kinds)
        self._timer.start()

    @Slot()
    def study_now(self) -> None:
        """Compute what follows from the claim, in a worker; the latest claim wins."""
        if self._studying is not None or self.up_to_date:
            return
        claim, studier, changed = self.desk.claim, self._studier, self.changed_originals
        self._studying, self._judged_with = claim, changed

        def work(progress: Progress) -> Study:
            del progress
            return studier(claim, changed)

        self.jobs.run("Reckoning", work, self._on_studied, self._on_study_failed)

    def _load_ahead(self) -> None:
        """Load what the PDF's part of the program needs, in a worker, before it is wanted."""

        def work(progress: Progress) -> None:
            del progress
            from ldapp.casework import dossier  # noqa: F401, PLC0415 - loading is the work

        self.jobs.run("Loading ahead", work)

    @Slot(object)
    def _on_studied(self, study: Study) -> None:
        done, self._studying = self._studying, None
        if done is not self.desk.claim or self._judged_with != self.changed_originals:
            self.study_now()
            return
        if self._studied is None:
            self._load_ahead()
        self._studied = done
        self.reckoning, self.verdicts, self.weak_points = study
        self.verdicts_found.emit(self.verdicts)
        if self.reckoning is not None:
            self.reckoned.emit(self.reckoning)
        self.weak_points_found.emit(self.weak_points)
        self.attempt(self._write_summary)

    def _write_summary(self) -> None:
        open_points = sum(point.gravity != "note" for point in self.weak_points)
        self.desk.write_summary(self.reckoning, open_points)

    @Slot(object)
    def _on_study_failed(self, error: BaseException) -> None:
        self._studied, self._studying = self._studying, None
        self._on_job_failed(error)

    def run(
        self,
        label: str,
        work: Callable[[Progress], Any],
        on_success: Callable[[Any], None] | None = None,
        on_failure: Callable[[BaseException], None] | None = None,
    ) -> Job:
        """Start work that the status line shows with progress and cancel.

        A failure is shown as a sentence by itself; ``on_failure`` hears of it too.
        """
        job = self.jobs.run(label, work, on_success, on_failure)
        job.failed.connect(self._on_job_failed)
        self.job_started.emit(job)
        return job

    @Slot(object)
    def _on_job_failed(self, error: BaseException) -> None:
        if not isinstance(error, LdappError):
            _log.error("work failed", exc_info=error)
        self.failed.emit(error)

    @Slot(str)
    def refuse(self, sentence: str) -> None:
        """Show why something that was entered cannot be taken."""
        self.failed.emit(LdappError(sentence))

    def attempt(self, change: Callable[[], _Result]) -> _Result | None:
        """Make a change; where it is refused, show why and return None."""
        try:
            return change()
        except LdappError as error:
            self.failed.emit(error)
            return None

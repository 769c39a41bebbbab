"""The window over a library: its register, and what is done with whole claims."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings, QTimer, Slot
from PySide6.QtWidgets import QFileDialog, QWidget

from ldapp.desktop.window_frame import WindowFrame
from ldapp.errors import LdappError
from ldapp.language import marked, said

if TYPE_CHECKING:
    from ldapp.casework.open_claim import OpenClaim
    from ldapp.casework.register import Register
    from ldapp.casework.saved_views import RegisterView
    from ldapp.claim.summary import ClaimSummary
    from ldapp.desktop.dropped_files import DroppedKind
    from ldapp.desktop.jobs import JobRunner, Progress
    from ldapp.desktop.register_page import RegisterPage

WHAT_TO_DO = marked(
    "This is an invented claim. Walk down the pages at the left, and click a weak point at "
    "the right to see what would be attacked and what cures it."
)
_AFTER_PAINTING_MS = 15
"""How long the register's first rows have to be painted before the library is loaded."""

Opened = tuple["Register", "tuple[ClaimSummary, ...]", "dict[str, RegisterView]"]
FirstRows = Callable[[], "tuple[ClaimSummary, ...] | None"]


class LibraryWindow(WindowFrame):
    """Opens the library, shows its register, makes claims and takes them in and out.

    What a person wants before the library is open is remembered and done as soon as it is.
    """

    register_page: RegisterPage

    def __init__(self, settings: QSettings, parent: QWidget | None = None) -> None:
        super().__init__(settings, parent)
        self.register: Register | None = None
        self._demo: str | None = None
        self._to_select = ""
        self._open_register: Callable[[], Register] | None = None
        self._when_open: list[Callable[[], None]] = []
        self._after_open: tuple[DroppedKind, list[Path]] | None = None

    def furnish_register(self, jobs: JobRunner) -> None:
        """Fill the frame with the register's page."""
        from ldapp.desktop.register_page import RegisterPage  # noqa: PLC0415 - after painting

        self.furnish_frame(jobs)
        self.register_page = RegisterPage(self.settings)
        self.register_page.open_wanted.connect(self.open_claim)
        self.register_page.new_wanted.connect(self.new_claim)
        self.register_page.remove_wanted.connect(self.remove_claims)
        self.register_page.export_wanted.connect(self.export_claim)
        self.register_page.calendar_wanted.connect(self.export_calendar)
        self.register_page.view_kept.connect(self._on_view_kept)
        self.register_page.view_removed.connect(self._on_view_removed)
        self.stack.addWidget(self.register_page)

    def show_claim(self, desk: OpenClaim) -> None:
        """Show an open claim; the window with pages does."""
        raise TypeError(f"{type(self).__name__} shows no claims ({desk.claim.reference})")

    def take_files(self, kind: DroppedKind, paths: list[Path]) -> None:
        """Hand files to what they are meant for; the window with pages does."""
        raise TypeError(f"{type(self).__name__} has no page for {kind} ({len(paths)})")

    @property
    def reading_cautions(self) -> bool:
        """Whether something must be read before anything else."""
        return False

    def export_calendar(self, rows: Sequence[ClaimSummary]) -> None:
        """Write deadlines as a calendar file; the window with pages over all claims does."""
        raise TypeError(f"{type(self).__name__} writes no calendars ({len(rows)})")

    def state_changed(self) -> None:
        """Called when other things can be done than before."""

    # --- the library --------------------------------------------------------------------

    def open_library(
        self,
        open_register: Callable[[], Register],
        demo: str | None = None,
        first_rows: FirstRows | None = None,
    ) -> None:
        """Open the library in a worker, after the window has been painted.

        ``first_rows`` gives the register's rows, or None, before the library is open: they
        are shown, searched and sorted while the rest is loaded.
        """
        self._demo = demo
        self._open_register = open_register
        if first_rows is None:
            self._load_library()
            return

        def work(progress: Progress) -> tuple[ClaimSummary, ...] | None:
            del progress
            return first_rows()

        self.jobs.run("Register", work, self._on_first_rows, self.show_failure)

    @Slot(object)
    def _on_first_rows(self, rows: tuple[ClaimSummary, ...] | None) -> None:
        if rows:
            self.register_page.show_claims(rows)
        QTimer.singleShot(_AFTER_PAINTING_MS, self._load_library)

    @Slot()
    def _load_library(self) -> None:
        open_register = self._open_register
        if open_register is None:
            return

        def work(progress: Progress) -> Opened:
            from ldapp.casework.saved_views import saved_views  # noqa: PLC0415

            del progress
            register = open_register()
            return register, register.summaries(), saved_views(register)

        job = self.jobs.run(
            said("Opening the library"), work, self._on_library, self._on_not_opened
        )
        self.progress.follow(job)

    @Slot(object)
    def _on_not_opened(self, error: BaseException) -> None:
        self.show_failure(error)
        if isinstance(error, LdappError):
            # A server that is started late, a drive that is connected late.
            self.strip.say(str(error), said("Try again"), self._load_library)

    @Slot(object)
    def _on_library(self, opened: Opened) -> None:
        from ldapp.casework.register import is_old  # noqa: PLC0415 - loaded with the library

        self.register, rows, views = opened
        self.register_page.show_views(views)
        # The pages' modules are loaded beside the work, so that opening one is quick.
        self.jobs.run("Loading the pages", load_pages)
        self.register_page.show_claims(rows)
        self.state_changed()
        waiting, self._when_open = self._when_open, []
        if self._demo is not None:
            self.open_demo(self._demo or None)
            self._demo = None
        elif any(is_old(row) for row in rows):
            self.run_job(
                said("Reckoning old claims"), self.register.refresh_summaries, self._on_refreshed
            )
        for wanted in waiting:
            wanted()

    def _wait_for_library(self, wanted: Callable[[], None]) -> None:
        """Do ``wanted`` as soon as the library is open; only the latest wish counts."""
        if self._open_register is not None:
            self._when_open = [wanted]

    @Slot(object)
    def _on_refreshed(self, number: int) -> None:
        if number:
            self.refresh_register()

    def refresh_register(self) -> None:
        """Read the register's rows anew, in a worker."""
        register = self.register
        if register is not None:

            def work(progress: Progress) -> tuple[ClaimSummary, ...]:
                del progress
                return register.summaries()

            self.jobs.run("Register", work, self._on_rows, self.show_failure)

    @Slot(object)
    def _on_rows(self, rows: tuple[ClaimSummary, ...]) -> None:
        self.register_page.show_claims(rows)
        if self._to_select:
            self.register_page.select(self._to_select)
            self._to_select = ""

    @Slot(str, object)
    def _on_view_kept(self, name: str, view: RegisterView) -> None:
        from ldapp.casework.saved_views import keep_view  # noqa: PLC0415

        self._change_views(lambda register: keep_view(register, name, view))

    @Slot(str)
    def _on_view_removed(self, name: str) -> None:
        from ldapp.casework.saved_views import remove_view  # noqa: PLC0415

        self._change_views(lambda register: remove_view(register, name))

    def _change_views(self, change: Callable[[Register], None]) -> None:
        from ldapp.casework.saved_views import saved_views  # noqa: PLC0415

        register = self.register
        if register is None:
            return

        def work(progress: Progress) -> dict[str, RegisterView]:
            del progress
            change(register)
            return saved_views(register)

        self.jobs.run("Views", work, self.register_page.show_views, self.show_failure)

    # --- claims ---------------------------------------------------------------------------

    @Slot(str)
    def open_claim(self, claim: str) -> None:
        """Open a claim of the register."""
        register = self.register
        if register is None:
            self._wait_for_library(lambda: self.open_claim(claim))
            return

        def work(progress: Progress) -> OpenClaim:
            del progress
            return register.open(claim)

        self.run_job(said("Opening the claim"), work, self.show_claim)

    def open_claim_file(self, path: Path) -> None:
        """Take a claim file or a bundle in and open it, as soon as the library is open."""
        if self.register is None:
            self._wait_for_library(lambda: self.open_claim_file(path))
            return
        self.take_files("claim_file", [path])

    @Slot(str)
    def new_claim(self, kind: str) -> None:
        """Make a claim: empty, from a spreadsheet, from a claim file, or a demo."""
        if self.register is None:
            self._wait_for_library(lambda: self.new_claim(kind))
            return
        if kind == "demo":
            self.open_demo()
        elif kind == "claim_file":
            path, _ = QFileDialog.getOpenFileName(
                self,
                said("Open a claim file or a bundle"),
                "",
                said("Claim files and bundles (*.json *.zip);;All files (*)"),
            )
            if path:
                self.take_files("claim_file", [Path(path)])
        elif kind == "spreadsheet":
            path, _ = QFileDialog.getOpenFileName(
                self,
                said("Kit list in a spreadsheet"),
                "",
                said(
                    "Spreadsheets and tables (*.xlsx *.xls *.ods *.csv *.tsv *.pdf);;All files (*)"
                ),
            )
            if path:
                self._make_claim(("kit_list", [Path(path)]))
        else:
            self._make_claim(None)

    def _make_claim(self, after: tuple[DroppedKind, list[Path]] | None) -> None:
        """Ask for a new claim's facts; a list that it is made for is read before."""
        if after is None or after[0] != "kit_list":
            self._ask_new_claim(after)
            return

        def work(progress: Progress) -> tuple[DroppedKind, list[Path]]:
            from ldapp.casework.kit_import import require_lines  # noqa: PLC0415

            progress(0, 0)
            for path in after[1]:
                require_lines(path)
            return after

        self.run_job(said("Looking at the list"), work, self._ask_new_claim)

    @Slot(object)
    def _ask_new_claim(self, after: tuple[DroppedKind, list[Path]] | None) -> None:
        from ldapp.desktop.new_claim import NewClaimDialog, this_year  # noqa: PLC0415

        register = self.register
        if register is None:
            return
        entered = NewClaimDialog.ask(
            register.next_reference(this_year(), self.register_page.rows()), self
        )
        if entered is None:
            return
        self._after_open = after

        def work(progress: Progress) -> OpenClaim:
            from ldapp.casework.papers import add_agreement  # noqa: PLC0415

            del progress
            desk = register.create(entered.reference, entered.title, entered.currency, entered.zone)
            if entered.rental_company:
                add_agreement(desk, entered.rental_company)
            return desk

        self.run_job(said("Making the claim"), work, self.show_claim)

    @Slot()
    def open_demo(self, name: str | None = None) -> None:
        """Take a demo claim in, where that has not been done, and open it."""
        register = self.register
        if register is None:
            return

        def work(progress: Progress) -> OpenClaim:
            from ldapp.casework.demo import demo_claim  # noqa: PLC0415

            return register.open(register.take_in_demo(demo_claim(name), progress))

        self.run_job(said("Opening the demo"), work, self._on_demo)

    @Slot(object)
    def _on_demo(self, desk: OpenClaim) -> None:
        self.show_claim(desk)
        if not self.reading_cautions:
            self.strip.say(said(WHAT_TO_DO))

    @Slot(object)
    def remove_claims(self, rows: Sequence[ClaimSummary]) -> None:
        """Remove claims for good, after a question."""
        register = self.register
        if register is None or not rows:
            return
        named = ", ".join(row.reference for row in rows[:5]) + (" …" if len(rows) > 5 else "")
        from ldapp.desktop.question import ask_to_remove  # noqa: PLC0415 - after the first paint

        if not ask_to_remove(self, named):
            return
        ids = [row.claim for row in rows]

        def work(progress: Progress) -> None:
            for number, claim in enumerate(ids):
                progress(number, len(ids))
                register.remove(claim)

        self.run_job(said("Removing"), work, self._on_refreshed_after_removal)

    @Slot(object)
    def _on_refreshed_after_removal(self, result: object) -> None:
        del result
        self.refresh_register()

    @Slot(object)
    def export_claim(self, row: ClaimSummary) -> None:
        """Write a claim as a claim file with its photos and papers beside it."""
        register = self.register
        if register is None:
            return
        folder = QFileDialog.getExistingDirectory(
            self, said("Folder for the claim file"), str(register.exports)
        )
        if not folder:
            return
        target = Path(folder) / row.reference.replace("/", "-")

        def work(progress: Progress) -> Path:
            return register.write_claim_file(row.claim, target, progress)

        self.run_job(said("Writing the claim file"), work, self._on_exported)

    @Slot(object)
    def _on_exported(self, path: Path) -> None:
        self.strip.say(said("Written: {path}", path=path))


def load_pages(progress: Progress) -> None:
    """Load the modules of all pages; runs in a worker."""
    from ldapp.casework.places import PAGES  # noqa: PLC0415 - the frame needs no page

    for name in ("claim_view", *(f"pages.{page}" for page in PAGES), "jump", "guide"):
        progress(0, 0)
        import_module(f"ldapp.desktop.{name}")

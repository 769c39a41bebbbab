"""Every dialog of the window, for tests that look at all of them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QWidget

from ldapp.casework.office import Environment, LibraryPlace
from ldapp.casework.register import Register
from ldapp.desktop.about import AboutDialog
from ldapp.desktop.certificate_dialog import CertificateDialog
from ldapp.desktop.check_dialog import CheckDialog
from ldapp.desktop.claim_view import ClaimView
from ldapp.desktop.dropped_files import DroppedFilesDialog
from ldapp.desktop.guide import Guide
from ldapp.desktop.jobs import JobRunner
from ldapp.desktop.jump import JumpDialog
from ldapp.desktop.new_claim import NewClaimDialog
from ldapp.desktop.office_records import OfficeRecordsDialog
from ldapp.desktop.pages.bundle_dialog import BundleDialog
from ldapp.desktop.pages.count_parts.damage_dialog import DamageDialog, SerialsDialog
from ldapp.desktop.pages.count_parts.new_count_dialog import NewCountDialog
from ldapp.desktop.pages.seal_dialog import SealDialog
from ldapp.desktop.record_dialog import RecordDialog
from ldapp.desktop.settings_dialog import SettingsDialog
from ldapp.desktop.wanted_papers_dialog import WantedPapersDialog


def every_dialog(
    view: ClaimView, register: Register, jobs: JobRunner, folder: Path
) -> list[Callable[[], QWidget]]:
    """Return what makes each dialog, on a claim that has a kit and a count with an entry."""
    desk = view.context.desk
    line = desk.claim.kit[0]
    entry = next(one.entries[0] for one in desk.claim.counts if one.entries)
    return [
        lambda: NewClaimDialog("2026-001"),
        lambda: AboutDialog("1"),
        lambda: SealDialog("statement.pdf"),
        lambda: BundleDialog("Statement of loss", may_be_shared=True),
        lambda: JumpDialog([], print),
        lambda: DroppedFilesDialog([], ("photos", "documents")),
        lambda: DamageDialog(line, entry),
        lambda: SerialsDialog(line, entry),
        lambda: NewCountDialog(desk.claim, "Ada"),
        Guide,
        lambda: SettingsDialog(
            LibraryPlace(folder=folder, server="s"), Environment(True, True, True), jobs
        ),
        lambda: OfficeRecordsDialog(register, desk),
        lambda: WantedPapersDialog(desk),
        lambda: RecordDialog(desk),
        lambda: CertificateDialog(None, "FS-26", "USD"),
        lambda: CheckDialog("Check", "1 wrong", ("x",), ("y",)),
    ]

"""What can be done with a dossier besides writing it: sign it, pack it into a bundle."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QFileDialog

from ldapp.casework import dossier as work
from ldapp.casework.bundles import BundleProfile, write_claim_bundle
from ldapp.casework.sealing import Sealed, sealed_says, sign_files
from ldapp.desktop.jobs import Progress
from ldapp.desktop.pages.bundle_dialog import BundleDialog
from ldapp.desktop.pages.seal_dialog import SealDialog, SealingChoice
from ldapp.language import said, speaking

if TYPE_CHECKING:
    from ldapp.desktop.pages.dossier import DossierPage


class DossierHanding(QObject):
    """Asks, and does it in a worker; the page shows what came of it."""

    signed = Signal(str)
    """What the signature says."""
    bundle_written = Signal(object)
    """The bundle's path."""

    def __init__(self, page: DossierPage) -> None:
        super().__init__(page)
        self._page = page
        self._signed: tuple[Path, ...] = ()

    # --- signing -------------------------------------------------------------------------

    @Slot()
    def ask_and_sign(self) -> None:
        """Ask for the key and sign what was written last."""
        paths = [one for one in self._page.written if one.suffix == ".pdf"]
        if not paths:
            self._page.context.message.emit(said("Write a dossier first, then sign it."))
            return
        choice = SealDialog.ask(", ".join(one.name for one in paths), self._page)
        if choice is not None:
            self.sign(choice)

    def sign(self, choice: SealingChoice) -> None:
        """Sign what was written last, in a worker."""
        paths = tuple(one for one in self._page.written if one.suffix == ".pdf")

        def write(progress: Progress) -> tuple[Sealed, ...]:
            progress(0, 1, said("Signing"))
            return sign_files(paths, *choice)

        self._signed = paths
        self._page.context.run(said("Signing"), write, self._on_signed)

    @Slot(object)
    def _on_signed(self, signed: tuple[Sealed, ...]) -> None:
        names = ", ".join(path.name for path in self._signed)
        self.signed.emit(f"{names}: {sealed_says(signed[0])}")

    # --- bundle --------------------------------------------------------------------------

    @Slot()
    def ask_and_write_bundle(self) -> None:
        """Ask what the bundle is for and where it goes, and write it."""
        page = self._page
        profile = BundleDialog.ask(
            said(work.VERSION_NAMES[page.version]),
            may_be_shared=page.version in ("insurer", "dispute"),
            parent=page,
        )
        if profile is None:
            return
        ending = "bundle" if profile == "complete" else f"bundle-{page.version}"
        proposed = page.proposed_folder() / f"{page.context.claim.reference}-{ending}.zip"
        name, _ = QFileDialog.getSaveFileName(
            page, said("Write a bundle"), str(proposed), said("Bundle (*.zip)")
        )
        if name:
            self.write_bundle_to(Path(name), profile)

    def write_bundle_to(self, target: Path, profile: BundleProfile = "complete") -> None:
        """Write claim and dossier as one verifiable bundle, in a worker."""
        context, choice = self._page.context, self._page.choice()
        claim, register, originals = context.claim, context.register, context.desk.originals
        # One's own archive holds the insurer's dossier: it is the one that tells everything.
        version: work.Version = choice.version if profile == "shared" else "insurer"

        def write(progress: Progress) -> Path:
            whole = register.with_journal(claim) if register is not None else claim
            with speaking(choice.language):
                return write_claim_bundle(
                    whole,
                    originals,
                    target,
                    progress,
                    profile=profile,
                    version=version,
                    agreement=choice.agreement if profile == "shared" else None,
                    date=choice.date,
                )

        context.run(said("Writing {file}", file=target.name), write, self._on_bundle_written)

    @Slot(object)
    def _on_bundle_written(self, path: Path) -> None:
        self.bundle_written.emit(path)

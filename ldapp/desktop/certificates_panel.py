"""The certificates of insurance that students handed in, and what is left of each."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QPushButton, QWidget

from ldapp.casework.policy_use import CertificateAccount
from ldapp.desktop.certificate_dialog import CertificateDialog
from ldapp.desktop.overview_page import fill_sheet, table_of
from ldapp.desktop.policies_columns import CERTIFICATE_COLUMNS
from ldapp.desktop.question import ask
from ldapp.desktop.widgets.table_model import RowsModel
from ldapp.errors import LdappError
from ldapp.language import said

if TYPE_CHECKING:
    from ldapp.casework.register import Register
    from ldapp.claim.shared import Certificate
    from ldapp.desktop.jobs import Progress


class CertificatesPanel(QWidget):
    """Enters, changes and removes certificates; the page does the work that it asks for."""

    job_wanted = Signal(str, object, object)
    """Label, work with register and progress, and the method that takes the result."""
    change_wanted = Signal(str, object, object)
    refused = Signal(object)
    """An LdappError."""
    changed = Signal()

    def __init__(
        self, policy: Callable[[], tuple[str, str]], parent: QWidget | None = None
    ) -> None:
        """``policy()`` is the number and the currency that a new certificate begins with."""
        super().__init__(parent)
        self._policy = policy
        self._versions: Mapping[str, int] = {}
        self.model = RowsModel(CERTIFICATE_COLUMNS, lambda one: one.certificate.id, parent=self)
        self.table = table_of(said("Certificates"), self.model)
        self.table.opened.connect(self._edit_certificate)
        self.table.remove_wanted.connect(self._remove_certificates)
        new = QPushButton(said("New certificate…"))
        new.clicked.connect(self._new_certificate)
        self.remove_button = QPushButton(said("Remove"))
        self.remove_button.clicked.connect(self._remove_chosen)
        fill_sheet(self, self.table, buttons=(self.remove_button, new))

    def show_certificates(
        self, rows: Sequence[CertificateAccount], versions: Mapping[str, int]
    ) -> None:
        """Show these certificates; ``versions`` are those of their records."""
        self._versions = versions
        self.model.set_rows(rows)

    @Slot()
    def _new_certificate(self) -> None:
        self._ask_certificate(None)

    @Slot(object)
    def _edit_certificate(self, row: CertificateAccount | None) -> None:
        if row is not None:
            self._ask_certificate(row.certificate)

    def _ask_certificate(self, before: Certificate | None) -> None:
        number, currency = self._policy()
        entered = CertificateDialog.ask(before, number, currency, self)
        if entered is None:
            return
        version = 0 if before is None else self._versions.get(before.id, 0)

        def work(register: Register, progress: Progress) -> None:
            from ldapp.casework.shared_policies import keep_certificate  # noqa: PLC0415

            progress(0, 0)
            keep_certificate(register, entered, version)

        self.job_wanted.emit(said("Keeping the certificate"), work, self._on_changed)

    @Slot(object)
    def _on_changed(self, result: Any) -> None:
        del result
        self.changed.emit()

    @Slot()
    def _remove_chosen(self) -> None:
        self._remove_certificates(self.table.selected_rows())

    @Slot(object)
    def _remove_certificates(self, rows: list[CertificateAccount]) -> None:
        if not rows:
            self.refused.emit(LdappError(said("Choose the certificate to remove first.")))
            return
        ids = [one.certificate.id for one in rows]
        names = ", ".join(one.certificate.student for one in rows[:5])
        if not ask(
            self,
            said("Remove certificates"),
            said("Remove the certificates of {names}?", names=names),
            said("Claims are not changed by it."),
            said("Remove"),
        ):
            return

        def work(register: Register, progress: Progress) -> None:
            from ldapp.casework.shared_policies import remove_certificate  # noqa: PLC0415

            for number, one in enumerate(ids):
                progress(number, len(ids))
                remove_certificate(register, one)

        self.change_wanted.emit(said("Removing"), work, self._on_changed)

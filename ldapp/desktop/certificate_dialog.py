"""A student's certificate of insurance: one small form."""

from __future__ import annotations

import dataclasses
import datetime as dt
from decimal import Decimal

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from ldapp.casework.open_claim import new_id
from ldapp.casework.papers import check_currency
from ldapp.claim.shared import Certificate
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.fields import ParsedField, date_field, money_field, text_field
from ldapp.desktop.widgets.pieces import Label, LabelledRows
from ldapp.errors import LdappError
from ldapp.language import said


class CertificateDialog(QDialog):
    """Student, policy, days and amount."""

    def __init__(
        self, before: Certificate | None, number: str, currency: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("Certificate of insurance"))
        self.setMinimumWidth(GRID * 56)
        self._before = before
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID)
        self.fields: dict[str, ParsedField] = {
            "student": text_field(),
            "reference": text_field(),
            "policy_number": text_field(),
            "currency": text_field(characters=5),
            "begins": date_field(),
            "ends": date_field(),
            "limit": money_field(self._currency),
            "note": text_field(),
        }
        rows = LabelledRows()
        for name, label, says in (
            ("student", said("&Student"), said("The name as the claims state it.")),
            (
                "reference",
                said("Student's &number"),
                said("Finds the student where a name is written otherwise."),
            ),
            ("policy_number", said("&Policy number"), ""),
            ("begins", said("Valid &from"), ""),
            ("ends", said("&Until"), said("The last day.")),
            ("currency", said("Currenc&y"), ""),
            (
                "limit",
                said("Up &to"),
                said("What the certificate confirms; used up by what the policy pays."),
            ),
            ("note", said("N&ote"), ""),
        ):
            rows.add(label, self.fields[name], says)
        column.addWidget(rows)
        self.wrong = Label("", wrap=True)
        self.wrong.set_tone("red")
        self.wrong.hide()
        column.addWidget(self.wrong)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Save | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self._on_save)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        self.fields["policy_number"].set_value(number or None)
        self.fields["currency"].set_value(currency)
        if before is not None:
            for name, field in self.fields.items():
                field.set_value(getattr(before, name) or None)
        self.entered: Certificate | None = None

    def _currency(self) -> str:
        return str(self.fields["currency"].value() or "USD")

    @Slot()
    def _on_save(self) -> None:
        try:
            self.entered = self._read()
        except LdappError as error:
            self.wrong.setText(str(error))
            self.wrong.show()
            return
        self.accept()

    def _read(self) -> Certificate:
        for field in self.fields.values():
            if field.refusal:
                raise LdappError(field.refusal)
        values = {name: field.value() for name, field in self.fields.items()}
        check_currency(self._currency())
        begins, ends, limit = values["begins"], values["ends"], values["limit"]
        if not isinstance(begins, dt.date) or not isinstance(ends, dt.date):
            raise LdappError(said("Enter from when until when the certificate is valid."))
        if not isinstance(limit, Decimal):
            raise LdappError(said("Enter up to what amount the certificate confirms cover."))
        if not values["student"] or not values["policy_number"]:
            raise LdappError(said("Enter the student and the number of the policy."))
        made = Certificate(
            id=new_id(),
            student=str(values["student"]),
            reference=str(values["reference"] or ""),
            policy_number=str(values["policy_number"]),
            begins=begins,
            ends=ends,
            limit=limit,
            currency=self._currency(),
            note=str(values["note"] or ""),
        )
        return made if self._before is None else dataclasses.replace(made, id=self._before.id)

    @classmethod
    def ask(
        cls, before: Certificate | None, number: str, currency: str, parent: QWidget | None = None
    ) -> Certificate | None:
        """Ask; return None where it was cancelled."""
        dialog = cls(before, number, currency, parent)
        try:
            return dialog.entered if dialog.exec() else None
        finally:
            dialog.deleteLater()

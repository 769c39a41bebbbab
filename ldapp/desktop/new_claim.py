"""The one small thing that a new claim needs: what it is called, its currency and its zone."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple
from zoneinfo import available_timezones

import babel.numbers
from PySide6.QtCore import QLocale, Qt, QTimeZone, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QCompleter,
    QDialog,
    QDialogButtonBox,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from ldapp.casework.papers import check_currency, check_zone
from ldapp.desktop.theme import GRID
from ldapp.desktop.widgets.pieces import Label, LabelledRows
from ldapp.errors import LdappError
from ldapp.language import said


class NewClaim(NamedTuple):
    """What was entered."""

    reference: str
    title: str
    rental_company: str
    currency: str
    zone: str


def zone_of_this_computer() -> str:
    """Return the computer's IANA time zone, or UTC where it has none that is known."""
    name = bytes(QTimeZone.systemTimeZoneId().data()).decode()
    return name if name in available_timezones() else "UTC"


def currency_of_this_computer() -> str:
    """Return the currency of the computer's region, or USD."""
    symbol = QLocale.system().currencySymbol(QLocale.CurrencySymbolFormat.CurrencyIsoCode)
    return symbol if symbol in babel.numbers.list_currencies() else "USD"


def choice_with_search(values: list[str], chosen: str, name: str) -> QComboBox:
    """Return an editable list in which typing finds a value anywhere in the words."""
    box = QComboBox()
    box.setEditable(True)
    box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
    box.addItems(values)
    box.setCurrentText(chosen)
    box.setAccessibleName(name)
    completer = QCompleter(values, box)
    completer.setFilterMode(Qt.MatchFlag.MatchContains)
    completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    box.setCompleter(completer)
    return box


class NewClaimDialog(QDialog):
    """Asks for the few facts without which a claim cannot be."""

    def __init__(self, reference: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(said("New claim"))
        self.setMinimumWidth(GRID * 62)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 3, GRID * 3, GRID * 3, GRID * 2)
        column.setSpacing(GRID * 2)
        rows = LabelledRows()
        self.reference = QLineEdit(reference)
        self.title = QLineEdit()
        self.rental_company = QLineEdit()
        self.currency = choice_with_search(
            sorted(babel.numbers.list_currencies()), currency_of_this_computer(), said("Currency")
        )
        self.zone = choice_with_search(
            sorted(available_timezones()), zone_of_this_computer(), said("Time zone")
        )
        rows.add(said("Re&ference"), self.reference, said("Stands on every page that is sent."))
        rows.add(said("&Production"), self.title, said("The production or project."))
        rows.add(
            said("Rental co&mpany"), self.rental_company, said("Others can be added under Papers.")
        )
        rows.add(said("Curre&ncy"), self.currency, said("One claim is in one currency (ISO 4217)."))
        rows.add(said("Time &zone"), self.zone, said("Where the equipment was rented (IANA name)."))
        column.addWidget(rows)
        self._refusal = Label("", wrap=True)
        self._refusal.set_tone("red")
        self._refusal.hide()
        column.addWidget(self._refusal)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.button(QDialogButtonBox.StandardButton.Ok).setText(said("Make the claim"))
        buttons.accepted.connect(self._on_accept)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        self.title.setFocus()

    def entered(self) -> NewClaim:
        """Return what was entered."""
        return NewClaim(
            self.reference.text().strip(),
            self.title.text().strip(),
            self.rental_company.text().strip(),
            self.currency.currentText().strip().upper(),
            self.zone.currentText().strip(),
        )

    @Slot()
    def _on_accept(self) -> None:
        entered = self.entered()
        try:
            if not entered.reference:
                raise LdappError(said("A claim needs a reference: it stands on every page."))
            check_currency(entered.currency)
            check_zone(entered.zone)
        except LdappError as error:
            self._refusal.setText(said("Not yet: {error}", error=error))
            self._refusal.show()
            return
        self.accept()

    @classmethod
    def ask(cls, reference: str, parent: QWidget | None = None) -> NewClaim | None:
        """Ask; return None where it was cancelled."""
        dialog = cls(reference, parent)
        try:
            return dialog.entered() if dialog.exec() else None
        finally:
            dialog.deleteLater()


def this_year() -> int:
    """Return the year of the computer's calendar."""
    return dt.datetime.now().astimezone().year

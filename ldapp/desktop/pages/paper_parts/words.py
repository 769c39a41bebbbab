"""The words for the choices of terms, shared by agreement and policy; they are said when shown."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ldapp.claim.causes import CAUSE_LABELS, CAUSES
from ldapp.claim.deadline_rules import DeadlineStart, DeadlineUnit
from ldapp.claim.documents import DocumentKind
from ldapp.claim.kit import EquipmentKind
from ldapp.claim.parties import PartyRole
from ldapp.claim.terms import FeeKind, ValueBasis
from ldapp.language import SOURCE_LANGUAGE, language, marked, marked_in, said

BASES: tuple[tuple[ValueBasis, str], ...] = (
    ("replacement_cost", marked("replacement cost")),
    ("actual_cash_value", marked("actual cash value")),
    ("scheduled_value", marked("the scheduled value")),
    ("market_value", marked("market value")),
    ("share_of_replacement", marked("a share of replacement cost")),
    ("in_kind", marked("replacement in kind")),
)
CAUSE_CHOICES = tuple((cause, CAUSE_LABELS[cause]) for cause in CAUSES)
NO_CAUSE: tuple[tuple[str | None, str], ...] = ((None, marked("any cause")), *CAUSE_CHOICES)

FEE_KINDS: tuple[tuple[FeeKind, str], ...] = (
    ("administration", marked("administration")),
    ("cleaning", marked("cleaning")),
    ("freight", marked("freight")),
    ("restocking", marked("restocking")),
    ("repacking", marked("repacking")),
    ("minimum", marked("the minimum charge")),
    ("late", marked("late return")),
    ("other", marked("other work")),
)
DEADLINE_STARTS: tuple[tuple[DeadlineStart, str], ...] = (
    ("pickup", marked_in("what starts a period", "the pickup")),
    ("return_due", marked_in("what starts a period", "the day the return is due")),
    ("return", marked_in("what starts a period", "the return")),
    ("check_in", marked_in("what starts a period", "the company's check-in")),
    ("discovery", marked_in("what starts a period", "the discovery of the loss")),
    ("loss", marked_in("what starts a period", "the loss")),
    ("notice_to_insurer", marked_in("what starts a period", "the notice to the insurer")),
    ("insurer_request", marked_in("what starts a period", "the insurer's request")),
    ("proof_of_loss", marked_in("what starts a period", "the proof of loss")),
    ("insurer_decision", marked_in("what starts a period", "the insurer's decision")),
    ("invoice_date", marked_in("what starts a period", "the date of the invoice")),
    ("invoice_received", marked_in("what starts a period", "the receipt of the invoice")),
    ("payment", marked_in("what starts a period", "the payment")),
    ("first_payment", marked_in("what starts a period", "the first payment")),
    ("other", marked_in("what starts a period", "another event")),
)
DEADLINE_UNITS: tuple[tuple[DeadlineUnit, str], ...] = (
    ("calendar_days", marked("calendar days")),
    ("business_days", marked("business days")),
    ("hours", marked("hours")),
)
ROLES: tuple[tuple[PartyRole, str], ...] = (
    ("production", marked("Production")),
    ("rental_company", marked("Rental company")),
    ("owner", marked("Owner")),
    ("insurer", marked("Insurer")),
    ("broker", marked("Broker")),
    ("school", marked("School")),
    ("department", marked("Department")),
    ("student", marked("Student")),
    ("crew", marked("Crew")),
    ("third_party", marked("Third party")),
)
DOCUMENT_KINDS: tuple[tuple[DocumentKind, str], ...] = (
    ("agreement", marked("Agreement")),
    ("policy", marked("Policy")),
    ("certificate_of_insurance", marked("Certificate of insurance")),
    ("purchase_order", marked("Purchase order")),
    ("quote", marked("Quote")),
    ("delivery_ticket", marked("Delivery ticket")),
    ("pickup_sheet", marked("Pickup sheet")),
    ("movement_ticket", marked("Movement ticket")),
    ("return_sheet", marked("Return sheet")),
    ("check_in_sheet", marked("Check-in sheet")),
    ("missing_and_damaged_list", marked("Missing and damaged list")),
    ("invoice", marked("Invoice")),
    ("repair_estimate", marked("Repair estimate")),
    ("repair_invoice", marked("Repair invoice")),
    ("replacement_quote", marked("Replacement quote")),
    ("receipt", marked("Receipt")),
    ("incident_report", marked("Incident report")),
    ("police_report", marked("Police report")),
    ("message", marked("Message")),
    ("proof_of_loss", marked("Proof of loss")),
    ("proof_of_payment", marked("Proof of payment")),
    ("other", marked("Other")),
)
EQUIPMENT_KINDS: tuple[tuple[EquipmentKind, str], ...] = (
    ("lighting", marked("Lighting")),
    ("discharge_lighting", marked("Discharge lighting")),
    ("grip", marked("Grip")),
    ("rigging", marked("Rigging")),
    ("electrical_distribution", marked("Electrical distribution")),
    ("battery", marked("Battery")),
    ("camera", marked("Camera")),
    ("lens", marked("Lens")),
    ("sound", marked("Sound")),
    ("vehicle", marked("Vehicle")),
    ("consumable", marked("Consumable")),
    ("other", marked("Other")),
)


def said_choices(choices: Iterable[tuple[Any, str]]) -> list[tuple[Any, str]]:
    """Return choices with their words in the language spoken now."""
    return [(value, said(words)) for value, words in choices]


def said_words(choices: Iterable[tuple[Any, str]], value: Any) -> str:
    """Return the words of one of the choices, in the language spoken now."""
    return next(said(words) for one, words in choices if one == value)


def chosen_by_words(choices: Iterable[tuple[Any, str]], text: str) -> Any | None:
    """Return the value that a text stands for: its words, in this language or in English.

    The value itself is taken as well; None where the text is none of them.
    """
    folded = text.casefold()
    for value, words in choices:
        if text == value or folded in (said(words).casefold(), words.casefold()):
            return value
    return None


def within_a_sentence(title: str) -> str:
    """Return a title as it stands within a sentence: in English without its capital letter."""
    return title.lower() if language() == SOURCE_LANGUAGE else title

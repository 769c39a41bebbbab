"""The words for the choices of terms, shared by agreement and policy."""

from __future__ import annotations

from ldapp.claim.causes import CAUSE_LABELS, CAUSES
from ldapp.claim.deadline_rules import DeadlineStart, DeadlineUnit
from ldapp.claim.documents import Channel, DocumentKind
from ldapp.claim.kit import EquipmentKind
from ldapp.claim.parties import PartyRole
from ldapp.claim.terms import FeeKind, TaxComponent, ValueBasis

BASES: tuple[tuple[ValueBasis, str], ...] = (
    ("replacement_cost", "replacement cost"),
    ("actual_cash_value", "actual cash value"),
    ("scheduled_value", "the scheduled value"),
    ("market_value", "market value"),
    ("share_of_replacement", "a share of replacement cost"),
    ("in_kind", "replacement in kind"),
)
CAUSE_CHOICES = tuple((cause, CAUSE_LABELS[cause]) for cause in CAUSES)
NO_CAUSE: tuple[tuple[str | None, str], ...] = ((None, "any cause"), *CAUSE_CHOICES)

FEE_KINDS: tuple[tuple[FeeKind, str], ...] = (
    ("administration", "administration"),
    ("cleaning", "cleaning"),
    ("freight", "freight"),
    ("restocking", "restocking"),
    ("repacking", "repacking"),
    ("minimum", "the minimum charge"),
    ("late", "late return"),
    ("other", "other work"),
)
TAX_COMPONENTS: tuple[tuple[TaxComponent, str], ...] = (
    ("replacement", "replacement"),
    ("parts", "repair parts"),
    ("labour", "repair labour"),
    ("loss_of_use", "loss of use"),
    ("fees", "fees"),
)
DEADLINE_STARTS: tuple[tuple[DeadlineStart, str], ...] = (
    ("pickup", "the pickup"),
    ("return_due", "the day the return is due"),
    ("return", "the return"),
    ("check_in", "the company's check-in"),
    ("discovery", "the discovery of the loss"),
    ("loss", "the loss"),
    ("notice_to_insurer", "the notice to the insurer"),
    ("insurer_request", "the insurer's request"),
    ("proof_of_loss", "the proof of loss"),
    ("insurer_decision", "the insurer's decision"),
    ("invoice_date", "the date of the invoice"),
    ("invoice_received", "the receipt of the invoice"),
    ("payment", "the payment"),
    ("first_payment", "the first payment"),
    ("other", "another event"),
)
DEADLINE_UNITS: tuple[tuple[DeadlineUnit, str], ...] = (
    ("calendar_days", "calendar days"),
    ("business_days", "business days"),
    ("hours", "hours"),
)
ROLES: tuple[tuple[PartyRole, str], ...] = (
    ("production", "Production"),
    ("rental_company", "Rental company"),
    ("owner", "Owner"),
    ("insurer", "Insurer"),
    ("broker", "Broker"),
    ("school", "School"),
    ("department", "Department"),
    ("student", "Student"),
    ("crew", "Crew"),
    ("third_party", "Third party"),
)
DOCUMENT_KINDS: tuple[tuple[DocumentKind, str], ...] = (
    ("agreement", "Agreement"),
    ("policy", "Policy"),
    ("certificate_of_insurance", "Certificate of insurance"),
    ("purchase_order", "Purchase order"),
    ("quote", "Quote"),
    ("delivery_ticket", "Delivery ticket"),
    ("pickup_sheet", "Pickup sheet"),
    ("movement_ticket", "Movement ticket"),
    ("return_sheet", "Return sheet"),
    ("check_in_sheet", "Check-in sheet"),
    ("missing_and_damaged_list", "Missing and damaged list"),
    ("invoice", "Invoice"),
    ("repair_estimate", "Repair estimate"),
    ("repair_invoice", "Repair invoice"),
    ("replacement_quote", "Replacement quote"),
    ("receipt", "Receipt"),
    ("incident_report", "Incident report"),
    ("police_report", "Police report"),
    ("message", "Message"),
    ("proof_of_loss", "Proof of loss"),
    ("proof_of_payment", "Proof of payment"),
    ("other", "Other"),
)
CHANNELS: tuple[tuple[Channel, str], ...] = (
    ("email", "E-mail"),
    ("post", "Post"),
    ("hand", "By hand"),
    ("telephone", "Telephone"),
    ("meeting", "Meeting"),
    ("portal", "Web form"),
)
EQUIPMENT_KINDS: tuple[tuple[EquipmentKind, str], ...] = (
    ("lighting", "Lighting"),
    ("discharge_lighting", "Discharge lighting"),
    ("grip", "Grip"),
    ("rigging", "Rigging"),
    ("electrical_distribution", "Electrical distribution"),
    ("battery", "Battery"),
    ("camera", "Camera"),
    ("lens", "Lens"),
    ("sound", "Sound"),
    ("vehicle", "Vehicle"),
    ("consumable", "Consumable"),
    ("other", "Other"),
)

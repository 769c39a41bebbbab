"""Plain words for the kinds of things that the dossier names."""

from __future__ import annotations

from ldapp.claim.charges import ChargeKind
from ldapp.claim.counts import Acknowledgement, Condition, MovementKind, Stage
from ldapp.claim.documents import DocumentKind
from ldapp.claim.findings import FindingKind
from ldapp.claim.parties import PartyRole
from ldapp.claim.photo_facts import OffsetSource
from ldapp.reckoning.result import ChargeAnswer

STAGE_LABELS: dict[Stage, str] = {
    "pickup": "pickup",
    "during": "during the rental",
    "return": "return",
    "check_in": "rental company's check-in",
}

SHORT_STAGE_LABELS: dict[Stage, str] = {
    "pickup": "pickup",
    "during": "during",
    "return": "return",
    "check_in": "check-in",
}

FINDING_LABELS: dict[FindingKind, str] = {
    "missing": "missing",
    "damaged": "damaged",
    "short_at_pickup": "short at pickup",
    "exchanged": "exchanged",
    "over": "over",
}

ACKNOWLEDGEMENT_LABELS: dict[Acknowledgement, str] = {
    "signed_by_both": "signed by both sides",
    "on_company_ticket": "on the company's own ticket",
    "one_side_with_photos": "by one side, with photos",
    "emailed_same_day": "e-mailed the same day",
    "one_side": "by one side",
    "refused_to_sign": "signature refused",
    "none": "not acknowledged",
}

CONDITION_LABELS: dict[Condition, str] = {
    "as_sent_out": "as sent out",
    "worn": "worn",
    "damaged_before": "damaged before",
    "damaged": "damaged",
    "not_working": "not working",
    "not_looked_at": "–",
}

MOVEMENT_LABELS: dict[MovementKind, str] = {
    "added": "added",
    "exchanged": "exchanged",
    "returned_early": "returned early",
    "used_up": "used up",
    "transferred": "transferred",
}

ROLE_LABELS: dict[PartyRole, str] = {
    "production": "Production",
    "rental_company": "Rental company",
    "owner": "Owner of sub-rented equipment",
    "insurer": "Insurer",
    "broker": "Broker",
    "school": "School",
    "department": "Department",
    "student": "Student",
    "crew": "Crew",
    "third_party": "Third party",
}

ANSWER_LABELS: dict[ChargeAnswer, str] = {
    "not_disputed": "not disputed",
    "disputed": "disputed",
    "open_until_documented": "open until documented",
}

CHARGE_KIND_LABELS: dict[ChargeKind, str] = {
    "missing": "missing item",
    "replacement": "replacement",
    "repair": "repair",
    "repair_labour": "repair, labour",
    "repair_parts": "repair, parts",
    "lamp": "lamp",
    "cleaning": "cleaning",
    "repack": "repacking",
    "loss_of_use": "loss of use",
    "freight": "freight",
    "sub_rental": "sub-rental",
    "administration": "administration",
    "fee": "fee",
    "interest": "interest",
    "tax": "tax",
    "credit": "credit",
    "difference_in_addition": "difference in addition",
    "other": "other",
}

DOCUMENT_LABELS: dict[DocumentKind, str] = {
    "agreement": "rental agreement",
    "policy": "policy",
    "certificate_of_insurance": "certificate of insurance",
    "purchase_order": "purchase order",
    "quote": "quote",
    "delivery_ticket": "delivery ticket",
    "pickup_sheet": "pickup sheet",
    "movement_ticket": "movement ticket",
    "return_sheet": "return sheet",
    "check_in_sheet": "check-in sheet",
    "missing_and_damaged_list": "missing and damaged list",
    "invoice": "invoice",
    "repair_estimate": "repair estimate",
    "repair_invoice": "repair invoice",
    "replacement_quote": "replacement quote",
    "receipt": "receipt",
    "incident_report": "incident report",
    "police_report": "police report",
    "message": "message",
    "proof_of_loss": "proof of loss",
    "proof_of_payment": "proof of payment",
    "other": "document",
}

OFFSET_SOURCE_LABELS: dict[OffsetSource, str] = {
    "tag": "offset from the file",
    "place": "offset from the place",
    "satellite": "offset from satellite time",
    "given": "offset as given",
    "none": "",
}

"""Plain words for the kinds of things that the dossier names; they are said where they stand."""

from __future__ import annotations

from ldapp.claim.charges import ChargeKind
from ldapp.claim.counts import Acknowledgement, Condition, MovementKind, Stage
from ldapp.claim.documents import DocumentKind
from ldapp.claim.findings import FindingKind
from ldapp.claim.parties import PartyRole
from ldapp.claim.photo_facts import OffsetSource
from ldapp.language import marked
from ldapp.reckoning.result import ChargeAnswer

STAGE_LABELS: dict[Stage, str] = {
    "pickup": marked("pickup"),
    "during": marked("during the rental"),
    "return": marked("return"),
    "check_in": marked("rental company's check-in"),
}

SHORT_STAGE_LABELS: dict[Stage, str] = {
    "pickup": marked("pickup"),
    "during": marked("during"),
    "return": marked("return"),
    "check_in": marked("check-in"),
}

FINDING_LABELS: dict[FindingKind, str] = {
    "missing": marked("missing"),
    "damaged": marked("damaged"),
    "short_at_pickup": marked("short at pickup"),
    "exchanged": marked("exchanged"),
    "over": marked("over"),
}

ACKNOWLEDGEMENT_LABELS: dict[Acknowledgement, str] = {
    "signed_by_both": marked("signed by both sides"),
    "on_company_ticket": marked("on the company's own ticket"),
    "one_side_with_photos": marked("by one side, with photos"),
    "emailed_same_day": marked("e-mailed the same day"),
    "one_side": marked("by one side"),
    "refused_to_sign": marked("signature refused"),
    "none": marked("not acknowledged"),
}

CONDITION_LABELS: dict[Condition, str] = {
    "as_sent_out": marked("as sent out"),
    "worn": marked("worn"),
    "damaged_before": marked("damaged before"),
    "damaged": marked("damaged"),
    "not_working": marked("not working"),
    "not_looked_at": "–",
}

MOVEMENT_LABELS: dict[MovementKind, str] = {
    "added": marked("added"),
    "exchanged": marked("exchanged"),
    "returned_early": marked("returned early"),
    "used_up": marked("used up"),
    "transferred": marked("transferred"),
}

ROLE_LABELS: dict[PartyRole, str] = {
    "production": marked("Production"),
    "rental_company": marked("Rental company"),
    "owner": marked("Owner of sub-rented equipment"),
    "insurer": marked("Insurer"),
    "broker": marked("Broker"),
    "school": marked("School"),
    "department": marked("Department"),
    "student": marked("Student"),
    "crew": marked("Crew"),
    "third_party": marked("Third party"),
}

ANSWER_LABELS: dict[ChargeAnswer, str] = {
    "not_disputed": marked("not disputed"),
    "disputed": marked("disputed"),
    "open_until_documented": marked("open until documented"),
}

CHARGE_KIND_LABELS: dict[ChargeKind, str] = {
    "missing": marked("missing item"),
    "replacement": marked("replacement"),
    "repair": marked("repair"),
    "repair_labour": marked("repair, labour"),
    "repair_parts": marked("repair, parts"),
    "lamp": marked("lamp"),
    "cleaning": marked("cleaning"),
    "repack": marked("repacking"),
    "loss_of_use": marked("loss of use"),
    "freight": marked("freight"),
    "sub_rental": marked("sub-rental"),
    "administration": marked("administration"),
    "fee": marked("fee"),
    "interest": marked("interest"),
    "tax": marked("tax"),
    "credit": marked("credit"),
    "difference_in_addition": marked("difference in addition"),
    "other": marked("other"),
}

DOCUMENT_LABELS: dict[DocumentKind, str] = {
    "agreement": marked("rental agreement"),
    "policy": marked("policy"),
    "certificate_of_insurance": marked("certificate of insurance"),
    "purchase_order": marked("purchase order"),
    "quote": marked("quote"),
    "delivery_ticket": marked("delivery ticket"),
    "pickup_sheet": marked("pickup sheet"),
    "movement_ticket": marked("movement ticket"),
    "return_sheet": marked("return sheet"),
    "check_in_sheet": marked("check-in sheet"),
    "missing_and_damaged_list": marked("missing and damaged list"),
    "invoice": marked("invoice"),
    "repair_estimate": marked("repair estimate"),
    "repair_invoice": marked("repair invoice"),
    "replacement_quote": marked("replacement quote"),
    "receipt": marked("receipt"),
    "incident_report": marked("incident report"),
    "police_report": marked("police report"),
    "message": marked("message"),
    "proof_of_loss": marked("proof of loss"),
    "proof_of_payment": marked("proof of payment"),
    "other": marked("document"),
}

OFFSET_SOURCE_LABELS: dict[OffsetSource, str] = {
    "tag": marked("offset from the file"),
    "place": marked("offset from the place"),
    "satellite": marked("offset from satellite time"),
    "given": marked("offset as given"),
    "none": "",
}

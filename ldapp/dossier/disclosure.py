"""Who may read what: one allow-list for each version of the dossier, as data.

A section, a party, a document or a field that a version's list does not name is not
printed in it.  What must never reach the rental company (the policy, the insurer's
payments, completeness, weak points, how strong our grounds are, what the agreement says
against them, periods that bind us, what papers leave open, private notes, the journal's
values, student data) is named nowhere in its list.  As a second line, names and
numbers that belong to what is withheld are taken out of free text (:func:`withheld_words`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ldapp.claim.claim import Claim
from ldapp.claim.documents import Document, DocumentKind
from ldapp.claim.parties import PartyRole
from ldapp.dossier.request import Version
from ldapp.language import marked

Section = Literal[
    "letter",
    "summary",
    "statement_of_loss",
    "what_happened",
    "answer_to_charges",
    "line_sheets",
    "reckoning",
    "counts",
    "photo_index",
    "exhibits",
    "completeness",
    "record",
    "photo_sheet",
    "count_sheet",
]

Field = Literal[
    "amounts",
    "who_pays",
    "policy",
    "insurer_payments",
    "borne_by",
    "policy_working",
    "persons_of_occurrence",
    "police_report",
    "photo_reasons",
    "device_serial",
    "journal_entries",
    "weak_points",
    "against_grounds",
    "every_period",
    "left_open",
]

WITHHELD = marked("[withheld]")


@dataclass(frozen=True, slots=True)
class Disclosure:
    """What one version may show."""

    sections: tuple[Section, ...]
    """In the order of the pages."""
    fields: frozenset[Field]
    party_roles: frozenset[PartyRole]
    withheld_roles: frozenset[PartyRole]
    """Parties whose names and numbers are taken out of every text."""
    document_kinds: frozenset[DocumentKind]
    private_documents: bool
    every_agreement: bool
    """False: only what belongs to the agreement that is answered."""


_TRADE_DOCUMENTS: frozenset[DocumentKind] = frozenset(
    {
        "agreement",
        "purchase_order",
        "quote",
        "delivery_ticket",
        "pickup_sheet",
        "movement_ticket",
        "return_sheet",
        "check_in_sheet",
        "missing_and_damaged_list",
        "invoice",
        "repair_estimate",
        "repair_invoice",
        "replacement_quote",
        "receipt",
        "incident_report",
        "police_report",
        "message",
        "proof_of_payment",
        "other",
    }
)

_INSURER_AND_STUDENTS: frozenset[PartyRole] = frozenset({"insurer", "broker", "student"})

DISCLOSURES: dict[Version, Disclosure] = {
    "insurer": Disclosure(
        sections=(
            "letter",
            "summary",
            "statement_of_loss",
            "what_happened",
            "line_sheets",
            "reckoning",
            "counts",
            "photo_index",
            "exhibits",
            "completeness",
            "record",
        ),
        fields=frozenset(
            {
                "amounts",
                "who_pays",
                "policy",
                "insurer_payments",
                "borne_by",
                "policy_working",
                "persons_of_occurrence",
                "police_report",
                "photo_reasons",
                "device_serial",
                "journal_entries",
                "weak_points",
                "against_grounds",
                "every_period",
                "left_open",
            }
        ),
        party_roles=frozenset(
            {
                "production",
                "rental_company",
                "owner",
                "insurer",
                "broker",
                "school",
                "department",
                "student",
                "crew",
                "third_party",
            }
        ),
        withheld_roles=frozenset(),
        document_kinds=_TRADE_DOCUMENTS
        | frozenset({"policy", "certificate_of_insurance", "proof_of_loss"}),
        private_documents=True,
        every_agreement=True,
    ),
    "dispute": Disclosure(
        sections=(
            "letter",
            "summary",
            "answer_to_charges",
            "what_happened",
            "line_sheets",
            "reckoning",
            "counts",
            "photo_index",
            "exhibits",
            "record",
        ),
        fields=frozenset({"amounts", "police_report", "photo_reasons"}),
        party_roles=frozenset({"production", "rental_company", "owner", "school", "third_party"}),
        withheld_roles=_INSURER_AND_STUDENTS,
        document_kinds=_TRADE_DOCUMENTS,
        private_documents=False,
        every_agreement=False,
    ),
    "photos": Disclosure(
        sections=("photo_sheet",),
        fields=frozenset({"photo_reasons"}),
        party_roles=frozenset({"production", "rental_company", "owner", "school"}),
        withheld_roles=_INSURER_AND_STUDENTS,
        document_kinds=frozenset(),
        private_documents=False,
        every_agreement=True,
    ),
    "counts": Disclosure(
        sections=("count_sheet",),
        fields=frozenset(),
        party_roles=frozenset({"production", "rental_company", "owner", "school"}),
        withheld_roles=_INSURER_AND_STUDENTS,
        document_kinds=frozenset(),
        private_documents=False,
        every_agreement=True,
    ),
}


def may_show_document(document: Document, disclosure: Disclosure) -> bool:
    """Return whether a version may carry or name a document."""
    if document.private and not disclosure.private_documents:
        return False
    return document.kind in disclosure.document_kinds


_MADE_WITH_THE_OTHER_SIDE: frozenset[DocumentKind] = frozenset(
    {
        "agreement",
        "quote",
        "delivery_ticket",
        "pickup_sheet",
        "movement_ticket",
        "return_sheet",
        "check_in_sheet",
        "missing_and_damaged_list",
        "invoice",
    }
)
"""Papers that a rental company wrote, or signed together with us (common practice, no source)."""


def is_known_to_the_other_side(document: Document, claim: Claim) -> bool:
    """Return whether a rental company has a paper already, so that it tells it nothing new."""
    if document.signed_by_other_side or document.kind in _MADE_WITH_THE_OTHER_SIDE:
        return True
    return any(agreement.lessor == document.party for agreement in claim.agreements)


SHORTEST_WITHHELD_WORD = 4
"""Shorter names and numbers would be found inside other words."""


def withheld_words(claim: Claim, disclosure: Disclosure) -> tuple[str, ...]:
    """Return names and numbers that must not appear in any text of a version, longest first.

    A word that is also part of what may be shown (a town in both addresses, a name that is
    also a thing on the kit list) is no secret.
    """
    words: set[str] = set()
    for party in claim.parties:
        if party.role in disclosure.withheld_roles:
            words.update((party.name, party.contact, party.email, party.phone, party.reference))
            words.update(party.address.split("\n"))
            if party.role == "student":
                words.add(_family_name(party.name))
    if "policy" not in disclosure.fields and claim.policy is not None:
        words.update((claim.policy.number, claim.policy.claim_number))
    shown = "\n".join(
        [
            claim.reference,
            claim.title,
            claim.place,
            *(line.description for line in claim.kit),
            *(
                text
                for party in claim.parties
                if party.role in disclosure.party_roles
                for text in (
                    party.name,
                    party.contact,
                    party.email,
                    party.phone,
                    party.reference,
                    party.address,
                )
            ),
        ]
    ).casefold()
    found = {word.strip() for word in words if len(word.strip()) >= SHORTEST_WITHHELD_WORD}
    secret = {word for word in found if word.casefold() not in shown}
    return tuple(sorted(secret, key=lambda word: (-len(word), word)))


def _family_name(name: str) -> str:
    """Return the last word of a person's name, by which it is also called; often the family's."""
    return name.rsplit(maxsplit=1)[-1] if len(name.split()) > 1 else ""

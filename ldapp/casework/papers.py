"""What a person does with the papers: facts, parties, agreements, policy, documents."""

from __future__ import annotations

import dataclasses
import datetime as dt
import mimetypes
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import babel.numbers

from ldapp.casework.carried_terms import without_document
from ldapp.casework.code_words import code_words
from ldapp.casework.edit import find, put, without
from ldapp.casework.field_words import field_words
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.originals import KeepsOriginals
from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.changes import HEAD_FIELDS
from ldapp.claim.claim import Claim
from ldapp.claim.documents import Document, DocumentKind, Split
from ldapp.claim.parties import Party
from ldapp.claim.record import with_fields
from ldapp.claim.stages import ClaimStage
from ldapp.errors import LdappError
from ldapp.language import said, said_of
from ldapp.local_forms import day_in_digits, local_number

Progress = Callable[[int, int, str], None]


def change_facts(desk: OpenClaim, **facts: Any) -> bool:
    """Change the claim's own facts: reference, title, currency, zone, place, stage, note …

    Raises:
        LdappError: the reference is empty, the currency or the zone does not exist.
    """
    unknown = set(facts) - set(HEAD_FIELDS)
    if unknown:
        raise LdappError(
            said("A claim has no fact called {names}.", names=", ".join(sorted(unknown)))
        )
    if not facts.get("reference", "x").strip():
        raise LdappError(said("A claim needs a reference: it stands on every page that is sent."))
    if "currency" in facts:
        check_currency(facts["currency"])
    if "zone" in facts:
        check_zone(facts["zone"])
    named = ", ".join(field_words(name) for name in facts)
    return desk.change(
        said("Change {named}", named=named), lambda claim: with_fields(claim, **facts)
    )


def check_currency(code: str) -> None:
    """Raise LdappError unless ``code`` is an ISO 4217 currency in use."""
    if code not in babel.numbers.list_currencies():
        raise LdappError(
            said("{code} is no currency. Give its three-letter ISO 4217 code, like USD.", code=code)
        )


def check_zone(name: str) -> None:
    """Raise LdappError unless ``name`` is an IANA time zone."""
    try:
        ZoneInfo(name)
    except (ValueError, KeyError, OSError) as error:
        raise LdappError(
            said(
                "{name} is no time zone. Give an IANA name, like America/Denver or Europe/Berlin.",
                name=name,
            )
        ) from error


def move_to_stage(desk: OpenClaim, stage: ClaimStage) -> bool:
    """Say how far the claim has come: preparing, sent, answered, offered, settled, paid, closed."""
    return desk.change(
        said("Move to “{stage}”", stage=code_words(stage)),
        lambda claim: dataclasses.replace(claim, stage=stage),
    )


def put_party(desk: OpenClaim, party: Party) -> bool:
    """Add a party, or replace the one with its id."""
    return desk.change(
        said("Party {name}", name=party.name) if party.name else said("Party without a name"),
        lambda claim: dataclasses.replace(claim, parties=put(claim.parties, party)),
    )


def remove_party(desk: OpenClaim, party: str) -> bool:
    """Remove a party that nothing refers to; raises LdappError where something does."""
    claim = desk.claim
    users = [
        *(
            said("agreement {reference}", reference=one.reference or one.id)
            for one in claim.agreements
            if one.lessor == party
        ),
        *(said("kit line {number}", number=one.number) for one in claim.kit if one.owner == party),
        *(
            said("share of {share}", share=local_number(str(one.share_percent or one.amount)))
            for one in claim.splits
            if one.party == party
        ),
    ]
    users += [
        said("the group {name}", name=one.name) for one in claim.parties if party in one.members
    ]
    users += [
        said("a payment of {date}", date=day_in_digits(one.at.date()))
        for one in claim.correspondence
        if one.party == party and one.paid is not None
    ]
    split = claim.policy.terms.deductible_split if claim.policy else None
    if split is not None and party in (split.first, split.rest):
        users.append(said("the policy's rule for the deductible"))
    if claim.policy and party in (
        claim.policy.insurer,
        claim.policy.insured,
        claim.policy.broker,
        claim.policy.loss_payee,
    ):
        users.append(said("the policy"))
    if users:
        raise LdappError(
            said(
                "This party is named by {user} and {number} more. Name another there first.",
                user=users[0],
                number=len(users) - 1,
            )
            if len(users) > 1
            else said("This party is named by {user}. Name another there first.", user=users[0])
        )
    return desk.change(
        said("Remove party"),
        lambda claim: dataclasses.replace(claim, parties=without(claim.parties, {party})),
    )


def put_agreement(desk: OpenClaim, agreement: Agreement, label: str = "") -> bool:
    """Add an agreement, or replace the one with its id, terms included."""
    return desk.change(
        label or said("Agreement {reference}", reference=agreement.reference).rstrip(),
        lambda claim: dataclasses.replace(claim, agreements=put(claim.agreements, agreement)),
    )


def add_agreement(desk: OpenClaim, lessor_name: str, reference: str = "") -> Agreement:
    """Add an agreement together with its rental company; return the agreement."""
    party = next(
        (
            one
            for one in desk.claim.parties
            if one.role == "rental_company" and one.name == lessor_name
        ),
        Party(id=new_id(), role="rental_company", name=lessor_name),
    )
    agreement = Agreement(id=new_id(), lessor=party.id, reference=reference)
    desk.change(
        said("Add agreement with {lessor}", lessor=lessor_name),
        lambda claim: dataclasses.replace(
            claim,
            parties=put(claim.parties, party),
            agreements=put(claim.agreements, agreement),
        ),
    )
    return agreement


def remove_agreement(desk: OpenClaim, agreement: str) -> bool:
    """Remove an agreement that no line and no invoice names; raises LdappError otherwise."""
    lines = sum(line.agreement == agreement for line in desk.claim.kit)
    invoices = sum(invoice.agreement == agreement for invoice in desk.claim.invoices)
    if lines or invoices:
        raise LdappError(
            said(
                "{lines} kit lines and {invoices} invoices stand under this agreement. "
                "Move or remove them first.",
                lines=lines,
                invoices=invoices,
            )
        )
    return desk.change(
        said("Remove agreement"),
        lambda claim: dataclasses.replace(claim, agreements=without(claim.agreements, {agreement})),
    )


def put_policy(desk: OpenClaim, policy: Policy | None, label: str = "") -> bool:
    """Set the policy and its terms, or take it off."""
    return desk.change(
        label or (said("Policy") if policy else said("Remove policy")),
        lambda claim: dataclasses.replace(claim, policy=policy),
    )


def add_policy(desk: OpenClaim, insurer_name: str, number: str = "") -> Policy:
    """Give the claim a policy together with its insurer; return the policy."""
    party = next(
        (one for one in desk.claim.parties if one.role == "insurer" and one.name == insurer_name),
        Party(id=new_id(), role="insurer", name=insurer_name),
    )
    policy = Policy(id=new_id(), insurer=party.id, number=number)
    desk.change(
        said("Add policy of {insurer}", insurer=insurer_name),
        lambda claim: dataclasses.replace(claim, parties=put(claim.parties, party), policy=policy),
    )
    return policy


def put_splits(desk: OpenClaim, splits: tuple[Split, ...]) -> bool:
    """Say who bears what nobody else pays."""
    return desk.change(
        said("Who bears the rest"), lambda claim: dataclasses.replace(claim, splits=splits)
    )


def take_in_documents(
    desk: OpenClaim,
    keeper: KeepsOriginals,
    paths: Iterable[Path],
    kind: DocumentKind = "other",
    progress: Progress = lambda done, total, text: None,
) -> tuple[Document, ...]:
    """Copy papers into the library and add them to the claim; all of them, or none.

    A paper that the claim has already is not taken in twice.

    Raises:
        LdappError: a file cannot be read; nothing was added.
    """
    _, new = stored_documents(desk.claim, keeper, paths, kind, progress)
    if new:
        desk.change(
            said_of(len(new), "Take in {count} document", "Take in {count} documents"),
            lambda claim: dataclasses.replace(claim, documents=(*claim.documents, *new)),
        )
    return new


def stored_documents(
    claim: Claim,
    keeper: KeepsOriginals,
    paths: Iterable[Path],
    kind: DocumentKind = "other",
    progress: Progress = lambda done, total, text: None,
) -> tuple[tuple[Document, ...], tuple[Document, ...]]:
    """Copy papers into the library; return all of them, and those that the claim lacks.

    Raises:
        LdappError: a file cannot be read.
    """
    files = list(paths)
    known = {document.sha256: document for document in claim.documents}
    every: list[Document] = []
    new: list[Document] = []
    for index, path in enumerate(files):
        progress(index, len(files), path.name)
        if path.is_file() and path.stat().st_size == 0:
            raise LdappError(
                said(
                    "{name} is empty (0 bytes). Ask for it again, then take it in.", name=path.name
                )
            )
        stored = keeper.put_file(path)
        if stored.sha256 not in known:
            known[stored.sha256] = Document(
                id=new_id(),
                title=path.stem.replace("_", " "),
                kind=kind if kind != "other" else guess_document_kind(path.stem),
                name=path.name,
                path=f"documents/{path.name}",
                sha256=stored.sha256,
                bytes=stored.bytes,
                media_type=mimetypes.guess_type(path.name)[0] or "application/octet-stream",
                taken_in=dt.datetime.now(dt.UTC),
            )
            new.append(known[stored.sha256])
        every.append(known[stored.sha256])
    progress(len(files), len(files), "")
    return tuple(every), tuple(new)


_KIND_WORDS: tuple[tuple[str, DocumentKind], ...] = (
    ("repair estimate", "repair_estimate"),
    ("estimate", "repair_estimate"),
    ("repair invoice", "repair_invoice"),
    ("police", "police_report"),
    ("incident", "incident_report"),
    ("certificate", "certificate_of_insurance"),
    ("policy", "policy"),
    ("purchase order", "purchase_order"),
    ("check-in", "check_in_sheet"),
    ("check in", "check_in_sheet"),
    ("return", "return_sheet"),
    ("pickup", "pickup_sheet"),
    ("pull sheet", "pickup_sheet"),
    ("ticket", "delivery_ticket"),
    ("missing", "missing_and_damaged_list"),
    ("agreement", "agreement"),
    ("terms", "agreement"),
    ("quote", "quote"),
    ("receipt", "receipt"),
    ("invoice", "invoice"),
    ("l&d", "invoice"),
)


def guess_document_kind(name: str) -> DocumentKind:
    """Propose a kind from the words in a file name; "other" where none fits."""
    words = name.lower().replace("_", " ").replace("-", " ")
    for word, kind in _KIND_WORDS:
        if word.replace("-", " ") in words:
            return kind
    return "other"


def put_document(desk: OpenClaim, document: Document) -> bool:
    """Change what is said of a document: title, kind, date, exhibit, private."""
    return desk.change(
        said("Document {title}", title=document.title),
        lambda claim: dataclasses.replace(claim, documents=put(claim.documents, document)),
    )


def remove_document(desk: OpenClaim, document: str) -> bool:
    """Take a document out of the claim; its original stays in the library.

    What referred to it refers to nothing any more; undo brings both back.
    """
    return desk.change(
        said("Remove document"),
        lambda claim: without_document(
            dataclasses.replace(claim, documents=without(claim.documents, {document})), document
        ),
    )


def party_name(claim: Claim, party: str | None) -> str:
    """Return a party's name, or an empty text."""
    one = find(claim.parties, party)
    return one.name if one else ""

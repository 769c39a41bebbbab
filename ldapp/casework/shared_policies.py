"""Policies, parties and certificates that an office keeps once and its claims use.

A claim holds its own copy of a policy: it can be sent away and read alone.  A change of
the office's record is offered to the claims under it and made in each as a change of its
own, with its journal entry; nothing changes silently.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar

from pydantic import TypeAdapter, ValidationError

from ldapp.casework.carried_terms import carried_terms, settled_terms
from ldapp.casework.edit import find, put
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.saved_views import SharedRecords
from ldapp.claim.agreement import Policy
from ldapp.claim.claim import Claim
from ldapp.claim.parties import Party
from ldapp.claim.shared import Certificate, SharedPolicy, SharedRecord
from ldapp.errors import LdappError
from ldapp.language import said
from ldapp.local_forms import day_in_digits

POLICY = "policy"
PARTY = "party"
CERTIFICATE = "certificate"
_One = TypeVar("_One")


class Kept(NamedTuple):
    """A shared record with its version and who changed it last."""

    record: Any
    version: int
    who: str
    changed: dt.datetime | None


def _read(library: SharedRecords, kind: str, record: type[_One]) -> tuple[Kept, ...]:
    adapter = TypeAdapter(record)
    found = []
    for one in library.shared(kind):
        try:
            found.append(Kept(adapter.validate_json(one.data), one.version, one.who, one.changed))
        except ValidationError as error:
            raise LdappError(
                said(
                    "The office's record {name} was written by another version of this "
                    "program and cannot be read. Use that version, or remove it and enter it "
                    "again.",
                    name=one.name,
                )
            ) from error
    return tuple(found)


def _write(
    library: SharedRecords, kind: str, key: str, version: int, name: str, one: Any
) -> SharedRecord:
    data = TypeAdapter(type(one)).dump_json(one).decode()
    return library.put_shared(SharedRecord(kind, key, version, name, data))


# --- policies -----------------------------------------------------------------------------


def shared_policies(library: SharedRecords) -> tuple[Kept, ...]:
    """Return the policies that the office keeps (``SharedPolicy``), by their names."""
    return _read(library, POLICY, SharedPolicy)


def keep_policy(library: SharedRecords, desk: OpenClaim) -> SharedPolicy:
    """Make the claim's policy the office's record, or bring that record up to this claim.

    Raises:
        LdappError: the claim has no policy, or its insurer has no name.
        ConflictError: somebody changed the record in the meantime.
    """
    claim = desk.claim
    policy = _policy_of(claim)
    insurer = find(claim.parties, policy.insurer)
    if insurer is None or not insurer.name.strip():
        raise LdappError(said("Give the insurer a name first: the policy is kept under it."))
    before = policy_record_of(library, claim)
    key = before.record.id if before is not None else new_id()
    kept = SharedPolicy(
        id=key,
        currency=claim.currency,
        number=policy.number,
        insurer=insurer,
        broker=find(claim.parties, policy.broker),
        terms=carried_terms(policy.terms, claim.parties),
        note=policy.note,
    )
    name = ", ".join(one for one in (policy.number, insurer.name) if one)
    _write(library, POLICY, key, before.version if before is not None else 0, name, kept)
    if policy.id != key:
        _put(desk, dataclasses.replace(policy, id=key), said("Keep the policy for the office"))
    return kept


def policy_record_of(library: SharedRecords, claim: Claim) -> Kept | None:
    """Return the office's record that the claim's policy was made from or is the same as."""
    policy = claim.policy
    if policy is None:
        return None
    kept = shared_policies(library)
    insurer = find(claim.parties, policy.insurer)
    name = "" if insurer is None else insurer.name
    by_id = next((one for one in kept if one.record.id == policy.id), None)
    return by_id or next(
        (
            one
            for one in kept
            if policy.number.strip()
            and same_name(one.record.number, policy.number)
            and same_name(one.record.insurer.name, name)
            and one.record.currency == claim.currency
        ),
        None,
    )


def same_name(one: str, other: str) -> bool:
    """Return whether two names differ in capitals and spaces at most."""
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def use_policy(desk: OpenClaim, kept: SharedPolicy) -> bool:
    """Put the office's policy into a claim; what is the claim's own in it stays.

    The claim's own are its claim number, documents, days and what earlier claims used.

    Raises:
        LdappError: the claim is in another currency.
    """
    if kept.currency != desk.claim.currency:
        raise LdappError(
            said(
                "This policy is in {foreign}, the claim in {currency}: amounts of two "
                "currencies are never mixed.",
                foreign=kept.currency,
                currency=desk.claim.currency,
            )
        )

    def make(claim: Claim) -> Claim:
        parties = claim.parties
        insurer, parties = _party_in(parties, kept.insurer)
        broker = None
        if kept.broker is not None:
            broker, parties = _party_in(parties, kept.broker)
        own = claim.policy or Policy(id=kept.id, insurer=insurer)
        same = carried_terms(own.terms, claim.parties) == kept.terms
        policy = dataclasses.replace(
            own,
            id=kept.id,
            insurer=insurer,
            broker=broker or own.broker,
            number=kept.number,
            # Where they say the same, the claim keeps the papers that its clauses stand in.
            terms=own.terms if same else settled_terms(kept.terms, claim),
        )
        return dataclasses.replace(claim, parties=parties, policy=policy)

    return desk.change(said("Take over the office's policy"), make)


def _party_in(parties: tuple[Party, ...], wanted: Party) -> tuple[str, tuple[Party, ...]]:
    """Return the id of a party of this role and name, and the parties with it."""
    found = next(
        (one for one in parties if one.role == wanted.role and same_name(one.name, wanted.name)),
        None,
    )
    if found is not None:
        return found.id, parties
    taken = {one.id for one in parties}
    new = wanted if wanted.id not in taken else dataclasses.replace(wanted, id=new_id())
    return new.id, (*parties, new)


def _policy_of(claim: Claim) -> Policy:
    if claim.policy is None:
        raise LdappError(said("This claim has no policy yet. Add it first, under Papers."))
    return claim.policy


def _put(desk: OpenClaim, policy: Policy, label: str) -> bool:
    return desk.change(label, lambda claim: dataclasses.replace(claim, policy=policy))


def differs_from_record(library: SharedRecords, claim: Claim) -> bool:
    """Return whether the office keeps this policy with another number or other terms."""
    kept = policy_record_of(library, claim)
    policy = claim.policy
    return (
        kept is not None
        and policy is not None
        and (kept.record.number, kept.record.terms)
        != (policy.number, carried_terms(policy.terms, claim.parties))
    )


def remove_policy(library: SharedRecords, key: str) -> None:
    """Remove the office's record; the claims under it keep their copies."""
    library.remove_shared(POLICY, key)


def update_claims(
    open_claim: Callable[[str], OpenClaim],
    claims: tuple[str, ...],
    kept: SharedPolicy,
    after: Callable[[OpenClaim], object],
    progress: Callable[[int, int, str], None] = lambda done, total, text: None,
) -> int:
    """Bring these claims to the office's policy, each as a change of its own; return how many.

    ``after`` is called with every claim that changed, to reckon it.
    """
    changed = 0
    for number, claim in enumerate(claims):
        desk = open_claim(claim)
        progress(number, len(claims), desk.claim.reference)
        if use_policy(desk, kept):
            after(desk)
            changed += 1
    progress(len(claims), len(claims), "")
    return changed


# --- parties ------------------------------------------------------------------------------


def shared_parties(library: SharedRecords) -> tuple[Kept, ...]:
    """Return the parties that the office keeps (``Party``), by their names."""
    return _read(library, PARTY, Party)


def keep_party(library: SharedRecords, party: Party) -> None:
    """Keep a party for other claims, in place of one of its role and name.

    Raises:
        LdappError: it has no name.
    """
    if not party.name.strip():
        raise LdappError(said("Give the party a name first: it is kept under it."))
    before = next(
        (
            one
            for one in shared_parties(library)
            if one.record.role == party.role and same_name(one.record.name, party.name)
        ),
        None,
    )
    key = before.record.id if before is not None else new_id()
    kept = dataclasses.replace(party, id=key)
    version = before.version if before is not None else 0
    _write(library, PARTY, key, version, party.name.strip(), kept)


def use_party(desk: OpenClaim, party: Party) -> str:
    """Put a kept party into a claim, or bring the one of its name up to it; return its id."""
    found = next(
        (
            one
            for one in desk.claim.parties
            if one.role == party.role and same_name(one.name, party.name)
        ),
        None,
    )
    key, _ = _party_in(desk.claim.parties, party)
    new = dataclasses.replace(party, id=key if found is None else found.id)
    desk.change(
        said("Take over {name}", name=party.name),
        lambda claim: dataclasses.replace(claim, parties=put(claim.parties, new)),
    )
    return new.id


def remove_party(library: SharedRecords, key: str) -> None:
    """Remove a kept party; claims keep their copies."""
    library.remove_shared(PARTY, key)


# --- certificates -------------------------------------------------------------------------


def certificates(library: SharedRecords) -> tuple[Kept, ...]:
    """Return the students' certificates (``Certificate``), by the students' names."""
    return _read(library, CERTIFICATE, Certificate)


def keep_certificate(library: SharedRecords, one: Certificate, version: int = 0) -> None:
    """Keep a certificate over the version it had, 0 for a new one.

    Raises:
        LdappError: it names no student or no policy, ends before it begins, or has no limit.
        ConflictError: somebody changed it in the meantime.
    """
    if not one.student.strip():
        raise LdappError(
            said("A certificate names a student. Enter the name as the claims state it.")
        )
    if not one.policy_number.strip():
        raise LdappError(said("A certificate is under a policy. Enter the policy's number."))
    if one.ends < one.begins:
        raise LdappError(
            said(
                "It would end on {ends}, before it begins on {begins}.",
                ends=day_in_digits(one.ends),
                begins=day_in_digits(one.begins),
            )
        )
    if one.limit <= 0:
        raise LdappError(said("A certificate confirms cover up to an amount. Enter one above 0."))
    _write(library, CERTIFICATE, one.id, version, one.student.strip(), one)


def remove_certificate(library: SharedRecords, key: str) -> None:
    """Remove a certificate."""
    library.remove_shared(CERTIFICATE, key)

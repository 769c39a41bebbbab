"""Terms kept as templates, one for each rental company and each insurer."""

from __future__ import annotations

import dataclasses
from typing import Any, Protocol

from pydantic import ValidationError

from ldapp.casework.carried_terms import carried_terms, settled_terms
from ldapp.casework.edit import get
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.papers import party_name, put_agreement, put_policy
from ldapp.claim.agreement import Agreement, Policy
from ldapp.claim.changes import POLICY_KIND, record_as_json, record_from_json
from ldapp.errors import LdappError
from ldapp.language import said


class Remembers(Protocol):
    """Keeps small JSON values: the library."""

    def remember(self, key: str, value: Any) -> None:
        """Keep a value under a key."""
        ...

    def remembered(self, key: str) -> Any:
        """Return a kept value, or None."""
        ...


def _key(kind: str, name: str) -> str:
    return f"terms/{kind}/{name.strip().casefold()}"


def keep_agreement_terms(desk: OpenClaim, memory: Remembers, agreement: str) -> str:
    """Keep an agreement's terms for the next one with this company; return the company's name.

    Raises:
        LdappError: the rental company has no name.
    """
    one = get(desk.claim.agreements, agreement, "agreement")
    name = party_name(desk.claim, one.lessor)
    if not name.strip():
        raise LdappError(said("Give the rental company a name first: terms are kept under it."))
    kept = dataclasses.replace(one, terms=carried_terms(one.terms))
    memory.remember(_key("agreement", name), record_as_json("agreement", kept)["terms"])
    return name


def use_agreement_terms(desk: OpenClaim, memory: Remembers, agreement: str) -> bool:
    """Take over the terms kept for the rental company; clauses keep their numbers and words.

    Documents, kit lines and agreements of the claim that they come from stay behind.

    Raises:
        LdappError: none are kept, or they can no longer be read.
    """
    one = get(desk.claim.agreements, agreement, "agreement")
    name = party_name(desk.claim, one.lessor)
    terms = carried_terms(_read("agreement", one, memory.remembered(_key("agreement", name)), name))
    return put_agreement(
        desk,
        dataclasses.replace(one, terms=terms),
        said("Take over the terms of {name}", name=name),
    )


def keep_policy_terms(desk: OpenClaim, memory: Remembers) -> str:
    """Keep the policy's terms for the next claim under it; return the insurer's name.

    Raises:
        LdappError: there is no policy, or its insurer has no name.
    """
    policy = _policy(desk)
    name = party_name(desk.claim, policy.insurer)
    if not name.strip():
        raise LdappError(said("Give the insurer a name first: terms are kept under it."))
    kept = dataclasses.replace(policy, terms=carried_terms(policy.terms, desk.claim.parties))
    memory.remember(_key("policy", name), record_as_json(POLICY_KIND, kept)["terms"])
    return name


def use_policy_terms(desk: OpenClaim, memory: Remembers) -> bool:
    """Take over the terms kept for the insurer.

    Raises:
        LdappError: there is no policy, none are kept, or they can no longer be read.
    """
    policy = _policy(desk)
    name = party_name(desk.claim, policy.insurer)
    terms = _read(POLICY_KIND, policy, memory.remembered(_key("policy", name)), name)
    # Terms that were kept before ids were left behind may still hold some.
    terms = settled_terms(carried_terms(terms), desk.claim)
    return put_policy(
        desk,
        dataclasses.replace(policy, terms=terms),
        said("Take over the terms of {name}", name=name),
    )


def _policy(desk: OpenClaim) -> Policy:
    if desk.claim.policy is None:
        raise LdappError(said("This claim has no policy yet."))
    return desk.claim.policy


def _read(kind: str, one: Agreement | Policy, kept: Any, name: str) -> Any:
    if not isinstance(kept, dict):
        raise LdappError(
            said(
                "No terms are kept for {name} yet. Enter them once, then keep them.",
                name=name or said("this company"),
            )
        )
    try:
        return record_from_json(kind, {**record_as_json(kind, one), "terms": kept}).terms
    except ValidationError as error:
        raise LdappError(
            said(
                "The terms kept for {name} were written by another version and cannot be "
                "read. Enter them again.",
                name=name,
            )
        ) from error

"""The text of the e-mail that a dossier is sent with; the program itself sends nothing."""

from __future__ import annotations

import datetime as dt
import json
from typing import NamedTuple

from ldapp.casework.dossier import Version
from ldapp.casework.edit import find
from ldapp.claim.claim import Claim
from ldapp.claim.parties import Party
from ldapp.resources import resource


class CoveringEmail(NamedTuple):
    """Whom to write to, the subject and the text, to be copied into a mail program."""

    to: str
    subject: str
    text: str

    def as_text(self) -> str:
        """Return all of it for the clipboard."""
        to = f"To: {self.to}\n" if self.to else ""
        return f"{to}Subject: {self.subject}\n\n{self.text}\n"


def covering_email(
    claim: Claim, version: Version, date: dt.date, agreement: str | None = None
) -> CoveringEmail:
    """Return the covering e-mail of a version; its wording lies in the resources."""
    wording = json.loads(resource("wording", "covering_email.json").read_text(encoding="utf-8"))
    words: dict[str, str] = wording[version]
    invoices = [
        one.number
        for one in claim.invoices
        if one.number and (agreement is None or one.agreement == agreement)
    ]
    policy = claim.policy
    number = policy.claim_number if policy else ""
    sender = next((one for one in claim.parties if one.role in ("production", "school")), None)
    values = {
        "reference": claim.reference,
        "date": date.isoformat(),
        "title": f" ({claim.title})" if claim.title else "",
        "invoices": " and ".join(invoices) or "of this rental",
        "claim_number": f", your reference {number}" if number else "",
        "sender": (sender.contact or sender.name) if sender else "",
    }
    to = _recipient(claim, version, agreement)
    # Values are put in one by one: braces in a person's own words stay as they are.
    subject, text = words["subject"], words["text"]
    return CoveringEmail(
        to.email if to else "", _filled(subject, values), _filled(text, values).rstrip()
    )


def _filled(text: str, values: dict[str, str]) -> str:
    parts = []
    for piece in text.split("{"):
        name, closing, rest = piece.partition("}")
        known = closing and name in values
        parts.append(values[name] + rest if known else piece)
    return "".join(parts)


def _recipient(claim: Claim, version: Version, agreement: str | None) -> Party | None:
    if version == "insurer":
        return find(claim.parties, claim.policy.insurer) if claim.policy else None
    chosen = find(claim.agreements, agreement) if agreement else None
    one = chosen or (claim.agreements[0] if claim.agreements else None)
    return find(claim.parties, one.lessor) if one else None

"""The text of the e-mail that a dossier is sent with; the program itself sends nothing."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from typing import NamedTuple
from zoneinfo import ZoneInfo

from ldapp.casework.dossier import Version
from ldapp.casework.edit import find
from ldapp.catalogues import resource_in_language
from ldapp.claim.claim import Claim
from ldapp.claim.parties import Party
from ldapp.language import language, said
from ldapp.local_forms import day_in_digits


class CoveringEmail(NamedTuple):
    """Whom to write to, the subject and the text, to be copied into a mail program."""

    to: str
    subject: str
    text: str

    def as_text(self) -> str:
        """Return all of it for the clipboard."""
        to = said("To: {address}", address=self.to) + "\n" if self.to else ""
        subject = said("Subject: {subject}", subject=self.subject)
        return f"{to}{subject}\n\n{self.text}\n"


def covering_email(
    claim: Claim,
    version: Version,
    date: dt.date,
    agreement: str | None = None,
    *,
    files: Sequence[str] = (),
) -> CoveringEmail:
    """Return the covering e-mail of a version; its wording lies in the resources.

    ``files`` are the names of what was written; several volumes are named in it.

    Where an answer was sent to this rental company on an earlier day, the e-mail refers to it
    and to the last reply since.
    """
    wording: dict[str, dict[str, str]] = json.loads(
        resource_in_language(language(), "wording", "covering_email.json").read_text("utf-8")
    )
    first, reply = _earlier(claim, date, agreement) if version == "dispute" else (None, None)
    words = wording["dispute_again" if first is not None else version]
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
        "date": day_in_digits(date),
        "title": f" ({claim.title})" if claim.title else "",
        "invoices": _listed(invoices) or said("of this rental"),
        "claim_number": said(", your reference {number}", number=number) if number else "",
        "first_sent": day_in_digits(first) if first else "",
        "their_reply": (
            _filled(wording["dispute_again_reply"]["text"], {"answered_on": day_in_digits(reply)})
            if reply
            else ""
        ),
        "in_volumes": _in_volumes(wording["in_volumes"]["text"], files),
        "sender": (sender.contact or sender.name) if sender else "",
    }
    to = _recipient(claim, version, agreement)
    # Values are put in one by one: braces in a person's own words stay as they are.
    subject, text = words["subject"], words["text"]
    return CoveringEmail(
        to.email if to else "", _filled(subject, values), _filled(text, values).rstrip()
    )


def _listed(numbers: Sequence[str]) -> str:
    listed = ""
    for number in numbers:
        listed = said("{first} and {last}", first=listed, last=number) if listed else number
    return listed


def _in_volumes(text: str, files: Sequence[str]) -> str:
    if len(files) < 2:
        return ""
    names = "\n".join(f"– {name}" for name in files)
    return _filled(text, {"volumes": str(len(files)), "files": names})


def _earlier(
    claim: Claim, date: dt.date, agreement: str | None
) -> tuple[dt.date | None, dt.date | None]:
    """Return the days of our first answer before ``date`` and of the last reply after it."""
    lessor = _recipient(claim, "dispute", agreement)
    zone = ZoneInfo(claim.zone)
    chosen = agreement or (claim.agreements[0].id if claim.agreements else None)
    entries = sorted(
        (
            one
            for one in claim.correspondence
            if one.agreement == chosen
            or (one.agreement is None and one.party in (None, lessor.id if lessor else None))
        ),
        key=lambda one: one.at,
    )
    first = next(
        (
            one
            for one in entries
            if (one.step, one.direction) == ("answer_to_charges", "sent")
            and one.at.astimezone(zone).date() < date
        ),
        None,
    )
    if first is None:
        return None, None
    replies = [
        one.at.astimezone(zone).date()
        for one in entries
        if one.at > first.at
        and one.direction == "received"
        and one.step not in ("payment", "other")
        and one.at.astimezone(zone).date() <= date
    ]
    return first.at.astimezone(zone).date(), replies[-1] if replies else None


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

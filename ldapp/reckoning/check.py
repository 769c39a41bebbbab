"""Terms that cannot be, and references to nothing: all of them at once, each with its place."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from ldapp.claim.claim import Claim
from ldapp.errors import Fault
from ldapp.language import marked, said
from ldapp.reckoning.check_facts import check_currency, check_facts
from ldapp.reckoning.check_papers import Faults, check_agreement_terms, check_policy_terms

_OF_AN_AGREEMENT = marked("the id of an agreement")
_OF_A_LINE = marked("the id of a kit line")
_OF_A_PART = marked("the id of a part of the line")
_OF_AN_OCCURRENCE = marked("an occurrence's id")
_OF_AN_INVOICE = marked("the id of an invoice")
_OF_A_FINDING = marked("the id of a finding")
_WHAT_A_LINE_HOLDS = marked("what one line can hold")

MOST_UNITS = 100_000
"""The most units of one line, far above any equipment list (common practice, no source)."""


def check_terms(claim: Claim, file: str = "claim") -> tuple[Fault, ...]:
    """Return every fault of the claim's terms, times and references, in the claim's order.

    ``place`` is the path inside the claim file, such as ``agreements[0].terms.tax.rates[1]``.
    """
    faults = Faults(file)
    _check_structure(claim, faults)
    check_facts(claim, faults)
    for number, agreement in enumerate(claim.agreements):
        place = f"agreements[{number}].terms"
        check_currency(agreement.terms.currency, claim, f"{place}.currency", faults)
        check_agreement_terms(agreement.terms, place, faults)
    if claim.policy is not None:
        check_currency(claim.policy.terms.currency, claim, "policy.terms.currency", faults)
        faults.not_negative("policy.aggregate_used_before", claim.policy.aggregate_used_before)
        check_policy_terms(claim.policy.terms, "policy.terms", faults)
    return faults.all()


def hangs_together(claim: Claim) -> bool:
    """Say whether zone, ids, references and times are sound, so that counts can be reckoned."""
    faults = Faults("claim")
    _check_structure(claim, faults)
    return not faults.all()


def _check_structure(claim: Claim, faults: Faults) -> None:
    if not re.fullmatch(r"[A-Z]{3}", claim.currency):
        faults.add(
            "currency",
            said("{code!r} is no currency code", code=claim.currency),
            said("three capital letters"),
        )
    try:
        ZoneInfo(claim.zone)
    except (ZoneInfoNotFoundError, ValueError):
        faults.add(
            "zone",
            said("{name!r} is no time zone", name=claim.zone),
            said("an IANA name such as Europe/London"),
        )
    _check_ids(claim, faults)
    _check_references(claim, faults)
    _check_quantities(claim, faults)
    _check_times(claim, faults)


def _check_ids(claim: Claim, faults: Faults) -> None:
    charges = [charge for invoice in claim.invoices for charge in invoice.charges]
    named: tuple[tuple[str, Iterable[str]], ...] = (
        ("agreements", (a.id for a in claim.agreements)),
        ("kit", (line.id for line in claim.kit)),
        ("counts", (c.id for c in claim.counts)),
        ("movements", (m.id for m in claim.movements)),
        ("occurrences", (o.id for o in claim.occurrences)),
        ("findings", (f.id for f in claim.findings)),
        ("invoices", (i.id for i in claim.invoices)),
        ("charges", (c.id for c in charges)),
    )
    for field, ids in named:
        seen: set[str] = set()
        for identity in ids:
            if identity in seen:
                faults.add(
                    field,
                    said("the id {id!r} stands twice", id=identity),
                    said("an id of its own for each"),
                )
            seen.add(identity)


def _check_references(claim: Claim, faults: Faults) -> None:
    agreements = {a.id for a in claim.agreements}
    lines = {line.id: {part.id for part in line.parts} for line in claim.kit}
    occurrences = {o.id for o in claim.occurrences}
    findings = {f.id for f in claim.findings}
    invoices = {i.id for i in claim.invoices}

    def must(place: str, identity: str | None, known: Iterable[str], what: str) -> None:
        if identity is not None and identity not in known:
            faults.add(place, said("{id!r} is not in the claim", id=identity), said(what))

    for n, line in enumerate(claim.kit):
        must(f"kit[{n}].agreement", line.agreement, agreements, _OF_AN_AGREEMENT)
    for n, count in enumerate(claim.counts):
        named = {entry.line for entry in count.entries}
        if len(named) == len(count.entries) and named <= lines.keys():
            continue
        counted: set[str] = set()
        for m, entry in enumerate(count.entries):
            if entry.line not in lines:
                must(f"counts[{n}].entries[{m}].line", entry.line, (), _OF_A_LINE)
            elif entry.line in counted:
                place = f"counts[{n}].entries[{m}].line"
                faults.add(
                    place,
                    said("{id!r} is counted twice", id=entry.line),
                    said("one entry for each line"),
                )
            counted.add(entry.line)
    for n, movement in enumerate(claim.movements):
        must(f"movements[{n}].line", movement.line, lines, _OF_A_LINE)
    for n, finding in enumerate(claim.findings):
        must(f"findings[{n}].line", finding.line, lines, _OF_A_LINE)
        must(f"findings[{n}].occurrence", finding.occurrence, occurrences, _OF_AN_OCCURRENCE)
        parts = lines.get(finding.line, set())
        must(f"findings[{n}].part", finding.part, parts, _OF_A_PART)
    for n, invoice in enumerate(claim.invoices):
        must(f"invoices[{n}].agreement", invoice.agreement, agreements, _OF_AN_AGREEMENT)
        must(f"invoices[{n}].revises", invoice.revises, invoices, _OF_AN_INVOICE)
        for m, charge in enumerate(invoice.charges):
            place = f"invoices[{n}].charges[{m}]"
            must(f"{place}.line", charge.line, lines, _OF_A_LINE)
            must(f"{place}.finding", charge.finding, findings, _OF_A_FINDING)


def _check_quantities(claim: Claim, faults: Faults) -> None:
    """Refuse quantities that no list holds: each missing unit is followed by itself."""

    def at_most(place: str, quantity: int | None) -> None:
        faults.at_most(place, quantity, MOST_UNITS, _WHAT_A_LINE_HOLDS)

    for n, line in enumerate(claim.kit):
        at_most(f"kit[{n}].quantity", line.quantity)
        for m, part in enumerate(line.parts):
            at_most(f"kit[{n}].parts[{m}].per_unit", max(line.quantity, 1) * part.per_unit)
    for n, count in enumerate(claim.counts):
        for m, entry in enumerate(count.entries):
            if entry.quantity is not None and entry.quantity > MOST_UNITS:
                at_most(f"counts[{n}].entries[{m}].quantity", entry.quantity)
    for n, movement in enumerate(claim.movements):
        at_most(f"movements[{n}].quantity", movement.quantity)
    for n, finding in enumerate(claim.findings):
        at_most(f"findings[{n}].quantity", finding.quantity)


def _check_times(claim: Claim, faults: Faults) -> None:
    times: list[tuple[str, dt.datetime | None]] = []
    for n, agreement in enumerate(claim.agreements):
        times += [
            (f"agreements[{n}].starts", agreement.starts),
            (f"agreements[{n}].ends", agreement.ends),
            (f"agreements[{n}].custody_began", agreement.custody_began),
            (f"agreements[{n}].custody_ended", agreement.custody_ended),
        ]
    for n, count in enumerate(claim.counts):
        times.append((f"counts[{n}].at", count.at))
        times += [
            (f"counts[{n}].entries[{m}].at", entry.at)
            for m, entry in enumerate(count.entries)
            if entry.at is not None
        ]
    for n, agreement in enumerate(claim.agreements):
        faults.day(f"agreements[{n}].notified", agreement.notified)
        faults.day(f"agreements[{n}].paid", agreement.paid)
    for n, invoice in enumerate(claim.invoices):
        faults.day(f"invoices[{n}].dated", invoice.dated)
        faults.day(f"invoices[{n}].received", invoice.received)
    for n, occurrence in enumerate(claim.occurrences):
        faults.day(f"occurrences[{n}].day", occurrence.day)
    times += [(f"movements[{n}].at", m.at) for n, m in enumerate(claim.movements)]
    times += [(f"occurrences[{n}].at", o.at) for n, o in enumerate(claim.occurrences)]
    if claim.policy is not None and claim.policy.terms.period is not None:
        period = claim.policy.terms.period
        times += [
            ("policy.terms.period.begins", period.begins),
            ("policy.terms.period.ends", period.ends),
        ]
    naive = False
    for place, moment in times:
        faults.day(place, moment)
        if moment is not None and moment.utcoffset() is None:
            naive = True
            faults.add(
                place, said("the time has no offset"), said("a time with its offset from UTC")
            )
    if naive:
        return
    for n, agreement in enumerate(claim.agreements):
        began, ended = agreement.custody_began, agreement.custody_ended
        if began is not None and ended is not None and ended < began:
            faults.add(
                f"agreements[{n}].custody_ended",
                said("custody ends before it begins"),
                said("a later time"),
            )
        if agreement.starts and agreement.ends and agreement.ends < agreement.starts:
            faults.add(
                f"agreements[{n}].ends",
                said("the rental ends before it starts"),
                said("a later time"),
            )
    if claim.policy is not None and claim.policy.terms.period is not None:
        period = claim.policy.terms.period
        if period.ends <= period.begins:
            faults.add(
                "policy.terms.period.ends",
                said("the period ends before it begins"),
                said("a time after the beginning"),
            )

"""How claims use a policy's annual limit and students' certificates up, in order of occurrence.

Everything here is computed from the register's rows with their figures.  What a claim
should state as used before it is proposed with its working; a person accepts it, and it
is then a change of that claim.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import heapq
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from typing import NamedTuple

from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.shared_policies import same_name
from ldapp.claim.figures import ClaimFigures, PolicyUse
from ldapp.claim.shared import Certificate
from ldapp.claim.summary import ClaimSummary
from ldapp.errors import LdappError
from ldapp.language import said, said_of
from ldapp.local_forms import day_in_digits, local_number

_LAST = dt.datetime.max.replace(tzinfo=dt.UTC)


class PolicyKey(NamedTuple):
    """What tells one policy's period from another across claims."""

    insurer: str
    number: str
    begins: dt.datetime | None
    currency: str
    id: str
    """Only where the policy has no number."""


class UseLine(NamedTuple):
    """One occurrence in the order in which the limit is used up."""

    claim: str
    reference: str
    title: str
    at: dt.datetime | None
    policy: Decimal
    deductible: Decimal
    used: Decimal
    used_so_far: Decimal
    """With this one."""
    left: Decimal | None
    """None where the policy states no annual limit."""


class Proposal(NamedTuple):
    """What a claim states as used before it, and what the other claims come to."""

    claim: str
    reference: str
    stated: Decimal
    proposed: Decimal
    working: tuple[str, ...]

    @property
    def lowers(self) -> bool:
        """Whether the claim states more than is known here: claims kept elsewhere may count."""
        return self.proposed < self.stated


class PolicyAccount(NamedTuple):
    """One policy period over all its claims."""

    key: PolicyKey
    insurer: str
    number: str
    begins: dt.datetime | None
    ends: dt.datetime | None
    currency: str
    limit: Decimal | None
    claims: tuple[str, ...]
    hashes: tuple[tuple[str, str], ...]
    """Claim and fingerprint of its terms."""
    lines: tuple[UseLine, ...]
    proposals: tuple[Proposal, ...]
    remarks: tuple[str, ...]

    @property
    def used(self) -> Decimal:
        """What all claims have used of the limit."""
        return self.lines[-1].used_so_far if self.lines else Decimal(0)

    @property
    def left(self) -> Decimal | None:
        """What is left of the limit; None where none is stated."""
        return None if self.limit is None else max(Decimal(0), self.limit - self.used)


def key_of(figures: ClaimFigures, currency: str) -> PolicyKey:
    """Return which policy period a claim is under; a policy without a number by its id."""
    number = " ".join(figures.policy_number.casefold().split())
    return PolicyKey(
        " ".join(figures.insurer.casefold().split()),
        number,
        figures.begins,
        currency,
        "" if number else figures.policy,
    )


class _Use(NamedTuple):
    row: ClaimSummary
    one: PolicyUse

    @property
    def order(self) -> tuple[dt.datetime, str, str]:
        return (self.one.at or _LAST, self.row.reference, self.one.occurrence)


def policy_accounts(rows: Iterable[ClaimSummary]) -> tuple[PolicyAccount, ...]:
    """Return an account of each policy period, the latest period first."""
    under: dict[PolicyKey, list[ClaimSummary]] = {}
    for row in rows:
        if row.figures is not None and (row.figures.policy or row.figures.policy_number):
            under.setdefault(key_of(row.figures, row.currency), []).append(row)
    accounts = [_account(key, claims) for key, claims in under.items()]
    accounts.sort(key=lambda one: (one.number.casefold(), one.insurer.casefold()))
    accounts.sort(key=lambda one: one.begins or _LAST, reverse=True)
    return tuple(accounts)


def _account(key: PolicyKey, rows: Sequence[ClaimSummary]) -> PolicyAccount:
    figures = [row.figures for row in rows if row.figures is not None]
    limits = {one.aggregate for one in figures if one.aggregate is not None}
    limit = min(limits, default=None)
    uses = sorted(
        (_Use(row, one) for row in rows if row.figures for one in row.figures.uses),
        key=lambda use: use.order,
    )
    lines = _use_lines(
        uses,
        lambda use: use.aggregate_used,
        lambda used: None if limit is None else max(Decimal(0), limit - used),
        lambda figures: figures.aggregate_used_before,
    )
    first = figures[0]
    return PolicyAccount(
        key,
        first.insurer,
        first.policy_number,
        first.begins,
        first.ends,
        key.currency,
        limit,
        tuple(row.claim for row in rows),
        tuple((row.claim, row.figures.policy_hash) for row in rows if row.figures),
        lines,
        tuple(_proposals(rows, uses, limit)),
        tuple(_remarks(uses, limits)),
    )


def _use_lines(
    uses: Iterable[_Use],
    used_by: Callable[[PolicyUse], Decimal],
    left_after: Callable[[Decimal], Decimal | None],
    stated_before: Callable[[ClaimFigures], Decimal] = lambda _: Decimal(0),
) -> tuple[UseLine, ...]:
    """Run through occurrences in their order, with what is used and what is left after each.

    A claim that states more as used before it than is known here knows of claims that are
    kept elsewhere: what it states counts from it on.
    """
    so_far = Decimal(0)
    lines = []
    for row, one in uses:
        if row.figures is not None:
            so_far = max(so_far, stated_before(row.figures))
        used = used_by(one)
        so_far += used
        lines.append(
            UseLine(
                row.claim,
                row.reference,
                row.title,
                one.at,
                one.policy,
                one.deductible,
                used,
                so_far,
                left_after(so_far),
            )
        )
    return tuple(lines)


def _proposals(
    rows: Sequence[ClaimSummary], uses: Sequence[_Use], limit: Decimal | None
) -> Iterable[Proposal]:
    """Give the claims that state another amount than the ones before them come to, in order."""
    if limit is None:
        return
    figures = {row.claim: row.figures for row in rows if row.figures is not None}
    met: set[str] = set()
    before: list[_Use] = []
    so_far = Decimal(0)
    for use in uses:
        row = use.row
        if row.claim not in met:
            met.add(row.claim)
            stated = figures[row.claim].aggregate_used_before
            if stated != so_far:
                working = _working(before, so_far, limit, row)
                yield Proposal(row.claim, row.reference, stated, so_far, working)
        if use.one.aggregate_used:
            before.append(use)
            so_far += use.one.aggregate_used


_SHOWN = 6
"""How many occurrences a working names one by one; the earlier ones stand as one sum."""


def _working(
    before: Sequence[_Use], proposed: Decimal, limit: Decimal, row: ClaimSummary
) -> tuple[str, ...]:
    named = before[-_SHOWN:]
    lines = [
        f"{use.row.reference}, {_day(use.one.at)}: {_amount(use.one.aggregate_used)}"
        for use in named
    ]
    if len(before) > _SHOWN:
        earlier = proposed - sum((use.one.aggregate_used for use in named), Decimal(0))
        lines.insert(
            0,
            said_of(
                len(before) - _SHOWN,
                "{count} earlier occurrences: {earlier}",
                "{count} earlier occurrences: {earlier}",
                earlier=_amount(earlier),
            ),
        )
    lines.append(
        said(
            "used before {reference}: {proposed} of {limit} {currency}",
            reference=row.reference,
            proposed=_amount(proposed),
            limit=_amount(limit),
            currency=row.currency,
        )
    )
    return tuple(lines)


def _day(at: dt.datetime | None) -> str:
    return said("day not known") if at is None else day_in_digits(at.date())


def _amount(amount: Decimal) -> str:
    return local_number(f"{amount:,}")


def _remarks(uses: Sequence[_Use], limits: set[Decimal]) -> Iterable[str]:
    if len(limits) > 1:
        yield (
            said(
                "The claims state different annual limits; the lowest is used. Bring "
                "them to the office's policy."
            )
        )
    undated = sorted({use.row.reference for use in uses if use.one.at is None})
    if undated:
        yield said(
            "No day is known in {claims}: these come last in the order.", claims=", ".join(undated)
        )
    spans: dict[str, list[int]] = {}
    for number, use in enumerate(uses):
        if use.one.at is not None:
            spans.setdefault(use.row.claim, []).append(number)
    between = sorted(
        uses[places[0]].row.reference
        for places in spans.values()
        # Between the first and the last of a claim there are only its own, or another's.
        if places[-1] - places[0] + 1 > len(places)
    )
    if between:
        yield (
            said(
                "Occurrences of other claims lie between those of {claims}: what was "
                "used before its first one is proposed.",
                claims=", ".join(between),
            )
        )


def accept_proposals(
    read_rows: Callable[[], Iterable[ClaimSummary]],
    open_claim: Callable[[str], OpenClaim],
    reckon: Callable[[OpenClaim], ClaimSummary],
    key: PolicyKey,
    *,
    lower: bool = False,
    progress: Callable[[int, int, str], None] = lambda done, total, text: None,
) -> int:
    """State in each claim what the ones before it used, in order; return how many changed.

    What one claim uses may depend on what was used before it, so each claim that changes is
    reckoned before the next is looked at; the rows are read once.  A claim that states more
    than the others come to is changed only with ``lower``: claims that are kept elsewhere
    may have used it.

    Raises:
        LdappError: somebody changed a claim's policy since the rows were read; the claims
            before it are changed, the rest is as it was.
    """
    present = {
        row.claim: row
        for row in read_rows()
        if row.figures is not None and key_of(row.figures, row.currency) == key
    }
    if all(row.figures is None or row.figures.aggregate is None for row in present.values()):
        return 0
    ahead = [entry for row in present.values() for entry in _ahead(row)]
    heapq.heapify(ahead)
    met: set[str] = set()
    so_far, changed = Decimal(0), 0
    while ahead:
        *_, row, one = heapq.heappop(ahead)
        if present[row.claim] is not row or row.figures is None:
            # The claim was reckoned anew: what it uses now lies ahead too.
            continue
        stated = row.figures.aggregate_used_before
        if row.claim not in met:
            progress(len(met), len(present), row.reference)
            met.add(row.claim)
            if stated < so_far or (lower and stated > so_far):
                desk = open_claim(row.claim)
                proposal = Proposal(row.claim, row.reference, stated, so_far, ())
                changed += accept_proposal(desk, proposal)
                present[row.claim] = fresh = reckon(desk)
                for entry in _ahead(fresh):
                    heapq.heappush(ahead, entry)
                continue
        so_far += one.aggregate_used
    progress(len(present), len(present), "")
    return changed


_Ahead = tuple[tuple[dt.datetime, str, str], str, int, ClaimSummary, PolicyUse]


def _ahead(row: ClaimSummary) -> Iterable[_Ahead]:
    """Give what a claim uses by its place in the order; rows themselves are never compared."""
    for one in () if row.figures is None else row.figures.uses:
        yield (_Use(row, one).order, row.claim, id(one), row, one)


def accept_proposal(desk: OpenClaim, proposal: Proposal) -> bool:
    """State in a claim what earlier claims used of the annual limit.

    Raises:
        LdappError: the claim has no policy any more, or states another amount by now.
    """
    policy = desk.claim.policy
    if policy is None or policy.aggregate_used_before not in (proposal.stated, proposal.proposed):
        raise LdappError(
            said(
                "The policy of {reference} was changed in the meantime. Look at it again.",
                reference=proposal.reference,
            )
        )
    new = dataclasses.replace(policy, aggregate_used_before=proposal.proposed)
    return desk.change(
        said("Annual limit used by earlier claims"),
        lambda claim: dataclasses.replace(claim, policy=new),
    )


class CertificateAccount(NamedTuple):
    """A student's certificate and the occurrences that use it up."""

    certificate: Certificate
    lines: tuple[UseLine, ...]

    @property
    def used(self) -> Decimal:
        """What the policy pays for the student's occurrences."""
        return self.lines[-1].used_so_far if self.lines else Decimal(0)

    @property
    def left(self) -> Decimal:
        """What is left; below 0 where more was used than the certificate confirms."""
        return self.certificate.limit - self.used


def certificate_account(one: Certificate, rows: Iterable[ClaimSummary]) -> CertificateAccount:
    """Return which claims of the student use the certificate up, in order of occurrence."""
    uses = []
    for row in rows:
        figures = row.figures
        if (
            figures is None
            or row.currency != one.currency
            or not same_name(figures.policy_number, one.policy_number)
        ):
            continue
        if not any(
            (one.reference and same_name(student.reference, one.reference))
            or same_name(student.name, one.student)
            for student in figures.students
        ):
            continue
        uses += [
            _Use(row, use)
            for use in figures.uses
            if use.at is not None and one.begins <= use.at.date() <= one.ends
        ]
    uses.sort(key=lambda use: use.order)
    lines = _use_lines(uses, lambda use: use.policy, lambda used: one.limit - used)
    return CertificateAccount(one, lines)

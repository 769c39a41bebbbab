"""What the page of policies and certificates shows, read in a worker."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from ldapp.casework.policy_use import CertificateAccount, PolicyAccount
from ldapp.desktop.policies_columns import Member

if TYPE_CHECKING:
    from ldapp.casework.register import Register
    from ldapp.casework.shared_policies import Kept
    from ldapp.desktop.jobs import Progress


class Loaded(NamedTuple):
    """What the page shows, read in one go."""

    accounts: tuple[PolicyAccount, ...]
    members: dict[int, tuple[Member, ...]]
    """The claims of each account, by the account's place."""
    kept: tuple[Kept, ...]
    certificates: tuple[CertificateAccount, ...]
    versions: dict[str, int]


def load(register: Register, progress: Progress) -> Loaded:
    """Read the accounts, the office's policies and the certificates."""
    from ldapp.casework.figures import terms_hash  # noqa: PLC0415 - with the store, in a worker
    from ldapp.casework.policy_use import certificate_account, policy_accounts  # noqa: PLC0415
    from ldapp.casework.shared_policies import (  # noqa: PLC0415
        certificates,
        same_name,
        shared_policies,
    )

    progress(0, 0)
    rows = register.rows_with_figures()
    accounts = policy_accounts(rows)
    kept = shared_policies(register)
    by_claim = {row.claim: row for row in rows}
    members = {}
    for place, account in enumerate(accounts):
        record = next(
            (
                one.record
                for one in kept
                if same_name(one.record.number, account.number)
                and same_name(one.record.insurer.name, account.insurer)
                and one.record.currency == account.currency
            ),
            None,
        )
        wanted = None if record is None else terms_hash(record.number, record.terms)
        members[place] = tuple(
            Member(
                claim,
                by_claim[claim].reference,
                by_claim[claim].title,
                "no record" if wanted is None else "as kept" if found == wanted else "differs",
                record,
            )
            for claim, found in account.hashes
        )
    held = certificates(register)
    return Loaded(
        accounts,
        members,
        kept,
        tuple(certificate_account(one.record, rows) for one in held),
        {one.record.id: one.version for one in held},
    )

"""What is wrong with a claim's record or with the database's file, a sentence for each."""

from __future__ import annotations

from sqlalchemy import Connection

from ldapp.errors import LdappError
from ldapp.language import said
from ldapp.store.chain import chain_breaks
from ldapp.store.claim_rows import key_and_version
from ldapp.store.journal_rows import differences, entry_of, entry_rows
from ldapp.store.reading import read_claim


def record_faults(connection: Connection, claim_id: str) -> tuple[str, ...]:
    """Return a sentence for each sign that a claim or its record was changed by hand.

    The chain of hashes is recomputed, the number of entries is compared with the claim's
    version, and the claim is made anew from the entries and compared.
    """
    key, version = key_and_version(connection, claim_id)
    rows = entry_rows(connection, key)
    try:
        claim = read_claim(connection, key)
        entries = [entry_of(row) for row in rows]
    except LdappError as error:
        return (str(error),)
    texts = [row[-1] for row in rows]
    found = list(chain_breaks(zip(entries, texts, strict=True)))
    last = entries[-1].number if entries else 0
    if last != version:
        found.append(
            said(
                "The claim was saved {saved} times, but its record ends at entry {last}: entries "
                "were cut off or added.",
                saved=version,
                last=last,
            )
        )
    if not found:
        found.extend(differences(claim, entries))
    return tuple(found)


def file_faults(connection: Connection) -> list[str]:
    """Return what SQLite finds wrong with its file, then with what belongs to what."""
    found = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
    wrong = [str(one) for one in found if one != "ok"]
    if not wrong:
        rows = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
        wrong = [said("a row of {table} belongs to nothing", table=row[0]) for row in rows]
    return wrong

"""A library: one folder with the database of claims, the originals and the exports."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Self

from sqlalchemy import delete, select, update

from ldapp.claim.claim import Claim
from ldapp.claim.figures import ClaimFigures
from ldapp.claim.journal import EntryOutline, JournalEntry, RecordChange
from ldapp.claim.record import with_fields
from ldapp.claim.shared import SharedRecord
from ldapp.claim.summary import ClaimSummary
from ldapp.collector import collector_held
from ldapp.errors import LdappError
from ldapp.language import said
from ldapp.store.bookkeeping import OriginalRow
from ldapp.store.chain import (
    chain_breaks,
    chained,
    changes_text,
    clock_remarks,
    first_changes,
)
from ldapp.store.checks import file_faults, record_faults
from ldapp.store.claim_rows import insert_claim, key_and_version, known_originals
from ldapp.store.database import Database, office_url, open_engine, sqlite_url
from ldapp.store.faults import DamagedLibraryError, damaged, from_system
from ldapp.store.journal_rows import (
    conflict,
    entry_of,
    entry_rows,
    insert_entries,
    last_entry,
)
from ldapp.store.kinds import HEAD, JOURNAL
from ldapp.store.migrating import bring_up_to_date
from ldapp.store.originals import KnownOriginal, Originals
from ldapp.store.reading import read_claim
from ldapp.store.register_rows import (
    put_summary,
    read_figures_due_before,
    read_summaries,
    read_summaries_with_figures,
    read_summary,
)
from ldapp.store.remembered import (
    put_remembered,
    read_everything_remembered,
    read_remembered,
)
from ldapp.store.shape import DATABASE
from ldapp.store.shared_records import put_shared, read_shared, remove_shared
from ldapp.store.writing import check_ids, write_changes

PATIENCE_S = 5.0
"""How long a change waits for another program that is writing, in seconds."""

Clock = Callable[[], dt.datetime]


def computer_clock() -> dt.datetime:
    """Return the computer's time, aware, in UTC."""
    return dt.datetime.now(dt.UTC)


class Library:
    """Everything that is kept.  Any thread may call it; each call is one transaction."""

    def __init__(self, folder: Path, originals: Path, database: Database, clock: Clock) -> None:
        """Use :meth:`open`; this takes a database that is up to date already."""
        self.folder = folder
        self.exports = folder / "exports"
        self.originals = Originals(originals, self._known_originals)
        self._database = database
        self._clock = clock

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        database_url: str | None = None,
        originals: Path | None = None,
        clock: Clock = computer_clock,
        patience_s: float = PATIENCE_S,
    ) -> Self:
        """Open the library in ``folder``, making it where it does not exist.

        ``database_url`` names an office's database in place of the file in the folder and
        ``originals`` its shared folder in place of the one in the folder; ``clock`` gives
        the aware time that is written into the record.

        Raises:
            MachineError: the folder cannot be written to, or the database is newer than
                this program, damaged, locked or unreachable.
            LdappError: ``database_url`` is no address of a database.
        """
        _make_writable(folder)
        file = None if database_url else folder / DATABASE
        place = said("The office's database") if file is None else str(file)
        url = office_url(database_url) if database_url else sqlite_url(folder / DATABASE)
        database = Database(open_engine(url, patience_s=patience_s), place)
        try:
            bring_up_to_date(database, file, patience_s)
            library = cls(folder, originals or folder / "originals", database, clock)
            library._make_folders()
        except BaseException:
            database.close()
            raise
        return library

    def _make_folders(self) -> None:
        try:
            self.exports.mkdir(exist_ok=True)
            # A folder of originals that is gone may be a drive that is not connected:
            # an empty one in its place would hide that.
            with self._database.reading() as connection:
                empty = connection.execute(select(OriginalRow.sha256).limit(1)).first() is None
            if empty:
                self.originals.folder.mkdir(exist_ok=True)
        except OSError as error:
            raise from_system(error, self.folder) from error
        self.originals.clear_abandoned()

    def close(self) -> None:
        """Close the database; the library cannot be used after this."""
        self._database.close()

    # --- claims ---------------------------------------------------------------------------

    @collector_held()
    def summaries(self) -> tuple[ClaimSummary, ...]:
        """Return the rows of the register, the latest change first."""
        with self._database.reading() as connection:
            return read_summaries(connection)

    @collector_held()
    def summaries_with_figures(self) -> tuple[ClaimSummary, ...]:
        """Return the rows of the register with what each claim adds to reports."""
        with self._database.reading() as connection:
            return read_summaries_with_figures(connection)

    @collector_held()
    def figures_due_before(self, day: dt.date) -> dict[str, ClaimFigures]:
        """Return by claim the figures of the rows whose next deadline is before a day."""
        with self._database.reading() as connection:
            return read_figures_due_before(connection, day)

    def summary(self, claim_id: str) -> ClaimSummary | None:
        """Return the register's row of one claim with its figures, or None."""
        with self._database.reading() as connection:
            key, _ = key_and_version(connection, claim_id)
            return read_summary(connection, key)

    @collector_held()
    def create(self, claim: Claim, *, who: str, label: str, summary: ClaimSummary) -> int:
        """Keep a new claim; return its version, 1.  Its first entry holds every record.

        Raises:
            LdappError: the library has a claim with this id, or a value cannot be kept exactly.
            MachineError: the database cannot be written.
        """
        check_ids(claim)
        now = self._clock()
        changes = first_changes(claim)
        text = changes_text(changes)
        entry = chained(JournalEntry(number=1, at=now, who=who, label=label, changes=changes), text)
        with self._database.writing() as connection:
            key = insert_claim(connection, claim, 1, now, changes)
            insert_entries(connection, key, [(entry, text)])
            put_summary(connection, key, with_fields(summary, changed=now))
        return 1

    @collector_held()
    def import_with_journal(
        self, claim: Claim, *, summary: ClaimSummary, over: int | None = None
    ) -> int:
        """Keep a claim from a claim file or bundle with its journal; return its version.

        ``over`` is the version of an older state of the same claim, whose record the
        claim's own continues: it is replaced in the same transaction.

        Raises:
            LdappError: its journal is empty or broken, the library has a claim with this
                id, or a value cannot be kept exactly.
        """
        if not claim.journal:
            raise LdappError(
                said("The claim brings no record of its changes. Take it in as a new claim.")
            )
        check_ids(claim)
        texts = [changes_text(entry.changes) for entry in claim.journal]
        entries = list(zip(claim.journal, texts, strict=True))
        breaks = chain_breaks(entries)
        if breaks:
            raise LdappError(
                said(
                    "The claim's record of changes is broken, so it was not taken in with it. "
                    "{breaks}",
                    breaks=" ".join(breaks),
                )
            )
        version = claim.journal[-1].number
        now = self._clock()
        with self._database.writing() as connection:
            if over is not None:
                old, present = key_and_version(connection, claim.id, to_write=True)
                last = last_entry(connection, old)
                if present != over or last.hash != claim.journal[over - 1].hash:
                    raise conflict(last)
                connection.execute(delete(HEAD.table).where(HEAD.table.c.key == old))
            key = insert_claim(connection, claim, version, now, first_changes(claim))
            insert_entries(connection, key, entries)
            put_summary(connection, key, with_fields(summary, changed=claim.journal[-1].at))
        return version

    @collector_held()
    def load(self, claim_id: str) -> tuple[Claim, int]:
        """Return a claim, without its journal, and its version.

        Raises:
            LdappError: there is no such claim.
            DamagedLibraryError: a row holds what this program never writes.
        """
        with self._database.reading() as connection:
            key, version = key_and_version(connection, claim_id)
            return read_claim(connection, key), version

    @collector_held()
    def save(
        self,
        claim: Claim,
        *,
        expected_version: int,
        changes: tuple[RecordChange, ...],
        who: str,
        label: str,
        undoes: int | None,
        summary: ClaimSummary,
    ) -> tuple[int, JournalEntry]:
        """Write the changed records, the journal entry and the summary in one transaction.

        ``claim`` is the claim as it stands after ``changes``.  Return its new version and
        the entry.

        Raises:
            ConflictError: somebody saved the claim since ``expected_version``.
            LdappError: a value cannot be kept exactly.
            MachineError: the database cannot be written; nothing was changed.
        """
        if any(change.before is None for change in changes):
            check_ids(claim)
        text = changes_text(changes)
        with self._database.writing() as connection:
            key, version = key_and_version(connection, claim.id, to_write=True)
            last = last_entry(connection, key)
            if version != expected_version or last.number != version:
                raise conflict(last)
            now = self._clock()
            write_changes(connection, key, claim, changes, now)
            entry = chained(
                JournalEntry(
                    number=version + 1,
                    at=now,
                    who=who,
                    label=label,
                    undoes=undoes,
                    changes=changes,
                    previous=last.hash,
                ),
                text,
            )
            insert_entries(connection, key, [(entry, text)])
            connection.execute(
                update(HEAD.table).where(HEAD.table.c.key == key).values(version=version + 1)
            )
            put_summary(connection, key, with_fields(summary, changed=now))
        return version + 1, entry

    def remove(self, claim_id: str) -> None:
        """Delete a claim with its journal; its originals stay, other claims may need them.

        Raises:
            LdappError: there is no such claim.
        """
        with self._database.writing() as connection:
            key, _ = key_and_version(connection, claim_id, to_write=True)
            connection.execute(delete(HEAD.table).where(HEAD.table.c.key == key))

    def write_summary(self, summary: ClaimSummary) -> None:
        """Replace the register's row of a claim; when the claim was changed stays as it is.

        Raises:
            LdappError: there is no such claim.
        """
        with self._database.writing() as connection:
            key, _ = key_and_version(connection, summary.claim, to_write=True)
            put_summary(connection, key, summary)

    # --- journal --------------------------------------------------------------------------

    @collector_held()
    def journal(self, claim_id: str) -> tuple[JournalEntry, ...]:
        """Return every entry of a claim, first one first."""
        with self._database.reading() as connection:
            key, _ = key_and_version(connection, claim_id)
            rows = entry_rows(connection, key)
        return tuple(entry_of(row) for row in rows)

    def journal_entry(self, claim_id: str, number: int) -> JournalEntry:
        """Return one entry of a claim; raises LdappError where there is none."""
        with self._database.reading() as connection:
            key, _ = key_and_version(connection, claim_id)
            rows = entry_rows(connection, key, number)
        if not rows:
            raise LdappError(
                said(
                    "The record of this claim has no entry {number}. Open it again.", number=number
                )
            )
        return entry_of(rows[0])

    def journal_outline(self, claim_id: str) -> tuple[EntryOutline, ...]:
        """Return number, time, person, label and what it undoes, of every entry."""
        table = JOURNAL.table.c
        with self._database.reading() as connection:
            key, _ = key_and_version(connection, claim_id)
            rows = connection.execute(
                select(table.number, table.at, table.who, table.label, table.undoes)
                .where(table.claim == key)
                .order_by(table.number)
            ).all()
        return tuple(EntryOutline(*row) for row in rows)

    def clock_remarks(self, claim_id: str) -> tuple[str, ...]:
        """Return a sentence for each entry that shows a clock that had been set back."""
        return clock_remarks(self.journal_outline(claim_id))

    @collector_held()
    def check_journal(self, claim_id: str) -> tuple[str, ...]:
        """Return a sentence for each sign that the record or the claim was changed by hand.

        The chain of hashes is recomputed, the number of entries is compared with the
        claim's version, and the claim is made anew from the entries and compared.
        """
        with self._database.reading() as connection:
            return record_faults(connection, claim_id)

    # --- records that claims share --------------------------------------------------------

    def shared(self, kind: str) -> tuple[SharedRecord, ...]:
        """Return the records of a kind that claims share, by their names."""
        with self._database.reading() as connection:
            return read_shared(connection, kind)

    def put_shared(self, one: SharedRecord, *, who: str) -> SharedRecord:
        """Keep a shared record over the version it names; return it as it stands then.

        Raises:
            ConflictError: somebody has changed or removed it since.
        """
        now = self._clock()
        with self._database.writing() as connection:
            return put_shared(connection, one, now, who)

    def remove_shared(self, kind: str, key: str) -> None:
        """Remove a shared record; claims keep what they took from it."""
        with self._database.writing() as connection:
            remove_shared(connection, kind, key)

    # --- the rest -------------------------------------------------------------------------

    def remember(self, key: str, value_json: str) -> None:
        """Keep a small choice under a name, as JSON text, in place of the one before."""
        with self._database.writing() as connection:
            put_remembered(connection, key, value_json)

    def remembered(self, key: str) -> str | None:
        """Return what was remembered under a name, or None."""
        with self._database.reading() as connection:
            return read_remembered(connection, key)

    def everything_remembered(self) -> dict[str, str]:
        """Return every small choice that is kept, as JSON text by its name."""
        with self._database.reading() as connection:
            return read_everything_remembered(connection)

    def original_hashes(self) -> tuple[str, ...]:
        """Return the SHA-256 of every original that a claim refers to or once referred to."""
        return tuple(sorted({one.sha256 for one in self._known_originals() if one.sha256}))

    def check_database(self) -> tuple[str, ...]:
        """Return a sentence for each thing that the database finds wrong with its own file."""
        if self._database.engine.dialect.name != "sqlite":
            return ()
        try:
            with self._database.reading() as connection:
                wrong = file_faults(connection)
        except DamagedLibraryError as error:
            return (str(error),)
        return tuple(str(damaged(self._database.place, one)) for one in wrong)

    def _known_originals(self) -> Iterator[KnownOriginal]:
        with self._database.reading() as connection:
            yield from known_originals(connection)


def _make_writable(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise from_system(error, folder) from error

"""A claim on the desk: changed through one door, saved at once, undone through its journal."""

from __future__ import annotations

import dataclasses
import threading
import uuid
from collections.abc import Callable, Collection
from typing import NamedTuple, Protocol

from ldapp.casework.conflicts import Conflict, RecordKey, conflict_of, merged
from ldapp.casework.free_text import refuse_card_numbers_in
from ldapp.casework.originals import Originals
from ldapp.casework.steps import Steps
from ldapp.casework.summary import empty_summary, summary_of
from ldapp.claim.changes import apply_changes, difference, inverse
from ldapp.claim.claim import Claim
from ldapp.claim.journal import EntryOutline, JournalEntry, RecordChange
from ldapp.claim.orders import changed_kind
from ldapp.claim.summary import ClaimSummary
from ldapp.collector import collector_held
from ldapp.errors import ConflictError, LdappError, MachineError
from ldapp.language import said
from ldapp.reckoning.result import Reckoning


def new_id() -> str:
    """Return an identifier for a new record; its value means nothing."""
    return uuid.uuid4().hex[:12]


class ClaimKeeper(Protocol):
    """What an open claim needs of the place where claims are kept."""

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
        """Write the changed records, the journal entry and the summary in one transaction."""
        ...

    def load(self, claim_id: str) -> tuple[Claim, int]:
        """Return the claim as it is kept, without its journal, and its version."""
        ...

    def journal_outline(self, claim_id: str) -> tuple[EntryOutline, ...]:
        """Return every entry of the journal without its values."""
        ...

    def journal_entry(self, claim_id: str, number: int) -> JournalEntry:
        """Return one whole journal entry."""
        ...

    def write_summary(self, summary: ClaimSummary) -> None:
        """Replace the register's row of a claim."""
        ...


class Unsaved(NamedTuple):
    """A change that could not be saved: kept until it is, or until a person gives it up."""

    label: str
    new: Claim
    """The claim with it."""
    changes: tuple[RecordChange, ...]
    undoes: int | None


ChangeListener = Callable[[frozenset[str]], None]
"""Called after a change with the kinds of record that it touched (ldapp.claim.changes)."""


class OpenClaim:
    """One claim, open.  Any thread may change it; changes are made one after the other."""

    def __init__(
        self,
        keeper: ClaimKeeper,
        claim: Claim,
        version: int,
        outline: tuple[EntryOutline, ...],
        *,
        originals: Originals,
        who: str,
        summary: ClaimSummary,
    ) -> None:
        self._keeper = keeper
        self._claim = claim
        self._version = version
        self._outline = list(outline)
        self._steps = Steps(outline)
        self._summary = summary
        self._lock = threading.RLock()
        self._listeners: list[ChangeListener] = []
        self._unsaved: Unsaved | None = None
        self.originals = originals
        self.who = who

    @property
    def claim(self) -> Claim:
        """The claim as it stands; the value never changes under a reader."""
        return self._claim

    @property
    def version(self) -> int:
        """How often the claim was saved; another value in the store is a conflict."""
        return self._version

    def listen(self, listener: ChangeListener) -> None:
        """Call ``listener`` after every change, in the thread that made it."""
        self._listeners.append(listener)

    def stop_listening(self, listener: ChangeListener) -> None:
        """Call ``listener`` no more."""
        if listener in self._listeners:
            self._listeners.remove(listener)

    def change(self, label: str, make: Callable[[Claim], Claim]) -> bool:
        """Make and save one change, named ``label`` in undo; False where nothing changed.

        Raises:
            LdappError: it brings a payment card number into a text.
            ConflictError: somebody else saved the claim since it was opened.
            MachineError: it cannot be written; the claim stays as it was.
        """
        with self._lock:
            # Thousands of new records hold no rubbish; looking for some would stall the window.
            with collector_held():
                if self._unsaved is not None and self._unsaved.undoes is None:
                    # What could not be saved before goes with this change, or would be lost.
                    label = f"{self._unsaved.label}; {label}"
                    new = make(self._unsaved.new)
                else:
                    new = make(self._claim)
                changes = difference(self._claim, new)
            if not changes:
                return False
            refuse_card_numbers_in(changes)
            self._save(new, changes, label, undoes=None)
        self._tell(changes)
        return True

    def _save(
        self, new: Claim, changes: tuple[RecordChange, ...], label: str, undoes: int | None
    ) -> None:
        summary = plain_summary(new, self._summary)
        try:
            version, entry = self._keeper.save(
                new,
                expected_version=self._version,
                changes=changes,
                who=self.who,
                label=label,
                undoes=undoes,
                summary=summary,
            )
        except (MachineError, ConflictError):
            self._unsaved = Unsaved(label, new, changes, undoes)
            raise
        self._saved(new, version, entry, summary)

    def _saved(self, new: Claim, version: int, entry: JournalEntry, summary: ClaimSummary) -> None:
        self._claim, self._version, self._summary = new, version, summary
        self._unsaved = None
        done = EntryOutline(entry.number, entry.at, entry.who, entry.label, entry.undoes)
        self._outline.append(done)
        self._steps.add(done)

    # --- what could not be saved ------------------------------------------------------------

    @property
    def unsaved_label(self) -> str | None:
        """The name of the change that could not be saved, if there is one."""
        return None if self._unsaved is None else self._unsaved.label

    def retry(self) -> bool:
        """Save again what could not be saved; False where there is nothing of that kind.

        A connection may have been lost after the change had arrived: then it is not made a
        second time.

        Raises:
            ConflictError: somebody else saved the claim in the meantime.
            MachineError: it still cannot be written; the change is kept.
        """
        with self._lock:
            unsaved = self._unsaved
            if unsaved is None:
                return False
            _, version = self._keeper.load(self._claim.id)
            if version == self._version + 1 and self._arrived(version, unsaved):
                entry = self._keeper.journal_entry(self._claim.id, version)
                summary = plain_summary(unsaved.new, self._summary)
                self._saved(unsaved.new, version, entry, summary)
            else:
                self._save(unsaved.new, unsaved.changes, unsaved.label, unsaved.undoes)
            self._tell(unsaved.changes)
            return True

    def _arrived(self, number: int, unsaved: Unsaved) -> bool:
        entry = self._keeper.journal_entry(self._claim.id, number)
        return (entry.who, entry.label, entry.changes) == (
            self.who, unsaved.label, unsaved.changes,
        )  # fmt: skip

    def give_up_unsaved(self) -> None:
        """Forget the change that could not be saved."""
        with self._lock:
            self._unsaved = None

    def conflict(self) -> Conflict | None:
        """Return both versions, where somebody saved the claim before me; else None."""
        with self._lock:
            if self._unsaved is None:
                return None
            theirs, version = self._keeper.load(self._claim.id)
            if version == self._version:
                return None
            last = self._keeper.journal_entry(self._claim.id, version)
            return conflict_of(
                self._claim,
                theirs,
                self._unsaved.new,
                who=last.who,
                label=self._unsaved.label,
                version=version,
            )

    def settle_conflict(self, take_mine: Collection[RecordKey]) -> bool:
        """Take the claim as the others left it, with the chosen records of mine on top.

        ``take_mine`` are the keys of ``Conflict.records``; none takes theirs alone.  Return
        whether something of mine was saved, as a change of its own.

        Raises:
            ConflictError: a chosen record belongs to one that was removed; nothing is lost.
            MachineError: it cannot be written; my version is kept.
        """
        with self._lock:
            conflict = self.conflict()
            if conflict is None:
                return self.retry()
            new = merged(conflict, take_mine)
            unsaved, before = self._unsaved, self._claim
            # What was saved since the conflict was looked at is a conflict of its own: mine is
            # put on exactly the version that it was laid beside.
            self._take(conflict.theirs, conflict.version)
            self._tell(difference(before, self._claim))
            changes = difference(self._claim, new)
            if changes and unsaved is not None:
                self._save(new, changes, unsaved.label, undoes=None)
                self._tell(changes)
            return bool(changes)

    def reload(self) -> None:
        """Take the claim as it is kept now; what could not be saved is given up."""
        with self._lock:
            before = self._claim
            self._take(*self._keeper.load(before.id))
            self._tell(difference(before, self._claim))

    def _take(self, claim: Claim, version: int) -> None:
        self._outline = [
            one for one in self._keeper.journal_outline(claim.id) if one.number <= version
        ]
        self._steps = Steps(tuple(self._outline))
        self._claim, self._version = claim, version
        self._summary = plain_summary(claim, self._summary)
        self._unsaved = None

    def _tell(self, changes: tuple[RecordChange, ...]) -> None:
        kinds = frozenset(changed_kind(change) for change in changes)
        for listener in tuple(self._listeners):
            listener(kinds)

    @property
    def undo_label(self) -> str | None:
        """The name of the change that :meth:`undo` takes back."""
        one = self._steps.undoable(self.who)
        return None if one is None else one.label

    @property
    def redo_label(self) -> str | None:
        """The name of the change that :meth:`redo` makes again."""
        one = self._steps.redoable(self.who)
        return None if one is None else one.label

    def undo(self) -> str:
        """Take back this person's latest change, as a new journal entry; return its name.

        Raises:
            ConflictError: what it changed has been changed since.
            LdappError: there is nothing to undo.
        """
        with self._lock:
            target = self._steps.undoable(self.who)
            if target is None:
                raise LdappError(said("There is no change of yours to undo."))
            return self._take_back(target)

    def redo(self) -> str:
        """Make the change again that this person undid last; return its name.

        Raises:
            ConflictError: what it changed has been changed since.
            LdappError: there is nothing to make again.
        """
        with self._lock:
            target = self._steps.redoable(self.who)
            if target is None:
                raise LdappError(said("There is no undone change to make again."))
            return self._take_back(target)

    def _take_back(self, target: EntryOutline) -> str:
        if self._unsaved is not None and self._unsaved.undoes != target.number:
            raise LdappError(
                said(
                    "“{label}” is not saved yet. Try again or compare both versions first: "
                    "it would be lost otherwise.",
                    label=self._unsaved.label,
                )
            )
        entry = self._keeper.journal_entry(self._claim.id, target.number)
        changes = inverse(entry.changes)
        new = apply_changes(self._claim, changes)
        self._save(new, changes, target.label, undoes=target.number)
        self._tell(changes)
        return target.label

    def outline(self) -> tuple[EntryOutline, ...]:
        """What was done so far, first entry first."""
        return tuple(self._outline)

    def entry(self, number: int) -> JournalEntry:
        """Return one whole entry of the record; raises LdappError where there is none."""
        return self._keeper.journal_entry(self._claim.id, number)

    def write_summary(self, reckoning: Reckoning | None, open_points: int) -> None:
        """Bring the register's row up to date with a reckoning of the present claim."""
        with self._lock:
            summary = summary_of(self._claim, reckoning, open_points)
            if summary != dataclasses.replace(self._summary, changed=None):
                self._keeper.write_summary(summary)
                self._summary = summary


def plain_summary(claim: Claim, before: ClaimSummary) -> ClaimSummary:
    """Return the register's row with what can be read off; amounts stay and are marked old."""
    fresh = empty_summary(claim)
    return dataclasses.replace(
        before,
        reference=fresh.reference,
        title=fresh.title,
        currency=fresh.currency,
        stage=fresh.stage,
        rental_companies=fresh.rental_companies,
        invented=fresh.invented,
        policy=fresh.policy,
        people=fresh.people,
        papers_missing=fresh.papers_missing,
        figures=None,
        reckoning_version="",
    )

"""What can be undone and made again, from the outline of a claim's record."""

from __future__ import annotations

from ldapp.claim.journal import EntryOutline


class Steps:
    """What can be undone and made again, from the journal's entries in their order.

    An entry that takes back the latest change is an undo; one that takes back the latest
    undo is a redo, and can itself be undone.  The first entry is the claim itself.
    """

    def __init__(self, entries: tuple[EntryOutline, ...] = ()) -> None:
        self._done: list[EntryOutline] = []
        self._undone: list[EntryOutline] = []
        for entry in entries:
            self.add(entry)

    def add(self, entry: EntryOutline) -> None:
        """Take one more entry into account."""
        if entry.number == 1:
            return
        if entry.undoes is None:
            self._done.append(entry)
            self._undone = [one for one in self._undone if one.who != entry.who]
        elif any(one.number == entry.undoes for one in self._done):
            self._done = [one for one in self._done if one.number != entry.undoes]
            self._undone.append(entry)
        else:
            self._undone = [one for one in self._undone if one.number != entry.undoes]
            self._done.append(entry)

    def undoable(self, who: str) -> EntryOutline | None:
        """The latest change of ``who`` that still stands."""
        return next((one for one in reversed(self._done) if one.who == who), None)

    def redoable(self, who: str) -> EntryOutline | None:
        """The latest undo of ``who`` after which ``who`` changed nothing else."""
        return next((one for one in reversed(self._undone) if one.who == who), None)

"""Faults that a person can do something about.

Every :class:`LdappError` carries one sentence that says what happened, to which
file or place, and what to do.  Its ``exit_code`` is what the command line ends
with: 2 where the input is wrong, 3 where the machine lacks something.
"""

from __future__ import annotations

from dataclasses import dataclass

from ldapp.language import said


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong with an input: where, what, and what is expected."""

    file: str
    place: str
    wrong: str
    expected: str

    def without_place(self) -> str:
        """Return what is wrong and expected, for a list that names the place beside it."""
        return said("{wrong}. Expected: {expected}.", wrong=self.wrong, expected=self.expected)

    def sentence(self) -> str:
        """Return the fault as one line for a person."""
        where = f"{self.file}, {self.place}" if self.place else self.file
        return said(
            "{where}: {wrong}. Expected: {expected}.",
            where=where,
            wrong=self.wrong,
            expected=self.expected,
        )


class LdappError(Exception):
    """An expected fault; ``str(error)`` is the sentence for the person."""

    exit_code = 2


class InputError(LdappError):
    """A file that was handed in cannot be used; ``faults`` lists every reason at once."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(fault.sentence() for fault in faults))


class MachineError(LdappError):
    """The machine lacks something: a display, a writable folder, disk space."""

    exit_code = 3


class UnreadableFileError(MachineError):
    """A file that was handed in cannot be read, as against a place that cannot be written."""


class ConflictError(LdappError):
    """Somebody else changed the same claim since it was opened."""


class Cancelled(Exception):  # noqa: N818 - cancelling is a wish, not an error
    """The person asked for the work to stop."""

"""What the database says, turned into one sentence for a person."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError

from ldapp.errors import LdappError, MachineError
from ldapp.language import marked, said


class DamagedLibraryError(MachineError):
    """The database holds something that this program never writes."""


def locked(place: str) -> MachineError:
    """Return the fault for a database that another program holds."""
    return MachineError(
        said(
            "Another program is writing to {place} and has not finished. Nothing was "
            "changed; wait a moment and try again.",
            place=place,
        )
    )


def full(place: str) -> MachineError:
    """Return the fault for a full disk."""
    return MachineError(
        said(
            "The disk that holds {place} is full. Nothing was changed; free some "
            "space and try again.",
            place=place,
        )
    )


def not_writable(place: str) -> MachineError:
    """Return the fault for a folder that may not be written to."""
    return MachineError(
        said(
            "{place} cannot be written to. Give yourself the right to write there, "
            "or choose another folder with --library or LDAPP_LIBRARY.",
            place=place,
        )
    )


def damaged(place: str, what: str) -> DamagedLibraryError:
    """Return the fault for a damaged database."""
    return DamagedLibraryError(
        said(
            "{place} is damaged: {what}. Keep the file as it is and put back a "
            "backup of it; files named claims.before-….sqlite beside it are backups "
            "of this program.",
            place=place,
            what=what,
        )
    )


_BY_SQLITE_NAME = (
    ("SQLITE_BUSY", locked),
    ("SQLITE_LOCKED", locked),
    ("SQLITE_FULL", full),
    ("SQLITE_READONLY", not_writable),
    ("SQLITE_PERM", not_writable),
)


_OFFICE = marked("the office's database")
_LOCKED_STATES = ("40001", "40P01", "55P03")
_NOT_WRITABLE_STATES = ("25006", "42501")
_NO_ROOM_STATES = ("53100", "53200")


def from_server(error: DBAPIError) -> LdappError | None:
    """Return the sentence for an error of an office's database; None for a fault of ours.

    The states are those of PostgreSQL's manual, appendix A, "PostgreSQL Error Codes".
    """
    state = getattr(error.orig, "sqlstate", None) or ""
    if state in _NO_ROOM_STATES:
        return full(said(_OFFICE))
    if state in _LOCKED_STATES:
        return locked(said(_OFFICE))
    if state in _NOT_WRITABLE_STATES:
        return MachineError(
            said(
                "The office's database does not let you do this. Nothing was changed; "
                "ask whoever looks after it for the right to read and write there. "
                "({reason})",
                reason=_first_line(error),
            )
        )
    if error.connection_invalidated or isinstance(error, OperationalError):
        return MachineError(
            said(
                "The office's database cannot be reached. Nothing was changed; check the "
                "network and try again. ({reason})",
                reason=_first_line(error),
            )
        )
    return None


def _first_line(error: DBAPIError) -> str:
    """Return what the server says; where in its own tables is no concern of a person."""
    return str(error.orig).strip().partition("\n")[0]


def from_sqlite(error: sqlite3.Error, place: str) -> LdappError | None:
    """Return the sentence for an error of a database file; None for a fault of ours."""
    name = getattr(error, "sqlite_errorname", "")
    for start, sentence in _BY_SQLITE_NAME:
        if name.startswith(start):
            return sentence(place)
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return damaged(place, str(error))
    if name.startswith(("SQLITE_CANTOPEN", "SQLITE_IOERR", "SQLITE_PROTOCOL")):
        return MachineError(
            said(
                "{place} cannot be read or written ({reason}). Check that its drive is "
                "connected and that you may write to it.",
                place=place,
                reason=error,
            )
        )
    return None


def from_system(error: OSError, place: Path | str) -> MachineError:
    """Return the sentence for an error of the file system at ``place``."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return full(str(place))
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOTDIR, errno.EEXIST):
        return not_writable(str(place))
    reason = error.strerror or str(error)
    return MachineError(
        said(
            "{place} cannot be used: {reason}. Check that its drive is connected, or "
            "choose another folder.",
            place=place,
            reason=reason,
        )
    )


def _sentence(error: DBAPIError | sqlite3.Error, place: str) -> LdappError | None:
    # An error while a connection is made reaches us as the driver's own.
    original = error.orig if isinstance(error, DBAPIError) else error
    if isinstance(original, sqlite3.Error):
        return from_sqlite(original, place)
    return from_server(error) if isinstance(error, DBAPIError) else None


@contextmanager
def as_sentences(place: str) -> Iterator[None]:
    """Turn the errors of the database into sentences; a fault of ours passes unchanged."""
    try:
        yield
    except IntegrityError:
        raise
    except (DBAPIError, sqlite3.Error) as error:
        fault = _sentence(error, place)
        if fault is None:
            raise
        raise fault from error

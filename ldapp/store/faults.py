"""What the database says, turned into one sentence for a person."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError, IntegrityError

from ldapp.errors import LdappError, MachineError


class DamagedLibraryError(MachineError):
    """The database holds something that this program never writes."""


def locked(place: str) -> MachineError:
    """Return the fault for a database that another program holds."""
    return MachineError(
        f"Another program is writing to {place} and has not finished. "
        "Nothing was changed; wait a moment and try again."
    )


def full(place: str) -> MachineError:
    """Return the fault for a full disk."""
    return MachineError(
        f"The disk that holds {place} is full. Nothing was changed; free some space and try again."
    )


def not_writable(place: str) -> MachineError:
    """Return the fault for a folder that may not be written to."""
    return MachineError(
        f"{place} cannot be written to. Give yourself the right to write there, "
        "or choose another folder with --library or LDAPP_LIBRARY."
    )


def damaged(place: str, what: str) -> DamagedLibraryError:
    """Return the fault for a damaged database."""
    return DamagedLibraryError(
        f"{place} is damaged: {what}. Keep the file as it is and put back a backup of it; "
        "files named claims.before-….sqlite beside it are backups of this program."
    )


_BY_SQLITE_NAME = (
    ("SQLITE_BUSY", locked),
    ("SQLITE_LOCKED", locked),
    ("SQLITE_FULL", full),
    ("SQLITE_READONLY", not_writable),
    ("SQLITE_PERM", not_writable),
)


def from_database(error: DBAPIError, place: str) -> LdappError | None:
    """Return the sentence for an error of the database; None where it is a fault of ours."""
    name = getattr(error.orig, "sqlite_errorname", None)
    if name is None:
        if error.connection_invalidated:
            return MachineError(
                "The connection to the office's database was lost. Nothing was changed; "
                "check the network and try again."
            )
        return None
    for start, sentence in _BY_SQLITE_NAME:
        if name.startswith(start):
            return sentence(place)
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return damaged(place, str(error.orig))
    if name.startswith(("SQLITE_CANTOPEN", "SQLITE_IOERR", "SQLITE_PROTOCOL")):
        return MachineError(
            f"{place} cannot be read or written ({error.orig}). Check that its drive is "
            "connected and that you may write to it."
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
        f"{place} cannot be used: {reason}. Check that its drive is connected, "
        "or choose another folder."
    )


@contextmanager
def as_sentences(place: str) -> Iterator[None]:
    """Turn the errors of the database into sentences; a fault of ours passes unchanged."""
    try:
        yield
    except IntegrityError:
        raise
    except DBAPIError as error:
        fault = from_database(error, place)
        if fault is None:
            raise
        raise fault from error

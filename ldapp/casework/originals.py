"""Where the bytes of photos and documents come from: asked for by hash."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any, Protocol

from ldapp.claim.claim import Claim
from ldapp.errors import LdappError
from ldapp.language import said


class Originals(Protocol):
    """Gives the file that holds an original; served by a library, a folder or a bundle."""

    def path_of(self, sha256: str) -> Path:
        """Return the file; raises LdappError with a sentence where there is none."""
        ...


class IncomingCopy(Protocol):
    """A copy on its way in; see :class:`ldapp.store.originals.Incoming`."""

    @property
    def path(self) -> Path:
        """The copy, to be read only."""
        ...

    @property
    def sha256(self) -> str:
        """The hash of what was read from the source."""
        ...

    @property
    def keep(self) -> Callable[[], object]:
        """Brings the copy to the disk and makes it an original."""
        ...


class KeepsOriginals(Protocol):
    """Takes originals in: the library."""

    def put_file(self, path: Path) -> Any:
        """Copy a file in under its hash; returns its ``sha256`` and ``bytes``."""
        ...

    def incoming(self, path: Path) -> AbstractContextManager[IncomingCopy]:
        """Copy a file in, hashing it in the same read; it stays where it is kept.

        Raises UnreadableFileError where the file, and MachineError where the library is at fault.
        """
        ...


class FolderOriginals:
    """Originals that lie beside a claim file, at the paths that it names."""

    def __init__(self, claim: Claim, folder: Path) -> None:
        self._folder = folder
        self._checked: set[str] = set()
        self._paths = {photo.facts.sha256: photo.path or photo.name for photo in claim.photos}
        self._paths |= {
            document.sha256: document.path or document.name for document in claim.documents
        }

    def path_of(self, sha256: str) -> Path:
        """Return the file beside the claim file.

        Raises:
            LdappError: it is not there, or it is another file than the claim names.
        """
        named = self._paths.get(sha256)
        if named is None:
            raise LdappError(
                said("The claim names no file with the SHA-256 {sha256}….", sha256=sha256[:12])
            )
        path = (self._folder / named).resolve()
        if not path.is_relative_to(self._folder.resolve()):
            raise LdappError(
                said(
                    "{named} lies outside the claim's folder. Put the file beside the claim file.",
                    named=named,
                )
            )
        if not path.is_file():
            raise LdappError(
                said(
                    "{named} is not beside the claim file. Put it back, or leave it out.",
                    named=named,
                )
            )
        if sha256 not in self._checked:
            with path.open("rb") as file:
                found = hashlib.file_digest(file, "sha256").hexdigest()
            if found != sha256:
                raise LdappError(
                    said(
                        "{named} is not the file that the claim was made with: its SHA-256 is "
                        "{found}…, not {sha256}…. Get the original file.",
                        named=named,
                        found=found[:12],
                        sha256=sha256[:12],
                    )
                )
            self._checked.add(sha256)
        return path

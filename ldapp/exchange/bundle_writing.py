"""The bundle: a claim with everything that it rests on, as one archive that verifies itself.

A bag of RFC 8493 (BagIt 1.0) with SHA-256 manifests in a ZIP archive.  Nothing in it is
compressed and nothing depends on the time, so that the same claim gives the same bytes and
every changed byte is found, those of the archive around the files included.  Anybody can
verify it with another BagIt tool, or with ``sha256sum -c manifest-sha256.txt``.

A *complete* bundle holds the untouched originals: it is for one's own archive and for the
insurer.  A *shared* one holds, in their place, pictures made for passing on and the hashes
of the originals, and says so.

The tag files are written here because the bagit library changes the working folder of the
whole process to write them, and other threads are at work; it is used for verifying.
"""

from __future__ import annotations

import dataclasses
import hashlib
import io
import os
import re
import tempfile
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO, NamedTuple, Protocol

from ldapp.claim.claim import Claim
from ldapp.errors import LdappError, MachineError
from ldapp.exchange.bundle_archive import ArchiveWriter
from ldapp.exchange.claim_file import claim_as_json
from ldapp.language import marked, said

CLAIM_PATH = "data/claim.json"
NOT_ENCLOSED_PATH = "data/originals-not-enclosed.txt"
COMPLETE_SAYS = marked("A claim with its untouched originals and its dossier.")
SHARED_SAYS = marked(
    "A claim as it was passed on: its dossier, and pictures made for passing on. "
    "The originals are not enclosed; their SHA-256 hashes are listed."
)
_NOT_ENCLOSED_HEAD = marked(
    "The originals are not in this bundle. Whoever has one can compare its SHA-256 with this "
    "list:\nSHA-256, name, and which file of the bundle was made from it.\n\n"
)
_BAGIT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")

Progress = Callable[[int, int, str], None]
"""Files done, files in all, name of the file at hand; raises Cancelled to stop."""


class Originals(Protocol):
    """Gives the file that holds an original."""

    def path_of(self, sha256: str) -> Path:
        """Return the file; raises LdappError with a sentence where there is none."""
        ...


class NotEnclosed(NamedTuple):
    """An original that a shared bundle only names."""

    sha256: str
    name: str
    made_from_it: str = ""
    """The file of the picture that stands for it; empty: none."""


class _Original(NamedTuple):
    sha256: str
    originals: Originals


_Source = bytes | Path | _Original


def write_complete_bundle(
    claim: Claim,
    originals: Originals,
    target: Path,
    dossier: Sequence[Path] = (),
    progress: Progress = lambda done, total, name: None,
) -> Path:
    """Write the complete bundle of ``claim`` at ``target``, whole or not at all.

    In the bundle's claim file each photo and document names its place in the bundle.

    Raises:
        LdappError: an original is missing or is no longer what it was.
        MachineError: the folder cannot be written to, or the disk is full.
    """
    bundled, places = _with_paths(claim, "originals")
    members: dict[str, _Source] = {
        path: _Original(sha256, originals) for path, sha256 in places.items()
    }
    members[CLAIM_PATH] = claim_as_json(bundled)
    return _write(claim.reference, said(COMPLETE_SAYS), members, dossier, target, progress)


def write_shared_bundle(
    claim: Claim,
    derivatives: Mapping[str, Path],
    not_enclosed: Sequence[NotEnclosed],
    target: Path,
    dossier: Sequence[Path] = (),
    progress: Progress = lambda done, total, name: None,
) -> Path:
    """Write a bundle that may be passed on at ``target``, whole or not at all.

    ``claim`` is what its recipient may have; each of its photos is found in
    ``derivatives`` by its hash.

    Raises:
        MachineError: the folder cannot be written to, or the disk is full.
    """
    bundled, places = _with_paths(claim, "derivatives", ending=".jpg")
    members: dict[str, _Source] = {path: derivatives[sha256] for path, sha256 in places.items()}
    members[CLAIM_PATH] = claim_as_json(bundled)
    rows = "".join(
        f"{one.sha256}  {one_line(one.name)}  ({_made_from(one)})\n" for one in not_enclosed
    )
    members[NOT_ENCLOSED_PATH] = (said(_NOT_ENCLOSED_HEAD) + rows).encode("utf-8")
    return _write(claim.reference, said(SHARED_SAYS), members, dossier, target, progress)


def _made_from(one: NotEnclosed) -> str:
    return f"derivatives/{one.made_from_it}" if one.made_from_it else said("nothing enclosed")


def one_line(text: str) -> str:
    """Return a text without line ends or several blanks in a row."""
    return " ".join(text.split())


def _write(
    reference: str,
    says: str,
    members: dict[str, _Source],
    dossier: Sequence[Path],
    target: Path,
    progress: Progress,
) -> Path:
    for number, volume in enumerate(dossier, 1):
        name = "dossier.pdf" if len(dossier) == 1 else f"dossier-{number}.pdf"
        members[f"data/{name}"] = volume
    temporary: str | None = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            _write_bag(reference, says, members, file, progress)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).replace(target)
    except OSError as error:
        _discard(temporary)
        reason = error.strerror or type(error).__name__
        raise MachineError(
            said(
                "The bundle {name} cannot be written in {folder} ({reason}). "
                "Choose another folder, or make room on the disk.",
                name=target.name,
                folder=target.parent,
                reason=reason,
            )
        ) from error
    except BaseException:
        _discard(temporary)
        raise
    return target


def _discard(temporary: str | None) -> None:
    if temporary is not None:
        Path(temporary).unlink(missing_ok=True)


def _with_paths(claim: Claim, folder: str, ending: str = "") -> tuple[Claim, dict[str, str]]:
    """Return the claim with the places in the bundle, and each place with its hash."""
    files: dict[str, str] = {}

    def place(sha256: str, name: str) -> str:
        path = f"{folder}/{sha256}{ending or _ending(name)}"
        files[f"data/{path}"] = sha256
        return path

    photos = tuple(
        dataclasses.replace(photo, path=place(photo.facts.sha256, photo.name))
        if photo.facts.sha256
        else photo
        for photo in claim.photos
    )
    documents = tuple(
        dataclasses.replace(document, path=place(document.sha256, document.name))
        if document.sha256
        else document
        for document in claim.documents
    )
    return dataclasses.replace(claim, photos=photos, documents=documents), files


def _safe(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return _UNSAFE.sub("-", plain).strip("-.")[:60]


def _ending(name: str) -> str:
    ending = _safe(Path(name).suffix.lstrip("."))[:10]
    return f".{ending}" if ending else ""


def _write_bag(
    reference: str,
    says: str,
    members: Mapping[str, _Source],
    target: IO[bytes],
    progress: Progress,
) -> None:
    name = _safe(reference) or "claim"
    payload: dict[str, str] = {}
    with ArchiveWriter(target) as archive:
        archive.add(f"{name}/bagit.txt", io.BytesIO(_BAGIT), len(_BAGIT))
        for number, path in enumerate(sorted(members)):
            progress(number, len(members), path)
            source = members[path]
            wanted = ""
            if isinstance(source, _Original):
                wanted, source = source.sha256, source.originals.path_of(source.sha256)
            with _opened(source) as (stream, size):
                payload[path] = archive.add(f"{name}/{path}", stream, size)
            if wanted and payload[path] != wanted:
                raise LdappError(
                    f"The original {Path(path).name} is no longer the file that was taken in: "
                    "its SHA-256 has changed. Restore it from a backup."
                )
        progress(len(members), len(members), "")
        tags = {
            "bag-info.txt": f"External-Identifier: {one_line(reference)}\n"
            f"External-Description: {says}\n",
            "bagit.txt": _BAGIT.decode(),
            "manifest-sha256.txt": "".join(
                f"{sha256}  {path}\n" for path, sha256 in sorted(payload.items())
            ),
        }
        tags["tagmanifest-sha256.txt"] = "".join(
            f"{hashlib.sha256(text.encode()).hexdigest()}  {tag}\n" for tag, text in tags.items()
        )
        for tag, text in tags.items():
            if tag != "bagit.txt":
                data = text.encode()
                archive.add(f"{name}/{tag}", io.BytesIO(data), len(data))


@contextmanager
def _opened(source: bytes | Path) -> Iterator[tuple[IO[bytes], int]]:
    if isinstance(source, bytes):
        yield io.BytesIO(source), len(source)
        return
    with source.open("rb") as stream:
        yield stream, os.fstat(stream.fileno()).st_size

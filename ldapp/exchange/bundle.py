"""The bundle: claim file, untouched originals and dossier as one archive that verifies itself.

A bag of RFC 8493 (BagIt 1.0) with SHA-256 manifests in a ZIP archive.  Nothing in it is
compressed and nothing depends on the time, so that the same claim gives the same bytes and
every changed byte is found, those of the archive around the files included.  Anybody can
verify it with another BagIt tool, or with ``sha256sum -c manifest-sha256.txt``.

The tag files are written here because the bagit library changes the working folder of the
whole process to write them, and other threads are at work; it is used for verifying.
"""

from __future__ import annotations

import dataclasses
import hashlib
import io
import logging
import os
import re
import shutil
import stat
import tempfile
import unicodedata
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Protocol

import bagit

from ldapp.claim.claim import Claim
from ldapp.claim.record import record
from ldapp.errors import Fault, InputError, LdappError, MachineError
from ldapp.exchange.bundle_archive import ArchiveWriter, check_entries, first_other_byte
from ldapp.exchange.claim_file import claim_as_json, claim_from_json

# The library also logs what it raises; people get it as sentences.
logging.getLogger("bagit").addHandler(logging.NullHandler())

CLAIM_PATH = "data/claim.json"
_CHUNK = 1024 * 1024
_BAGIT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")

Progress = Callable[[int, int, str], None]
"""Files done, files in all, name of the file at hand; raises Cancelled to stop."""


class Originals(Protocol):
    """Gives the file that holds an original."""

    def path_of(self, sha256: str) -> Path:
        """Return the file; raises LdappError with a sentence where there is none."""
        ...


@record
class OpenedBundle:
    """A verified bundle laid out in a folder: the claim and where its originals lie."""

    claim: Claim
    folder: Path
    """The folder of the claim file; paths in the claim are relative to it."""


# --- writing ----------------------------------------------------------------------------


def write_bundle(
    claim: Claim,
    originals: Originals,
    target: Path,
    dossier: Path | None = None,
    progress: Progress = lambda done, total, name: None,
) -> Path:
    """Write the complete bundle of ``claim`` at ``target``, whole or not at all.

    In the bundle's claim file each photo and document names its place in the bundle.

    Raises:
        LdappError: an original is missing or is no longer what it was.
        MachineError: the folder cannot be written to, or the disk is full.
    """
    bundled, files = _with_paths(claim)
    name = _safe(claim.reference) or "claim"
    temporary: str | None = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            _write_bag(name, bundled, files, originals, dossier, file, progress)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).replace(target)
    except OSError as error:
        _discard(temporary)
        reason = error.strerror or type(error).__name__
        raise MachineError(
            f"The bundle {target.name} cannot be written in {target.parent} ({reason}). "
            "Choose another folder, or make room on the disk."
        ) from error
    except BaseException:
        _discard(temporary)
        raise
    return target


def _discard(temporary: str | None) -> None:
    if temporary is not None:
        Path(temporary).unlink(missing_ok=True)


def _with_paths(claim: Claim) -> tuple[Claim, dict[str, str]]:
    """Return the claim with the places in the bundle, and each place with its hash."""
    files: dict[str, str] = {}

    def place(sha256: str, name: str) -> str:
        path = f"originals/{sha256}{_ending(name)}"
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
    name: str,
    claim: Claim,
    files: dict[str, str],
    originals: Originals,
    dossier: Path | None,
    target: IO[bytes],
    progress: Progress,
) -> None:
    payload: dict[str, tuple[str, int]] = {}
    with ArchiveWriter(target) as archive:
        archive.add(f"{name}/bagit.txt", io.BytesIO(_BAGIT), len(_BAGIT))
        members: dict[str, bytes | Path | None] = {CLAIM_PATH: claim_as_json(claim)}
        members |= dict.fromkeys(files)
        if dossier is not None:
            members["data/dossier.pdf"] = dossier
        for number, path in enumerate(sorted(members)):
            progress(number, len(members), path)
            source = members[path]
            if source is None:
                source = originals.path_of(files[path])
            with _opened(source) as (stream, size):
                payload[path] = (archive.add(f"{name}/{path}", stream, size), size)
            if path in files and payload[path][0] != files[path]:
                raise LdappError(
                    f"The original {Path(path).name} is no longer the file that was taken in: "
                    "its SHA-256 has changed. Restore it from a backup."
                )
        progress(len(members), len(members), "")
        tags = {
            "bag-info.txt": f"External-Identifier: {_one_line(claim.reference)}\n",
            "bagit.txt": _BAGIT.decode(),
            "manifest-sha256.txt": "".join(
                f"{sha256}  {path}\n" for path, (sha256, _) in sorted(payload.items())
            ),
        }
        tags["tagmanifest-sha256.txt"] = "".join(
            f"{hashlib.sha256(text.encode()).hexdigest()}  {tag}\n" for tag, text in tags.items()
        )
        for tag, text in tags.items():
            if tag != "bagit.txt":
                data = text.encode()
                archive.add(f"{name}/{tag}", io.BytesIO(data), len(data))


def _one_line(text: str) -> str:
    return " ".join(text.split())


@contextmanager
def _opened(source: bytes | Path) -> Iterator[tuple[IO[bytes], int]]:
    if isinstance(source, bytes):
        yield io.BytesIO(source), len(source)
        return
    with source.open("rb") as stream:
        yield stream, os.fstat(stream.fileno()).st_size


# --- verifying --------------------------------------------------------------------------


def verify_bundle(path: Path) -> tuple[str, ...]:
    """Return one sentence for everything in the bundle that is not as it was written.

    Raises:
        InputError: it is no bundle, or holds what no bundle may hold: paths outside it,
            links, names that stand twice, or more than it states.
    """
    with tempfile.TemporaryDirectory(prefix="ldapp-bundle-") as folder:
        return _verified(path, Path(folder))[1]


def open_bundle(path: Path, folder: Path) -> OpenedBundle:
    """Verify the bundle at ``path``, lay it out in ``folder`` and return its claim.

    Raises:
        InputError: it does not verify; every file that differs is named.
    """
    root, differs = _verified(path, folder)
    if differs:
        raise InputError(
            tuple(
                Fault(
                    file=path.name,
                    place="",
                    wrong=sentence.rstrip("."),
                    expected="the bundle as it was written",
                )
                for sentence in differs
            )
        )
    claim_path = root / CLAIM_PATH
    claim = claim_from_json(claim_path.read_bytes(), f"{path.name}: {CLAIM_PATH}")
    return OpenedBundle(claim=claim, folder=claim_path.parent)


def _verified(path: Path, folder: Path) -> tuple[Path, tuple[str, ...]]:
    """Lay the bundle out in ``folder``; return its root and what differs in it."""
    if not path.exists():
        raise _refusal(path, "there is no such file")
    if path.is_dir():
        raise _refusal(path, "this is a folder")
    folder.mkdir(parents=True, exist_ok=True)
    try:
        with zipfile.ZipFile(path) as archive:
            root = check_entries(path, archive)
            _refuse_if_no_room(path, archive, folder)
            broken = [
                entry.filename
                for entry in archive.infolist()
                if not _extracted(archive, entry, folder / entry.filename)
            ]
        differs = [f"{_inside(name)}: its bytes were changed in the archive." for name in broken]
        named = {_inside(name) for name in broken}
        differs += [
            one for one in _bag_differences(folder / root) if one.split(":")[0] not in named
        ]
        if not differs:
            byte = first_other_byte(path, folder)
            if byte is not None:
                differs.append(
                    f"{path.name}: the archive around the files is not as it was written, "
                    f"from byte {byte} on; the files in it are unchanged."
                )
    except (zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError, EOFError):
        raise _refusal(path, "this is no bundle, or its directory is damaged") from None
    return folder / root, tuple(differs)


def _refusal(path: Path, wrong: str) -> InputError:
    return InputError(
        (Fault(file=path.name, place="", wrong=wrong, expected="a bundle as a ZIP file"),)
    )


def _refuse_if_no_room(path: Path, archive: zipfile.ZipFile, folder: Path) -> None:
    needed = sum(entry.file_size for entry in archive.infolist())
    if needed > shutil.disk_usage(folder).free:
        raise MachineError(
            f"{path.name} needs {needed // 1_000_000 + 1} MB to be laid out, and the disk of "
            f"{folder} has less. Make room on the disk."
        )


def _inside(name: str) -> str:
    return name.split("/", 1)[1]


def _extracted(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, target: Path) -> bool:
    """Write one entry out; return whether its bytes have the check sum of the archive."""
    target.parent.mkdir(parents=True, exist_ok=True)
    with target.open("xb") as file:
        try:
            with archive.open(entry) as source:
                left = entry.file_size
                while chunk := source.read(min(_CHUNK, left + 1)):
                    left -= len(chunk)
                    if left < 0:
                        return False
                    file.write(chunk)
        except (zipfile.BadZipFile, EOFError, NotImplementedError):
            return False
    target.chmod(stat.S_IRUSR | stat.S_IWUSR)
    return left == 0


def _bag_differences(root: Path) -> list[str]:
    try:
        bag = bagit.Bag(str(root))
        bag.validate()
    except bagit.BagValidationError as error:
        if error.details:
            found = {_difference(detail) for detail in error.details}
            # Where a file is missing or added the library does not look into the others.
            found |= {
                f"{path}: its content is not what was written."
                for path, sums in bag.payload_entries().items()
                if (root / path).is_file() and _sha256(root / path) != sums.get("sha256")
            }
            return sorted(found)
        return [f"The bag does not hold together: {_one_line(str(error))}."]
    except (bagit.BagError, UnicodeDecodeError, OSError) as error:
        return [f"The bag's own papers are damaged: {_one_line(str(error))}."]
    return [] if (root / CLAIM_PATH).is_file() else [f"{CLAIM_PATH}: it is missing."]


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _difference(detail: Exception) -> str:
    if isinstance(detail, bagit.ChecksumMismatch):
        return f"{detail.path}: its content is not what was written."
    if isinstance(detail, bagit.FileMissing):
        return f"{detail.path}: it is missing."
    if isinstance(detail, bagit.UnexpectedFile):
        return f"{detail.path}: it was added."
    return f"{_one_line(str(detail))}."

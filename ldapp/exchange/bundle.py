"""Bundles that came in: verified, named file by file where they differ, and laid out.

See :mod:`ldapp.exchange.bundle_writing` for what a bundle is.  The bagit library verifies
the bag; the archive around it is read with distrust (:mod:`ldapp.exchange.bundle_archive`).
"""

from __future__ import annotations

import errno
import hashlib
import logging
import shutil
import stat
import tempfile
import zipfile
import zlib
from pathlib import Path

import bagit

from ldapp.claim.claim import Claim
from ldapp.claim.record import record
from ldapp.errors import Fault, InputError, MachineError
from ldapp.exchange.bundle_archive import check_entries, first_other_byte
from ldapp.exchange.bundle_writing import CLAIM_PATH, one_line
from ldapp.exchange.claim_file import claim_from_json
from ldapp.language import said

# The library also logs what it raises; people get it as sentences.
logging.getLogger("bagit").addHandler(logging.NullHandler())

_CHUNK = 1024 * 1024


@record
class OpenedBundle:
    """A verified bundle laid out in a folder: the claim and where its files lie."""

    claim: Claim
    folder: Path
    """The folder of the claim file; paths in the claim are relative to it."""


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
                    expected=said("the bundle as it was written"),
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
        raise _refusal(path, said("there is no such file"))
    if path.is_dir():
        raise _refusal(path, said("this is a folder"))
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
        differs = [
            said("{inside}: its bytes were changed in the archive.", inside=_inside(name))
            for name in broken
        ]
        named = {_inside(name) for name in broken}
        differs += [
            one for one in _bag_differences(folder / root) if one.split(":")[0] not in named
        ]
        if not differs:
            byte = first_other_byte(path, folder)
            if byte is not None:
                differs.append(
                    said(
                        "{name}: the archive around the files is not as it was written, from "
                        "byte {byte} on; the files in it are unchanged.",
                        name=path.name,
                        byte=byte,
                    )
                )
    except (
        zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError, EOFError,
        UnicodeDecodeError,
    ):  # fmt: skip
        raise _refusal(path, said("this is no bundle, or its directory is damaged")) from None
    return folder / root, tuple(differs)


def _refusal(path: Path, wrong: str) -> InputError:
    return InputError(
        (Fault(file=path.name, place="", wrong=wrong, expected=said("a bundle as a ZIP file")),)
    )


def _refuse_if_no_room(path: Path, archive: zipfile.ZipFile, folder: Path) -> None:
    needed = sum(entry.file_size for entry in archive.infolist())
    if needed > shutil.disk_usage(folder).free:
        raise MachineError(
            said(
                "{name} needs {needed} MB to be laid out, and the disk of {folder} has "
                "less. Make room on the disk.",
                name=path.name,
                needed=needed // 1_000_000 + 1,
                folder=folder,
            )
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
        except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError):
            return False
        except OSError as error:
            if error.errno != errno.EINVAL:  # what a place before the file's beginning gives
                raise
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
                said("{path}: its content is not what was written.", path=path)
                for path, sums in bag.entries.items()
                if (root / path).is_file() and _sha256(root / path) != sums.get("sha256")
            }
            return sorted(found)
        return [said("The bag does not hold together: {one_line}.", one_line=one_line(str(error)))]
    # The library lets what a damaged paper makes of Python come through: LookupError for an
    # encoding that is none, TypeError for one that is stated twice.
    except (bagit.BagError, OSError, ValueError, LookupError, TypeError) as error:
        return [
            said("The bag's own papers are damaged: {one_line}.", one_line=one_line(str(error)))
        ]
    return (
        []
        if (root / CLAIM_PATH).is_file()
        else [said("{claim_path}: it is missing.", claim_path=CLAIM_PATH)]
    )


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _difference(detail: Exception) -> str:
    if isinstance(detail, bagit.ChecksumMismatch):
        return said("{path}: its content is not what was written.", path=detail.path)
    if isinstance(detail, bagit.FileMissing):
        return said("{path}: it is missing.", path=detail.path)
    if isinstance(detail, bagit.UnexpectedFile):
        return said("{path}: it was added.", path=detail.path)
    return f"{one_line(str(detail))}."

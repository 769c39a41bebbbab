"""Signing what was written, with the person's own key."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ldapp.dossier.seal import (
    NOT_INSTALLED,
    Sealed,
    SealingKey,
    check_key,
    is_sealing_installed,
    seal,
)
from ldapp.language import said
from ldapp.local_forms import day_in_digits

__all__ = [
    "NOT_INSTALLED",
    "Sealed",
    "check_key_file",
    "is_sealing_installed",
    "sealed_says",
    "sign_files",
]


def check_key_file(key_file: Path, password: str, time_stamp_address: str = "") -> None:
    """Open the key before the files are written that it is to sign.

    Raises:
        LdappError: key, password, certificate or address is not right.
        MachineError: the extra that signs is not installed.
    """
    check_key(_key(key_file, password, time_stamp_address))


def _key(key_file: Path, password: str, time_stamp_address: str) -> SealingKey:
    return SealingKey(
        key_file=key_file, password=password, time_stamp_address=time_stamp_address.strip()
    )


def sign_files(
    paths: Sequence[Path], key_file: Path, password: str, time_stamp_address: str = ""
) -> tuple[Sealed, ...]:
    """Sign each of the files in its place; the password is used here and kept nowhere.

    Without ``time_stamp_address`` no connection is opened.

    Raises:
        LdappError: key, password, certificate or authority is not right.
        MachineError: the extra that signs is not installed, or a file cannot be written.
    """
    key = _key(key_file, password, time_stamp_address)
    return tuple(seal(path, key) for path in paths)


def sealed_says(sealed: Sealed) -> str:
    """Return in a sentence what a signature says."""
    ends = day_in_digits(sealed.certificate_ends.date())
    if sealed.time_stamped:
        return said(
            "Signed by {name}, with the authority's time stamp. The certificate ends on {day}.",
            name=sealed.signed_by,
            day=ends,
        )
    return said("Signed by {name}. The certificate ends on {day}.", name=sealed.signed_by, day=ends)

"""A signature in a written dossier (PAdES, ETSI EN 319 142-1), optionally with a time stamp.

The key comes from a PKCS#12 file (RFC 7292); its password is used once and kept nowhere.
A signed file is no longer repeatable byte for byte: the signature holds the time of signing.
What does the work is the extra ``seal``; without it this module says so.
"""

from __future__ import annotations

import datetime as dt
import importlib.util
import os
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ldapp.errors import LdappError, MachineError
from ldapp.language import marked, said
from ldapp.local_forms import day_in_digits

if TYPE_CHECKING:
    from pyhanko.sign.signers import SimpleSigner

NOT_INSTALLED = marked(
    "Signing needs the extra “seal”, which is not installed. "
    "Install it with: pip install 'ldapp[seal]'"
)
_FIELD = "Signature"
_ROOM = 48 * 1024
"""Bytes kept free for the signature with its certificates and time stamp, so that the
authority is asked once and not a first time to learn the size of its answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SealingKey:
    """Who signs, and who says when."""

    key_file: Path
    """A PKCS#12 file (.p12, .pfx) with the key and its certificate."""
    password: str = field(repr=False)
    time_stamp_address: str = ""
    """The address of a time-stamp authority; empty: no connection is opened."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sealed:
    """What the signature says."""

    signed_by: str
    certificate_ends: dt.datetime
    time_stamped: bool


def is_sealing_installed() -> bool:
    """Return whether the extra that signs is there, without loading it."""
    return importlib.util.find_spec("pyhanko") is not None


def seal(path: Path, key: SealingKey) -> Sealed:
    """Sign the PDF at ``path`` in its place, whole or not at all.

    Raises:
        LdappError: the key file or its password is wrong, the certificate is not valid now,
            or the time-stamp authority gives no stamp; the PDF is as it was.
        MachineError: the extra is not installed, or the file cannot be written.
    """
    signer = check_key(key)
    certificate: Any = signer.signing_cert
    try:
        handle, name = tempfile.mkstemp(prefix=".signing-", suffix=".pdf", dir=path.parent)
        os.close(handle)
        unfinished = Path(name)
        try:
            _sign(path, unfinished, signer, key)
            unfinished.replace(path)
        finally:
            unfinished.unlink(missing_ok=True)
    except OSError as error:
        raise MachineError(
            said(
                "{name} could not be signed: {reason}. The unsigned file is as it was.",
                name=path.name,
                reason=error.strerror or error,
            )
        ) from error
    return Sealed(
        signed_by=str(
            certificate.subject.native.get("common_name") or certificate.subject.human_friendly
        ),
        certificate_ends=certificate.not_valid_after,
        time_stamped=bool(key.time_stamp_address),
    )


def check_key(key: SealingKey) -> SimpleSigner:
    """Open a key before anything is written that it is to sign, and return it.

    Raises:
        LdappError: the key file, its password or the address is wrong, or the certificate is
            not valid now.
        MachineError: the extra is not installed.
    """
    if not is_sealing_installed():
        raise MachineError(said(NOT_INSTALLED))
    if key.time_stamp_address:
        from ldapp.dossier.time_stamp import is_address  # noqa: PLC0415 - an extra

        if not is_address(key.time_stamp_address):
            raise LdappError(
                said(
                    "{address} is no address of a time-stamp authority. Give one "
                    "like https://stamps.example/tsa, or none.",
                    address=key.time_stamp_address,
                )
            )
    signer = _signer(key)
    certificate: Any = signer.signing_cert
    begins, ends = certificate.not_valid_before, certificate.not_valid_after
    if not begins <= dt.datetime.now(dt.UTC) <= ends:
        raise LdappError(
            said(
                "The certificate in {name} is valid from {begins} to {ends}, not today, so "
                "nothing was signed. Ask whoever issued it for a new one.",
                name=key.key_file.name,
                begins=day_in_digits(begins.date()),
                ends=day_in_digits(ends.date()),
            )
        )
    return signer


def _signer(key: SealingKey) -> SimpleSigner:
    from pyhanko.sign.signers import SimpleSigner  # noqa: PLC0415 - an extra

    try:
        data = key.key_file.read_bytes()
    except OSError as error:
        raise LdappError(
            said(
                "The key file {key_file} cannot be read: {reason}. Choose another.",
                key_file=key.key_file,
                reason=error.strerror or type(error).__name__,
            )
        ) from error
    try:
        signer: SimpleSigner = SimpleSigner.load_pkcs12_data(
            data, (), key.password.encode("utf-8") or None
        )
        return signer
    except (ValueError, TypeError, AttributeError) as error:
        raise LdappError(
            said(
                "{name} could not be opened: the password is wrong, or it is no PKCS#12 "
                "file (.p12, .pfx) with a key and its certificate.",
                name=key.key_file.name,
            )
        ) from error


def _sign(source: Path, target: Path, signer: SimpleSigner, key: SealingKey) -> None:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter  # noqa: PLC0415
    from pyhanko.pdf_utils.misc import PdfError  # noqa: PLC0415
    from pyhanko.sign.fields import SigSeedSubFilter  # noqa: PLC0415
    from pyhanko.sign.general import SigningError  # noqa: PLC0415
    from pyhanko.sign.signers import PdfSignatureMetadata, sign_pdf  # noqa: PLC0415
    from pyhanko.sign.timestamps.common_utils import TimestampRequestError  # noqa: PLC0415

    from ldapp.dossier.time_stamp import AddressedTimeStamper  # noqa: PLC0415

    stamper = AddressedTimeStamper(key.time_stamp_address) if key.time_stamp_address else None
    meta = PdfSignatureMetadata(
        field_name=_FIELD, md_algorithm="sha256", subfilter=SigSeedSubFilter.PADES
    )
    with source.open("rb") as pdf, target.open("r+b") as signed:
        try:
            sign_pdf(
                IncrementalPdfFileWriter(pdf),
                meta,
                signer,
                timestamper=stamper,
                bytes_reserved=_ROOM,
                output=signed,
            )
        except TimestampRequestError as error:
            raise LdappError(
                said(
                    "The time-stamp authority at {address} gave no stamp: "
                    "{error}. Nothing was signed. Try again later, choose another, or sign "
                    "without a stamp.",
                    address=key.time_stamp_address,
                    error=error,
                )
            ) from error
        except (PdfError, SigningError, ValueError) as error:
            raise LdappError(
                said(
                    "{name} could not be signed: {error}. The unsigned file is as it was.",
                    name=source.name,
                    error=error,
                )
            ) from error
        signed.flush()
        os.fsync(signed.fileno())

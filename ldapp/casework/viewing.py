"""Originals shown in the program that the computer uses for them, never the original itself."""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Iterable
from pathlib import Path

from ldapp.casework.originals import Originals
from ldapp.casework.page_pictures import preview_pages
from ldapp.claim.documents import Document
from ldapp.errors import LdappError, MachineError
from ldapp.language import said


def is_pdf(document: Document) -> bool:
    """Return whether the program itself can show a document's pages."""
    name = (document.name or document.path).casefold()
    return document.media_type == "application/pdf" or name.endswith(".pdf")


def copy_for_viewing(originals: Originals, document: Document) -> Path:
    """Copy a document's original under its own name into a temporary folder; return the copy.

    Raises:
        LdappError: the original is not there.
        MachineError: the copy cannot be written.
    """
    if not document.sha256:
        raise LdappError(
            said("“{title}” has no file. Take the paper in as a document.", title=document.title)
        )
    source = originals.path_of(document.sha256)
    name = re.sub(r"[^\w .()-]", "_", Path(document.name or document.title).name).strip() or "file"
    try:
        folder = Path(tempfile.mkdtemp(prefix="ldapp-view-"))
        target = folder / name
        shutil.copyfile(source, target)
    except OSError as error:
        raise MachineError(
            said(
                "“{title}” cannot be copied for viewing ({strerror}). Free some space on the disk.",
                title=document.title,
                strerror=error.strerror,
            )
        ) from error
    return target


_OPENED_BY_OTHERS = ("image/", "text/", "audio/", "video/", "message/", "application/vnd.")
"""Beginnings of media types (IANA) that a computer's own programs show."""
_DOCUMENTS = frozenset({"application/rtf", "application/msword", "application/json"})


def not_shown(originals: Originals, documents: Iterable[Document]) -> tuple[str, ...]:
    """Say which papers cannot be shown, and why; they are kept as they came."""
    says = []
    for document in documents:
        kind = document.media_type
        if is_pdf(document):
            try:
                preview_pages(originals.path_of(document.sha256))
            except LdappError:
                says.append(
                    said(
                        "{name} cannot be shown here: it is no PDF that can be read.",
                        name=document.name,
                    )
                )
        elif "executable" in kind or not (kind in _DOCUMENTS or kind.startswith(_OPENED_BY_OTHERS)):
            says.append(
                said(
                    "{name} cannot be shown here: it is no picture, PDF or other document. "
                    "Is it the paper that you meant?",
                    name=document.name,
                )
            )
    return tuple(says)

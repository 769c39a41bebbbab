"""Finishes a drawn volume: pictures, attached pages, structure, attachments, true dates.

The file's identifier comes from its content, so the same content gives the same bytes.
"""

from __future__ import annotations

import zlib
from pathlib import Path
from typing import NamedTuple

import pikepdf

from ldapp.dossier.archival import make_archival
from ldapp.dossier.book import Book
from ldapp.dossier.closing import hash_list
from ldapp.dossier.exhibits import Placement, place_pages
from ldapp.dossier.picture_file import PictureFile, append_pictures
from ldapp.dossier.shared_claim import shared_claim
from ldapp.dossier.structure import put_structure
from ldapp.dossier.tagging import Element
from ldapp.exchange.claim_file import claim_as_json
from ldapp.language import said


class Attachment(NamedTuple):
    """A file within the PDF."""

    name: str
    data: bytes
    media_type: str
    says: str

    @property
    def packed(self) -> int:
        """Bytes that it takes in the PDF."""
        return len(zlib.compress(self.data)) + 500


def attachments(book: Book) -> tuple[Attachment, ...]:
    """Return the claim as this recipient may have it, and the hash list for checking tools."""
    if not book.has_section("record"):
        return ()
    listing = "".join(f"{value}  {_one_line(name)}\n" for value, name in hash_list(book))
    found = (
        Attachment(
            "claim.json",
            claim_as_json(shared_claim(book)),
            "application/json",
            said("The claim as data"),
        ),
        Attachment(
            "hashes.sha256", listing.encode("utf-8"), "text/plain", said("SHA-256 of the originals")
        ),
    )
    return tuple(one for one in found if one.data)


def _one_line(name: str) -> str:
    return name.replace("\\", "\\\\").replace("\n", "\\n").replace("\r", "\\r")


def finish_volume(
    book: Book,
    drawn: Path,
    finished: Path,
    placements: list[Placement],
    pictures: PictureFile,
    tree: Element,
    attached: tuple[Attachment, ...],
) -> None:
    """Write ``drawn`` with all that belongs to it as ``finished``."""
    append_pictures(drawn, pictures)
    # Not mapped into memory: a mapped file counts as memory while it is copied.
    with pikepdf.open(drawn, access_mode=pikepdf.AccessMode.stream) as pdf:
        place_pages(pdf, placements)
        put_structure(pdf, tree)
        day = f"D:{book.request.date:%Y%m%d}000000Z"
        pdf.docinfo["/CreationDate"] = day
        pdf.docinfo["/ModDate"] = day
        pdf.Root.ViewerPreferences = pikepdf.Dictionary(DisplayDocTitle=True)
        pdf.Root.PageMode = pikepdf.Name.UseOutlines
        if attached:
            _attach(pdf, attached, day)
        make_archival(pdf, foreign_pages=bool(placements))
        pdf.save(
            finished,
            deterministic_id=True,
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            compress_streams=True,
            recompress_flate=False,
        )


def _attach(pdf: pikepdf.Pdf, attached: tuple[Attachment, ...], day: str) -> None:
    listed = pikepdf.Array()
    for one in attached:
        spec = pikepdf.AttachedFileSpec(
            pdf,
            one.data,
            filename=one.name,
            description=one.says,
            mime_type=one.media_type,
            relationship=pikepdf.Name.Data,
            creation_date=day,
            mod_date=day,
        )
        pdf.attachments[one.name] = spec
        listed.append(spec.obj)
    pdf.Root.AF = listed

"""A foreign PDF made harmless: its pages as pictures of themselves, and nothing else of it.

What a page shows comes along; what the file could do, and what is hidden in it, stays behind:
scripts, actions, embedded files, films, and whatever is written about its pictures, such as
where a phone scanned a page.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import pikepdf
import pypdfium2
from pikepdf import Name

from ldapp.dossier.request import Saying
from ldapp.dossier.withheld import words_pattern
from ldapp.language import marked, said
from ldapp.local_forms import grouped

MOST_PAGES = 120
"""Pages of one exhibit that are carried; the rest stays in the original."""

_ACTIVE = frozenset(
    {"/JavaScript", "/Launch", "/ImportData", "/SubmitForm", "/Rendition", "/RichMediaExecute"}
)
_PLAYED = frozenset({"/Movie", "/Sound", "/Screen", "/RichMedia", "/3D"})
_WRITTEN_ABOUT = ("/Metadata", "/PieceInfo", "/AF", "/AA", "/A")
_DEEPEST = 8
_LOCKED = marked("The PDF asks for a password, so it is listed and not shown.")
_MENDED = marked(
    "The PDF is damaged; what can be read of it is shown, its hash covers the file as it is."
)
_DAMAGED = marked("The PDF is damaged and cannot be shown; its hash is listed.")
_SOI, _EOI, _SOS, _COM = 0xD8, 0xD9, 0xDA, 0xFE


class AttachedPdf(NamedTuple):
    """An opened PDF, how many pages it has, and what must be said of it."""

    pdf: pikepdf.Pdf | None
    pages: int
    says: tuple[Saying, ...]


def open_attached_pdf(path: Path) -> AttachedPdf:
    """Open a foreign PDF for its pages to be shown; a fault becomes a sentence."""
    try:
        pdf, mended = _opened(path)
        left_out = _left_out(pdf)
        # What a person filled in or stamped stands in annotations; make it part of the page.
        pdf.generate_appearance_streams()
        pdf.flatten_annotations("print")
        pages = len(pdf.pages)
        for page in list(pdf.pages)[:MOST_PAGES]:
            page.contents_coalesce()
            page.as_form_xobject()
        _forget_what_is_written_about(pdf)
    except pikepdf.PasswordError:
        return AttachedPdf(None, 0, (lambda: said(_LOCKED),))
    except (pikepdf.PdfError, OSError, ValueError, RuntimeError, TypeError):
        return AttachedPdf(None, 0, (lambda: said(_DAMAGED),))
    if not pages:
        return AttachedPdf(None, 0, (lambda: said(_DAMAGED),))
    says: list[Saying] = [lambda: said(_MENDED)] if mended else []
    if "/OCProperties" in pdf.Root:
        says.append(
            lambda: said("It has layers that a viewer can hide; here all of them are shown.")
        )
    if left_out:
        says.append(
            lambda: said(
                "Left out of the attached PDF: {listed}.", listed=", ".join(map(said, left_out))
            )
        )
    if pages > MOST_PAGES:
        says.append(
            lambda: said(
                "It has {pages} pages; the first {most_pages} are shown, its hash covers all.",
                pages=grouped(pages),
                most_pages=MOST_PAGES,
            )
        )
    return AttachedPdf(pdf, pages, tuple(says))


def _opened(path: Path) -> tuple[pikepdf.Pdf, bool]:
    """Open a PDF, and write it anew in memory where its own order is damaged."""
    pdf = pikepdf.open(path, suppress_warnings=True)
    if not pdf.get_warnings() and not pdf.check_pdf_syntax():
        return pdf, False
    anew = io.BytesIO()
    pdf.save(anew, recompress_flate=True)
    pdf.close()
    mended = pikepdf.open(anew, suppress_warnings=True)
    if mended.check_pdf_syntax():
        raise pikepdf.PdfError("it stays damaged")
    return mended, True


def _left_out(pdf: pikepdf.Pdf) -> list[str]:
    """Return what an attached PDF could do and will not do here."""
    scripts = played = False
    for one in pdf.objects:
        for part in _parts(one):
            if str(part.get("/S", "")) in _ACTIVE or {"/JS", "/AA", "/XFA"} & set(part.keys()):
                scripts = True
            if str(part.get("/Subtype", "")) in _PLAYED:
                played = True
    found = []
    if scripts:
        found.append(marked("scripts and actions"))
    if len(pdf.attachments):
        found.append(marked("embedded files"))
    if played:
        found.append(marked("films and sounds"))
    return found


def _parts(one: Any, depth: int = 0) -> Iterator[Any]:
    """Return an object and the dictionaries that lie directly in it."""
    if depth > _DEEPEST:
        return
    if isinstance(one, pikepdf.Array):
        for value in one:
            if isinstance(value, (pikepdf.Dictionary, pikepdf.Array)) and not value.is_indirect:
                yield from _parts(value, depth + 1)
    elif isinstance(one, (pikepdf.Dictionary, pikepdf.Stream)):
        yield one
        for value in one.values():
            if isinstance(value, (pikepdf.Dictionary, pikepdf.Array)) and not value.is_indirect:
                yield from _parts(value, depth + 1)


def _forget_what_is_written_about(pdf: pikepdf.Pdf) -> None:
    """Take metadata out of everything that a page draws."""
    for one in pdf.objects:
        if not isinstance(one, pikepdf.Stream):
            continue
        for key in _WRITTEN_ABOUT:
            if key in one:
                del one[key]
        if one.get("/Subtype") == Name.Image and _is_jpeg(one):
            data = one.read_raw_bytes()
            plain = without_metadata(data)
            if plain != data:
                parameters: Any = one.get("/DecodeParms")
                one.write(plain, filter=Name.DCTDecode, decode_parms=parameters)


def _is_jpeg(image: Any) -> bool:
    filters: Any = image.get("/Filter")
    if isinstance(filters, pikepdf.Array):
        return len(filters) == 1 and filters[0] == Name.DCTDecode
    return bool(filters == Name.DCTDecode)


def without_metadata(data: bytes) -> bytes:
    """Return a JPEG without comments and application segments, byte for byte otherwise.

    Kept are the segments that say how colours are meant: JFIF, the colour profile, Adobe's.
    What is no JPEG comes back as it is.
    """
    if data[:2] != bytes((0xFF, _SOI)):
        return data
    kept = [data[:2]]
    place = 2
    while place + 4 <= len(data) and data[place] == 0xFF:
        marker = data[place + 1]
        if marker == 0xFF:
            place += 1
            continue
        if marker in (_SOS, _EOI):
            break
        length = int.from_bytes(data[place + 2 : place + 4], "big")
        segment = data[place : place + 2 + length]
        if _says_how_colours_are_meant(marker, segment[4:]):
            kept.append(segment)
        place += 2 + length
    kept.append(data[place:])
    return b"".join(kept)


def _says_how_colours_are_meant(marker: int, content: bytes) -> bool:
    if marker == _COM:
        return False
    if not 0xE0 <= marker <= 0xEF:
        return True
    return content.startswith((b"JFIF\0", b"ICC_PROFILE\0", b"Adobe"))


def pages_that_name(path: Path, words: tuple[str, ...], pages: int) -> list[int] | None:
    """Return the pages, counted from 1, whose text names one of ``words``.

    None: there is nothing to be read on some page, so nobody knows.
    """
    wanted = words_pattern(words)
    found = []
    unread = False
    try:
        with _text_pages(path, pages) as texts:
            for number, text in enumerate(texts, 1):
                if wanted is not None and wanted.search(text):
                    found.append(number)
                unread = unread or not text.strip()
    except pypdfium2.PdfiumError:
        unread = True
    return None if unread and not found else found


@contextmanager
def _text_pages(path: Path, pages: int) -> Iterator[Iterator[str]]:
    document = pypdfium2.PdfDocument(path)
    try:
        yield (_text_of(document[number]) for number in range(min(pages, len(document))))
    finally:
        document.close()


def _text_of(page: Any) -> str:
    text = page.get_textpage()
    try:
        found: str = text.get_text_range()
    finally:
        text.close()
        page.close()
    return found

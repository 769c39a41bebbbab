"""Writes a dossier: gathers, draws, adds attached pages, checks, and puts it in its place.

The same request gives the same bytes: no clock, path, zone or language of the machine
goes in.  The file is written under a temporary name beside its target and renamed when
it is whole, so nobody ever opens half a dossier.
"""

from __future__ import annotations

import os
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pikepdf
from reportlab import rl_config
from reportlab.platypus import Flowable
from reportlab.platypus.doctemplate import LayoutError

from ldapp.dossier.answers import answers_section
from ldapp.dossier.book import Book
from ldapp.dossier.closing import completeness_section, hash_list, record_section
from ldapp.dossier.count_sheet import count_sheet
from ldapp.dossier.counts_pages import counts_section
from ldapp.dossier.disclosure import Section
from ldapp.dossier.exhibits import Exhibit, Placement, exhibits_section, open_exhibits, place_pages
from ldapp.dossier.formats import plural, size_text
from ldapp.dossier.frame import Pages
from ldapp.dossier.letter import letter_page
from ldapp.dossier.line_sheets import GUTTER, line_sheets_section
from ldapp.dossier.photo_index import photo_index_section
from ldapp.dossier.photo_panel import put_pictures
from ldapp.dossier.photo_sheet import photo_sheet
from ldapp.dossier.pictures import NoPicture, Picture, PreparedPictures, prepare_pictures
from ldapp.dossier.request import DossierRequest, DossierResult, Progress
from ldapp.dossier.shared_claim import shared_claim
from ldapp.dossier.statement_of_loss import statement_section
from ldapp.dossier.summary import summary_section
from ldapp.dossier.what_happened import what_happened_section
from ldapp.dossier.workings import reckoning_section
from ldapp.errors import MachineError
from ldapp.exchange.claim_file import claim_as_json

_ONE_BUILD = threading.Lock()
"""The PDF library's fonts and settings belong to the whole process."""

_TEXT_RESERVE = 1_500_000
"""Bytes kept free of the budget for text, fonts and the file's own order."""
_LEAST_PICTURE_BUDGET = 1_000_000
_STEPS = 100

SECTION_TITLES: dict[Section, tuple[str, str]] = {
    "summary": ("Summary", "summary"),
    "statement_of_loss": ("Statement of loss", "statement"),
    "what_happened": ("What happened, with the custody timeline", "what-happened"),
    "answer_to_charges": ("Answer to the charges", "answers"),
    "line_sheets": ("Line sheets with photos", "line-sheets"),
    "reckoning": ("Reckoning, step by step", "reckoning"),
    "counts": ("Counts", "counts"),
    "photo_index": ("Photos and photo index", "photos"),
    "exhibits": ("Exhibits", "exhibits"),
    "completeness": ("Completeness", "completeness"),
    "record": ("Record", "record"),
}


def _silent(done: int, total: int, text: str = "") -> None:
    """Tell nobody."""


def write_dossier(
    request: DossierRequest, target: Path, progress: Progress = _silent
) -> DossierResult:
    """Write one version of the dossier of a claim to ``target`` and say how it turned out.

    Raises:
        MachineError: the file cannot be written there.
        InputError: the wording file was edited so that it cannot be read.
        Cancelled: ``progress`` raised it; nothing is left behind.
    """
    folder = target.absolute().parent
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".writing-", suffix=".pdf", dir=folder)
        os.close(handle)
    except OSError as error:
        raise _not_writable(target, error) from error
    unfinished = Path(name)
    try:
        with _ONE_BUILD, _library_settings():
            result = _write(request, unfinished, target, progress)
        unfinished.replace(target)
    except OSError as error:
        raise _not_writable(target, error) from error
    finally:
        unfinished.unlink(missing_ok=True)
    progress(_STEPS, _STEPS, "Done")
    return result


@contextmanager
def _library_settings() -> Iterator[None]:
    """Set what the PDF library would else read from the machine, and put it back after.

    Its ASCII-85 coding makes pictures a quarter larger and writing forty times slower.
    """
    before = rl_config.useA85, rl_config.invariant
    rl_config.useA85, rl_config.invariant = 0, 1
    try:
        yield
    finally:
        rl_config.useA85, rl_config.invariant = before


def _not_writable(target: Path, error: OSError) -> MachineError:
    reason = error.strerror or type(error).__name__
    return MachineError(
        f"The dossier could not be written to {target}: {reason}. "
        "Choose another folder, or make room there."
    )


def _write(
    request: DossierRequest, unfinished: Path, target: Path, progress: Progress
) -> DossierResult:
    book = Book(request)
    progress(0, _STEPS, "Gathering")
    exhibits = open_exhibits(book) if book.has_section("exhibits") else []
    pictures = _pictures(book, exhibits, progress)
    placements: list[Placement] = []
    _announce(book, exhibits)
    story = _story(book, pictures, exhibits, placements)
    pages = Pages(
        unfinished,
        book,
        on_page=lambda page: progress(min(50 + page, 95), _STEPS, f"Drawing page {page}"),
    )
    if request.version in ("photos", "counts"):
        pages.pageTemplates = pages.pageTemplates[1:]
    try:
        pages.build(story)
    except LayoutError as error:
        raise MachineError(
            "The dossier could not be laid out: one entry is too long for a page. "
            "Shorten the longest description or remark and write it again."
        ) from error
    progress(96, _STEPS, "Finishing")
    _finish(book, unfinished, placements, _shown(pictures, exhibits))
    size = unfinished.stat().st_size
    _say_what_fell_short(book, pictures, size)
    return DossierResult(
        path=target,
        pages=pages.pages_drawn,
        bytes=size,
        photos=len(pictures.by_photo),
        photo_resolution=pictures.resolution_words,
        fell_short=tuple(book.fell_short),
    )


def _pictures(book: Book, exhibits: list[Exhibit], progress: Progress) -> PreparedPictures:
    if not (book.has_section("photo_index") or book.has_section("photo_sheet")):
        return PreparedPictures(by_photo={})
    attached = sum(one.document.bytes for one in exhibits if one.pdf is not None)
    attached += sum(len(one.picture.data) for one in exhibits if one.picture is not None)
    budget = max(book.request.size_budget - _TEXT_RESERVE - attached, _LEAST_PICTURE_BUDGET)

    def tell(done: int, total: int, text: str) -> None:
        progress(done * 50 // max(total, 1), _STEPS, text)

    return prepare_pictures(
        book.photos,
        book.request.originals,
        budget=budget,
        printed_inches=(book.text_width - GUTTER) / 2 / 72,
        progress=tell,
    )


def _announce(book: Book, exhibits: list[Exhibit]) -> None:
    """Name every place that will be printed, so that earlier pages can link to it."""
    sections = set(book.disclosure.sections)
    if "answer_to_charges" in sections:
        _announce_numbered(book, "charge-{}", len(book.charges))
    if "line_sheets" in sections:
        _announce_numbered(book, "finding-{}", len(book.findings))
        for one in book.findings:
            if book.tells_worth(one):
                book.will_print(f"working-finding-{one.number}")
    if "reckoning" in sections:
        _announce_numbered(book, "working-charge-{}", len(book.charges))
        if book.shows("policy_working"):
            _announce_numbered(book, "working-occurrence-{}", len(book.reckoning.occurrences))
    if "counts" in sections:
        _announce_numbered(book, "count-{}", len(book.counts))
    if "photo_index" in sections or "photo_sheet" in sections:
        for number in book.photo_numbers.values():
            book.will_print(f"photo-{number}")
    for exhibit in exhibits:
        if exhibit.carried_pages:
            book.will_print(f"exhibit-{exhibit.letter}")


def _announce_numbered(book: Book, pattern: str, number: int) -> None:
    for one in range(1, number + 1):
        book.will_print(pattern.format(one))


def _story(
    book: Book,
    pictures: PreparedPictures,
    exhibits: list[Exhibit],
    placements: list[Placement],
) -> list[Flowable]:
    makers: dict[Section, Callable[[], list[Flowable]]] = {
        "letter": lambda: letter_page(book, _enclosures(book)),
        "summary": lambda: summary_section(book),
        "statement_of_loss": lambda: statement_section(book),
        "what_happened": lambda: what_happened_section(book),
        "answer_to_charges": lambda: answers_section(book),
        "line_sheets": lambda: line_sheets_section(book, pictures),
        "reckoning": lambda: reckoning_section(book),
        "counts": lambda: counts_section(book),
        "photo_index": lambda: photo_index_section(book, pictures),
        "exhibits": lambda: exhibits_section(book, exhibits, placements),
        "completeness": lambda: completeness_section(book),
        "record": lambda: record_section(book),
        "photo_sheet": lambda: photo_sheet(book, pictures),
        "count_sheet": lambda: count_sheet(book),
    }
    story: list[Flowable] = []
    for section in book.disclosure.sections:
        if book.has_section(section):
            story.extend(makers[section]())
    return story


def _enclosures(book: Book) -> list[tuple[str, str]]:
    return [
        SECTION_TITLES[section]
        for section in book.disclosure.sections
        if section in SECTION_TITLES and book.has_section(section)
    ]


def _shown(pictures: PreparedPictures, exhibits: list[Exhibit]) -> list[Picture]:
    shown = [one for one in pictures.by_photo.values() if isinstance(one, Picture)]
    return shown + [one.picture for one in exhibits if one.picture is not None]


def _finish(book: Book, path: Path, placements: list[Placement], pictures: list[Picture]) -> None:
    """Add pictures, attached pages, hash list and true dates; the id comes from the content."""
    with pikepdf.open(path, allow_overwriting_input=True) as pdf:
        put_pictures(pdf, pictures)
        place_pages(pdf, placements)
        day = f"D:{book.request.date:%Y%m%d}000000Z"
        pdf.docinfo["/CreationDate"] = day
        pdf.docinfo["/ModDate"] = day
        pdf.Root.ViewerPreferences = pikepdf.Dictionary(DisplayDocTitle=True)
        pdf.Root.PageMode = pikepdf.Name.UseOutlines
        if book.has_section("record"):
            _attach(book, pdf, day)
        pdf.save(
            path,
            deterministic_id=True,
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            compress_streams=True,
            recompress_flate=False,
        )


def _attach(book: Book, pdf: pikepdf.Pdf, day: str) -> None:
    """Attach the claim as this recipient may have it, and the hash list for checking tools."""
    listing = "".join(f"{value}  {_one_line(name)}\n" for value, name in hash_list(book))
    attached = pikepdf.Array()
    for name, data, media_type, says in (
        ("claim.json", claim_as_json(shared_claim(book)), "application/json", "The claim as data"),
        ("hashes.sha256", listing.encode("utf-8"), "text/plain", "SHA-256 of the originals"),
    ):
        if data:
            spec = pikepdf.AttachedFileSpec(
                pdf,
                data,
                filename=name,
                description=says,
                mime_type=media_type,
                relationship=pikepdf.Name.Data,
                creation_date=day,
                mod_date=day,
            )
            pdf.attachments[name] = spec
            attached.append(spec.obj)
    pdf.Root.AF = attached


def _one_line(name: str) -> str:
    return name.replace("\\", "\\\\").replace("\n", "\\n").replace("\r", "\\r")


def _say_what_fell_short(book: Book, pictures: PreparedPictures, size: int) -> None:
    for photo in book.photos:
        picture = pictures.by_photo.get(photo.id)
        if isinstance(picture, NoPicture):
            book.fall_short(f"Photo {book.photo_numbers[photo.id]}: {picture.says}")
        elif picture is not None and not photo.facts.complete:
            book.fall_short(
                f"Photo {book.photo_numbers[photo.id]}: the file breaks off, so a part may be "
                "missing in print."
            )
    marked = book.typesetter.marked
    if marked:
        signs = ", ".join(f"U+{ord(one):04X}" for one in sorted(marked))
        times = plural(sum(marked.values()), "time")
        book.fall_short(
            f"Characters that cannot be printed stand as a mark, {times} in all: {signs}."
        )
    if size > book.request.size_budget:
        book.fall_short(
            f"The file has {size_text(size)}, more than the {size_text(book.request.size_budget)} "
            "that were wanted, although the photos are at the lowest resolution. "
            "Leave photos or documents out, or send it another way."
        )

"""Writes a dossier: gathers, draws, adds attached pages, checks, and puts it in its place.

The same request gives the same bytes: no clock, path, zone or language of the machine
goes in.  The file is written under a temporary name beside its target and renamed when
it is whole, so nobody ever opens half a dossier.
"""

from __future__ import annotations

import shutil
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from reportlab import rl_config
from reportlab.platypus.doctemplate import LayoutError

from ldapp.dossier.book import Book
from ldapp.dossier.exhibits import Placement, open_exhibits
from ldapp.dossier.finish import Attachment, attachments, finish_volume
from ldapp.dossier.formats import size_text
from ldapp.dossier.frame import Pages
from ldapp.dossier.page_weights import WeighedExhibit, weighed
from ldapp.dossier.photo_rows import GUTTER
from ldapp.dossier.picture_file import PictureFile
from ldapp.dossier.pictures import RENDITIONS, NoPicture, PreparedPictures, prepare_pictures
from ldapp.dossier.request import DossierRequest, DossierResult, Progress, Saying
from ldapp.dossier.sections import all_pieces
from ldapp.dossier.tagging import Element, TaggedCanvas
from ldapp.dossier.volumes import VOLUME_ITSELF, Volume, announce, into_volumes, story_of, weight
from ldapp.errors import MachineError
from ldapp.language import language, said, said_of, speaking

_ONE_BUILD = threading.Lock()
"""The PDF library's fonts and settings belong to the whole process."""

_LEAST_PICTURE_BUDGET = 1_000_000
_STEPS = 100
_UNFINISHED = ".writing-"
_DAY = 86_400
"""Seconds; no dossier takes that long."""
_MOST_TRIES = 6
"""How often a dossier is laid out anew where a volume has become larger than foretold."""


def _silent(done: int, total: int, text: str = "") -> None:
    """Tell nobody."""


def write_dossier(
    request: DossierRequest, target: Path, progress: Progress = _silent
) -> DossierResult:
    """Write one version of the dossier of a claim to ``target`` and say how it turned out.

    All of it is in the language of the request; what it falls short of, and what is told to
    ``progress``, is in the language spoken here.

    Where it is larger than the size that is wanted even with photos at 150 dots per inch, it
    is written in volumes: ``target`` is the first, :func:`volume_path` names the others.

    Raises:
        MachineError: the file cannot be written there.
        InputError: the wording file was edited so that it cannot be read.
        Cancelled: ``progress`` raised it; nothing is left behind.
    """
    folder, watching = target.absolute().parent, language()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _clear_what_was_broken_off(folder)
        unfinished = Path(tempfile.mkdtemp(prefix=_UNFINISHED, dir=folder))
    except OSError as error:
        raise _not_writable(target, error) from error
    try:
        with _ONE_BUILD, _library_settings(), speaking(request.language):
            result = _Writing(request, unfinished, progress, watching).write(target)
        # Volume 1 last: where it lies, the others lie beside it.
        for number in range(len(result.paths), 0, -1):
            _finished(unfinished, number).replace(result.paths[number - 1])
    except OSError as error:
        raise _not_writable(target, error) from error
    finally:
        shutil.rmtree(unfinished, ignore_errors=True)
    progress(_STEPS, _STEPS, said("Done"))
    return result


def _clear_what_was_broken_off(folder: Path) -> None:
    """Remove what a writing left that was killed a day ago or earlier; nobody is at it now."""
    for left in folder.glob(f"{_UNFINISHED}*"):
        with suppress(OSError):  # another writing has just finished
            if left.is_dir() and time.time() - left.stat().st_mtime > _DAY:
                shutil.rmtree(left)


def volume_path(target: Path, number: int) -> Path:
    """Return where a volume lies: ``claim.pdf``, ``claim volume 2.pdf`` and so on."""
    return target if number == 1 else target.with_name(f"{target.stem} volume {number}.pdf")


def _finished(folder: Path, number: int) -> Path:
    return folder / f"volume-{number}.pdf"


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
        said(
            "The dossier could not be written to {target}: {reason}. Choose another "
            "folder, or make room there.",
            target=target,
            reason=reason,
        )
    )


class _Writing:
    """One dossier on its way into a folder of unfinished files."""

    def __init__(
        self, request: DossierRequest, folder: Path, progress: Progress, watching: str
    ) -> None:
        self._request = request
        self._folder = folder
        self._progress = progress
        self._watching = watching
        self._book = Book(request)
        self._book.told_in = watching
        self._placements: list[Placement] = []
        self._pages: list[int] = []

    def write(self, target: Path) -> DossierResult:
        """Write the volumes and say where each belongs."""
        book = self._book
        self._tell(0, lambda: said("Gathering"))
        kept = PictureFile(self._folder / "pictures")
        try:
            exhibits = weighed(open_exhibits(book, kept)) if book.has_section("exhibits") else []
            attached = attachments(book)
            pictures, sizes = self._fit(kept, exhibits, attached)
        finally:
            kept.close()
        paths = tuple(volume_path(target, number) for number in range(1, len(sizes) + 1))
        _say_what_fell_short(book, pictures, sizes)
        _say_what_lies_there(book, target, len(sizes))
        return DossierResult(
            paths=paths,
            pages=sum(self._pages),
            bytes=sum(sizes),
            photos=len(pictures.by_photo),
            photo_resolution=pictures.resolution_words,
            fell_short=tuple(book.fell_short),
        )

    def _fit(
        self, kept: PictureFile, exhibits: list[WeighedExhibit], attached: tuple[Attachment, ...]
    ) -> tuple[PreparedPictures, list[int]]:
        """Lay out until every volume keeps to the budget, or nothing more can be parted."""
        book, budget = self._book, self._request.size_budget
        first = sum(one.packed for one in attached)
        mark = kept.mark()
        spare = 0
        pictures = PreparedPictures(by_photo={})
        rows: list[Volume] = []
        sizes: list[int] = []
        for attempt in range(_MOST_TRIES):
            if attempt == 0 or (len(rows) == 1 and pictures.rendition != RENDITIONS[-1]):
                kept.back_to(mark)
                words = weight(all_pieces(book, PreparedPictures(by_photo={}), exhibits, []))
                pictures = self._pictures(kept, budget - VOLUME_ITSELF - first - words - spare)
            pieces = all_pieces(book, pictures, exhibits, self._placements)
            rows = into_volumes(pieces, budget - VOLUME_ITSELF - spare, first)
            sizes = self._draw(rows, kept, attached)
            over = max(
                (size - budget for size, row in zip(sizes, rows, strict=True) if len(row) > 1),
                default=0,
            )
            if over <= 0:
                break
            spare += over + budget // 100
        return pictures, sizes

    def _tell(self, done: int, words: Callable[[], str]) -> None:
        """Say how far the work is, in the language of who waits for it."""
        with speaking(self._watching):
            self._progress(done, _STEPS, words())

    def _pictures(self, kept: PictureFile, budget: int) -> PreparedPictures:
        book = self._book
        if not (book.has_section("photo_index") or book.has_section("photo_sheet")):
            return PreparedPictures(by_photo={})

        def tell(done: int, total: int, name: str) -> None:
            self._tell(
                done * 50 // max(total, 1), lambda: said("Preparing photo {name}", name=name)
            )

        return prepare_pictures(
            book.photos,
            book.request.originals,
            kept,
            budget=max(budget, _LEAST_PICTURE_BUDGET),
            printed_inches=(book.text_width - GUTTER) / 2 / 72,
            progress=tell,
        )

    def _draw(
        self, rows: list[Volume], kept: PictureFile, attached: tuple[Attachment, ...]
    ) -> list[int]:
        """Draw and finish every volume; the first comes last, since it names the others' pages."""
        book = self._book
        book.begin(len(rows))
        book.typesetter.marked.clear()
        announce(book, rows)
        sizes = [0] * len(rows)
        self._pages = [0] * len(rows)
        for done, number in enumerate(range(len(rows), 0, -1)):
            book.begin_volume(number)
            tree = self._draw_volume(rows, number, done)
            finished = _finished(self._folder, number)
            drawn = self._folder / "drawn.pdf"
            self._tell(96, lambda: said("Finishing"))
            finish_volume(
                book,
                drawn,
                finished,
                self._placements,
                kept,
                tree,
                attached if number == 1 else (),
            )
            drawn.unlink()
            sizes[number - 1] = finished.stat().st_size
        return sizes

    def _draw_volume(self, rows: list[Volume], number: int, done: int) -> Element:
        book, volumes = self._book, len(rows)
        self._placements.clear()

        def tell(page: int) -> None:
            share = (done + min(page / 400, 0.95)) / volumes
            self._tell(
                50 + int(share * 45),
                lambda: (
                    said("Drawing page {page} of volume {volume}", page=page, volume=number)
                    if volumes > 1
                    else said("Drawing page {page}", page=page)
                ),
            )

        pages = Pages(self._folder / "drawn.pdf", book, on_page=tell)
        if number > 1 or book.request.version in ("photos", "counts"):
            pages.pageTemplates = pages.pageTemplates[1:]
        try:
            pages.build(story_of(book, rows, number), canvasmaker=TaggedCanvas)
        except LayoutError as error:
            raise MachineError(
                said(
                    "The dossier could not be laid out: one entry is too long for a page. "
                    "Shorten the longest description or remark and write it again."
                )
            ) from error
        self._pages[number - 1] = pages.pages_drawn
        canvas = pages.canv
        assert isinstance(canvas, TaggedCanvas)
        return canvas.tree


def _say_what_fell_short(book: Book, pictures: PreparedPictures, sizes: list[int]) -> None:
    for photo in book.photos:
        picture = pictures.by_photo.get(photo.id)
        if isinstance(picture, NoPicture):
            book.fall_short(_not_shown(book.photo_numbers[photo.id], picture))
        elif picture is not None and not photo.facts.complete:
            book.fall_short(_breaks_off(book.photo_numbers[photo.id]))
    marked = book.typesetter.marked
    if marked:
        signs = ", ".join(f"U+{ord(one):04X}" for one in sorted(marked))
        times = sum(marked.values())
        book.fall_short(
            lambda: said_of(
                times,
                "Characters that cannot be printed stand as a mark, {count} time in all: {signs}.",
                "Characters that cannot be printed stand as a mark, {count} times in all: {signs}.",
                signs=signs,
            )
        )
    wanted = book.request.size_budget
    for number, size in enumerate(sizes, 1):
        if size > wanted:
            book.fall_short(_too_large(number if len(sizes) > 1 else None, size, wanted))


def _not_shown(photo: int, picture: NoPicture) -> Saying:
    return lambda: said("Photo {number}: {says}", number=photo, says=picture.says())


def _breaks_off(photo: int) -> Saying:
    return lambda: said(
        "Photo {number}: the file breaks off, so a part may be missing in print.", number=photo
    )


def _too_large(volume: int | None, size: int, wanted: int) -> Saying:
    def says() -> str:
        which = said("The file") if volume is None else said("Volume {volume}", volume=volume)
        return said(
            "{which} has {size}, more than the {wanted} that were wanted, although "
            "the photos are at the lowest resolution. Leave photos or documents out, "
            "or send it another way.",
            which=which,
            size=size_text(size),
            wanted=size_text(wanted),
        )

    return says


def _say_what_lies_there(book: Book, target: Path, volumes: int) -> None:
    """Name a volume of an earlier writing that would be taken for one of these."""
    older = volume_path(target, volumes + 1)
    if older.exists():
        book.fall_short(
            lambda: said(
                "{name} of an earlier writing still lies there; it is no part of this dossier.",
                name=older.name,
            )
        )

"""Every sentence of the source, and what the catalogues of a language make of it.

A catalogue is kept in parts, one for each package (``dossier.po``), and compiled into one
``ldapp.mo`` that the program reads.  A sentence that stands in two packages is in the part of
the one that comes first in the alphabet.
"""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "ldapp"
LANGUAGES = ROOT / "resources" / "languages"
_KEYWORDS = {
    "said": (1,),
    "said_of": (2, 3),
    "said_in": ((1, "c"), 2),
    "marked": (1,),
    "marked_in": ((1, "c"), 2),
}
_LOOSE = "program"
"""The part for modules that lie in no package."""

Key = tuple[str | None, str]
"""A message's context and its English text (the one for a single thing where there are two)."""


def key_of(message: Message) -> Key:
    """Return what tells a message from all others."""
    text = message.id if isinstance(message.id, str) else message.id[0]
    return (message.context, text)


def part_of(place: str) -> str:
    """Return the part of the catalogue for a module, ``desktop/pages/kit.py``.

    The window's sentences are half of all, so its pages and the pieces of the Papers page
    have parts of their own.
    """
    folders = place.split("/")[:-1]
    if not folders:
        return _LOOSE
    if folders[:3] == ["desktop", "pages", "paper_parts"]:
        return "desktop_papers"
    return "desktop_pages" if folders[:2] == ["desktop", "pages"] else folders[0]


def sentences() -> dict[str, Catalog]:
    """Return every sentence of the source by the part that it belongs to."""
    parts: dict[str, Catalog] = {}
    homes: dict[Key, str] = {}
    found = sorted(
        extract_from_dir(
            str(PACKAGE),
            method_map=[("**.py", "python")],
            keywords=_KEYWORDS,
            comment_tags=("For translators:",),
            strip_comment_tags=True,
        ),
        # By its words within a file: code that moves about leaves the catalogues as they are.
        key=lambda one: (part_of(one[0]), one[0], str(one[2]), str(one[4])),
    )
    for place, line, text, comments, context in found:
        single = text if isinstance(text, str) else text[0]
        part = homes.setdefault((context, single), part_of(place))
        parts.setdefault(part, Catalog(charset="utf-8", fuzzy=False)).add(
            text, locations=[(place, line)], auto_comments=comments, context=context
        )
    return parts


def read_part(language: str, part: str) -> Catalog:
    """Return one part of a language's catalogue as it is kept; empty where there is none."""
    path = LANGUAGES / language / f"{part}.po"
    if not path.is_file():
        return Catalog(locale=language, charset="utf-8", fuzzy=False)
    with path.open("rb") as file:
        return read_po(file, locale=language)


def brought_up_to_date(language: str, part: str, source: Catalog) -> Catalog:
    """Return a part with every sentence of the source, and those translations that are kept."""
    kept = {key_of(one): one for one in read_part(language, part) if one.id}
    new = Catalog(locale=language, charset="utf-8", fuzzy=False)
    for message in source:
        if not message.id:
            continue
        before = kept.get(key_of(message))
        same_form = before is not None and isinstance(before.id, str) == isinstance(message.id, str)
        new.add(
            message.id,
            before.string if before is not None and same_form else None,
            locations=[(place, None) for place in sorted({one[0] for one in message.locations})],
            auto_comments=message.auto_comments,
            context=message.context,
        )
    return new


def written(catalogue: Catalog) -> bytes:
    """Return a part as the bytes of its file; the same for the same sentences."""
    stream = io.BytesIO()
    write_po(stream, catalogue, width=96, omit_header=True, sort_by_file=True)
    header = (
        b'msgid ""\nmsgstr ""\n"MIME-Version: 1.0\\n"\n'
        b'"Content-Type: text/plain; charset=utf-8\\n"\n'
        b'"Content-Transfer-Encoding: 8bit\\n"\n\n'
    )
    return header + stream.getvalue()


def compiled(language: str) -> bytes:
    """Return all parts of a language compiled for the program."""
    # A day of its own would make other bytes of the same sentences.
    never = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    whole = Catalog(
        locale=language, charset="utf-8", fuzzy=False, creation_date=never, revision_date=never
    )
    for message in messages(language):
        if message.string and (isinstance(message.string, str) or all(message.string)):
            whole.add(message.id, message.string, context=message.context)
    stream = io.BytesIO()
    write_mo(stream, whole)
    return stream.getvalue()


def messages(language: str) -> Iterator[Message]:
    """Give every sentence that a language's catalogue holds."""
    for path in sorted((LANGUAGES / language).glob("*.po")):
        yield from (one for one in read_part(language, path.stem) if one.id)

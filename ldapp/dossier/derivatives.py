"""What is passed on in place of originals: pictures made from them, and their hashes.

A picture for passing on has the full size and no metadata: no position, no serial number,
no camera's own small picture; what is redacted is covered and not in the file.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from ldapp.claim.claim import Claim
from ldapp.claim.photos import Photo
from ldapp.dossier.book import Book
from ldapp.dossier.picture_file import CodedPicture
from ldapp.dossier.pictures import NoPicture, whole_picture
from ldapp.dossier.request import DossierRequest
from ldapp.dossier.shared_claim import shared_claim
from ldapp.exchange.bundle_writing import NotEnclosed


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedMaterial:
    """What a recipient may have: the claim, its pictures by hash, what is only named."""

    claim: Claim
    pictures: Mapping[str, Path]
    not_enclosed: tuple[NotEnclosed, ...]


def make_shared_material(
    request: DossierRequest,
    folder: Path,
    progress: Callable[[int, int, str], None] = lambda done, total, text: None,
) -> SharedMaterial:
    """Make the pictures for passing on in ``folder``, and the claim that goes with them.

    Documents are passed on as pages of the dossier alone.  A photo of which no picture can
    be made is only named.

    Raises:
        OSError: there is no room in ``folder``.
    """
    book = Book(request)
    pictures: dict[str, Path] = {}
    made: dict[str, tuple[str, CodedPicture]] = {}
    not_enclosed: list[NotEnclosed] = []
    for number, photo in enumerate(book.photos):
        progress(number, len(book.photos), photo.name)
        picture = whole_picture(photo, request.originals)
        if isinstance(picture, NoPicture):
            not_enclosed.append(NotEnclosed(photo.facts.sha256, photo.name))
            continue
        sha256 = hashlib.sha256(picture.data).hexdigest()
        path = folder / f"{sha256}.jpg"
        path.write_bytes(picture.data)
        pictures[sha256] = path
        # The picture itself lies on disk now; memory holds one at a time.
        made[photo.id] = sha256, dataclasses.replace(picture, data=b"")
        not_enclosed.append(NotEnclosed(photo.facts.sha256, photo.name, path.name))
    not_enclosed.extend(
        NotEnclosed(document.sha256, document.name or document.title)
        for _, document in book.exhibits.values()
        if document.sha256
    )
    left_out = frozenset(one.id for one in book.claim.photos if one.id not in made)
    claim = shared_claim(book, leave_out=left_out)
    sizes = {sha256: path.stat().st_size for sha256, path in pictures.items()}
    claim = dataclasses.replace(
        claim,
        photos=tuple(
            _passed_on(one, *made[one.id], sizes[made[one.id][0]]) for one in claim.photos
        ),
        documents=tuple(
            dataclasses.replace(one, sha256="", bytes=0, path="") for one in claim.documents
        ),
    )
    named = tuple(one._replace(name=book.typesetter.withhold(one.name)) for one in not_enclosed)
    return SharedMaterial(claim=claim, pictures=pictures, not_enclosed=named)


def _passed_on(photo: Photo, sha256: str, picture: CodedPicture, size: int) -> Photo:
    """Return a photo whose file is the picture that was made from it, and says so."""
    facts = dataclasses.replace(
        photo.facts,
        sha256=sha256,
        bytes=size,
        kind="image/jpeg",
        width=picture.width,
        height=picture.height,
        derivative_of=photo.facts.sha256,
        preview=None,
        preview_match=None,
    )
    turns = photo.quarter_turns
    if not picture.passed_through:  # upright now
        facts = dataclasses.replace(facts, orientation=1, pixel_width=None, pixel_height=None)
        turns = 0
    return dataclasses.replace(
        photo,
        facts=facts,
        path="",
        quarter_turns=turns,
        markings=tuple(one for one in photo.markings if one.kind != "redaction"),
        likeness="",
    )

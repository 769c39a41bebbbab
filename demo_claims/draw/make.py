"""Puts one demo claim together: photos, spreadsheets, documents, and the claim file over them."""

from __future__ import annotations

import dataclasses
import io
from collections.abc import Callable
from pathlib import Path

import pypdf
from PIL import Image

from demo_claims.draw import harbour_claim, lanterns_claim, school_claim
from demo_claims.draw.develop import EDITED, LARGEST, MESSENGER, QUALITIES, jpeg, picture
from demo_claims.draw.exif import block, with_camera_data
from demo_claims.draw.raster import View
from demo_claims.draw.records import Shot, Story, document_record, photo_record
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.evidence.read import read_photo
from ldapp.exchange.claim_file import write_claim_file

STORIES = {
    story.folder: story for story in (harbour_claim.STORY, lanterns_claim.STORY, school_claim.STORY)
}
WIDTH, HEIGHT = 1600, 1200


def draw_photo(shot: Shot) -> bytes:
    """The bytes of one photo file."""
    return photo_file(shot, draw_picture(shot))


def draw_picture(shot: Shot, oversample: float = 1.5, quality: float = 1.0) -> Image.Image:
    """The picture as the device sees it, pixels as they are stored."""
    scene, view = shot.scene()
    upright = shot.orientation in (6, 8)
    size = (HEIGHT, WIDTH) if upright else (WIDTH, HEIGHT)
    if upright:
        view = View(view.place, view.target, view.field_of_view * 0.80, view.roll)
    image = picture(scene, view, shot.look, shot.seed, *size, oversample, quality)
    return image.transpose(Image.Transpose.ROTATE_90) if shot.orientation == 6 else image


def photo_file(shot: Shot, whole: Image.Image) -> bytes:
    """The picture as a file: cut, where the story says so, and with the device's camera data."""
    image = whole
    if shot.crop:
        left, top, right, bottom = shot.crop
        image = image.crop(
            (int(left * WIDTH), int(top * HEIGHT), int(right * WIDTH), int(bottom * HEIGHT))
        )
        image = image.resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS).point(
            lambda v: min(255, v * 112 // 100)
        )
    if shot.stamp is None:
        return jpeg(image, MESSENGER)
    camera_data = block(shot.stamp, whole, shot.orientation)
    qualities = EDITED if shot.stamp.edited_with else QUALITIES
    return with_camera_data(jpeg(image, qualities, LARGEST - len(camera_data)), camera_data)


def write_story(
    story: Story, root: Path, keep_photos: bool = False, draw: Callable[[Shot], bytes] = draw_photo
) -> list[Path]:
    """Write everything of one claim under `root`; returns the files, the claim file last."""
    folder = root / story.folder
    written = []

    def write(name: str, data: bytes) -> Path:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        written.append(path)
        return path

    photos = []
    for shot in story.shots:
        path = folder / "photos" / shot.file
        if keep_photos and path.exists():
            written.append(path)
        else:
            path = write(f"photos/{shot.file}", draw(shot))
        photos.append(photo_record(shot, _facts(path), story.taken_in(shot)))
    documents = []
    for spec in story.papers:
        data = spec.build()
        write(f"documents/{spec.file}", data)
        documents.append(document_record(spec, data, len(pypdf.PdfReader(io.BytesIO(data)).pages)))
    for name, build in story.sheets.items():
        write(name, build())
    path = folder / "claim.json"
    write_claim_file(story.claim(tuple(photos), tuple(documents)), path)
    written.append(path)
    return written


def _facts(path: Path) -> PhotoFacts:
    """The file's own statements; the file system's time is left out, as it would change with every copy."""
    return dataclasses.replace(read_photo(path), file_modified=None)

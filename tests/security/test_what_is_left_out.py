"""Where a photo was taken and with which body: left out of what is sent, and then really out.

Searched for in the text, in every unpacked part of the PDF, in the files attached to it and
in each file of a shared bundle: as words, as numbers and as the bytes of the original's tags.
"""

from __future__ import annotations

import dataclasses
import io
import json
import struct
import zipfile
from pathlib import Path

import pikepdf
import pytest
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from ldapp.casework.bundles import write_claim_bundle
from ldapp.claim.claim import Claim
from ldapp.evidence.read import read_photo
from tests.dossier.conftest import Write, text_of
from tests.dossier.small_claim import FolderOfOriginals, picture_bytes

SECONDS = (4_444_273, 100_003)
"""The seconds of the latitude as Exif holds them, two numbers that occur nowhere else."""
SERIAL = "SER-LEAK-4711"
XMP = (
    b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-'
    b'syntax-ns#"><rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" xmlns:aux="http://ns.'
    b'adobe.com/exif/1.0/aux/" exif:GPSLatitude="47,7.4074N" exif:GPSLongitude="11,2.2222E" '
    b'aux:SerialNumber="SER-LEAK-4711"/></rdf:RDF></x:xmpmeta>'
)

PLACES = (*(struct.pack(f"{order}II", *SECONDS) for order in "<>"), b"47,7.4074", b"GPSLat")
BODIES = (SERIAL.encode(), SERIAL.encode("utf-16-be"))


def _tagged_photo(number: int) -> bytes:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = "Invented", "Pocket 9"
    exif.get_ifd(0x8769)[0xA431] = SERIAL
    place = exif.get_ifd(0x8825)
    place[1], place[3] = "N", "E"
    place[2] = (IFDRational(47, 1), IFDRational(7, 1), IFDRational(*SECONDS))
    place[4] = (IFDRational(11, 1), IFDRational(2, 1), IFDRational(SECONDS[1], 7))
    out = io.BytesIO()
    with Image.open(io.BytesIO(picture_bytes(number))) as picture:
        picture.save(out, "JPEG", quality=80, exif=exif.tobytes(), xmp=XMP)
    return out.getvalue()


@pytest.fixture
def tagged(claim: Claim, originals: FolderOfOriginals, tmp_path: Path) -> Claim:
    """The claim, its photos with position and serial number in every place that a file has."""
    photos = []
    for number, photo in enumerate(claim.photos):
        data = _tagged_photo(number)
        assert any(one in data for one in PLACES[:2])
        assert XMP in data
        path = tmp_path / photo.name
        path.write_bytes(data)
        originals.put(data)
        photos.append(dataclasses.replace(photo, facts=read_photo(path)))
    facts = photos[0].facts
    assert facts.serial == SERIAL
    assert facts.satellite is not None
    assert facts.satellite.latitude is not None
    return dataclasses.replace(claim, photos=tuple(photos))


def _latitude(claim: Claim) -> str:
    fix = claim.photos[0].facts.satellite
    assert fix is not None
    return str(fix.latitude)[:8]


def _everything(path: Path) -> bytes:
    """Return a PDF as it lies there, and all its parts and attached files unpacked."""
    parts = [path.read_bytes(), text_of(path).encode()]
    with pikepdf.open(path) as pdf:
        for one in pdf.objects:
            if isinstance(one, pikepdf.Stream):
                parts.append(one.read_raw_bytes())
                try:
                    parts.append(one.read_bytes())
                except pikepdf.PdfError:  # a picture, which lies there as it is
                    continue
        parts += [bytes(one.get_file().read_bytes()) for one in pdf.attachments.values()]
    return b"\n".join(parts)


@pytest.mark.parametrize("version", ["insurer", "dispute", "photos"])
def test_a_place_is_in_no_part_of_a_dossier(write: Write, tagged: Claim, version: str) -> None:
    result, _ = write(tagged, version)
    found = _everything(result.path)
    for needle in (*PLACES, _latitude(tagged).encode()):
        assert needle not in found, needle


@pytest.mark.parametrize("version", ["dispute", "photos"])
def test_the_number_of_a_body_is_in_no_part_of_what_the_rental_company_gets(
    write: Write, tagged: Claim, version: str
) -> None:
    result, _ = write(tagged, version)
    found = _everything(result.path)
    for needle in BODIES:
        assert needle not in found


@pytest.mark.parametrize("told", [True, False])
def test_the_number_of_a_body_is_left_out_for_the_insurer_too_where_that_is_wanted(
    write: Write, tagged: Claim, told: bool
) -> None:
    result, _ = write(tagged, "insurer", device_serials=told)
    found = _everything(result.path)
    assert (SERIAL.encode() in found) is told
    if not told:
        for needle in BODIES:
            assert needle not in found


def test_a_place_that_may_travel_along_does(write: Write, tagged: Claim) -> None:
    open_photos = tuple(dataclasses.replace(one, withhold_position=False) for one in tagged.photos)
    result, _ = write(dataclasses.replace(tagged, photos=open_photos), "insurer")
    with pikepdf.open(result.path) as pdf:
        told = json.loads(pdf.attachments["claim.json"].get_file().read_bytes())
    assert str(told["photos"][0]["facts"]["satellite"]["latitude"]).startswith(_latitude(tagged))
    # The picture itself never carries its tags, allowed or not.
    assert not any(one in _everything(result.path) for one in PLACES)


@pytest.mark.parametrize("version", ["insurer", "dispute"])
def test_neither_is_in_any_file_of_a_shared_bundle(
    tagged: Claim, originals: FolderOfOriginals, tmp_path: Path, version: str
) -> None:
    bundle = write_claim_bundle(
        tagged, originals, tmp_path / "s.zip", profile="shared", version=version,  # type: ignore[arg-type]
    )  # fmt: skip
    with zipfile.ZipFile(bundle) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    assert any(name.endswith(".jpg") for name in files)
    needles = [*PLACES, _latitude(tagged).encode(), *(BODIES if version == "dispute" else ())]
    for name, data in files.items():
        found = data
        if name.endswith(".pdf"):
            (tmp_path / "inner.pdf").write_bytes(data)
            found = _everything(tmp_path / "inner.pdf")
        for needle in needles:
            assert needle not in found, (name, needle)
        if name.endswith(".jpg"):
            assert not any(one in data for one in BODIES)

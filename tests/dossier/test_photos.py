"""Photos in print: passed through where they fit, upright, covered, and never a failure."""

from __future__ import annotations

import dataclasses
import io
import re
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from PIL import Image, ImageChops, ImageOps, ImageStat
from reportlab.pdfgen.canvas import Canvas

from ldapp.claim.claim import Claim
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import Marking, Pairing, Photo
from ldapp.dossier.jpeg import NotPlainJpegError, strip_metadata
from ldapp.dossier.photo_panel import draw_picture
from ldapp.dossier.picture_file import CodedPicture, PictureFile, append_pictures
from ldapp.dossier.pictures import upright_turn
from tests.dossier.conftest import Write, words_of
from tests.dossier.small_claim import FolderOfOriginals, picture_bytes


def photo_of(
    originals: FolderOfOriginals,
    data: bytes,
    *,
    key: str = "one",
    kind: str = "image/jpeg",
    orientation: int = 1,
    quarter_turns: int = 0,
    markings: tuple[Marking, ...] = (),
) -> Photo:
    return Photo(
        id=key,
        name=f"{key}.jpg",
        facts=PhotoFacts(
            file_name=f"{key}.jpg",
            sha256=originals.put(data),
            bytes=len(data),
            kind=kind,
            orientation=orientation,
        ),
        pairings=(Pairing(line="l1"),),
        quarter_turns=quarter_turns,
        markings=markings,
    )


def with_photos(claim: Claim, *photos: Photo) -> Claim:
    return dataclasses.replace(claim, photos=photos)


def picture_streams(path: Path) -> list[bytes]:
    """Return the coded pictures of a PDF as they stand in it, each once."""
    with pikepdf.open(path) as pdf:
        return [
            one.read_raw_bytes()
            for one in pdf.objects
            if isinstance(one, pikepdf.Stream) and one.get("/Subtype") == "/Image"
        ]


def markers_of(data: bytes) -> list[int]:
    found, place = [], 2
    while data[place + 1] != 0xDA:
        found.append(data[place + 1])
        place += 2 + int.from_bytes(data[place + 2 : place + 4], "big")
    return found


def test_a_jpeg_stands_in_the_file_byte_for_byte_without_its_metadata(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    data = picture_bytes(3)
    result, _ = write(with_photos(claim, photo_of(originals, data)), "photos")
    assert b"Exif" in data
    (stream,) = picture_streams(result.path)
    assert stream == strip_metadata(data).data
    assert result.photo_resolution == "as taken"
    with Image.open(io.BytesIO(stream)) as shown, Image.open(io.BytesIO(data)) as taken:
        assert shown.tobytes() == taken.tobytes()
        assert not shown.getexif()


def test_profile_and_adobe_marker_stay_and_everything_else_goes() -> None:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), (200, 20, 20)).save(
        out, "JPEG", icc_profile=b"a profile" * 20, comment=b"secret comment", exif=b"Exif\0\0MM"
    )
    adobe = b"\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00\x01"
    data = out.getvalue()
    index_of_pictures = b"\xff\xe2\x00\x10MPF\0secret-mpf"
    data = data[:2] + adobe + index_of_pictures + data[2:] + b"trailing second picture"
    stripped = strip_metadata(data)
    assert 0xE2 in markers_of(stripped.data)
    assert 0xEE in markers_of(stripped.data)
    assert not {0xE0, 0xE1, 0xFE} & set(markers_of(stripped.data))
    assert b"secret" not in stripped.data
    assert stripped.data.endswith(b"\xff\xd9")
    assert (stripped.width, stripped.height, stripped.components) == (40, 30, 3)


def test_a_progressive_jpeg_is_passed_on_whole() -> None:
    out = io.BytesIO()
    image = Image.effect_noise((300, 200), 80).convert("RGB")
    image.save(out, "JPEG", progressive=True, quality=90)
    stripped = strip_metadata(out.getvalue())
    with Image.open(io.BytesIO(stripped.data)) as shown, Image.open(out) as taken:
        assert shown.tobytes() == taken.tobytes()


def test_a_jpeg_that_breaks_off_is_closed_and_named(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    data = picture_bytes(4)[:9000]
    assert not strip_metadata(data).complete
    photo = photo_of(originals, data)
    broken = dataclasses.replace(photo, facts=dataclasses.replace(photo.facts, complete=False))
    result, _ = write(with_photos(claim, broken), "photos")
    assert any("breaks off" in one for one in result.fell_short)


def test_a_scan_of_a_component_that_the_frame_does_not_name_is_refused() -> None:
    data = strip_metadata(picture_bytes(1)).data
    scan = data.index(b"\xff\xda")
    broken = data[: scan + 5] + b"\x0d" + data[scan + 6 :]
    with pytest.raises(NotPlainJpegError):
        strip_metadata(broken)


@pytest.mark.parametrize("data", [b"", b"\xff\xd8", b"\xff\xd8\xff\xd9", b"not a picture at all"])
def test_what_is_no_jpeg_is_refused(data: bytes) -> None:
    with pytest.raises(NotPlainJpegError):
        strip_metadata(data)


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("quarter_turns", [0, 1, 2, 3])
def test_every_orientation_is_drawn_upright(
    tmp_path: Path, orientation: int, quarter_turns: int
) -> None:
    """The page shows what an independent library shows when it turns the picture."""
    data = picture_bytes(0, (240, 180), orientation=orientation)
    facts = PhotoFacts(file_name="a", sha256="", bytes=0, orientation=orientation)
    photo = Photo(id="a", name="a", facts=facts, quarter_turns=quarter_turns)
    plain = strip_metadata(data)
    kept = PictureFile(tmp_path / "pictures")
    picture = kept.put(
        CodedPicture(
            data=plain.data,
            width=plain.width,
            height=plain.height,
            components=plain.components,
            turn=upright_turn(photo),
            passed_through=True,
        )
    )
    with Image.open(io.BytesIO(data)) as taken:
        upright = ImageOps.exif_transpose(taken).rotate(-90 * quarter_turns, expand=True)
    assert picture.upright_size == upright.size
    path = tmp_path / "one.pdf"
    canvas = Canvas(str(path), pagesize=upright.size, invariant=1)
    draw_picture(canvas, picture, 0, 0, *upright.size)
    canvas.save()
    append_pictures(path, kept)
    kept.close()
    document = pypdfium2.PdfDocument(path)
    shown = document[0].render(scale=1).to_pil().convert("RGB")
    document.close()
    difference = ImageChops.difference(shown, upright.convert("RGB"))
    assert max(ImageStat.Stat(difference).mean) < 3


def is_red(pixel: object) -> bool:
    assert isinstance(pixel, tuple)
    return bool(pixel[0] > 170 and pixel[1] < 60 and pixel[2] < 60)


def test_turns_by_hand_and_by_file_add_up() -> None:
    facts = PhotoFacts(file_name="a", sha256="", bytes=0, orientation=6)
    photo = Photo(id="a", name="a", facts=facts, quarter_turns=1)
    assert upright_turn(photo) == 3
    assert upright_turn(dataclasses.replace(photo, quarter_turns=3)) == 1
    turned = dataclasses.replace(facts, upright_by_container=True)
    assert upright_turn(dataclasses.replace(photo, facts=turned, quarter_turns=0)) == 1


def test_what_is_covered_is_gone_from_the_file(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    data = picture_bytes(0, (400, 300))
    cover = Marking(kind="redaction", points=((0.0, 0.0), (0.2, 0.2)), text="a face")
    result, _ = write(with_photos(claim, photo_of(originals, data, markings=(cover,))), "photos")
    (stream,) = picture_streams(result.path)
    with Image.open(io.BytesIO(stream)) as shown:
        assert not any(is_red(shown.getpixel((x, y))) for x in range(40) for y in range(30))
        assert max(shown.getpixel((20, 20))) < 60  # type: ignore[type-var]


@pytest.mark.parametrize(
    ("form", "mode", "kind"),
    [
        ("PNG", "RGB", "image/png"),
        ("PNG", "LA", "image/png"),
        ("PNG", "I;16", "image/png"),
        ("TIFF", "CMYK", "image/tiff"),
        ("JPEG", "CMYK", "image/jpeg"),
        ("JPEG", "L", "image/jpeg"),
    ],
)
def test_every_kind_of_source_becomes_a_plain_jpeg(
    write: Write, claim: Claim, originals: FolderOfOriginals, form: str, mode: str, kind: str
) -> None:
    data = sixteen_bit() if mode == "I;16" else picture_bytes(2, (400, 300), form=form, mode=mode)
    result, _ = write(with_photos(claim, photo_of(originals, data, kind=kind)), "photos")
    assert result.fell_short == ()
    (stream,) = picture_streams(result.path)
    with Image.open(io.BytesIO(stream)) as shown:
        assert shown.format == "JPEG"
        assert shown.mode in {"RGB", "L"}
        assert max(shown.convert("L").getextrema()) > 100
        assert min(shown.convert("L").getextrema()) < 80


def sixteen_bit() -> bytes:
    out = io.BytesIO()
    grey = Image.new("I;16", (400, 300))
    grey.putdata([(x % 400) * 160 for x in range(400 * 300)])
    grey.save(out, "PNG")
    return out.getvalue()


def test_a_heic_photo_is_shown(write: Write, claim: Claim, originals: FolderOfOriginals) -> None:
    found = sorted((Path(__file__).parents[2].parent / "shared" / "photos").rglob("*.heic"))
    if not found:
        pytest.skip("the shared photo corpus is not beside the repository")
    photo = photo_of(originals, found[0].read_bytes(), kind="image/heic")
    result, _ = write(with_photos(claim, photo), "photos")
    assert len(picture_streams(result.path)) == 1


def test_missing_damaged_and_moving_pictures_become_a_sentence(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    gone = photo_of(originals, picture_bytes(1), key="gone")
    originals.path_of(gone.facts.sha256).unlink()
    damaged = photo_of(originals, b"\x89PNG\r\n\x1a\n" + b"rubbish" * 50, key="damaged")
    film = photo_of(originals, b"\0\0\0\x18ftypqt  ", key="film", kind="video/quicktime")
    fine = photo_of(originals, picture_bytes(2), key="fine")
    result, _ = write(with_photos(claim, gone, damaged, film, fine), "photos")
    assert [one.split(":")[0] for one in result.fell_short] == ["Photo 1", "Photo 2", "Photo 3"]
    text = words_of(result.path)
    assert "gone.jpg is not where it was kept" in text
    assert "damaged.jpg cannot be shown: it is damaged" in text
    assert "film.jpg is a film" in text
    assert len(picture_streams(result.path)) == 1


def test_the_budget_chooses_the_resolution_and_nothing_is_enlarged(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    photos = []
    for number in range(24):
        out = io.BytesIO()
        Image.effect_noise((1600, 1200), 90 + number).convert("RGB").save(out, "JPEG", quality=90)
        photos.append(photo_of(originals, out.getvalue(), key=f"n{number}"))
    small = photo_of(originals, picture_bytes(1, (120, 90)), key="small")
    tiny = photo_of(originals, picture_bytes(1, (100, 75), form="PNG"), key="tiny")
    whole = with_photos(claim, *photos, small, tiny)
    generous, _ = write(whole, "photos", size_budget=90_000_000)
    assert generous.photo_resolution == "as taken"
    tight, _ = write(whole, "photos", size_budget=6_000_000)
    assert tight.photo_resolution.endswith("dots per inch at printed size")
    assert tight.bytes <= 6_000_000
    sizes = []
    for stream in picture_streams(tight.path):
        with Image.open(io.BytesIO(stream)) as shown:
            sizes.append(shown.size)
    assert (120, 90) in sizes
    assert (100, 75) in sizes
    resolution = int(tight.photo_resolution.split()[0])
    longest = max(max(size) for size in sizes)
    inches = (170 - 14 / 72 * 25.4) / 2 / 25.4
    assert longest == pytest.approx(resolution * inches, abs=2)
    hopeless, _ = write(whole, "photos", size_budget=100_000)
    assert hopeless.photo_resolution.startswith("150")
    assert any("more than the" in one for one in hopeless.fell_short)


def test_a_picture_used_on_several_sheets_stands_in_the_file_once(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    photo = photo_of(originals, picture_bytes(5))
    both = dataclasses.replace(photo, pairings=(Pairing(line="l1"), Pairing(line="l2")))
    result, _ = write(with_photos(claim, both), "insurer")
    assert len(picture_streams(result.path)) == 1
    assert words_of(result.path).count("Photo 1 ") >= 2


def test_markings_are_drawn_over_the_picture_and_leave_it_alone(
    write: Write, claim: Claim, originals: FolderOfOriginals
) -> None:
    data = picture_bytes(6)
    marks = tuple(
        Marking(
            kind=kind,  # type: ignore[arg-type]
            points=((0.1, 0.15 * number), (0.3, 0.15 * number + 0.1)),
            text=f"words of {kind}",
        )
        for number, kind in enumerate(("ring", "arrow", "box", "measure", "note"))
    )
    result, _ = write(with_photos(claim, photo_of(originals, data, markings=marks)), "photos")
    assert picture_streams(result.path) == [strip_metadata(data).data]
    text = words_of(result.path)
    for mark in marks:
        assert mark.text in text


def test_a_photo_with_none_beside_it_says_on_which_side_it_stands(
    write: Write, claim: Claim
) -> None:
    """It may come first on a page, without the row above that says before and after."""
    first, last = claim.photos[0], claim.photos[4]
    assert first.pairings[0].line == last.pairings[0].line == "l1"
    more = dataclasses.replace(last, id="more", name="more.jpg")
    result, _ = write(with_photos(claim, first, last, more), "insurer")
    words = words_of(result.path)
    assert len(re.findall(r"\bAfter\b", words)) == 2
    assert len(re.findall(r"\bBefore\b", words)) == 1

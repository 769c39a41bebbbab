"""Reading and judging photos against a batch metadata reader followed by sha256sum."""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image

from tests.benchmarks.table import Row, command, missing, pairs

WIDTH, HEIGHT = 4000, 3000
_TAGS = (
    "-Make=Invented Optics", "-Model=IO-1", "-SerialNumber=00417", "-Software=Ver.1.01",
    "-DateTimeOriginal=2026:02:14 10:15:30", "-CreateDate=2026:02:14 10:15:30",
    "-ModifyDate=2026:02:14 10:15:30", "-SubSecTimeOriginal=070", "-OffsetTimeOriginal=+01:00",
    "-Orientation#=1", "-ExifImageWidth=4000", "-ExifImageHeight=3000", "-FNumber=4",
    "-ISO=400", "-ExposureTime=1/60", "-FocalLength=35", "-GPSDateStamp=2026:02:14",
    "-GPSTimeStamp=09:15:28", "-GPSLatitude=52.52", "-GPSLatitudeRef=N", "-GPSLongitude=13.405",
    "-GPSLongitudeRef=E",
)  # fmt: skip


def twelve_megapixels(folder: Path, files: int) -> None:
    """Fill a folder with camera-like JPEGs: grain, tags, a preview, and no two alike."""
    grain = Image.effect_noise((WIDTH, HEIGHT), 40)
    shade = Image.linear_gradient("L").resize((WIDTH, HEIGHT))
    image = Image.merge("RGB", (grain, Image.blend(grain, shade, 0.5), shade))
    first = folder / "IMG_0000.JPG"
    image.save(first, quality=86)
    small = io.BytesIO()
    image.resize((160, 120)).save(small, "JPEG")
    preview = folder / "preview.bin"
    preview.write_bytes(small.getvalue())
    subprocess.run(
        ["exiftool", "-q", "-overwrite_original", *_TAGS, f"-ThumbnailImage<={preview}", first],
        check=True,
    )
    preview.unlink()
    data = first.read_bytes()
    for number in range(1, files):
        # What follows the end of a JPEG is not part of the picture.
        (folder / f"IMG_{number:04d}.JPG").write_bytes(data + number.to_bytes(4, "big"))


def measure(files: int) -> list[Row]:
    """Measure with the given number of files; process start included on both sides."""
    if missing("exiftool", "sha256sum"):
        return []
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        twelve_megapixels(folder, files)
        names = [str(path) for path in sorted(folder.iterdir())]
        reader = command("exiftool", "-q", "-j", "-G1", "-n", place)
        hashes = command("sha256sum", *names)
        ours, reference = pairs(
            3,
            command(sys.executable, "-m", "ldapp", "photos", place, "--json"),
            lambda: (reader(), hashes()),
        )
    return [
        Row(
            what=f"photos --json, {files} files of twelve megapixels",
            seconds=ours,
            reference="metadata reader in batch, then sha256sum",
            reference_seconds=reference,
            ratio_wanted=0.6,
        )
    ]

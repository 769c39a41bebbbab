"""What a container walk brings back: the blocks with tags, and the shape of the file."""

from __future__ import annotations

from dataclasses import dataclass, field

from ldapp.evidence.exif_block import (
    EXIF_POINTER,
    GPS_POINTER,
    Directory,
    TiffBlock,
    open_block,
)
from ldapp.evidence.source import Bytes

Place = tuple[TiffBlock, Directory]


@dataclass(slots=True)
class CameraData:
    """The directories of one set of Exif data; an absent one is None."""

    main: Place | None = None
    exif: Place | None = None
    satellite: Place | None = None
    preview: Place | None = None
    starts_at: int | None = None
    """Where the block begins in the file, if it lies there in one piece."""

    def places(self) -> tuple[Place, ...]:
        """Return the directories that are there."""
        every = (self.main, self.exif, self.satellite, self.preview)
        return tuple(place for place in every if place is not None)


@dataclass(slots=True)
class Found:
    """Everything a container gave, not yet interpreted."""

    kind: str
    width: int | None = None
    height: int | None = None
    cameras: list[CameraData] = field(default_factory=list)
    exif_segments: int = 0
    xmp: bytes | None = None
    complete: bool = True
    has_jfif: bool = False
    first_segment: str | None = None
    quantisation: str | None = None
    content_credentials: bool = False
    upright_by_container: bool = False
    movie_seconds: int | None = None
    movie_duration_s: float | None = None
    movie_creation_date: str | None = None
    movie_content_date: str | None = None
    """What stands for the creation date where a writer has only the older field."""
    movie_make: str | None = None
    movie_model: str | None = None
    movie_software: str | None = None
    movie_position: tuple[float, float] | None = None
    is_movie: bool = False
    jpeg_inside: tuple[int, int] | None = None
    """Offset and length of the largest JPEG that a raw file carries to show itself."""

    def add_block(self, data: Bytes, starts_at: int | None) -> bool:
        """Resolve a TIFF block and keep its directories; False if it is none."""
        block = open_block(data)
        if block is None:
            return False
        self.cameras.append(resolve(block, starts_at))
        return True


def resolve(block: TiffBlock, starts_at: int | None) -> CameraData:
    """Follow the pointers of a block: main, Exif, satellite and preview directories."""
    main, after = block.directory(block.first)
    data = CameraData(main=(block, main), starts_at=starts_at)
    if exif := block.pointed(main, EXIF_POINTER):
        data.exif = (block, exif)
    # Some writers hang the satellite directory under the Exif directory.
    if satellite := block.pointed(main, GPS_POINTER) or block.pointed(exif, GPS_POINTER):
        data.satellite = (block, satellite)
    if after and (preview := block.directory(after)[0]):
        data.preview = (block, preview)
    return data

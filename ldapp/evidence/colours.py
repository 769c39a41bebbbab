"""Pictures in the colours that screens and papers expect.

A file may say by an ICC profile (ISO 15076-1) what its numbers mean; shown as if they were
sRGB (IEC 61966-2-1), a phone's wide colours look dull and a printer's four inks wrong.
"""

from __future__ import annotations

import io
from functools import lru_cache
from typing import Final

from PIL import Image, ImageCms

_LARGEST_PROFILE: Final = 4 << 20
_CHANNELS: Final = {"RGB ": "RGB", "CMYK": "CMYK", "GRAY": "L"}
"""The ICC's names of colour spaces, and the pictures that they fit."""
_SRGB: Final = ("sRGB", "IEC61966-2.1")


def in_screen_colours(image: Image.Image, profile: bytes | None) -> Image.Image:
    """Return the picture in sRGB by its profile, or as it is where none of use is given.

    A profile that is damaged, or of other channels than the picture, is left: a picture in
    slightly wrong colours is better than none.
    """
    if not profile or len(profile) > _LARGEST_PROFILE:
        return image
    alpha = image.getchannel("A") if image.mode in ("RGBA", "LA") else None
    plain = image.convert(image.mode.removesuffix("A")) if alpha is not None else image
    change = _transform(profile, plain.mode)
    if change is None:
        return image
    changed = change.apply(plain)
    if alpha is not None:
        changed.putalpha(alpha)
    return changed


@lru_cache(maxsize=16)
def _transform(profile: bytes, mode: str) -> ImageCms.ImageCmsTransform | None:
    """Return the change from a profile to sRGB; None where there is nothing to change."""
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if _CHANNELS.get(source.profile.xcolor_space) != mode:
            return None
        if any(name in ImageCms.getProfileDescription(source) for name in _SRGB):
            return None
        return ImageCms.buildTransform(source, _srgb(), mode, "RGB")
    except (OSError, ImageCms.PyCMSError, ValueError, TypeError):
        return None


@lru_cache(maxsize=1)
def _srgb() -> ImageCms.ImageCmsProfile:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))

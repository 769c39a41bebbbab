"""Damaged pictures: looking at them raises nothing and holds nobody up."""

from __future__ import annotations

import io
import random
import time

import pytest
from PIL import Image, ImageCms

from ldapp.evidence.closely import read_closely
from ldapp.evidence.credentials import with_credentials
from ldapp.evidence.first_look import first_look
from ldapp.evidence.read import read_photo
from tests.evidence.test_credentials import made_signer, signed
from tests.evidence.test_heif_tiles import tiled
from tests.evidence.test_mutations import damaged
from tests.evidence.test_pictures import encoded, with_preview


@pytest.fixture(scope="module")
def signature():
    return made_signer()


@pytest.fixture
def pictures(build, signature) -> list[bytes]:
    drawn = build.drawn(160, 120)
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    made = [
        with_preview(build, encoded(drawn.resize((40, 30))), encoded(drawn), 6),
        encoded(drawn, progressive=True, icc_profile=profile),
        signed(encoded(drawn), signature),
        tiled(build, 2, 2),
    ]
    for form in ("PNG", "TIFF", "WEBP", "AVIF"):
        out = io.BytesIO()
        drawn.save(out, form)
        made.append(out.getvalue())
    grey = io.BytesIO()
    Image.linear_gradient("L").convert("I").convert("I;16").save(grey, "TIFF")
    return [*made, grey.getvalue()]


@pytest.mark.parametrize("series", range(4))
def test_a_damaged_picture_is_looked_at_without_a_fault(pictures, save, series, monkeypatch):
    # Every grid is drawn tile by tile here, as those of fifty megapixels are.
    monkeypatch.setattr("ldapp.evidence.pictures.MOST_BYTES", 100_000)
    rng = random.Random(4_711 + series)
    for number in range(60):
        path = save("a.jpg", damaged(rng, pictures))
        began = time.monotonic()
        facts = with_credentials(path, read_photo(path), "")
        if facts.error is None:
            look = first_look(path, facts)
            assert len(look.likeness) in (0, 16), (series, number)
            read_closely(path, with_picture=True)
        assert time.monotonic() - began < 2, (series, number)

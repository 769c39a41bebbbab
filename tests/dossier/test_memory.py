"""A dossier's memory is bounded by what is on its pages, not by its photos."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.dossier.alone import photos_with_scans_of_their_own, written_alone

PHOTO_BYTES = 150_000


@pytest.mark.skipif(
    not Path("/proc/self/status").is_file(), reason="the peak of memory is read from Linux's /proc"
)
def test_a_thousand_photos_need_no_more_memory_than_three_hundred(tmp_path: Path) -> None:
    photos_with_scans_of_their_own(tmp_path, 1000, PHOTO_BYTES)
    few = written_alone(tmp_path, 300)
    many = written_alone(tmp_path, 1000)
    assert few.size > 300 * PHOTO_BYTES
    assert many.size > 1000 * PHOTO_BYTES
    # The photos are 105 megabytes more; captions and pages are all that may grow.
    assert many.peak < 1.3 * few.peak
    assert many.peak - few.peak < 0.2 * (many.size - few.size)

"""Kit lists drawn by lot are read as they are meant, whatever file they come in."""

from __future__ import annotations

from pathlib import Path

import pytest

from ldapp.exchange.kit_list import read_kit_list
from tests.exchange.layouts.kits import KitDrawing, differences, write


@pytest.mark.parametrize("ending", ["csv", "xlsx", "ods"])
@pytest.mark.parametrize("seed", [*range(8), 22, 29, 38])
def test_a_drawn_list_is_read_as_it_is_meant(tmp_path: Path, seed: int, ending: str) -> None:
    drawing = KitDrawing(seed)
    path = tmp_path / f"kit.{ending}"
    write(drawing, ending, path)
    assert differences(drawing.lines, read_kit_list(path)) == []


@pytest.mark.parametrize("seed", [1, 8, 9, 13, 19, 20, 23, 27, 36, 37, 49, 75, 6003, 9009])
def test_a_list_in_a_pdf_is_read_as_it_is_meant(tmp_path: Path, seed: int) -> None:
    drawing = KitDrawing(seed)
    path = tmp_path / "kit.pdf"
    write(drawing, "pdf", path)
    assert differences(drawing.lines, read_kit_list(path)) == []

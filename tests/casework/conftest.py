"""A register in a folder of its own, and a claim with a few kit lines on the desk."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from ldapp.casework import kit, papers
from ldapp.casework.open_claim import OpenClaim, new_id
from ldapp.casework.register import Register
from ldapp.claim.kit import KitLine
from ldapp.store.claim_library import Library


@pytest.fixture(autouse=True)
def preview_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Small pictures go into a folder of the test, not into the person's cache."""
    folder = tmp_path / "previews"
    monkeypatch.setattr("ldapp.casework.photo_previews.preview_folder", lambda: folder)
    return folder


@pytest.fixture
def register(tmp_path: Path) -> Iterator[Register]:
    register = Register(Library.open(tmp_path / "library"), "Ada")
    yield register
    register.close()


@pytest.fixture
def desk(register: Register) -> OpenClaim:
    desk = register.create("2026-001", "Harbour Lights", "USD", "America/Denver")
    papers.add_agreement(desk, "Invented Rentals", "A-1")
    return desk


@pytest.fixture
def stocked(desk: OpenClaim) -> OpenClaim:
    """A claim with three lines on two carts."""
    agreement = desk.claim.agreements[0].id
    rows = (
        ("1", "C-stand 40 in with head and arm", 12, "grip", "Cart A", ()),
        ("2", "LED panel 2x1", 2, "lighting", "Case 4", ("PX-1001", "PX-1002")),
        ("3", "Stinger 50 ft", 20, "electrical_distribution", "Cart A", ()),
    )
    kit.add_lines(
        desk,
        (
            KitLine(
                id=new_id(),
                number=number,
                agreement=agreement,
                description=description,
                quantity=quantity,
                kind=kind,  # type: ignore[arg-type]
                location=place,
                serials=serials,
            )
            for number, description, quantity, kind, place, serials in rows
        ),
    )
    return desk

"""Pieces of work that are killed in the middle: ``python -m tests.endurance.acts ACT FOLDER``.

Each prints ``start`` when its libraries are loaded, a line for everything that is reported
to the person as done, and ``done``.  Started again it goes on with what is there.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import sys
from collections.abc import Callable
from pathlib import Path

from ldapp.casework import dossier
from ldapp.casework.demo import demo_claim
from ldapp.casework.originals import FolderOriginals
from ldapp.casework.photo_intake import take_in_photos
from ldapp.casework.register import Register
from ldapp.claim.changes import difference
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.summary import ClaimSummary
from ldapp.exchange.claim_file import read_claim_file
from ldapp.store.claim_library import Library

DAY = dt.date(2026, 11, 25)
REFERENCE = "2026-001"


def summary_of(claim: Claim) -> ClaimSummary:
    """Return a row of the register for a claim of these runs."""
    return ClaimSummary(
        claim=claim.id, reference=claim.reference, title=claim.title,
        currency=claim.currency, stage="preparing",
    )  # fmt: skip


def _import(folder: Path) -> None:
    """Take photos into a claim of a library; one change of the claim for all of them."""
    photos = demo_claim("harbour_lights").path.parent
    register = Register(Library.open(folder / "library"), "Ada")
    there = register.summaries()
    desk = (
        register.open(there[0].claim)
        if there
        else register.create(REFERENCE, "Invented", "USD", "UTC")
    )
    print("claim", desk.claim.id, flush=True)
    taken = take_in_photos(desk, register.originals, [photos], previews=folder / "previews").taken
    for photo in taken:
        print("photo", photo.facts.sha256, flush=True)
    register.close()


def _save(folder: Path) -> None:
    """Change a claim forty times, with an original for each change."""
    library = Library.open(folder / "library")
    if not library.summaries():
        made = Claim(id="c", reference=REFERENCE, currency="USD", zone="UTC")
        library.create(made, who="Ada", label="Create", summary=summary_of(made))
    claim, version = library.load("c")
    for _ in range(40):
        stored = library.originals.put_bytes(f"photo {version}".encode() * 5000)
        entries = tuple(CountEntry(line=f"{n}", quantity=version) for n in range(200))
        counts = (Count(id="n", stage="pickup", entries=entries[version % 7 :]),)
        new = dataclasses.replace(claim, title=stored.sha256, counts=counts)
        version, entry = library.save(
            new, expected_version=version, changes=difference(claim, new), who="Ada",
            label="Count", undoes=None, summary=summary_of(new),
        )  # fmt: skip
        claim = new
        print("saved", version, stored.sha256, entry.hash, flush=True)
    library.close()


def _dossier(folder: Path) -> None:
    """Write a dossier to the same place each time."""
    path = demo_claim("paper_lanterns").path
    claim = read_claim_file(path)
    folder.mkdir(parents=True, exist_ok=True)
    originals, choices = FolderOriginals(claim, path.parent), dossier.Choices("photos", DAY)
    dossier.write(claim, originals, choices, folder / "dossier.pdf")
    print("written", flush=True)


def _migrate(folder: Path) -> None:
    """Open a library of an earlier shape."""
    Library.open(folder / "library").close()


ACTS: dict[str, Callable[[Path], None]] = {
    "import": _import,
    "save": _save,
    "dossier": _dossier,
    "migration": _migrate,
}


if __name__ == "__main__":
    print("start", flush=True)
    ACTS[sys.argv[1]](Path(sys.argv[2]))
    print("done", flush=True)

"""The invented claims that come with the program."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

from ldapp.errors import MachineError
from ldapp.language import language, said


class DemoClaim(NamedTuple):
    """A demo claim: its folder's name, what it is called and for whom it was invented."""

    name: str
    title: str
    sentence: str
    path: Path
    """The claim file."""


def demo_folder() -> Path:
    """Return the folder with the demo claims; raises MachineError where it is missing."""
    package = Path(str(files("ldapp")))
    for folder in (package / "demo_claims", package.parent / "demo_claims"):
        if (folder / "demo_claims.json").is_file():
            return folder
    raise MachineError(
        said("The demo claims are missing from this installation. Install it again.")
    )


def demo_claims() -> tuple[DemoClaim, ...]:
    """Return the demo claims in the order in which they are offered.

    What each is about is told in the language spoken now; the claims themselves are English.
    """
    folder = demo_folder()
    listed = json.loads((folder / "demo_claims.json").read_text(encoding="utf-8"))
    return tuple(
        DemoClaim(
            one["name"],
            one["title"],
            one["translated"].get(language(), one["sentence"]),
            folder / one["name"] / "claim.json",
        )
        for one in listed
    )


def demo_claim(name: str | None = None) -> DemoClaim:
    """Return a demo claim by name, or the first one; raises MachineError where there is none."""
    listed = demo_claims()
    if name is None:
        return listed[0]
    for one in listed:
        if one.name == name:
            return one
    names = ", ".join(one.name for one in listed)
    raise MachineError(
        said("There is no demo claim called {name}. There are: {names}.", name=name, names=names)
    )

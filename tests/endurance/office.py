"""Four processes change the same claims; afterwards all is compared with what they noted."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from ldapp.claim.claim import Claim
from ldapp.store.claim_library import Library
from tests.endurance.acts import summary_of
from tests.endurance.readings import REPOSITORY

PEOPLE = ("ada", "bea", "cem", "dia")
CLAIMS = ("one", "two", "three")


def work_together(
    folder: Path,
    seconds: float,
    seed: int,
    address: str | None = None,
    say: Callable[[str], None] = lambda text: None,
) -> list[str]:
    """Let four processes work for ``seconds``; return what is not as they noted it."""
    where = "PostgreSQL" if address else "SQLite"
    library = Library.open(folder / "library", database_url=address)
    for key in CLAIMS:
        claim = Claim(id=key, reference=key, currency="USD", zone="UTC")
        library.create(claim, who="Ada", label="Create", summary=summary_of(claim))
    library.close()
    logs = {name: folder / f"{name}.log" for name in PEOPLE}
    running = [
        subprocess.Popen(
            [
                sys.executable, "-m", "tests.endurance.colleague", name, str(folder / "library"),
                str(seconds), str(seed), str(log), *([address] if address else []),
            ],
            cwd=REPOSITORY,
            env={**os.environ, "PYTHONPATH": str(REPOSITORY)},
        )
        for name, log in logs.items()
    ]  # fmt: skip
    faults = [
        f"{where}, seed {seed}: a process ended with {code}"
        for code in (one.wait() for one in running)
        if code
    ]
    noted = [line.split() for log in logs.values() for line in log.read_text("utf-8").splitlines()]
    tally = Counter(words[0] for words in noted)
    say(f"{where}, seed {seed}: {dict(tally)}")
    if not tally["saved"]:
        faults.append(f"{where}: nothing was saved")
    library = Library.open(folder / "library", database_url=address)
    try:
        faults += _differences(library, [one for one in noted if one[0] == "saved"], where)
    finally:
        library.close()
    return faults


def _differences(library: Library, saved: list[list[str]], where: str) -> list[str]:
    faults = [*library.check_database(), *library.originals.check(lambda done, total: None)]
    for key in CLAIMS:
        faults += library.check_journal(key)
        claim, version = library.load(key)
        entries = {entry.number: entry for entry in library.journal(key)}
        mine = [one for one in saved if one[1] == key]
        versions = [int(one[2]) for one in mine]
        if sorted(versions) != list(range(2, len(mine) + 2)) or version != len(mine) + 1:
            faults.append(f"{where}, claim {key}: {len(mine)} changes noted, version {version}")
        text = {*claim.title.split(), *claim.note.split(), *(line.id for line in claim.kit)}
        for _, _, number, token, entry_hash, sha256 in mine:
            entry = entries.get(int(number))
            if entry is None or entry.hash != entry_hash or entry.label != token:
                faults.append(f"{where}, claim {key}: entry {number} is not what was reported")
            if token not in text:
                faults.append(f"{where}, claim {key}: the change {token} was lost")
            if not library.originals.has(sha256):
                faults.append(f"{where}: the original of {token} is missing")
    return faults

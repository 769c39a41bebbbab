"""Work killed at a moment by chance, then looked at, then started again to its end."""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path

from ldapp.claim.claim import Claim
from ldapp.store.claim_library import Library
from tests.endurance.acts import ACTS
from tests.endurance.readings import REPOSITORY

OLD = REPOSITORY / "tests" / "store" / "old_libraries" / "0001"


def kill_at_random(
    acts: Iterable[str],
    count: int,
    seed: int,
    folder: Path,
    first: int = 0,
    say: Callable[[str], None] = lambda text: None,
) -> list[str]:
    """Kill each of ``acts`` in turn, ``count`` times in all; return what was found wrong."""
    names = list(acts)
    faults: list[str] = []
    for number in range(first, first + count):
        act = names[number % len(names)]
        place = folder / f"{number}"
        dice = random.Random(f"{seed}/{number}")
        try:
            cut = _one(act, dice, place)
            say(f"kill {number}: {act} {cut}")
        except Exception as error:  # noqa: BLE001 - whatever it is, it is what is looked for
            faults.append(f"{act}, seed {seed}, number {number}: {type(error).__name__}: {error}")
            say(faults[-1])
            continue
        shutil.rmtree(place)
    return faults


def _one(act: str, dice: random.Random, folder: Path) -> str:
    _prepare(act, folder)
    delay = dice.uniform(0, 1.05) * _undisturbed_s(act)
    reported, finished = _run(act, folder, delay)
    _check(act, folder, reported)
    rest, done = _run(act, folder, None)
    if not done:
        raise AssertionError("the next run did not finish the work")
    _check(act, folder, [*reported, *rest])
    _check_finished(act, folder)
    return f"{'not ' if finished else ''}cut after {delay:.2f} s, {len(reported)} things reported"


def _prepare(act: str, folder: Path) -> None:
    folder.mkdir(parents=True)
    if act == "migration":
        shutil.copytree(OLD, folder / "library")


def _run(act: str, folder: Path, delay: float | None) -> tuple[list[list[str]], bool]:
    """Return what the work reported as done, and whether it came to its end."""
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.endurance.acts", act, str(folder)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=REPOSITORY,
        env={**os.environ, "PYTHONPATH": str(REPOSITORY)},
    )
    assert process.stdout is not None
    with process.stdout:
        process.stdout.readline()
        if delay is not None:
            time.sleep(delay)
            process.kill()
        lines = [line.split() for line in process.stdout if line.endswith("\n")]
    process.wait()
    return [one for one in lines if one != ["done"]], ["done"] in lines


@cache
def _undisturbed_s(act: str) -> float:
    with tempfile.TemporaryDirectory() as folder:
        _prepare(act, Path(folder) / "x")
        began = time.monotonic()
        process = subprocess.Popen(
            [sys.executable, "-m", "tests.endurance.acts", act, f"{folder}/x"],
            stdout=subprocess.PIPE, text=True, cwd=REPOSITORY,
            env={**os.environ, "PYTHONPATH": str(REPOSITORY)},
        )  # fmt: skip
        assert process.stdout is not None
        with process.stdout:
            process.stdout.readline()
            began = time.monotonic()
            process.stdout.read()
        if process.wait():
            raise AssertionError(f"{act} does not run undisturbed")
        return time.monotonic() - began


def _check(act: str, folder: Path, reported: list[list[str]]) -> None:
    """Everything that was reported as done is there, and what is there is sound."""
    if act == "dossier":
        if reported and _finished_files(folder) != ["dossier.pdf"]:
            raise AssertionError(f"reported as written: {_finished_files(folder)}")
        for one in folder.glob("*.pdf"):
            if one.name == "dossier.pdf" and _hash(one) != _whole_dossier():
                raise AssertionError("half a dossier stands under its name")
        return
    library = Library.open(folder / "library")
    try:
        wrong = [*library.check_database()]
        if act != "migration":  # the sample of an old library is its database alone
            wrong += library.originals.check(lambda done, total: None)
        for row in library.summaries():
            wrong += library.check_journal(row.claim)
            claim, version = library.load(row.claim)
            if row.title != claim.title:
                wrong.append("the register's row is not that of the claim")
            hashes = {entry.number: entry.hash for entry in library.journal(row.claim)}
            photos = {photo.facts.sha256 for photo in claim.photos}
            for word, *rest in reported:
                if word == "saved" and (
                    hashes.get(int(rest[0])) != rest[2] or not library.originals.has(rest[1])
                ):
                    wrong.append(f"change {rest[0]} was reported and is missing")
                if word == "saved" and version < int(rest[0]):
                    wrong.append(f"the claim is at {version}, {rest[0]} was reported")
                if word == "photo" and (
                    rest[0] not in photos or not library.originals.has(rest[0])
                ):
                    wrong.append(f"photo {rest[0]} was reported and is missing")
            if act == "migration" and claim != _claim_of_old_library():
                wrong.append("the claim of the old library came through changed")
        if reported and not library.summaries():
            wrong.append("the claim that was reported is missing")
    finally:
        library.close()
    if wrong:
        raise AssertionError("; ".join(wrong))


def _check_finished(act: str, folder: Path) -> None:
    if act == "dossier":
        if _finished_files(folder) != ["dossier.pdf"]:
            raise AssertionError(f"written: {_finished_files(folder)}")
        return
    library = Library.open(folder / "library")
    try:
        claims = [library.load(row.claim)[0] for row in library.summaries()]
    finally:
        library.close()
    if len(claims) != 1:
        raise AssertionError(f"there are {len(claims)} claims, not one")
    if act == "import" and len(claims[0].photos) != _photos_to_import():
        raise AssertionError(f"{len(claims[0].photos)} photos of {_photos_to_import()}")


def _finished_files(folder: Path) -> list[str]:
    """Return all files but those under the name that says that they are being written."""
    names = sorted(one.name for one in folder.iterdir())
    return [name for name in names if not name.startswith(".writing-")]


@cache
def _claim_of_old_library() -> Claim:
    with tempfile.TemporaryDirectory() as folder:
        _prepare("migration", Path(folder) / "x")
        library = Library.open(Path(folder) / "x" / "library")
        try:
            return library.load(library.summaries()[0].claim)[0]
        finally:
            library.close()


@cache
def _photos_to_import() -> int:
    from ldapp.casework.demo import demo_claim
    from ldapp.casework.photo_intake import photo_files

    files = photo_files([demo_claim("harbour_lights").path.parent])
    return len({_hash(one) for one in files})


@cache
def _whole_dossier() -> str:
    with tempfile.TemporaryDirectory() as folder:
        ACTS["dossier"](Path(folder))
        return _hash(Path(folder) / "dossier.pdf")


def _hash(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()

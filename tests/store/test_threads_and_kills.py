"""Any thread may call, and a program killed at any moment leaves a sound library."""

import dataclasses
import random
import subprocess
import sys
import textwrap
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from ldapp.claim.changes import difference
from ldapp.claim.claim import Claim
from ldapp.errors import ConflictError
from ldapp.store.claim_library import Library
from tests.store.made_claims import made_claim, summary_of


def _claim(key="c"):
    return Claim(id=key, reference=key, currency="USD", zone="UTC")


def _create(library, claim):
    library.create(claim, who="Ada", label="Create", summary=summary_of(claim))


def _retitle(library, key, who):
    """Add one letter to the title, trying again after each conflict."""
    while True:
        claim, version = library.load(key)
        new = dataclasses.replace(claim, title=claim.title + who)
        try:
            library.save(
                new, expected_version=version, changes=difference(claim, new), who=who,
                label="Title", undoes=None, summary=summary_of(new),
            )  # fmt: skip
        except ConflictError:
            continue
        return


def test_threads_that_change_one_claim_lose_no_change(library, folder):
    _create(library, _claim())
    other = Library.open(folder)
    try:
        with ThreadPoolExecutor(8) as pool:
            work = [
                pool.submit(_retitle, (library, other)[n % 2], "c", "abcd"[n % 4])
                for n in range(80)
            ]
            for one in work:
                one.result()
    finally:
        other.close()
    claim, version = library.load("c")
    assert sorted(claim.title) == sorted("abcd" * 20)
    assert version == 81
    assert library.check_journal("c") == ()


def test_a_reader_sees_one_moment_while_others_write(library):
    # The title and the note always change together; a reader must never see one alone.
    _create(library, _claim())
    stop = threading.Event()
    seen = []

    def read():
        while not stop.is_set():
            claim, version = library.load("c")
            seen.append((claim.title, claim.note, str(version - 1) if version > 1 else ""))

    reader = threading.Thread(target=read)
    reader.start()
    claim = _claim()
    for number in range(1, 60):
        new = dataclasses.replace(claim, title=str(number), note=str(number))
        library.save(
            new, expected_version=number, changes=difference(claim, new), who="", label="",
            undoes=None, summary=summary_of(new),
        )  # fmt: skip
        claim = new
    stop.set()
    reader.join()
    assert seen
    assert all(title == note == version for title, note, version in seen)


def test_more_threads_than_connections_wait_and_finish(library):
    claim = made_claim(3)
    _create(library, claim)
    with ThreadPoolExecutor(40) as pool:
        loaded = list(pool.map(library.load, [claim.id] * 200))
    assert all(one == (claim, 1) for one in loaded)


SAVING = """
    import dataclasses, sys
    from pathlib import Path
    from ldapp.claim.changes import difference
    from ldapp.claim.counts import Count, CountEntry
    from ldapp.claim.claim import Claim
    from ldapp.claim.summary import ClaimSummary
    from ldapp.store.claim_library import Library

    def summary(claim):
        return ClaimSummary(claim="c", reference="R", title=claim.title, currency="USD",
                            stage="preparing")

    library = Library.open(Path(sys.argv[1]))
    if not library.summaries():
        claim = Claim(id="c", reference="R", currency="USD", zone="UTC")
        library.create(claim, who="A", label="Create", summary=summary(claim))
    claim, version = library.load("c")
    while True:
        content = f"photo {version}".encode() * 5000
        stored = library.originals.put_bytes(content)
        entries = tuple(CountEntry(line=f"{n}", quantity=version) for n in range(200))
        counts = (Count(id="n", stage="pickup", entries=entries[version % 7:]),)
        new = dataclasses.replace(claim, title=stored.sha256, counts=counts)
        version, entry = library.save(new, expected_version=version,
            changes=difference(claim, new), who="A", label="S", undoes=None, summary=summary(new))
        claim = new
        print(version, stored.sha256, entry.hash, flush=True)
"""


@pytest.mark.parametrize("seed", range(4))
def test_killed_in_the_middle_of_saving_nothing_that_was_reported_is_missing(folder, seed):
    chance = random.Random(seed)
    told = []
    for _ in range(3):
        process = subprocess.Popen(
            [sys.executable, "-c", textwrap.dedent(SAVING), str(folder)],
            stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert process.stdout is not None
        told.extend([process.stdout.readline()])
        time.sleep(chance.uniform(0, 0.25))
        process.kill()
        told.extend(process.stdout)
        process.stdout.close()
        process.wait()
    reports = [line.split() for line in told if line.count(" ") == 2 and line.endswith("\n")]
    library = Library.open(folder)
    try:
        assert library.check_database() == ()
        assert library.check_journal("c") == ()
        assert library.originals.check() == ()
        hashes = {entry.number: entry.hash for entry in library.journal("c")}
        assert len(reports) >= 3
        for version, sha256, entry_hash in reports:
            assert hashes[int(version)] == entry_hash
            assert library.originals.has(sha256)
        claim, version = library.load("c")
        assert version >= int(reports[-1][0])
        assert library.summaries()[0].title == claim.title
    finally:
        library.close()


OPENING = "import sys; from pathlib import Path; from ldapp.store.claim_library import Library; "
OPENING += "print('start', flush=True); Library.open(Path(sys.argv[1])).close(); print('done')"


@pytest.mark.parametrize("milliseconds", [0, 20, 40, 60, 90, 130, 180])
def test_killed_while_the_library_is_made_the_next_start_finishes_it(folder, milliseconds):
    process = subprocess.Popen(
        [sys.executable, "-c", OPENING, str(folder)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    process.stdout.readline()
    time.sleep(milliseconds / 1000)
    process.kill()
    process.stdout.close()
    process.wait()
    library = Library.open(folder)
    try:
        _create(library, made_claim(1))
        assert library.check_database() == ()
    finally:
        library.close()

"""Four programs on one library, on either database: what each reported as saved is there.

Each keeps a log outside the library.  The length is short here; LDAPP_TEST_SECONDS makes
it as long as wanted.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from ldapp.casework import papers
from ldapp.casework.check_of_library import check_library
from ldapp.casework.register import Register
from ldapp.store.claim_library import Library

SECONDS = float(os.environ.get("LDAPP_TEST_SECONDS", "4"))

EDITOR = """
import dataclasses, json, random, sys, time
from pathlib import Path
from ldapp.casework.register import Register
from ldapp.casework import kit
from ldapp.claim.kit import KitLine
from ldapp.errors import ConflictError, MachineError
from ldapp.store.claim_library import Library

folder, url, me, shared, seconds, log = sys.argv[1:]
library = Library.open(Path(folder), database_url=url or None, patience_s=20)
register = Register(library, me)
chance = random.Random(me)
own = register.create(f"own-{me}", "Own", "USD", "UTC")
from ldapp.casework import papers
papers.add_agreement(own, "Invented Rentals", "A-1")
both = register.open(shared)
end = time.monotonic() + float(seconds)
number = conflicts = 0
with open(log, "w") as written:
    while time.monotonic() < end:
        desk = own if chance.random() < 0.4 else both
        number += 1
        line = KitLine(id=f"{me}-{number}", number=f"{me}-{number}",
                       agreement=desk.claim.agreements[0].id,
                       description=f"{me} {number}", quantity=1)
        try:
            kit.add_lines(desk, (line,))
        except (ConflictError, MachineError):
            conflicts += 1
            while desk.unsaved_label is not None:
                try:
                    conflict = desk.conflict()
                    if conflict is None:
                        desk.retry()
                    else:
                        desk.settle_conflict([one.key for one in conflict.records])
                except (ConflictError, MachineError):
                    pass
        if chance.random() < 0.2:
            old = register.open(desk.claim.id)
            assert {one.id for one in old.claim.kit} >= {line.id}, line.id
        written.write(json.dumps([desk.claim.id, line.id, line.description]) + "\\n")
        written.flush()
library.close()
print(conflicts)
"""


@pytest.mark.parametrize("people", [4])
def test_no_change_is_lost_and_nothing_is_corrupt(
    either: Library, database_url: str | None, tmp_path: Path, people: int
) -> None:
    register = Register(either, "Ada")
    shared = register.create("shared", "Shared", "USD", "UTC")
    papers.add_agreement(shared, "Invented Rentals", "A-1")
    logs = [tmp_path / f"log {number}" for number in range(people)]
    running = [
        subprocess.Popen(
            [sys.executable, "-c", EDITOR, str(either.folder), database_url or "", f"p{number}",
             shared.claim.id, str(SECONDS), str(log)],
            stdout=subprocess.PIPE, text=True,
        )
        for number, log in enumerate(logs)
    ]  # fmt: skip
    conflicts = 0
    for process in running:
        out, _ = process.communicate(timeout=SECONDS * 3 + 120)
        assert process.returncode == 0
        conflicts += int(out)
    reported = [json.loads(line) for log in logs for line in log.read_text().splitlines()]
    assert {claim for claim, _, _ in reported} > {shared.claim.id}
    kept = {
        row.claim: {one.id: one.description for one in either.load(row.claim)[0].kit}
        for row in either.summaries()
    }
    lost = [one for one in reported if kept[one[0]].get(one[1]) != one[2]]
    assert lost == []
    assert sum(map(len, kept.values())) == len(reported)
    assert conflicts > 0
    assert check_library(either).wrong == ()

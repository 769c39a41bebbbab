"""One of several people who change the same claims at once, as a process of its own.

``python -m tests.endurance.colleague NAME FOLDER SECONDS SEED LOG [ADDRESS]`` changes claims
by chance and writes each change that was reported as saved into LOG, outside the library,
before it goes on.
"""

from __future__ import annotations

import dataclasses
import os
import random
import sys
import time
from pathlib import Path

from ldapp.claim.changes import difference
from ldapp.claim.claim import Claim
from ldapp.claim.kit import KitLine
from ldapp.errors import ConflictError, MachineError
from ldapp.store.claim_library import Library
from tests.endurance.acts import summary_of


def changed(claim: Claim, token: str, dice: random.Random) -> Claim:
    """Return the claim with one more trace of ``token`` in it; nobody takes one away."""
    kit = KitLine(id=token, number=token, agreement="a", description=token, quantity=1)
    match dice.randrange(3):
        case 0:
            return dataclasses.replace(claim, title=f"{claim.title} {token}")
        case 1:
            return dataclasses.replace(claim, kit=(*claim.kit, kit))
        case _:
            return dataclasses.replace(claim, note=f"{claim.note} {token}", kit=(*claim.kit, kit))


def main() -> None:
    """Change claims until the time is over."""
    name, folder, seconds, seed, log = sys.argv[1:6]
    address = sys.argv[6] if len(sys.argv) > 6 else None
    dice = random.Random(f"{seed}/{name}")
    library = Library.open(Path(folder), database_url=address)
    number = 0
    until = time.monotonic() + float(seconds)
    with Path(log).open("a", encoding="utf-8") as told:
        while time.monotonic() < until:
            key = dice.choice([row.claim for row in library.summaries()])
            number += 1
            token = f"{name}{number}"
            stored = library.originals.put_bytes(token.encode() * 100)
            old, version = library.load(key)
            new = changed(old, token, dice)
            try:
                version, entry = library.save(
                    new, expected_version=version, changes=difference(old, new), who=name,
                    label=token, undoes=None, summary=summary_of(new),
                )  # fmt: skip
            except ConflictError:
                told.write(f"conflict {key}\n")
                continue
            except MachineError as error:  # another one is writing: a sentence, then again
                told.write(f"busy {error}\n")
                continue
            told.write(f"saved {key} {version} {token} {entry.hash} {stored.sha256}\n")
            told.flush()
            os.fsync(told.fileno())
    library.close()


if __name__ == "__main__":
    main()

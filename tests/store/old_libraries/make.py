"""Make the sample library of the present shape: ``python -m tests.store.old_libraries.make``.

Run once when a shape is released; the sample is then kept for ever, so that every later
version is tried on it.
"""

import contextlib
import dataclasses
import datetime as dt
import sqlite3
import tempfile
from decimal import Decimal
from pathlib import Path

from ldapp.claim.agreement import Agreement
from ldapp.claim.changes import difference
from ldapp.claim.charges import Charge, Invoice
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.findings import Finding
from ldapp.claim.kit import KitLine
from ldapp.claim.parties import Party
from ldapp.claim.photo_facts import PhotoFacts
from ldapp.claim.photos import Photo
from ldapp.store.claim_library import Library
from ldapp.store.migrating import REVISIONS
from tests.store.made_claims import summary_of

PICKUP = dt.datetime(2026, 3, 2, 8, 30, tzinfo=dt.timezone(dt.timedelta(hours=1)))


def claim_of_old_libraries() -> Claim:
    """The invented claim in every sample, in words that no later version will change."""
    kit = tuple(
        KitLine(
            id=f"k{number}", number=str(number), agreement="a", description=f"Light stand {number}",
            quantity=number, replacement_cost=Decimal("125.50"),
        )
        for number in (1, 2, 3)
    )  # fmt: skip
    return Claim(
        id="old-1",
        reference="OLD-1",
        title="Invented production",
        currency="EUR",
        zone="Europe/Berlin",
        invented=True,
        parties=(Party(id="h", role="rental_company", name="Invented rental house"),),
        agreements=(Agreement(id="a", lessor="h", starts=PICKUP),),
        kit=kit,
        counts=(
            Count(
                id="n",
                stage="pickup",
                at=PICKUP,
                entries=tuple(CountEntry(line=one.id, quantity=one.quantity) for one in kit),
            ),
        ),
        findings=(Finding(id="f", line="k2", kind="missing", quantity=1),),
        invoices=(
            Invoice(
                id="i", agreement="a", number="17", dated=dt.date(2026, 3, 20),
                charges=(
                    Charge(id="c", number="1", description="Stand", amount=Decimal("125.50")),
                ),
            ),
        ),
        photos=(
            Photo(
                id="p",
                name="IMG_1.JPG",
                facts=PhotoFacts(file_name="IMG_1.JPG", sha256="0" * 64, bytes=1),
            ),
        ),
    )  # fmt: skip


def main() -> None:
    """Write the sample of the newest shape beside this file."""
    claim = claim_of_old_libraries()
    with tempfile.TemporaryDirectory() as folder:
        library = Library.open(Path(folder))
        library.create(claim, who="Ada", label="Create claim", summary=summary_of(claim))
        new = dataclasses.replace(claim, note="Invented.")
        library.save(
            new, expected_version=1, changes=difference(claim, new), who="Ada", label="Note",
            undoes=None, summary=summary_of(new),
        )  # fmt: skip
        library.close()
        target = Path(__file__).parent / REVISIONS[-1] / "claims.sqlite"
        target.parent.mkdir(exist_ok=True)
        target.unlink(missing_ok=True)
        with contextlib.closing(sqlite3.connect(Path(folder) / "claims.sqlite")) as connection:
            connection.execute("PRAGMA journal_mode=DELETE")
            connection.execute("PRAGMA page_size=1024")
            connection.execute("VACUUM INTO ?", (str(target),))


if __name__ == "__main__":
    main()

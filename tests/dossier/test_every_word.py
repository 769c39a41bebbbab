"""Every text of a claim carries a mark of its own; each version tells those on its list, no more.

A field that is added to a record is in neither list, so these tests fail until somebody has
decided who may read it.
"""

from __future__ import annotations

import dataclasses

import pytest

from ldapp.claim.claim import Claim
from ldapp.dossier.request import DossierRequest
from ldapp.dossier.write import write_dossier
from ldapp.reckoning.engine import reckon
from tests.dossier.marked_claim import Marked, marked
from tests.dossier.small_claim import FolderOfOriginals, request
from tests.dossier.test_who_may_read_what import everything_in
from tests.rich_claim import rich_claim

TO_NOBODY = {
    "Agreement.note", "Charge.note", "Claim.note", "Correspondence.text", "Count.note",
    "Finding.note", "JournalEntry.label", "JournalEntry.who", "KitLine.note", "Movement.note",
    "Party[insurer].note", "Party[production].note", "Party[rental_company].note",
    "Party[student].note", "Photo.note", "Policy.note", "RecoveredItem.note", "Split.note",
}  # fmt: skip
"""Notes for the desk, and the journal's values."""

TO_THE_INSURER_ALONE = {
    "Charge.match_reason", "ClockCorrection.make", "ClockCorrection.model",
    "ClockCorrection.reference", "ClockCorrection.serial", "Correspondence.subject",
    "IssuedCode.issued_by", "Occurrence.persons", "Pairing.reason",
    "Party[insurer].address", "Party[insurer].contact", "Party[insurer].email",
    "Party[insurer].name", "Party[insurer].phone", "Party[insurer].reference",
    "Party[student].address", "Party[student].contact", "Party[student].email",
    "Party[student].name", "Party[student].phone", "Party[student].reference",
    "Photo.statement", "PhotoFacts.serial", "PhotoFacts.user_comment",
    "Policy.claim_number", "Policy.number", "RecoveredItem.place", "RecoveredItem.serials",
}  # fmt: skip

TO_BOTH = {
    "Agreement.purchase_order", "Agreement.reference", "Charge.description", "Charge.number",
    "Claim.place", "Claim.reference", "Claim.title", "Clause.reference", "Clause.text",
    "Count.acknowledged_by", "Count.counted_by", "Count.place", "Count.witness",
    "CountEntry.note", "DepreciationOverride.category", "Document.media_type",
    "Document.name", "Document.title", "Finding.narrative", "Finding.serials",
    "Finding.stated_value_reason", "GroundChoice.clause", "GroundChoice.words",
    "Invoice.number", "KitLine.category", "KitLine.description", "KitLine.location",
    "KitLine.number", "KitLine.serials", "Marking.text", "Movement.ticket",
    "Occurrence.narrative", "Occurrence.place", "Occurrence.police_report",
    "Occurrence.report_number", "Occurrence.title", "Part.description",
    "Party[production].address", "Party[production].contact", "Party[production].email",
    "Party[production].name", "Party[production].phone", "Party[production].reference",
    "Party[rental_company].address", "Party[rental_company].contact",
    "Party[rental_company].email", "Party[rental_company].name",
    "Party[rental_company].phone", "Party[rental_company].reference", "Photo.confirmed_by",
    "Photo.name", "Photo.taken_by", "PhotoFacts.error", "PhotoFacts.exif_version",
    "PhotoFacts.file_name", "PhotoFacts.first_segment", "PhotoFacts.make",
    "PhotoFacts.model", "PhotoFacts.quantisation", "PhotoFacts.second_taken",
    "PhotoFacts.software", "Signature.name",
}  # fmt: skip

ON_SHEETS = {
    "photos": {
        "Claim.reference", "Claim.title", "KitLine.description", "KitLine.number",
        "Party[production].name", "Photo.name",
    },
    "counts": {
        "Claim.reference", "Claim.title", "KitLine.description", "KitLine.location",
        "KitLine.number", "KitLine.serials", "Part.description", "Party[production].name",
    },
}  # fmt: skip
"""What goes over the counter."""


@pytest.fixture
def every_word(claim: Claim) -> Marked:
    """A claim with records of every kind, each text of it marked."""
    rich, change = rich_claim(), dataclasses.replace
    return marked(
        change(
            claim,
            correspondence=tuple(
                change(one, party="house", agreement="a1", document=None, offers=())
                for one in rich.correspondence
            ),
            recovered=tuple(
                change(one, line="l1", invoice=None, charge=None, document=None)
                for one in rich.recovered
            ),
            clock_corrections=tuple(change(one, photo=None) for one in rich.clock_corrections),
            issued_codes=rich.issued_codes,
            journal=rich.journal,
        )
    )


def told(every_word: Marked, originals: FolderOfOriginals, version: str) -> set[str]:
    claim = every_word.claim
    wanted: DossierRequest = dataclasses.replace(
        request(Claim(id="e", reference="E", currency="USD", zone="UTC"), originals, version),
        claim=claim,
        reckoning=reckon(claim),
        agreement="a1",
    )
    result = write_dossier(wanted, originals.folder / f"{version}.pdf")
    return every_word.found_in(everything_in(result.path))


def test_every_text_is_on_a_list(every_word: Marked) -> None:
    assert set(every_word.places.values()) == TO_NOBODY | TO_THE_INSURER_ALONE | TO_BOTH


def test_the_insurer_reads_everything_but_notes(
    every_word: Marked, originals: FolderOfOriginals
) -> None:
    assert told(every_word, originals, "insurer") == TO_THE_INSURER_ALONE | TO_BOTH


def test_the_rental_company_reads_what_both_may_read(
    every_word: Marked, originals: FolderOfOriginals
) -> None:
    assert told(every_word, originals, "dispute") == TO_BOTH


@pytest.mark.parametrize("version", ["photos", "counts"])
def test_a_sheet_for_the_counter_tells_hardly_anything(
    every_word: Marked, originals: FolderOfOriginals, version: str
) -> None:
    assert told(every_word, originals, version) <= ON_SHEETS[version]

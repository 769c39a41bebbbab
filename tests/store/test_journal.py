"""The record of changes: chained, append-only, and found out when somebody changes it."""

import dataclasses
import datetime as dt
import hashlib
import json
import sqlite3
from contextlib import closing

import pytest
from sqlalchemy.exc import DatabaseError

from ldapp.claim.changes import difference
from ldapp.claim.claim import Claim
from ldapp.claim.journal import JournalEntry, RecordChange
from ldapp.claim.kit import KitLine
from ldapp.errors import LdappError
from ldapp.store.chain import chain_breaks, claim_as_recorded, hash_of
from ldapp.store.claim_library import Library
from ldapp.store.protection import missing_protection
from tests.store.made_claims import made_claim, summary_of


def _line(key, **more):
    return KitLine(id=key, number=key, agreement="a", description="stand", quantity=1, **more)


@pytest.fixture
def saved(library):
    """A library with one claim that was saved three times, and that claim."""
    claim = Claim(id="c", reference="R-1", currency="USD", zone="UTC", kit=(_line("1"),))
    library.create(claim, who="Ada", label="Create claim", summary=summary_of(claim))
    for version, title in ((1, "Day"), (2, "Night")):
        new = dataclasses.replace(claim, title=title, kit=(*claim.kit, _line(title)))
        library.save(
            new, expected_version=version, changes=difference(claim, new), who="Ben",
            label=f"Rename to {title}", undoes=None, summary=summary_of(new),
        )  # fmt: skip
        claim = new
    return claim


def _by_hand(folder, *statements):
    """Change the database with plain SQL, past the triggers."""
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection, connection:
        connection.execute("DROP TRIGGER journal_entry_stays_as_it_is")
        connection.execute("DROP TRIGGER journal_entry_stays")
        for statement in statements:
            connection.execute(statement)


def test_the_hash_is_that_of_the_canonical_json_of_the_claim_file(library, saved):
    # Written out here a second time, as somebody outside would check it.
    previous = ""
    for entry in library.journal("c"):
        plain = {
            "number": entry.number,
            "at": entry.at.strftime("%Y-%m-%dT%H:%M:%SZ"),
            "who": entry.who,
            "label": entry.label,
            "undoes": entry.undoes,
            "changes": [dataclasses.asdict(one) for one in entry.changes],
            "previous": previous,
        }
        text = json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        previous = hashlib.sha256(text.encode()).hexdigest()
        assert entry.hash == previous


def test_an_untouched_record_holds_and_leads_to_the_claim(library, saved):
    assert library.check_journal("c") == ()
    assert claim_as_recorded("c", library.journal("c")) == saved


@pytest.mark.parametrize("number", [1, 2, 3])
@pytest.mark.parametrize(
    "change",
    [
        "at = '2020-01-01 00:00:00.000000'",
        "at_offset = 3600",
        "who = who || ' '",
        "label = upper(label)",
        "undoes = 1",
        "changes = replace(changes, 'stand', 'stands')",
        "changes = replace(changes, '\"index\":0', '\"index\":1')",
        "changes = ''",
        "previous = replace(previous, 'a', 'b') || 'x'",
        "hash = substr(hash, 2) || '0'",
        "number = number + 10",
    ],
)
def test_any_change_to_an_entry_is_found_and_named(library, saved, folder, number, change):
    _by_hand(folder, f"UPDATE journal_entry SET {change} WHERE number = {number}")
    found = library.check_journal("c")
    assert found
    named = number + 10 if change.startswith("number") else number
    assert any(str(one) in " ".join(found) for one in (named, number)), found


def test_every_single_byte_of_the_changes_counts(library, saved, folder):
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection:
        (text,) = connection.execute("SELECT changes FROM journal_entry WHERE number=2").fetchone()
    entry = library.journal("c")[1]
    assert hash_of(entry, text) == entry.hash
    for place in range(len(text)):
        changed = text[:place] + chr(ord(text[place]) ^ 1) + text[place + 1 :]
        assert hash_of(entry, changed) != entry.hash


def test_a_line_break_in_place_of_a_comma_counts_too(library, saved, folder):
    # The lines are joined by commas for the hash, so this one shows in the reading.
    _by_hand(
        folder, "UPDATE journal_entry SET changes = replace(changes, ',', char(10)) WHERE number=2"
    )
    assert any("entry 2" in one for one in library.check_journal("c"))


def test_an_entry_that_was_forged_with_a_fitting_hash_breaks_the_chain_behind_it(
    library, saved, folder
):
    entry = dataclasses.replace(library.journal("c")[1], who="Eve")
    _by_hand(
        folder,
        f"UPDATE journal_entry SET who = 'Eve', hash = '{hash_of(entry)}' WHERE number = 2",
    )
    assert library.check_journal("c") == (
        "Entry 3 of the record (Rename to Night) does not follow from the entry before it.",
    )


def test_changes_that_are_no_json_are_named(library, saved, folder):
    _by_hand(folder, "UPDATE journal_entry SET changes = '[broken' WHERE number = 2")
    assert any("entry 2" in one for one in library.check_journal("c"))


def test_a_missing_entry_and_a_cut_tail_are_named(library, saved, folder):
    _by_hand(folder, "DELETE FROM journal_entry WHERE number = 2")
    assert any("entry 2 is missing" in one for one in library.check_journal("c"))
    _by_hand_again = "DELETE FROM journal_entry WHERE number = 3"
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection, connection:
        connection.execute(_by_hand_again)
    assert any("ends at entry 1" in one for one in library.check_journal("c"))


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE kit_line SET quantity = 2 WHERE id = '1'", "kit line 1 is not as"),
        ("DELETE FROM kit_line WHERE id = 'Day'", "kit line Day is missing"),
        (
            (
                "INSERT INTO party VALUES "
                "(1, 'p', 0, 'crew', 'Eve', '', '', '', '', '', '', '[]', NULL)"
            ),
            "party p is in the claim",
        ),
        ("UPDATE claim SET title = 'Dawn'", "The claim is not as"),
        ("UPDATE claim SET stage = 'lost'", "holds 'lost'"),
        ("UPDATE kit_line SET serials = '[1' WHERE id = '1'", r"field serials of a kit line"),
    ],
)
def test_a_claim_that_was_changed_behind_the_record_is_found_out(
    library, saved, folder, statement, words
):
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection, connection:
        connection.execute(statement)
    found = library.check_journal("c")
    assert len(found) == 1
    assert words in found[0]


def test_plain_sql_can_neither_change_nor_delete_an_entry(library, saved, folder):
    with closing(sqlite3.connect(folder / "claims.sqlite")) as connection:
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            connection.execute("UPDATE journal_entry SET who = 'Eve'")
        with pytest.raises(sqlite3.IntegrityError, match="never deleted"):
            connection.execute("DELETE FROM journal_entry WHERE number = 3")
    with (
        pytest.raises(DatabaseError, match="never changed"),
        library._database.writing() as connection,
    ):
        connection.exec_driver_sql("UPDATE journal_entry SET number = 9 WHERE number = 3")
    assert library.check_journal("c") == ()


def test_triggers_that_were_taken_away_are_put_back_at_the_next_start(library, saved, folder):
    library.close()
    _by_hand(folder)
    other = Library.open(folder)
    with other._database.reading() as connection:
        assert missing_protection(connection) == ()
    other.close()


def test_a_claim_comes_back_with_its_journal_and_goes_on_from_there(
    library, saved, tmp_path, clock
):
    claim = dataclasses.replace(saved, journal=library.journal("c"))
    other = Library.open(tmp_path / "other", clock=clock)
    try:
        assert other.import_with_journal(claim, summary=summary_of(claim)) == 3
        assert other.load("c") == (saved, 3)
        assert other.journal("c") == claim.journal
        assert other.check_journal("c") == ()
        new = dataclasses.replace(saved, note="more")
        version, entry = other.save(
            new, expected_version=3, changes=difference(saved, new), who="Cid", label="Note",
            undoes=None, summary=summary_of(new),
        )  # fmt: skip
        assert (version, entry.previous) == (4, claim.journal[-1].hash)
        assert other.check_journal("c") == ()
    finally:
        other.close()


def test_a_rich_claim_comes_back_with_its_journal(library, tmp_path):
    claim = made_claim(11)
    library.create(claim, who="Ada", label="Create", summary=summary_of(claim))
    whole = dataclasses.replace(claim, journal=library.journal(claim.id))
    other = Library.open(tmp_path / "other")
    try:
        other.import_with_journal(whole, summary=summary_of(whole))
        assert other.check_journal(claim.id) == ()
        assert other.load(claim.id) == (claim, 1)
    finally:
        other.close()


def test_a_broken_or_empty_journal_is_not_taken_in(library, saved, tmp_path):
    journal = library.journal("c")
    forged = (journal[0], dataclasses.replace(journal[1], who="Eve"), journal[2])
    other = Library.open(tmp_path / "other")
    try:
        with pytest.raises(LdappError, match="Entry 2 of the record"):
            other.import_with_journal(
                dataclasses.replace(saved, journal=forged), summary=summary_of(saved)
            )
        with pytest.raises(LdappError, match="no record of its changes"):
            other.import_with_journal(saved, summary=summary_of(saved))
        assert other.summaries() == ()
    finally:
        other.close()


def test_a_claim_file_edited_by_hand_is_found_out_after_it_was_taken_in(library, saved, tmp_path):
    edited = dataclasses.replace(saved, title="Edited", journal=library.journal("c"))
    other = Library.open(tmp_path / "other")
    try:
        other.import_with_journal(edited, summary=summary_of(edited))
        assert other.check_journal("c") == ("The claim is not as the record of changes left it.",)
    finally:
        other.close()


def test_a_clock_that_was_set_back_gets_a_sentence_and_loses_nothing(library, saved, clock):
    clock.now -= dt.timedelta(days=400)
    new = dataclasses.replace(saved, note="later")
    library.save(
        new, expected_version=3, changes=difference(saved, new), who="Ada", label="Note",
        undoes=None, summary=summary_of(new),
    )  # fmt: skip
    assert library.check_journal("c") == ()
    (remark,) = library.clock_remarks("c")
    assert "Entry 4 is dated 2025-01-26" in remark
    assert "clock had been set back" in remark


def test_a_number_without_a_value_is_refused_before_anything_is_written(library, saved):
    change = RecordChange(
        kind="claim", key="", before=None, after={"position": [float("nan"), 1.0]}
    )
    with pytest.raises(LdappError, match="number without a value"):
        library.save(
            saved, expected_version=3, changes=(change,), who="", label="", undoes=None,
            summary=summary_of(saved),
        )  # fmt: skip
    assert library.load("c") == (saved, 3)


def test_several_missing_entries_are_told_as_a_range():
    at = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    first = JournalEntry(number=1, at=at, who="", label="", hash="")
    first = dataclasses.replace(first, hash=hash_of(first))
    fifth = JournalEntry(number=5, at=at, who="", label="", previous="x")
    fifth = dataclasses.replace(fifth, hash=hash_of(fifth))
    assert chain_breaks([(first, None), (fifth, None)]) == (
        "In the record of changes, entries 2 to 4 are missing.",
    )
    assert chain_breaks([(first, None), (first, None)]) != ()

"""Saving writes what changed, keeps the order, and never overwrites another's work."""

import dataclasses
import random
from decimal import Decimal

import pytest

from ldapp.claim.changes import apply_changes, difference, inverse
from ldapp.claim.claim import Claim
from ldapp.claim.counts import Count, CountEntry
from ldapp.claim.kit import KitLine
from ldapp.claim.parties import Party
from ldapp.errors import ConflictError, LdappError
from ldapp.store.claim_library import Library
from tests.store.made_claims import made_claim, summary_of


def _line(key, **more):
    return KitLine(id=key, number=key, agreement="a", description="stand", quantity=1, **more)


def _claim(**more):
    return Claim(id="c", reference="R-1", currency="USD", zone="Europe/Berlin", **more)


class Desk:
    """A claim that is changed and saved step by step."""

    def __init__(self, library, claim):
        self.kept, self.claim = library, claim
        self.version = library.create(claim, who="Ada", label="Create", summary=summary_of(claim))
        self.entries = list(library.journal(claim.id))

    def change(self, new, *, undoes=None, changes=None, who="Ada"):
        self.version, entry = self.kept.save(
            new,
            expected_version=self.version,
            changes=difference(self.claim, new) if changes is None else changes,
            who=who,
            label="Change",
            undoes=undoes,
            summary=summary_of(new),
        )
        self.claim = new
        self.entries.append(entry)
        assert self.kept.load(new.id) == (new, self.version)
        return entry

    def undo(self, entry):
        changes = inverse(entry.changes)
        return self.change(apply_changes(self.claim, changes), undoes=entry.number, changes=changes)


def test_versions_and_entries_count_up_together(library):
    desk = Desk(library, _claim())
    assert desk.version == 1
    entry = desk.change(dataclasses.replace(desk.claim, title="Night shoot"), who="Ben")
    assert (desk.version, entry.number, entry.who, entry.undoes) == (2, 2, "Ben", None)
    assert library.journal("c") == tuple(desk.entries)
    assert entry.previous == desk.entries[0].hash
    assert [one.number for one in library.journal_outline("c")] == [1, 2]
    assert library.journal_entry("c", 2) == entry


def test_every_kind_of_record_can_be_put_replaced_and_removed(library):
    old, new = made_claim(1), dataclasses.replace(made_claim(2), id=made_claim(1).id)
    desk = Desk(library, old)
    first = desk.change(new)
    bare = dataclasses.replace(_claim(), id=old.id)
    second = desk.change(bare)
    desk.undo(second)
    assert desk.claim == new
    desk.undo(first)
    assert desk.claim == old
    assert library.check_journal(old.id) == ()


def test_a_line_put_in_the_middle_stays_there(library):
    desk = Desk(library, _claim(kit=(_line("1"), _line("2"), _line("3"))))
    kit = desk.claim.kit
    desk.change(dataclasses.replace(desk.claim, kit=(kit[0], _line("1a"), *kit[1:])))
    desk.change(dataclasses.replace(desk.claim, kit=(_line("0"), *desk.claim.kit, _line("4"))))
    assert [one.id for one in library.load("c")[0].kit] == ["0", "1", "1a", "2", "3", "4"]


def test_undoing_a_removal_in_the_middle_puts_all_back_in_order(library):
    lines = tuple(_line(str(number)) for number in range(20))
    count = Count(id="n", stage="pickup", entries=tuple(CountEntry(line=one.id) for one in lines))
    desk = Desk(library, _claim(kit=lines, counts=(count,)))
    left = dataclasses.replace(count, entries=count.entries[::3])
    entry = desk.change(dataclasses.replace(desk.claim, kit=lines[1::2], counts=(left,)))
    desk.undo(entry)
    assert desk.claim.kit == lines
    assert desk.claim.counts == (count,)


def test_random_steps_and_their_undoing_stay_in_step_with_the_tables(library):
    chance = random.Random(7)
    desk = Desk(library, _claim(counts=(Count(id="n", stage="pickup"),)))
    start = desk.claim
    done = []
    for number in range(40):
        kit = list(desk.claim.kit)
        for _ in range(chance.randint(0, 3)):
            if kit:
                kit.pop(chance.randrange(len(kit)))
        for extra in range(chance.randint(0, 3)):
            kit.insert(chance.randint(0, len(kit)), _line(f"{number}.{extra}"))
        entries = tuple(CountEntry(line=one.id, quantity=number) for one in kit[::2])
        count = dataclasses.replace(desk.claim.counts[0], entries=entries)
        new = dataclasses.replace(desk.claim, kit=tuple(kit), counts=(count,))
        if changes := difference(desk.claim, new):
            done.append(desk.change(apply_changes(desk.claim, changes)))
    for entry in reversed(done):
        desk.undo(entry)
    assert desk.claim == start
    assert library.check_journal("c") == ()


def test_an_amount_is_undone_after_the_claim_was_opened_again(library):
    # 12.5 comes back as 12.50: the same amount, in other words.
    desk = Desk(library, _claim(kit=(_line("1"),)))
    entry = desk.change(
        dataclasses.replace(desk.claim, kit=(_line("1", day_rate=Decimal("12.5")),))
    )
    desk.claim, desk.version = library.load("c")
    desk.undo(entry)
    assert desk.claim.kit[0].day_rate is None


def test_only_the_changed_records_are_written(library: Library):
    from sqlalchemy import event

    desk = Desk(library, made_claim(4))
    statements = []
    event.listen(
        library._database.engine, "before_cursor_execute", lambda *args: statements.append(args[2])
    )
    new = dataclasses.replace(desk.claim, note="one word")
    library.save(
        new, expected_version=1, changes=difference(desk.claim, new), who="", label="",
        undoes=None, summary=summary_of(new),
    )  # fmt: skip
    written = [one for one in statements if one.startswith(("INSERT", "UPDATE", "DELETE"))]
    assert {one.split()[1 if one.startswith("UPDATE") else 2] for one in written} == {
        "claim", "journal_entry", "claim_summary",
    }  # fmt: skip


def test_a_second_library_on_the_same_file_sees_the_conflict_and_loses_nothing(library, folder):
    ours = Desk(library, _claim())
    other = Library.open(folder)
    try:
        theirs, version = other.load("c")
        ours.change(dataclasses.replace(ours.claim, title="ours"))
        new = dataclasses.replace(theirs, title="theirs")
        with pytest.raises(ConflictError, match=r"Ada changed this claim .* \(Change, 2026"):
            other.save(
                new, expected_version=version, changes=difference(theirs, new), who="Ben",
                label="Title", undoes=None, summary=summary_of(new),
            )  # fmt: skip
        assert other.load("c") == (ours.claim, 2)
        assert len(other.journal("c")) == 2
        assert other.summaries()[0].title == "ours"
    finally:
        other.close()


def test_a_refused_save_leaves_everything_as_it_was(library):
    desk = Desk(library, _claim(kit=(_line("1"),)))
    before = library.load("c"), library.journal("c"), library.summaries()
    new = dataclasses.replace(
        desk.claim, title="new", kit=(_line("1", day_rate=Decimal("0.001")), _line("2"))
    )
    with pytest.raises(LdappError, match="more digits"):
        desk.change(new)
    assert (library.load("c"), library.journal("c"), library.summaries()) == before


def test_another_currency_takes_every_amount_with_it(library):
    line = _line("1", day_rate=Decimal("12.00"))
    desk = Desk(library, _claim(kit=(line, _line("2", day_rate=Decimal("3.50")))))
    with pytest.raises(LdappError, match=r"3\.50 has more digits than JPY has"):
        desk.change(dataclasses.replace(desk.claim, currency="JPY"))
    desk.claim, desk.version = library.load("c")
    desk.change(dataclasses.replace(desk.claim, currency="JPY", kit=(line,)))
    with library._database.reading() as connection:
        rows = connection.exec_driver_sql("SELECT amounts_in, day_rate FROM kit_line").all()
    assert rows == [("JPY", 12)]


def test_the_register_follows_every_change(library):
    desk = Desk(library, _claim())
    other = dataclasses.replace(made_claim(9), id="d")
    Desk(library, other)
    desk.change(dataclasses.replace(desk.claim, stage="sent"))
    first, second = library.summaries()
    assert (first.claim, first.stage, first.changed) == ("c", "sent", desk.entries[-1].at)
    assert second.claim == "d"


def test_a_summary_can_be_made_anew_without_a_change(library):
    Desk(library, _claim())
    before = library.summaries()[0]
    library.write_summary(
        dataclasses.replace(
            before, owed=Decimal("12.34"), rental_companies=("A", "B"), changed=None,
            reckoning_version="2",
        )
    )  # fmt: skip
    after = library.summaries()[0]
    assert (after.owed, after.rental_companies) == (Decimal("12.34"), ("A", "B"))
    assert (after.reckoning_version, after.changed) == ("2", before.changed)
    assert library.load("c")[1] == 1


def test_a_removed_claim_is_gone_with_all_its_rows_and_no_other(library):
    claim = made_claim(5)
    Desk(library, claim)
    Desk(library, _claim(parties=(Party(id="p", role="crew", name="Ada"),)))
    library.remove(claim.id)
    with pytest.raises(LdappError, match="not in the library"):
        library.load(claim.id)
    with pytest.raises(LdappError, match="not in the library"):
        library.remove(claim.id)
    with library._database.reading() as connection:
        for table in ("kit_line", "count_entry", "photo", "journal_entry", "claim_summary"):
            rows = connection.exec_driver_sql(f"SELECT count(*) FROM {table}").scalar()
            assert rows == (1 if table in ("journal_entry", "claim_summary") else 0), table
    assert library.load("c")[0].parties


def test_the_same_claim_is_not_kept_twice(library):
    Desk(library, _claim())
    with pytest.raises(LdappError, match="already has this claim"):
        Desk(library, _claim(title="another"))
    assert library.load("c")[0].title == ""


def test_saving_a_removed_claim_says_so(library):
    desk = Desk(library, _claim())
    library.remove("c")
    with pytest.raises(LdappError, match="not in the library"):
        desk.change(dataclasses.replace(desk.claim, title="late"))


def test_a_record_that_somebody_took_out_of_the_database_is_not_changed_silently(library):
    desk = Desk(library, _claim(kit=(_line("1"), _line("2"))))
    with library._database.writing() as connection:
        connection.exec_driver_sql("DELETE FROM kit_line WHERE id = '2'")
    new = dataclasses.replace(desk.claim, title="x", kit=(_line("1"), _line("2", note="n")))
    with pytest.raises(LdappError, match="kit line that was to be changed is no longer"):
        desk.change(new)
    assert library.load("c")[0].title == ""


def test_small_choices_are_remembered_and_replaced(library, folder):
    assert library.remembered("columns") is None
    library.remember("columns", '{"a":1}')
    library.remember("columns", '{"a":2}')
    library.close()
    other = Library.open(folder)
    assert other.remembered("columns") == '{"a":2}'
    other.close()


def test_a_new_order_alone_is_saved_kept_in_the_journal_and_taken_back(library):
    kit = tuple(
        KitLine(id=key, number=key, agreement="a", description=f"Line {key}", quantity=1)
        for key in "abcd"
    )
    entries = tuple(CountEntry(line=key, quantity=1) for key in "abcd")
    count = Count(id="n", stage="return", entries=entries)
    desk = Desk(library, _claim(kit=kit, counts=(count,)))
    first = desk.claim
    turned = dataclasses.replace(count, entries=entries[::-1])
    entry = desk.change(dataclasses.replace(first, kit=kit[::-1], counts=(turned,)))
    assert [change.kind for change in entry.changes] == ["order", "order"]
    assert [one.id for one in library.load("c")[0].kit] == ["d", "c", "b", "a"]
    desk.undo(entry)
    assert library.load("c")[0] == first
    # Moved, removed and added in one step.
    new = (kit[3], dataclasses.replace(kit[0], id="x"), kit[0], kit[1])
    mixed = desk.change(dataclasses.replace(first, kit=new))
    desk.undo(mixed)
    assert library.load("c")[0] == first
    assert library.check_journal("c") == ()

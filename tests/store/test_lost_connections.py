"""A save that fails, and two people on one claim: no edit is lost, on either database."""

from __future__ import annotations

import dataclasses
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from ldapp.casework import kit, papers
from ldapp.casework.open_claim import OpenClaim
from ldapp.casework.register import Register
from ldapp.claim.kit import KitLine
from ldapp.errors import ConflictError, LdappError, MachineError
from ldapp.store.claim_library import Library


@pytest.fixture
def desk(either: Library) -> OpenClaim:
    desk = Register(either, "Ada").create("2026-001", "Harbour Lights", "USD", "UTC")
    papers.add_agreement(desk, "Invented Rentals", "A-1")
    kit.add_empty_line(desk, desk.claim.agreements[0].id)
    return desk


def titled(title: str) -> Callable[[Any], Any]:
    return lambda claim: dataclasses.replace(claim, title=title)


@contextmanager
def connection_lost(library: Library, moment: str) -> Iterator[None]:
    """Lose the connection of the next save: "before" its commit, or "after" it had arrived."""
    engine = library._database.engine
    is_server = engine.dialect.name != "sqlite"
    fired = []

    def cut(connection: Any) -> None:
        if fired:
            return
        fired.append(True)
        if moment == "after":
            connection.connection.dbapi_connection.commit()
        if is_server:
            own = connection.connection.dbapi_connection.info.backend_pid
            with engine.connect() as other:
                other.exec_driver_sql(f"SELECT pg_terminate_backend({own})")
                other.rollback()
            connection.exec_driver_sql("SELECT 1")
        raise MachineError("The database cannot be reached. Nothing was changed; try again.")

    event.listen(engine, "commit", cut)
    try:
        yield
    finally:
        event.remove(engine, "commit", cut)
        assert fired


def test_a_connection_lost_in_mid_save_gives_a_sentence_and_the_edit_is_kept(
    either: Library, desk: OpenClaim
) -> None:
    version = desk.version
    with connection_lost(either, "before"), pytest.raises(MachineError, match="cannot be reached"):
        desk.change("Rename", titled("New"))
    assert (desk.claim.title, desk.unsaved_label) == ("Harbour Lights", "Rename")
    assert either.load(desk.claim.id)[1] == version
    heard: list[frozenset[str]] = []
    desk.listen(heard.append)
    assert desk.retry()
    assert (desk.claim.title, desk.unsaved_label) == ("New", None)
    assert heard == [frozenset({"claim"})]
    assert either.load(desk.claim.id) == (desk.claim, version + 1)
    assert either.check_journal(desk.claim.id) == ()
    assert not desk.retry()
    assert desk.undo() == "Rename"


def test_a_change_that_had_arrived_is_not_made_a_second_time(
    either: Library, desk: OpenClaim
) -> None:
    version = desk.version
    with connection_lost(either, "after"), pytest.raises(MachineError):
        desk.change("Rename", titled("New"))
    assert desk.retry()
    assert (desk.claim.title, desk.version) == ("New", version + 1)
    assert either.load(desk.claim.id) == (desk.claim, version + 1)
    assert len(either.journal(desk.claim.id)) == version + 1
    desk.change("Again", titled("Newer"))
    assert either.check_journal(desk.claim.id) == ()


def test_the_next_change_carries_what_could_not_be_saved(either: Library, desk: OpenClaim) -> None:
    with connection_lost(either, "before"), pytest.raises(MachineError):
        desk.change("Rename", titled("New"))
    desk.change("Note", lambda claim: dataclasses.replace(claim, note="n"))
    assert (desk.claim.title, desk.claim.note, desk.unsaved_label) == ("New", "n", None)
    assert desk.outline()[-1].label == "Rename; Note"
    assert either.load(desk.claim.id)[0] == desk.claim


def test_undo_waits_for_what_is_not_saved(either: Library, desk: OpenClaim) -> None:
    desk.change("Note", lambda claim: dataclasses.replace(claim, note="n"))
    with connection_lost(either, "before"), pytest.raises(MachineError):
        desk.change("Rename", titled("New"))
    with pytest.raises(LdappError, match="“Rename” is not saved yet"):
        desk.undo()
    assert desk.retry()
    assert desk.undo() == "Rename"
    with connection_lost(either, "before"), pytest.raises(MachineError):
        desk.undo()
    assert desk.claim.note == "n"
    assert desk.undo() == "Note"
    assert (desk.claim.note, desk.unsaved_label) == ("", None)


def test_given_up_it_is_gone(either: Library, desk: OpenClaim) -> None:
    with connection_lost(either, "before"), pytest.raises(MachineError):
        desk.change("Rename", titled("New"))
    desk.give_up_unsaved()
    desk.change("Note", lambda claim: dataclasses.replace(claim, note="n"))
    assert desk.claim.title == "Harbour Lights"


def two_people(either: Library, desk: OpenClaim) -> tuple[OpenClaim, str]:
    """Ben saves first; return Ada's desk with her own unsaved change, and the line's id."""
    line = desk.claim.kit[0].id
    ben = Register(either, "Ben").open(desk.claim.id)
    words = dataclasses.replace(ben.claim.kit[0], description="Ben's words", quantity=4)
    kit.put_line(ben, words)
    papers.add_agreement(ben, "Other House", "B-1")
    with pytest.raises(ConflictError, match="Ben changed this claim"):
        desk.change(
            "Ada's change",
            lambda claim: dataclasses.replace(
                claim,
                title="Ada's title",
                kit=(dataclasses.replace(claim.kit[0], description="Ada's words"),),
            ),
        )
    return desk, line


def test_both_versions_stand_side_by_side(either: Library, desk: OpenClaim) -> None:
    desk, line = two_people(either, desk)
    conflict = desk.conflict()
    assert conflict is not None
    assert (conflict.who, conflict.label) == ("Ben", "Ada's change")
    assert [(one.key, one.both) for one in conflict.records] == [
        (("claim", ""), False),
        (("kit_line", line), True),
    ]
    fields = {one.name: (one.theirs, one.mine) for one in conflict.records[1].fields}
    assert fields["description"] == ("Ben's words", "Ada's words")
    assert "quantity" not in fields  # Ada left it alone
    assert conflict.records[0].fields == (("title", "Harbour Lights", "Ada's title"),)


@pytest.mark.parametrize(
    ("mine", "title", "words"),
    [
        (("claim", "kit_line"), "Ada's title", "Ada's words"),
        (("claim",), "Ada's title", "Ben's words"),
        ((), "Harbour Lights", "Ben's words"),
    ],
)
def test_per_record_theirs_or_mine_and_nothing_of_either_is_lost(
    either: Library, desk: OpenClaim, mine: tuple[str, ...], title: str, words: str
) -> None:
    desk, _ = two_people(either, desk)
    conflict = desk.conflict()
    assert conflict is not None
    keys = [one.key for one in conflict.records if one.key[0] in mine]
    assert desk.settle_conflict(keys) == bool(mine)
    assert (desk.claim.title, desk.claim.kit[0].description) == (title, words)
    assert desk.claim.kit[0].quantity == 4
    assert len(desk.claim.agreements) == 2
    assert either.load(desk.claim.id) == (desk.claim, desk.version)
    assert either.check_journal(desk.claim.id) == ()
    assert desk.unsaved_label is None
    labels = [one.label for one in desk.outline()]
    assert labels[-1] == ("Ada's change" if mine else labels[-1])
    assert {one.who for one in desk.outline()} == {"Ada", "Ben"}


def save(desk: OpenClaim, line: KitLine) -> None:
    """Add a line; in a conflict keep mine beside theirs, until it is saved."""
    try:
        kit.add_lines(desk, (line,))
    except (ConflictError, MachineError):
        while desk.unsaved_label is not None:
            with suppress(ConflictError, MachineError):
                conflict = desk.conflict()
                if conflict is None:
                    desk.retry()
                else:
                    desk.settle_conflict([one.key for one in conflict.records])


def test_four_people_at_once_settle_their_conflicts_and_lose_no_change(
    either: Library, desk: OpenClaim, tmp_path: Path, database_url: str | None
) -> None:
    """The log of what each reported as saved is kept outside and compared at the end."""
    agreement = desk.claim.agreements[0].id
    folder = either.folder
    logs: list[list[str]] = [[] for _ in range(4)]

    def work(number: int) -> None:
        library = Library.open(folder, database_url=database_url)
        mine = Register(library, f"Person {number}").open(desk.claim.id)
        for turn in range(6):
            line = KitLine(
                id=f"{number}-{turn}", number=f"{number}-{turn}", agreement=agreement,
                description=f"line {number}-{turn}", quantity=1,
            )  # fmt: skip
            save(mine, line)
            logs[number].append(line.description)
        library.close()

    threads = [threading.Thread(target=work, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    kept = {one.description for one in either.load(desk.claim.id)[0].kit}
    assert kept >= {name for log in logs for name in log}
    assert sum(map(len, logs)) == 24
    assert either.check_journal(desk.claim.id) == ()

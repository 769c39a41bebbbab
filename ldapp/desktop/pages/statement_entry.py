"""One row of the statement, and a working written as rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from ldapp.claim.clause import Clause
from ldapp.desktop.pages.said import given_text
from ldapp.desktop.widgets.values import amount_text
from ldapp.language import said
from ldapp.reckoning.result import GroundFall, Step, StepInput
from ldapp.reckoning.workings import is_reference

Mark: TypeAlias = Literal["", "total", "amber", "muted"]


@dataclass(eq=False)
class Entry:
    """One row of the statement."""

    what: str
    how: str = ""
    amount: str = ""
    clause: str = ""
    mark: Mark = ""
    key: tuple[str, str] = ("", "")
    """Kind and id of the record that it is about."""
    under: list[Entry] = field(default_factory=list)

    @property
    def is_sentence(self) -> bool:
        """Whether the row says one thing and has nothing for the other columns."""
        return not (self.how or self.amount or self.clause)

    def walk(self, depth: int = 0) -> Iterator[tuple[int, Entry]]:
        """Yield this row and all below it with their depth."""
        yield depth, self
        for one in self.under:
            yield from one.walk(depth + 1)


def as_text(entry: Entry) -> str:
    """Return an amount with its working as indented plain text."""
    lines = []
    for depth, one in entry.walk():
        parts = [one.what, one.how, one.amount, f"[{one.clause}]" if one.clause else ""]
        lines.append("    " * depth + "  ".join(part for part in parts if part))
    return "\n".join(lines)


def clause_text(clause: Clause | None) -> str:
    """Return where a rule is written."""
    if clause is None:
        return ""
    if not clause.page:
        return clause.reference
    return said("{clause}, p. {page}", clause=clause.reference, page=clause.page)


def against_text(fall: GroundFall) -> str:
    """Return what the agreement says against a ground, with its clause, or nothing."""
    if not fall.against:
        return ""
    clause = clause_text(fall.against_clause)
    against = f"{fall.against} ({clause})" if clause else fall.against
    return said("⚠ Against it the agreement says: {against}.", against=against)


def step_entry(step: Step, currency: str) -> Entry:
    """Return a step of a working with those that it rests on below it."""
    how = step.rule
    if step.inputs:
        given = "; ".join(f"{one.name} {_given(one)}" for one in step.inputs)
        how = f"{how}: {given}" if how else given
    entry = Entry(
        step.label,
        how,
        given_text(step.result) if step.amount is None else amount_text(step.amount, currency),
        clause_text(step.clause),
        under=[step_entry(one, currency) for one in step.steps],
    )
    if step.not_stated:
        entry.under.append(Entry(f"⚠ {step.not_stated}", mark="amber"))
    return entry


def _given(one: StepInput) -> str:
    return one.value if is_reference(one) else given_text(one.value)


def find_entry(entries: Iterable[Entry], key: tuple[str, str]) -> Entry | None:
    """Return the first row about a record."""
    for entry in entries:
        for _, one in entry.walk():
            if one.key == key:
                return one
    return None


def first_paths(entries: Sequence[Entry]) -> dict[tuple[str, str], tuple[int, ...]]:
    """Return for each record the way down to its first row."""
    paths: dict[tuple[str, str], tuple[int, ...]] = {}
    waiting: list[tuple[Entry, tuple[int, ...]]] = [
        (one, (row,)) for row, one in reversed(list(enumerate(entries)))
    ]
    while waiting:
        entry, path = waiting.pop()
        if entry.key != ("", ""):
            paths.setdefault(entry.key, path)
        # Steps of a working are about no record of their own.
        waiting += [(one, (*path, row)) for row, one in reversed(list(enumerate(entry.under)))]
    return paths

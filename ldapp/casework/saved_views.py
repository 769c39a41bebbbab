"""Views of the register that a person named: search, filters and order, kept in the library."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from collections.abc import Callable
from typing import Any, Protocol, get_args

from ldapp.claim.shared import SharedRecord
from ldapp.claim.stages import ClaimStage
from ldapp.claim.summary import ClaimSummary
from ldapp.errors import LdappError
from ldapp.language import said

_KIND = "register_view"


class SharedRecords(Protocol):
    """Keeps records that several people use."""

    def shared(self, kind: str) -> tuple[SharedRecord, ...]:
        """Return the records of a kind."""
        ...

    def put_shared(self, one: SharedRecord) -> SharedRecord:
        """Keep a record over the version it names."""
        ...

    def remove_shared(self, kind: str, key: str) -> None:
        """Remove a record."""
        ...


@dataclasses.dataclass(frozen=True, kw_only=True)
class RegisterView:
    """What the register shows, and in which order; an empty field narrows nothing."""

    search: str = ""
    stage: ClaimStage | None = None
    rental_company: str = ""
    production: str = ""
    policy: str = ""
    person: str = ""
    """A student, a department or a school."""
    within_days: int | None = None
    """Only claims whose next deadline is within so many days."""
    papers_missing: bool = False
    sort: str = ""
    """The name of the column that orders the claims."""
    descending: bool = False

    @property
    def narrows(self) -> bool:
        """Whether some claims may be left out, by a filter or the search."""
        return dataclasses.replace(self, sort="", descending=False) != RegisterView()

    def filter(self, today: dt.date) -> Callable[[ClaimSummary], bool] | None:
        """Return what tells which claims are shown, but for the search; None shows all."""
        checks: list[Callable[[ClaimSummary], bool]] = []
        if self.stage is not None:
            checks.append(lambda row: row.stage == self.stage)
        if self.rental_company:
            checks.append(lambda row: self.rental_company in row.rental_companies)
        if self.production:
            checks.append(lambda row: row.title == self.production)
        if self.policy:
            checks.append(lambda row: row.policy == self.policy)
        if self.person:
            checks.append(lambda row: self.person in row.people)
        if self.within_days is not None:
            last = today + dt.timedelta(days=self.within_days)
            checks.append(lambda row: row.next_deadline is not None and row.next_deadline <= last)
        if self.papers_missing:
            checks.append(lambda row: row.papers_missing > 0)
        if not checks:
            return None
        return lambda row: all(check(row) for check in checks)


def saved_views(library: SharedRecords) -> dict[str, RegisterView]:
    """Return the kept views by name; one that another version wrote otherwise is left out."""
    found: dict[str, RegisterView] = {}
    for one in library.shared(_KIND):
        view = _from_json(one.data)
        if view is not None:
            found[one.name] = view
    return found


def keep_view(library: SharedRecords, name: str, view: RegisterView) -> None:
    """Keep a view under a name, in place of one of that name.

    Raises:
        LdappError: the name is empty.
    """
    name = " ".join(name.split())
    if not name:
        raise LdappError(said("Give the view a name: it is found by it."))
    key = name.casefold()
    before = next((one for one in library.shared(_KIND) if one.id == key), None)
    data = json.dumps(dataclasses.asdict(view), sort_keys=True)
    library.put_shared(SharedRecord(_KIND, key, before.version if before else 0, name, data))


def remove_view(library: SharedRecords, name: str) -> None:
    """Remove a kept view; raises LdappError where it is gone already."""
    library.remove_shared(_KIND, " ".join(name.split()).casefold())


def _from_json(text: str) -> RegisterView | None:
    kept: Any = json.loads(text)
    known = {field.name for field in dataclasses.fields(RegisterView)}
    if not isinstance(kept, dict) or not set(kept) <= known:
        return None
    if kept.get("stage") not in (None, *get_args(ClaimStage)):
        return None
    return RegisterView(**kept)

"""Where the library is: a folder on this computer, or an office's database and folder.

Kept in one small file that only its owner may read; LDAPP_LIBRARY, LDAPP_DATABASE and
LDAPP_ORIGINALS in the environment stand above it.
"""

from __future__ import annotations

import dataclasses
import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple
from urllib.parse import quote, unquote, urlsplit

import platformdirs

from ldapp.errors import LdappError, MachineError
from ldapp.language import said, said_of

_DRIVER = "postgresql+psycopg"
_PORT = 5432
FILE = "library.json"


@dataclasses.dataclass(frozen=True, kw_only=True)
class LibraryPlace:
    """A folder, and the office's database where there is one.

    ``originals`` None is the folder of originals inside ``folder``.  ``password`` is told
    to nobody: it stands in no sentence and in no text of this object.
    """

    folder: Path
    server: str = ""
    port: int = _PORT
    database: str = ""
    user: str = ""
    password: str = dataclasses.field(default="", repr=False)
    originals: Path | None = None
    address: str = dataclasses.field(default="", repr=False)
    """A whole address from LDAPP_DATABASE, in place of the fields above."""

    @property
    def is_office(self) -> bool:
        """Whether claims are in an office's database."""
        return bool(self.address or self.server)

    @property
    def database_url(self) -> str | None:
        """The database's address with the password in it, or None for a file in the folder."""
        if self.address:
            return self.address
        if not self.server:
            return None
        who = quote(self.user, safe="")
        if self.password:
            who += f":{quote(self.password, safe='')}"
        at = f"{who}@" if who else ""
        host = f"[{self.server}]" if ":" in self.server else self.server
        return f"{_DRIVER}://{at}{host}:{self.port}/{quote(self.database, safe='')}"

    @property
    def says(self) -> str:
        """The place in words, without the password."""
        if not self.is_office:
            return str(self.folder)
        if self.address:
            parts = urlsplit(self.address)
            name = unquote(parts.path.lstrip("/"))
            return said(
                "database {database} on {server}",
                database=name,
                server=parts.hostname or said("this computer"),
            )
        return said("database {database} on {server}", database=self.database, server=self.server)


class Environment(NamedTuple):
    """Which parts of the place come from the environment and cannot be changed here."""

    folder: bool
    database: bool
    originals: bool

    @property
    def any(self) -> bool:
        """Whether any does."""
        return self.folder or self.database or self.originals


def settings_file() -> Path:
    """Return where the place is kept."""
    return Path(platformdirs.user_config_dir("ldapp", appauthor=False)) / FILE


def default_folder() -> Path:
    """Return the platform's folder for data of programs."""
    return Path(platformdirs.user_data_dir("ldapp", appauthor=False)) / "library"


def fixed_by(environment: Mapping[str, str]) -> Environment:
    """Return what the environment decides."""
    return Environment(
        bool(environment.get("LDAPP_LIBRARY")),
        bool(environment.get("LDAPP_DATABASE")),
        bool(environment.get("LDAPP_ORIGINALS")),
    )


def kept_place(file: Path | None = None) -> LibraryPlace:
    """Return the place as it was kept; the platform's folder where none was.

    Raises:
        LdappError: the file is damaged.
    """
    file = file or settings_file()
    try:
        text = file.read_text(encoding="utf-8")
    except FileNotFoundError:
        return LibraryPlace(folder=default_folder())
    except OSError as error:
        raise MachineError(
            said(
                "{file} cannot be read: {strerror}. It says where the claims are; give "
                "yourself the right to read it, or remove it to begin with a library "
                "here.",
                file=file,
                strerror=error.strerror or error,
            )
        ) from error
    try:
        kept = json.loads(text)
        originals = kept.get("originals")
        return LibraryPlace(
            folder=Path(kept["folder"]),
            server=str(kept.get("server", "")),
            port=int(kept.get("port", _PORT)),
            database=str(kept.get("database", "")),
            user=str(kept.get("user", "")),
            password=str(kept.get("password", "")),
            originals=Path(originals) if originals else None,
        )
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise LdappError(
            said(
                "{file} says where the claims are, and it is damaged. Mend it, or remove "
                "it to begin with a library in its usual place.",
                file=file,
            )
        ) from error


def library_place(
    folder: Path | None, environment: Mapping[str, str] = os.environ, file: Path | None = None
) -> LibraryPlace:
    """Return where the library is: named on the command line, by the environment, or as kept.

    A ``folder`` that is named is a library in that folder, unless LDAPP_DATABASE is set.
    """
    named = folder or (
        Path(environment["LDAPP_LIBRARY"]).expanduser()
        if environment.get("LDAPP_LIBRARY")
        else None
    )
    place = LibraryPlace(folder=named) if named is not None else kept_place(file)
    if environment.get("LDAPP_DATABASE"):
        place = dataclasses.replace(place, address=environment["LDAPP_DATABASE"])
    if environment.get("LDAPP_ORIGINALS"):
        originals = Path(environment["LDAPP_ORIGINALS"]).expanduser()
        place = dataclasses.replace(place, originals=originals)
    return place


def check_place(place: LibraryPlace) -> None:
    """Raise LdappError, in a sentence, where a place is not complete."""
    if not place.is_office:
        return
    if not place.address and not (place.database.strip() and place.user.strip()):
        raise LdappError(said("Enter the server, the database and the user of the office."))
    if place.originals is None:
        raise LdappError(
            said(
                "Choose the office's folder for originals: photos and papers are kept "
                "there, and everybody needs the same one."
            )
        )
    if not place.originals.is_dir():
        raise LdappError(
            said(
                "The folder for originals, {originals}, is not there. Connect its drive, "
                "or make it first.",
                originals=place.originals,
            )
        )


def keep_place(place: LibraryPlace, file: Path | None = None) -> None:
    """Keep where the library is; the file can be read by its owner alone.

    Raises:
        LdappError: the place is not complete.
        MachineError: the file cannot be written.
    """
    check_place(place)
    file = file or settings_file()
    kept = {
        "folder": str(place.folder),
        "server": place.server,
        "port": place.port,
        "database": place.database,
        "user": place.user,
        "password": place.password,
        "originals": "" if place.originals is None else str(place.originals),
    }
    unfinished = file.with_name(file.name + ".part")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        unfinished.unlink(missing_ok=True)
        handle = os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as written:
            json.dump(kept, written, indent=1)
        unfinished.replace(file)
    except OSError as error:
        raise MachineError(
            said(
                "{file} cannot be written: {strerror}. The library stays where it was.",
                file=file,
                strerror=error.strerror or error,
            )
        ) from error


def try_place(place: LibraryPlace) -> str:
    """Connect, change nothing, and say what is there.

    Raises:
        LdappError: the place is not complete, or no library of this program.
        MachineError: it cannot be reached, the extra ``office`` is not installed, or it is newer
            than this program.
    """
    from ldapp.store.looking import look_at  # noqa: PLC0415 - loads what maps the database

    check_place(place)
    found = look_at(place.folder, place.database_url)
    if found is None:
        return said(
            "{library} is empty: the library is made there when it is first opened.",
            library=_the(place),
        )
    return said_of(
        found,
        "{library} can be opened and holds {count} claim.",
        "{library} can be opened and holds {count} claims.",
        library=_the(place),
    )


def _the(place: LibraryPlace) -> str:
    if place.is_office:
        return said("The {database}", database=place.says)
    return said("The folder {folder}", folder=place.folder)

"""The libraries that the program is built on, with the licence each states for itself."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path

from ldapp.claim.record import record
from ldapp.language import said
from ldapp.resources import resource, resource_folder

_LICENCE_FILE = re.compile(r"^(licen[cs]e|copying|notice|copyright)", re.IGNORECASE)
_REQUIREMENT_NAME = re.compile(r"^[A-Za-z0-9][A-Za-z0-9._-]*")
_EXTRA = re.compile(r"extra\s*==\s*['\"]([\w-]+)")
_LONGEST_NAME = 60


@record
class Licence:
    """One library or font: what it is, its version, its licence and the licence's text."""

    name: str
    version: str
    licence: str
    text: str
    """Empty where the library was installed without one."""


def licences() -> tuple[Licence, ...]:
    """Return the program's own licence, then those of all it is built on, by name.

    The facts are those of the libraries that are installed here, optional ones included.
    """
    own = Licence(
        name="ldapp",
        version=_version("ldapp"),
        licence="Apache-2.0",
        text=resource("licence", "Apache-2.0.txt").read_text(encoding="utf-8"),
    )
    python = Licence(
        name="Python", version=_python_version(), licence="PSF-2.0", text=_python_licence()
    )
    rest = [*_libraries(), *_fonts(), python]
    return (own, *sorted(rest, key=lambda one: one.name.casefold()))


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        from ldapp import __version__  # noqa: PLC0415 - run from a folder, not installed

        return __version__


def _python_version() -> str:
    import platform  # noqa: PLC0415 - only for this page

    return platform.python_version()


def _python_licence() -> str:
    import sysconfig  # noqa: PLC0415 - only for this page

    path = Path(sysconfig.get_paths()["stdlib"]) / "LICENSE.txt"
    return path.read_text(encoding="utf-8") if path.is_file() else ""


def _libraries() -> Iterator[Licence]:
    for distribution in _required_distributions():
        about = distribution.metadata
        yield Licence(
            name=about["Name"],
            version=distribution.version,
            licence=_stated_licence(distribution),
            text="\n\n".join(_licence_texts(distribution)),
        )


def _required_distributions() -> list[metadata.Distribution]:
    """Return every installed distribution that the program needs, directly or by another."""
    found: dict[str, metadata.Distribution] = {}
    waiting = [_named(line) for line in _own_requirements()]
    seen: set[str] = set()
    while waiting:
        key = _same_name(waiting.pop())
        if key in seen:
            continue
        seen.add(key)
        try:
            distribution = metadata.distribution(key)
        except metadata.PackageNotFoundError:
            # An optional one, or one for another system.
            continue
        found[key] = distribution
        waiting.extend(
            _named(line) for line in distribution.requires or () if not _EXTRA.search(line)
        )
    return list(found.values())


def _own_requirements() -> list[str]:
    """Return what the program itself requires, with the extras that people install."""
    try:
        lines = metadata.distribution("ldapp").requires or []
    except metadata.PackageNotFoundError:
        # Run from a working copy that was never installed.
        project = tomllib.loads((resource_folder().parent / "pyproject.toml").read_text("utf-8"))
        optional = project["project"]["optional-dependencies"]
        return [*project["project"]["dependencies"], *optional["office"], *optional["seal"]]
    wanted = []
    for line in lines:
        extra = _EXTRA.search(line)
        if extra is None or extra[1] in ("office", "seal"):
            wanted.append(line)
    return wanted


def _named(requirement: str) -> str:
    found = _REQUIREMENT_NAME.match(requirement)
    return found[0] if found else ""


def _same_name(name: str) -> str:
    """Return a name as the packaging standard (PEP 503) compares it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def _stated_licence(distribution: metadata.Distribution) -> str:
    about = distribution.metadata
    stated = _field(about, "License-Expression")
    if not stated:
        classified = [
            line.rsplit("::", 1)[1].strip()
            for line in about.get_all("Classifier") or ()
            if line.startswith("License ::") and line.count("::") > 1
        ]
        stated = ", ".join(classified)
    if not stated:
        stated = _field(about, "License").strip().partition("\n")[0]
    return stated[:_LONGEST_NAME] or said("see its text")


def _field(about: metadata.PackageMetadata, name: str) -> str:
    # The protocol of the type has no ``get``.
    return about[name] if name in about else ""  # noqa: SIM401


def _licence_texts(distribution: metadata.Distribution) -> Iterator[str]:
    for file in distribution.files or ():
        if _LICENCE_FILE.match(file.name) and file.suffix in ("", ".txt", ".md", ".rst"):
            path = Path(str(file.locate()))
            if path.is_file():
                yield path.read_text(encoding="utf-8", errors="replace").strip()


def _fonts() -> Iterator[Licence]:
    names = {
        "Noto Sans fonts": ("OFL-1.1", "LICENSE-OFL-1.1.txt"),
        "Droid Sans Fallback font": ("Apache-2.0", "LICENSE-Apache-2.0.txt"),
    }
    for name, (licence, file) in names.items():
        text = resource("fonts", file).read_text(encoding="utf-8")
        yield Licence(name=name, version="", licence=licence, text=text)

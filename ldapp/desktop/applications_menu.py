"""Puts the program among the applications of a Linux desktop, for the person at the desk alone.

Desktop entry, icon theme and shared MIME-info specifications of freedesktop.org.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from ldapp.errors import MachineError
from ldapp.language import said
from ldapp.resources import resource

_ENTRY = Path("applications/ldapp.desktop")
_ICON = Path("icons/hicolor/scalable/apps/ldapp.svg")
_TYPES = Path("mime/packages/ldapp-files.xml")


def data_home() -> Path:
    """Return the folder of the person's own applications (XDG base directories)."""
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")


def add_to_applications(program: Path, home: Path | None = None) -> Path:
    """Write entry, icon and file types so that they start ``program``; return the entry.

    Raises:
        MachineError: the folder cannot be written.
    """
    home = home or data_home()
    entry = resource("desktop", "ldapp.desktop").read_text(encoding="utf-8")
    entry = entry.replace("Exec=ldapp-window", f"Exec={_quoted(program)}")
    try:
        for place in (_ENTRY, _ICON, _TYPES):
            (home / place).parent.mkdir(parents=True, exist_ok=True)
        (home / _ENTRY).write_text(entry, encoding="utf-8")
        shutil.copyfile(resource("desktop", "ldapp.svg"), home / _ICON)
        shutil.copyfile(resource("desktop", "ldapp-files.xml"), home / _TYPES)
    except OSError as error:
        raise MachineError(
            said(
                "The entry could not be written below {home}: {strerror}. Nothing else changed.",
                home=home,
                strerror=error.strerror,
            )
        ) from error
    _tell_the_desktop(home)
    return home / _ENTRY


def _quoted(program: Path) -> str:
    """Return a path as the Exec key wants it: in quotes, the four signs it names escaped."""
    escaped = str(program)
    for sign in ("\\", '"', "`", "$"):
        escaped = escaped.replace(sign, "\\" + sign)
    # The file format itself takes one more level of backslashes, and % begins a field code.
    return '"' + escaped.replace("\\", "\\\\").replace("%", "%%") + '"'


def _tell_the_desktop(home: Path) -> None:
    """Have the caches made anew; a desktop without these commands finds the files at log-in."""
    for command, folder in (
        ("update-mime-database", home / "mime"),
        ("update-desktop-database", home / "applications"),
    ):
        path = shutil.which(command)
        if path is not None:
            subprocess.run([path, str(folder)], check=False, capture_output=True, timeout=30)


def this_program() -> Path:
    """Return the executable that opened this window."""
    beside = Path(sys.executable).with_name("ldapp-window")
    return beside if beside.exists() else Path(sys.argv[0]).absolute()

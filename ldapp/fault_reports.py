"""What is kept when the program itself fails: a text file on this machine, sent nowhere.

A report holds the version, the system and the traceback, in English whatever is spoken.  The
traceback names files and may name values, so whoever passes a report on should read it first;
the sentence says so.
"""

from __future__ import annotations

import datetime as dt
import platform
import sys
import traceback
from pathlib import Path

import platformdirs

from ldapp import __version__
from ldapp.language import said

KEPT = 20
"""How many reports stay; the oldest go first."""


def report_folder() -> Path:
    """Return the platform's folder for the logs of this program."""
    return Path(platformdirs.user_log_dir("ldapp", appauthor=False))


def write_fault_report(error: BaseException, folder: Path | None = None) -> Path:
    """Write one report of a fault of the program itself; return its path.

    Raises:
        OSError: the folder cannot be written.
    """
    folder = folder or report_folder()
    folder.mkdir(parents=True, exist_ok=True)
    now = dt.datetime.now(dt.UTC)
    path = folder / f"fault-{now:%Y%m%dT%H%M%S-%fZ}.txt"
    path.write_text(_report(error, now), encoding="utf-8", errors="backslashreplace")
    _keep_the_newest(folder)
    return path


def _report(error: BaseException, now: dt.datetime) -> str:
    return (
        f"ldapp {__version__}\n"
        f"{now.isoformat(timespec='seconds')}\n"
        f"Python {platform.python_version()}, {platform.platform()}\n"
        f"Loaded: {', '.join(_loaded_versions())}\n\n"
        f"{''.join(traceback.format_exception(error))}"
    )


def _loaded_versions() -> list[str]:
    """Name the large libraries in use, with the version each states."""
    found = []
    for name in ("PySide6", "sqlalchemy", "PIL", "reportlab", "pikepdf", "pydantic"):
        version = getattr(sys.modules.get(name), "__version__", None)
        if version:
            found.append(f"{name} {version}")
    return found or ["none of the large libraries"]


def _keep_the_newest(folder: Path) -> None:
    reports = sorted(folder.glob("fault-*.txt"))
    for old in reports[:-KEPT]:
        old.unlink(missing_ok=True)


def fault_sentence(error: BaseException, *, kept: Path | None) -> str:
    """Return what a person is told of a fault of the program itself."""
    name = type(error).__name__
    if kept is None:
        return said(
            "A fault of the program itself ({name}), and no report of it could be "
            "kept. What was saved before is not lost. Open the program again and "
            "repeat the step.",
            name=name,
        )
    return said(
        "A fault of the program itself ({name}). What was saved before is not "
        "lost. A report is kept in {kept}; nothing was sent. Read it before you "
        "pass it on, since it may name files.",
        name=name,
        kept=kept,
    )


def keep_fault(error: BaseException) -> tuple[str, Path | None]:
    """Write a report and return the sentence for the person, and the report where one is kept."""
    try:
        kept = write_fault_report(error)
    except OSError:
        return fault_sentence(error, kept=None), None
    return fault_sentence(error, kept=kept), kept

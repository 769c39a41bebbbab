"""The one place that builds store, casework, workers and window and hands them on."""

from __future__ import annotations

import ctypes
import datetime as dt
import getpass
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from ldapp.errors import MachineError
from ldapp.language import marked, said

if TYPE_CHECKING:
    from ldapp.casework.office import LibraryPlace
    from ldapp.casework.register import Register
    from ldapp.claim.summary import ClaimSummary

NO_DISPLAY = marked(
    "There is no display to open a window on. To write the demo's dossier instead, run: "
    "{command} dossier --demo --version dispute --out demo-dossier.pdf"
)
_WINDOW_LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
}
_X11_LIBRARIES = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
}


def person_at_the_desk() -> str:
    """Return the name under which changes are recorded."""
    named = os.environ.get("LDAPP_PERSON", "").strip()
    if named:
        return named
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        # A system account without a name; the journal still needs one.
        return said("unnamed")


def open_register(folder: Path | None = None) -> Register:
    """Open a library, made at first use, as a register.

    Raises:
        MachineError: the folder cannot be written, or the database is newer than the program.
    """
    from ldapp.casework.office import library_place  # noqa: PLC0415 - after the first paint

    return open_place(library_place(folder))


def open_place(place: LibraryPlace) -> Register:
    """Open the library at a place as a register, making it at its first use.

    Raises:
        MachineError: it cannot be reached or written, or is newer than the program.
    """
    # The database layer is loaded only here, after the window has been painted.
    from ldapp.casework.register import Register  # noqa: PLC0415
    from ldapp.store.claim_library import Library  # noqa: PLC0415

    library = Library.open(place.folder, database_url=place.database_url, originals=place.originals)
    return Register(library, person_at_the_desk())


def rows_before_opening(folder: Path | None = None) -> tuple[ClaimSummary, ...] | None:
    """Return the register's rows without opening the library; None where that is not possible."""
    from ldapp.casework.office import library_place  # noqa: PLC0415 - after the first paint
    from ldapp.claim.summary import without_passed  # noqa: PLC0415 - likewise
    from ldapp.store.first_rows import first_rows  # noqa: PLC0415

    place = library_place(folder)
    if place.is_office:
        return None
    # Which deadline comes after one that has passed is known once the library is open.
    today = dt.datetime.now(dt.UTC).date()
    rows = first_rows(place.folder)
    return None if rows is None else tuple(without_passed(one, None, today) for one in rows)


def _no_display() -> str:
    called = sys.argv[0]
    by_module = Path(called).name == "__main__.py"
    return said(NO_DISPLAY, command="ldapp" if by_module else called)


def check_display() -> None:
    """Raise MachineError, in one sentence, where no window can be opened."""
    platform = os.environ.get("QT_QPA_PLATFORM", "")
    if not sys.platform.startswith("linux"):
        return
    wayland = bool(os.environ.get("WAYLAND_DISPLAY"))
    if not platform and not wayland and not os.environ.get("DISPLAY"):
        raise MachineError(_no_display())
    wanted = dict(_WINDOW_LIBRARIES)
    on_x11 = platform == "xcb" or (not platform and not wayland)
    if on_x11:
        wanted |= _X11_LIBRARIES
    missing = [package for library, package in wanted.items() if not _loads(library)]
    if missing:
        raise MachineError(
            said(
                "The window needs system libraries that are not installed. On Debian or "
                "Ubuntu: sudo apt-get install {packages}",
                packages=" ".join(missing),
            )
        )
    if on_x11 and not _answers_as_display():
        raise MachineError(_no_display())


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def _answers_as_display() -> bool:
    """Return whether a display server answers; Qt itself would abort where none does."""
    xcb = ctypes.CDLL("libxcb.so.1")
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    xcb.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = xcb.xcb_connect(None, None)
    answers = xcb.xcb_connection_has_error(connection) == 0
    xcb.xcb_disconnect(connection)
    return bool(answers)


def run_window(
    *, library: Path | None = None, demo: str | None = None, file: Path | None = None
) -> int:
    """Open the window and stay until it is closed; return the exit code.

    ``demo`` names a demo claim to open; an empty text opens the first one.  ``file`` is a
    claim file or a bundle to take in and open.

    Raises:
        MachineError: there is no display, or a library of the system is missing.
    """
    check_display()
    from ldapp.desktop.start import run  # noqa: PLC0415 - Qt needs the display checked before

    return run(
        lambda: open_register(library),
        demo=demo,
        first_rows=lambda: rows_before_opening(library),
        open_place=open_place,
        file=file,
    )

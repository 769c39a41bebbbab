"""Where the program's own files are: fonts, wording, icons, schema, guide.

This is the one place that computes such a path.  In an installed package the files
lie inside it; in a working copy they lie beside it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from ldapp.errors import MachineError
from ldapp.language import said


@cache
def resource_folder() -> Path:
    """Return the folder that holds all resources.

    Raises:
        MachineError: the program was installed without its resources.
    """
    package = Path(__file__).parent
    for folder in (package / "resources", package.parent / "resources"):
        if folder.is_dir():
            return folder
    raise MachineError(
        said(
            "The program's own files are missing: there is no folder {folder}. "
            "Install the program again.",
            folder=package / "resources",
        )
    )


def resource(*parts: str) -> Path:
    """Return the path of one resource, ``resource("fonts", "NotoSans-Regular.ttf")``.

    Raises:
        MachineError: there is no such file or folder.
    """
    path = resource_folder().joinpath(*parts)
    if not path.exists():
        raise MachineError(
            said(
                "A file of the program itself is missing: {path}. Install the program again.",
                path=path,
            )
        )
    return path

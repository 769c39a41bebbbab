"""Bring the catalogues up to date with the source: ``python -m tests.languages [PART …]``.

Without a part: every part of every language, and the compiled catalogues.
"""

from __future__ import annotations

import sys

from tests.languages.catalogue import (
    LANGUAGES,
    brought_up_to_date,
    compiled,
    sentences,
    written,
)


def main(wanted: list[str]) -> None:
    """Write the parts that are wanted and say how much of each is translated."""
    source = sentences()
    for folder in sorted(one for one in LANGUAGES.iterdir() if one.is_dir()):
        for part, found in source.items():
            if wanted and part not in wanted:
                continue
            catalogue = brought_up_to_date(folder.name, part, found)
            (folder / f"{part}.po").write_bytes(written(catalogue))
            whole = [one for one in catalogue if one.id]
            done = [one for one in whole if one.string and all(one.string)]
            sys.stdout.write(f"{folder.name} {part}: {len(done)} of {len(whole)}\n")
        if not wanted:
            for path in folder.glob("*.po"):
                if path.stem not in source:
                    path.unlink()
        (folder / "ldapp.mo").write_bytes(compiled(folder.name))


if __name__ == "__main__":
    main(sys.argv[1:])

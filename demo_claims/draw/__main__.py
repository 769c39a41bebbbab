"""`python -m demo_claims.draw [folder] [--only name]`: draws the demo claims again.

Without a folder the files of this package are written in place.  The same versions of
Pillow, numpy, openpyxl and reportlab give the same bytes.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from demo_claims.draw.drawn_with import record_installed
from demo_claims.draw.make import STORIES, write_story

HERE = Path(__file__).parents[1]


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(
        prog="python -m demo_claims.draw", description="Draw the demo claims again."
    )
    parser.add_argument("folder", nargs="?", type=Path, default=HERE, help="where to write")
    parser.add_argument(
        "--only", choices=sorted(STORIES), action="append", help="one of the claims"
    )
    parser.add_argument(
        "--keep-photos", action="store_true", help="use the photos that are already there"
    )
    chosen = parser.parse_args(arguments)
    for name in chosen.only or list(STORIES):
        began = time.monotonic()
        written = write_story(STORIES[name], chosen.folder, keep_photos=chosen.keep_photos)
        total = sum(path.stat().st_size for path in written)
        print(
            f"{name}: {len(written)} files, {total / 1e6:.1f} MB, {time.monotonic() - began:.0f} s"
        )
    if chosen.folder == HERE and not chosen.only and not chosen.keep_photos:
        record_installed()
    return 0


if __name__ == "__main__":
    sys.exit(main())

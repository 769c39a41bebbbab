"""How fast the program is, as ratios to reference tools in the same run.

``python -m tests.benchmarks [NAME …] [--files N] [--out FILE]`` prints a table of ratios.
Nothing is asserted: machines differ, ratios much less.
"""

from __future__ import annotations

import argparse
import importlib
import pkgutil
from pathlib import Path

from tests.benchmarks.table import Row, as_table


def main() -> None:
    """Run the measurements whose names were given, or all."""
    here = Path(__file__).parent
    known = sorted(
        module.name
        for module in pkgutil.iter_modules([str(here)])
        if not module.name.startswith("_") and module.name != "table"
    )
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"of {', '.join(known)}")
    parser.add_argument("--files", type=int, default=200, help="photos to measure with")
    parser.add_argument("--out", type=Path, help="write the table into this Markdown file too")
    options = parser.parse_args()
    unknown = set(options.names) - set(known)
    if unknown:
        parser.error(f"no such measurement: {', '.join(sorted(unknown))}")
    rows: list[Row] = []
    for name in options.names or known:
        module = importlib.import_module(f"tests.benchmarks.{name}")
        rows.extend(module.measure(options.files))
    table = as_table(rows)
    print(table)
    if options.out is not None:
        options.out.write_text(table + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()

"""Which versions of the libraries drew the files that are here."""

from __future__ import annotations

import json
from importlib.metadata import version
from pathlib import Path

FILE = Path(__file__).with_name("drawn_with.json")
LIBRARIES = ("numpy", "openpyxl", "pillow", "reportlab", "segno")


def installed() -> dict[str, str]:
    return {name: version(name) for name in LIBRARIES}


def recorded() -> dict[str, str]:
    versions: dict[str, str] = json.loads(FILE.read_text(encoding="utf-8"))
    return versions


def record_installed() -> None:
    FILE.write_text(json.dumps(installed(), indent=2) + "\n", encoding="utf-8")

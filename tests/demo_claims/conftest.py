"""The demo claims lie beside the package and are drawn by code that is no part of it."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]

if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

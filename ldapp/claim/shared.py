"""A record that several claims use, as the library keeps it."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple


class SharedRecord(NamedTuple):
    """``data`` is the record as JSON text; ``version`` 0 is one that is not kept yet."""

    kind: str
    id: str
    version: int
    name: str
    data: str
    changed: dt.datetime | None = None
    who: str = ""

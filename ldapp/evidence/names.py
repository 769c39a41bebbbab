"""Times in file names: a weak witness, for anybody can rename."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final, Literal

from ldapp.evidence.times import local_datetime

_RECEIVED: Final = re.compile(r"(?:IMG|VID|PHOTO)-(\d{4})(\d\d)(\d\d)-WA\d+", re.IGNORECASE)
_MOMENT: Final = re.compile(
    r"(?<!\d)((?:19|20)\d\d)[-_.]?(0[1-9]|1[0-2])[-_.]?([0-3]\d)(?:[-_ T]|\s+[a-z]{1,4}\s+)?"
    r"([0-2]\d)[-_.:]?([0-5]\d)[-_.:]?([0-5]\d)(?:\d{3})?(?!\d)"
)
_COUNTER: Final = re.compile(r"([A-Za-z_]{2,8})[_-]?(\d{4})\.[A-Za-z0-9]+\Z")
_SCREENSHOT: Final = re.compile(r"screen ?shot|bildschirmfoto", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class NamedTime:
    """What a name says: a moment on some wall clock (or UTC), or a day of receipt."""

    kind: Literal["moment", "receipt"]
    moment: datetime
    """Without zone; for a receipt the first second of the day."""

    @property
    def day(self) -> date:
        """The date."""
        return self.moment.date()


def time_in_name(name: str) -> NamedTime | None:
    """Read a date of receipt, or a date with time, from a file's name."""
    if match := _RECEIVED.match(name):
        moment = local_datetime(f"{match[1]}-{match[2]}-{match[3]}T00:00:00")
        return NamedTime("receipt", moment) if moment else None
    if match := _MOMENT.search(name):
        year, month, dom, hour, minute, second = match.groups()
        moment = local_datetime(f"{year}-{month}-{dom}T{hour}:{minute}:{second}")
        return NamedTime("moment", moment) if moment else None
    return None


def counter_in_name(name: str) -> tuple[str, int] | None:
    """Return prefix and number of a camera's counted file name (DCF: 0001 to 9999)."""
    match = _COUNTER.match(name)
    if match is None or match[2] == "0000":
        return None
    return match[1].upper(), int(match[2])


def names_a_screenshot(name: str) -> bool:
    """Say whether the name begins as systems name their screenshots."""
    return _SCREENSHOT.match(name) is not None

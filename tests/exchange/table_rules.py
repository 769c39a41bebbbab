"""The lines and shades that an invoice's table is drawn with."""

from __future__ import annotations

from typing import Any

from reportlab.lib import colors

_DRAWN: dict[str, tuple[tuple[Any, ...], ...]] = {
    "none": (),
    "grid": (("GRID", (0, 0), (-1, -1), 0.4, colors.black),),
    "below": (("LINEBELOW", (0, 0), (-1, -1), 0.4, colors.grey),),
    "header": (("LINEBELOW", (0, 0), (-1, 0), 0.8, colors.black),),
    "box": (
        ("BOX", (0, 0), (-1, -1), 0.8, colors.black),
        ("BACKGROUND", (0, 0), (-1, 0), colors.lightgrey),
    ),
    "shaded": (("ROWBACKGROUNDS", (0, 1), (-1, -1), [colors.whitesmoke, colors.white]),),
}


def table_rules(name: str, last: int = -1) -> tuple[tuple[Any, ...], ...]:
    """Return the styles of a table's rules; upright ones end at the row ``last``."""
    if name == "uprights":
        return (
            ("BOX", (0, 0), (-1, last), 0.5, colors.black),
            ("LINEAFTER", (0, 0), (-2, last), 0.5, colors.black),
            ("LINEBELOW", (0, 0), (-1, 0), 0.5, colors.black),
        )
    return _DRAWN[name]

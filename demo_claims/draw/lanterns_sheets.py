"""The kit list of demo claim 2 as spreadsheet and as delimited text."""

from __future__ import annotations

from demo_claims.draw.lanterns_kit import kit_lines
from demo_claims.draw.spreadsheets import delimited, xlsx

_HEAD = (
    "No.",
    "Equipment",
    "Qty",
    "Section",
    "Packed in",
    "Serial no.",
    "Day rate GBP",
    "New value GBP",
    "Bought",
)


def _rows() -> list[tuple]:
    return [
        (
            line.number,
            line.description,
            line.quantity,
            line.category,
            line.location,
            " / ".join(line.serials) or None,
            float(line.day_rate or 0),
            float(line.replacement_cost or 0),
            line.acquired,
        )
        for line in kit_lines()
    ]


def kit_xlsx() -> bytes:
    return xlsx(
        "Package",
        ("Brellwater Camera & Light (invented) - BCL-5127 - Paper Lanterns (invented)",),
        _HEAD,
        _rows(),
        (6, 40, 7, 14, 12, 30, 13, 14, 12),
    )


def kit_csv() -> bytes:
    return delimited(
        _HEAD, [(*row[:6], f"{row[6]:.2f}", f"{row[7]:.2f}", row[8]) for row in _rows()], ";"
    )

"""What the commands print: JSON for scripts, or the same report in words for people.

The words are those of the language spoken; in English the codes of the JSON stand for
themselves.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from typing import Any

from ldapp.language import marked_in, said, said_of
from ldapp.local_forms import local_number

_STANDINGS = {
    "backed": marked_in("time of a photo", "backed"),
    "corrected": marked_in("time of a photo", "corrected"),
    "camera_only": marked_in("time of a photo", "camera only"),
    "open": marked_in("time of a photo", "open"),
    "contradicted": marked_in("time of a photo", "contradicted"),
    "none": marked_in("time of a photo", "none"),
}
_WEIGHTS = {
    "supports": marked_in("time of a photo", "supports"),
    "note": marked_in("time of a photo", "note"),
    "weakens": marked_in("time of a photo", "weakens"),
    "undermines": marked_in("time of a photo", "undermines"),
    "excludes": marked_in("time of a photo", "excludes"),
}
_TOTALS = {
    "billed": marked_in("total", "billed"),
    "owed": marked_in("total", "owed"),
    "disputed": marked_in("total", "disputed"),
    "strong_owed": marked_in("total", "strong owed"),
    "strong_disputed": marked_in("total", "strong disputed"),
    "not_yet_charged": marked_in("total", "not yet charged"),
    "loss": marked_in("total", "loss"),
    "waiver": marked_in("total", "waiver"),
    "policy": marked_in("total", "policy"),
    "other_insurance": marked_in("total", "other insurance"),
    "held_back": marked_in("total", "held back"),
    "paid_by_others": marked_in("total", "paid by others"),
    "renter": marked_in("total", "renter"),
    "offsets": marked_in("total", "offsets"),
    "to_pay_to_lessors": marked_in("total", "to pay to lessors"),
}


def print_json(value: Any) -> None:
    """Print one JSON object."""
    print(json.dumps(value, ensure_ascii=False, indent=1))


def print_array(objects: Iterable[dict[str, Any]]) -> None:
    """Print a JSON array an object at a time, so that a long run is never held in memory."""
    opening = "["
    for one in objects:
        sys.stdout.write(f"{opening}\n {json.dumps(one, ensure_ascii=False)}")
        opening = ","
    sys.stdout.write("[]\n" if opening == "[" else "\n]\n")


def print_photos(reports: Iterable[dict[str, Any]]) -> None:
    """Print each photo with its time, and a line for every reason."""
    for report in reports:
        _print_photo(report)


def _print_photo(report: dict[str, Any]) -> None:
    if report["error"]:
        print(f"{report['file']}: {report['error']}")
        return
    time = report["taken_local"] or said("no time in the file")
    offset = f" {report['offset']}" if report["offset"] else ""
    print(f"{report['file']}: {time}{offset}, {_word(report['standing'], _STANDINGS)}")
    for reason in report["reasons"]:
        print(f"    {reason['code']} {_word(reason['weight'], _WEIGHTS)}: {reason['says']}")


def print_kit(report: dict[str, Any]) -> None:
    """Print the lines of a kit list, then its faults."""
    for line in report["lines"]:
        print(f"{line['line']}\t{_number(line['quantity'])}\t{line['description']}")
    _print_faults(report)


def print_invoice(report: dict[str, Any]) -> None:
    """Print the lines of an invoice, its totals, then its faults."""
    for line in report["lines"]:
        quantity, amount = _number(line["quantity"]), _number(line["amount"])
        print(f"{quantity}\t{amount}\t{line['description']}")
    print(
        said(
            "net {net}, tax {tax}, total {gross}",
            net=_number(report["net"]),
            tax=_number(report["tax"]),
            gross=_number(report["gross"]),
        )
    )
    _print_faults(report)


def print_totals(report: dict[str, Any]) -> None:
    """Print the totals of a reckoning."""
    for name, amount in report["totals"].items():
        if isinstance(amount, str):
            print(f"{_word(name, _TOTALS)}: {_number(amount)} {report['currency']}")


def _print_faults(report: dict[str, Any]) -> None:
    places: dict[str, list[str]] = {}
    for fault in report["faults"]:
        places.setdefault(fault["says"], []).append(fault["place"])
    for says, held in places.items():
        more = len(held) - 1
        where = (
            said_of(
                more,
                "{place} and {number} more place",
                "{place} and {number} more places",
                place=held[0],
                number=more,
            )
            if more
            else held[0]
        )
        print(f"{where}: {says}" if where else says)


def _number(value: object) -> str:
    return local_number(str(value))


def _word(code: str, words: dict[str, str]) -> str:
    """Return the word for a code; one that has none is shown as it is written in JSON."""
    return said(words[code]) if code in words else code.replace("_", " ")

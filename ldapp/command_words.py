"""The words of the command line that are not its own: those of argparse, and of JSON keys.

Without ``--json`` a report is written for people, so the words that stand for a script in
its keys and codes are said in the language spoken; in English they are the codes themselves.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager

from ldapp.language import SOURCE_LANGUAGE, language, marked, said, said_in, said_of

_OF_ARGPARSE = frozenset(
    {
        marked("usage: "),
        marked("positional arguments"),
        marked("options"),
        marked("show this help message and exit"),
        marked("argument %(argument_name)s: %(message)s"),
        marked("the following arguments are required: %s"),
        marked("unrecognized arguments: %s"),
        marked("not allowed with argument %s"),
        marked("expected one argument"),
        marked("expected at least one argument"),
        marked("ambiguous option: %(option)s could match %(matches)s"),
        marked("ignored explicit argument %r"),
        marked("invalid choice: %(value)r (choose from %(choices)s)"),
        marked("invalid %(type)s value: %(value)r"),
    }
)


@contextmanager
def argparse_speaking() -> Iterator[None]:
    """Let argparse speak our language in this block.

    It asks for its words by the two names that it imports from ``gettext``; it has no other
    door for them.  A text that it words differently in another Python stays English.
    """
    names: dict[str, object] = vars(argparse)
    kept: dict[str, object] = {name: names[name] for name in ("_", "ngettext") if name in names}
    names.update({"_": _said_by_argparse, "ngettext": _counted_by_argparse})
    try:
        yield
    finally:
        names.update(kept)


def _said_by_argparse(text: str) -> str:
    return said(text) if text in _OF_ARGPARSE else text


def _counted_by_argparse(one: str, many: str, count: int) -> str:
    if one == "expected %s argument":
        return said_of(count, "expected %s argument", "expected %s arguments")
    return one if count == 1 else many


def standing_word(code: str) -> str:
    """Return the word for how far the time of a photo is supported."""
    return _word(
        code,
        {
            "backed": said_in("time of a photo", "backed"),
            "corrected": said_in("time of a photo", "corrected"),
            "camera_only": said_in("time of a photo", "camera only"),
            "open": said_in("time of a photo", "open"),
            "contradicted": said_in("time of a photo", "contradicted"),
            "none": said_in("time of a photo", "none"),
        },
    )


def weight_word(code: str) -> str:
    """Return the word for the strength of one finding about the time of a photo."""
    return _word(
        code,
        {
            "supports": said_in("time of a photo", "supports"),
            "note": said_in("time of a photo", "note"),
            "weakens": said_in("time of a photo", "weakens"),
            "undermines": said_in("time of a photo", "undermines"),
            "excludes": said_in("time of a photo", "excludes"),
        },
    )


def total_word(key: str) -> str:
    """Return what a total of the reckoning is called."""
    return _word(
        key,
        {
            "billed": said_in("total", "billed"),
            "owed": said_in("total", "owed"),
            "disputed": said_in("total", "disputed"),
            "strong_owed": said_in("total", "strong owed"),
            "strong_disputed": said_in("total", "strong disputed"),
            "not_yet_charged": said_in("total", "not yet charged"),
            "loss": said_in("total", "loss"),
            "waiver": said_in("total", "waiver"),
            "policy": said_in("total", "policy"),
            "other_insurance": said_in("total", "other insurance"),
            "held_back": said_in("total", "held back"),
            "paid_by_others": said_in("total", "paid by others"),
            "renter": said_in("total", "renter"),
            "offsets": said_in("total", "offsets"),
            "to_pay_to_lessors": said_in("total", "to pay to lessors"),
        },
    )


def _word(code: str, words: dict[str, str]) -> str:
    plain = code.replace("_", " ")
    return plain if language() == SOURCE_LANGUAGE else words.get(code, plain)

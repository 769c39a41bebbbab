"""The words of the command line that argparse says: they are said in our language too."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager

from ldapp.language import marked, said, said_of

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

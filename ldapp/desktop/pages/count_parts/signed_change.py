"""A change to a count that both have signed is asked about before it is made."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtWidgets import QWidget

from ldapp.casework.counts import SignedByBothError
from ldapp.desktop.claim_context import ClaimContext
from ldapp.desktop.question import ask
from ldapp.errors import LdappError
from ldapp.language import said

_ASKING = "asking_about_signatures"


def change_count(
    context: ClaimContext, parent: QWidget, change: Callable[..., bool], *given: Any
) -> bool | None:
    """Make a change to a count; the first one after both have signed only where it is wanted.

    ``change`` takes the open claim, ``given`` and ``although_signed``.  Return None where it was
    refused, or given up.
    """
    if context.property(_ASKING):
        # The question takes the focus from a field, which commits the same change once more.
        return None
    make = partial(change, context.desk, *given)
    try:
        return make()
    except SignedByBothError as error:
        question, _, consequence = str(error).rpartition("? ")
        context.setProperty(_ASKING, True)
        try:
            wanted = ask(
                parent,
                said("Signed count"),
                f"{question}?",
                consequence,
                said("Change it"),
                careful=True,
            )
        finally:
            context.setProperty(_ASKING, False)
    except LdappError as error:
        context.failed.emit(error)
        return None
    return context.attempt(partial(make, although_signed=True)) if wanted else None

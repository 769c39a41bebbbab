"""A claim file reckoned as it is, without a library."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from ldapp.casework.reckoning import reckon_claim
from ldapp.casework.reckoning_report import reckoning_as_json
from ldapp.claim.claim import Claim
from ldapp.errors import Fault, InputError
from ldapp.exchange.claim_file import read_claim_file
from ldapp.reckoning.result import Reckoning


def reckon_claim_file(path: Path, as_of: dt.date | None = None) -> dict[str, Any]:
    """Return the reckoning of a claim file as the JSON object of ``ldapp reckon``.

    ``as_of`` is the day on which time limits are looked at; without it none has run out.

    Raises:
        InputError: the file is no claim file, or its terms cannot be right; every fault at once.
    """
    claim = read_claim_file(path)
    return reckoning_as_json(claim, reckoned(claim, path, as_of))


def reckoned(claim: Claim, path: Path, as_of: dt.date | None = None) -> Reckoning:
    """Reckon a claim; faults of its terms are named with the file that they stand in."""
    try:
        return reckon_claim(claim, as_of=as_of)
    except InputError as error:
        raise InputError(
            tuple(
                Fault(str(path), fault.place, fault.wrong, fault.expected) for fault in error.faults
            )
        ) from error

"""What the other side will likely say to a ground, and what we can say to that.

For the person at the desk alone: nothing of it is printed for the rental company.
"""

from __future__ import annotations

import tomllib
from functools import cache
from typing import NamedTuple

from ldapp.catalogues import resource_in_language
from ldapp.claim.grounds import GROUND_CODES, GroundCode
from ldapp.errors import Fault, InputError
from ldapp.language import language, said


class LikelyAnswer(NamedTuple):
    """Both sides on one ground."""

    theirs: str
    ours: str


def likely_answers() -> dict[GroundCode, LikelyAnswer]:
    """Return the likely answer to each ground, and ours, in the language spoken now.

    Raises:
        InputError: somebody edited the file so that it can no longer be read, or a ground
            is missing in it.
    """
    return _answers_in(language())


@cache
def _answers_in(spoken: str) -> dict[GroundCode, LikelyAnswer]:
    path = resource_in_language(spoken, "wording", "ground_answers.toml")
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        return {
            code: LikelyAnswer(str(data[code]["theirs"]), str(data[code]["ours"]))
            for code in GROUND_CODES
        }
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, KeyError, TypeError) as error:
        raise InputError(
            (
                Fault(
                    str(path),
                    "",
                    said("the likely answers cannot be read ({error})", error=error),
                    said('a valid TOML file with "theirs" and "ours" for each ground'),
                ),
            )
        ) from error

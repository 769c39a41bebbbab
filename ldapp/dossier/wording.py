"""The fixed sentences of the dossier, read from a file that can be edited."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from typing import Any

from ldapp.catalogues import resource_in_language
from ldapp.errors import Fault, InputError
from ldapp.language import language, said

_FILE = "letters.toml"
_PLACE = re.compile(r"\{([a-z_]+)\}")


def wording() -> dict[str, Any]:
    """Return all sentences, in the language spoken now.

    Raises:
        InputError: somebody edited the file so that it can no longer be read.
    """
    return read_wording(_FILE, language())


@cache
def read_wording(file: str, spoken: str) -> dict[str, Any]:
    """Return the sentences of a file of ``resources/wording`` in a language, read once.

    Raises:
        InputError: somebody edited the file so that it can no longer be read.
    """
    path = resource_in_language(spoken, "wording", file)
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise InputError(
            (
                Fault(
                    str(path),
                    "",
                    said("the wording cannot be read ({error})", error=error),
                    said("a valid TOML file"),
                ),
            )
        ) from error


def words(section: str, name: str) -> str:
    """Return one sentence of a section."""
    return str(wording()[section][name])


def fill(template: str, values: Mapping[str, str]) -> str:
    """Put values into the places of a template, in one pass, so that values stay text."""
    return _PLACE.sub(lambda found: values.get(found.group(1), ""), template)

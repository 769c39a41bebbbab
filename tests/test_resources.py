"""The program finds its own files, and says in a sentence if it does not."""

from __future__ import annotations

import pytest

from ldapp.errors import MachineError
from ldapp.resources import resource, resource_folder


def test_a_resource_is_found_where_the_program_is() -> None:
    assert resource("fonts", "NotoSans-Regular.ttf").is_file()
    assert resource("wording").parent == resource_folder()


def test_a_missing_resource_is_named() -> None:
    with pytest.raises(MachineError, match="no-such-file"):
        resource("fonts", "no-such-file.ttf")

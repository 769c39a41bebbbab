"""The window of the desktop's tests, and the dossier of the dossier's, for tests of both."""

from __future__ import annotations

from tests.desktop.conftest import (
    idle,
    jobs,
    open_claim,
    preview_cache,
    register,
    settings,
    window,
)
from tests.dossier.conftest import claim, originals, write

__all__ = [
    "claim",
    "idle",
    "jobs",
    "open_claim",
    "originals",
    "preview_cache",
    "register",
    "settings",
    "window",
    "write",
]

"""The cautions that are shown where damage is entered and before anything is sent."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from ldapp.catalogues import resource_in_language
from ldapp.claim.kit import EquipmentKind
from ldapp.language import language


@cache
def _texts(spoken: str) -> dict[str, Any]:
    path = resource_in_language(spoken, "wording", "cautions.json")
    texts: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return texts


def general_cautions() -> tuple[str, ...]:
    """Shown once at the first start, and always in the guide."""
    return tuple(_texts(language())["general"])


def cautions_before_sending() -> tuple[str, ...]:
    """Shown before a claim or a letter is written."""
    return tuple(_texts(language())["before_sending"])


def cautions_for_damage(kind: EquipmentKind) -> tuple[str, ...]:
    """Shown where damage to this kind of equipment is entered; the gravest first."""
    texts = _texts(language())
    return (*texts["by_kind"].get(kind, ()), *texts["damage"])

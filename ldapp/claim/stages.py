"""How far a claim has come."""

from __future__ import annotations

from typing import Literal, TypeAlias

ClaimStage: TypeAlias = Literal[
    "preparing", "sent", "answered", "offered", "settled", "paid", "closed"
]

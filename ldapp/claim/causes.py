"""What caused a loss: the closed list that waivers and policies refer to."""

from __future__ import annotations

from typing import Literal, get_args

Cause = Literal[
    "unexplained",
    "theft",
    "theft_from_vehicle",
    "robbery",
    "vandalism",
    "drop_or_impact",
    "transit",
    "fire",
    "water",
    "weather",
    "electrical",
    "overload",
    "misuse",
    "false_pretence",
    "breakdown",
    "wear",
    "burn_out",
    "other",
]

CAUSES: tuple[Cause, ...] = get_args(Cause)

CAUSE_LABELS: dict[Cause, str] = {
    "unexplained": "unexplained, found at a count",
    "theft": "theft",
    "theft_from_vehicle": "theft from a vehicle",
    "robbery": "robbery",
    "vandalism": "vandalism",
    "drop_or_impact": "dropped or struck",
    "transit": "damaged in transit",
    "fire": "fire",
    "water": "water or another liquid",
    "weather": "wind, storm or flood",
    "electrical": "electrical current",
    "overload": "overloaded",
    "misuse": "misuse",
    "false_pretence": "handed over under a false pretence",
    "breakdown": "mechanical or electrical breakdown",
    "wear": "ordinary wear",
    "burn_out": "lamp burned out in use",
    "other": "another cause",
}

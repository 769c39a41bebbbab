"""What caused a loss: the closed list that waivers and policies refer to."""

from __future__ import annotations

from typing import Literal, get_args

from ldapp.language import marked

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
    "unexplained": marked("unexplained, found at a count"),
    "theft": marked("theft"),
    "theft_from_vehicle": marked("theft from a vehicle"),
    "robbery": marked("robbery"),
    "vandalism": marked("vandalism"),
    "drop_or_impact": marked("dropped or struck"),
    "transit": marked("damaged in transit"),
    "fire": marked("fire"),
    "water": marked("water or another liquid"),
    "weather": marked("wind, storm or flood"),
    "electrical": marked("electrical current"),
    "overload": marked("overloaded"),
    "misuse": marked("misuse"),
    "false_pretence": marked("handed over under a false pretence"),
    "breakdown": marked("mechanical or electrical breakdown"),
    "wear": marked("ordinary wear"),
    "burn_out": marked("lamp burned out in use"),
    "other": marked("another cause"),
}

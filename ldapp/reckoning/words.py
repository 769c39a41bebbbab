"""What the choices of a claim are called in a working; each is said where it is shown."""

from __future__ import annotations

from ldapp.claim.causes import Cause
from ldapp.claim.kit import EquipmentKind
from ldapp.claim.terms import FeeKind, TaxComponent, ValuationDateEvent
from ldapp.language import marked, said

CAUSE_WORDS: dict[Cause, str] = {
    "unexplained": marked("unexplained"),
    "theft": marked("theft"),
    "theft_from_vehicle": marked("theft from vehicle"),
    "robbery": marked("robbery"),
    "vandalism": marked("vandalism"),
    "drop_or_impact": marked("drop or impact"),
    "transit": marked("transit"),
    "fire": marked("fire"),
    "water": marked("water"),
    "weather": marked("weather"),
    "electrical": marked("electrical"),
    "overload": marked("overload"),
    "misuse": marked("misuse"),
    "false_pretence": marked("false pretence"),
    "breakdown": marked("breakdown"),
    "wear": marked("wear"),
    "burn_out": marked("burn out"),
    "other": marked("other"),
}

_CATEGORY_WORDS: dict[EquipmentKind, str] = {
    "lighting": marked("lighting"),
    "discharge_lighting": marked("discharge lighting"),
    "grip": marked("grip"),
    "rigging": marked("rigging"),
    "electrical_distribution": marked("electrical distribution"),
    "battery": marked("battery"),
    "camera": marked("camera"),
    "lens": marked("lens"),
    "sound": marked("sound"),
    "vehicle": marked("vehicle"),
    "consumable": marked("consumable"),
    "other": marked("other"),
}

EVENT_WORDS: dict[ValuationDateEvent, str] = {
    "delivery": marked("delivery"),
    "loss": marked("loss"),
    "purchase": marked("purchase"),
    "invoice": marked("invoice"),
}

FEE_WORDS: dict[FeeKind, str] = {
    "administration": marked("administration"),
    "cleaning": marked("cleaning"),
    "freight": marked("freight"),
    "restocking": marked("restocking"),
    "repacking": marked("repacking"),
    "minimum": marked("minimum"),
    "late": marked("late"),
    "other": marked("other"),
}

COMPONENT_WORDS: dict[TaxComponent, str] = {
    "replacement": marked("replacement"),
    "parts": marked("parts"),
    "labour": marked("labour"),
    "loss_of_use": marked("loss of use"),
    "fees": marked("fees"),
}


def category_words(category: str) -> str:
    """Say an equipment kind; a heading of a list stays as it is written there."""
    for kind, words in _CATEGORY_WORDS.items():
        if kind == category:
            return said(words)
    return category.replace("_", " ")

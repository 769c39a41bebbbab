"""What kind of equipment a line of a list is, as far as its words say so.

Common practice, no source.  It is a proposal: cautions, waiver and policy depend on the
kind, so the person sees it and can change it.
"""

from __future__ import annotations

import re

from ldapp.claim.kit import EquipmentKind

_WORDS: dict[EquipmentKind, str] = {
    "battery": """
        battery batteries charger chargers akku akkus ladegerät batterie batería
    """,
    "rigging": """
        truss hoist hoists shackle shackles sling slings rigging safety_cable safety_cables
        safety_bond safety_chain chain_hoist traverse kettenzug élingue eslinga
    """,
    "electrical_distribution": """
        cable cables stinger stingers distro distribution splitter splitters extension_cord
        extension_cords lunch_box feeder kabel verteiler verlängerung rallonge alargador
        cord adapter adapters dimmer dimmers câble
    """,
    "consumable": """
        gel gels tape expendable expendables bulb bulbs globe globes verbrauchsmaterial
    """,
    "discharge_lighting": """
        discharge ballast ballasts metal_halide entladungslampe décharge descarga
    """,
    "lens": """
        lens lenses prime primes zoom zooms objektiv objektive objectif objectifs objetivo
    """,
    "camera": """
        camera cameras kamera caméra cámara monitor monitors viewfinder follow_focus
        matte_box
    """,
    "sound": """
        microphone microphones recorder boom lavalier sound walkie walkies headset headsets
    """,
    "grip": """
        c-stand c-stands stand stands flag flags net nets silk silks clamp clamps sandbag
        sandbags sand_bag sand_bags apple_box apple_boxes dolly track tracks grip frame
        frames rag rags butterfly overhead cutter cutters stativ stative klemme klemmen arm
        arms jib slider tripod wedge wedges pied pieds trípode
    """,
    "lighting": """
        light lights lighting led tungsten fresnel panel panels lamp lamps softbox soft_box
        fluorescent leuchte scheinwerfer licht projecteur foco barn_door barn_doors scrim
        scrims ellipsoidal projecteurs focos leuchten
    """,
    "vehicle": """
        truck trucks van vans trailer trailers car lkw transporter camion camioneta
    """,
}
"""The first kind of which a word is found is taken; a low line joins words."""


def _pattern(words: str) -> re.Pattern[str]:
    alternatives = "|".join(re.escape(word).replace("_", "[ -]?") for word in words.split())
    return re.compile(rf"(?<!\w)(?:{alternatives})(?!\w)", re.IGNORECASE)


_PATTERNS = tuple((kind, _pattern(words)) for kind, words in _WORDS.items())


def likely_kind(description: str, category: str = "") -> EquipmentKind:
    """Return the kind that the words of a line, then those of its heading, speak of."""
    for text in (description, category):
        for kind, pattern in _PATTERNS:
            if pattern.search(text):
                return kind
    return "other"
